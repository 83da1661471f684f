"""What follows from a record, as text for the screen and as files."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from geom.boat.line_model import TakeUp
from geom.intake.as_built import AsBuilt
from geom.paperwork.handover.sheet import HANDOVER, handover_sheets
from geom.paperwork.made import text as words
from geom.paperwork.made.calibration import Calibration, Correction, as_take_up, calibrations, corrections
from geom.paperwork.made.comparison import MadeLine, made_lines
from geom.paperwork.made.sheet import MADE, made_sheets
from geom.paperwork.paper import paper_bytes
from geom.refit import Refit
from geom.tables import numbers


@dataclass(frozen=True)
class Made:
    """What follows from a record: lines as made, take-ups measured, boat-file corrections, the next lines."""

    lines: tuple[MadeLine, ...]
    found: tuple[Calibration, ...]
    take_ups: dict[str, TakeUp]
    following: tuple[Correction, ...]


def what_was_made(refit: Refit, record: AsBuilt) -> Made:
    """Return what follows from a record."""
    found = calibrations(refit, record)
    take_ups = {
        one.line: take_up
        for one in found
        if (take_up := as_take_up(one, words.SOURCE.format(count=len(one.runs), date=_last(record, one)))) is not None
    }
    return Made(made_lines(refit, record), found, take_ups, corrections(refit, record, take_ups))


def _last(record: AsBuilt, one: Calibration) -> str:
    """Return the last day on which an eye of a rope was made."""
    return max(record.runs[run].date or record.as_built.date for run in one.runs)


def made_text(refit: Refit, made: Made) -> Iterator[str]:
    """Yield what was made as lines of text, in the unit of the boat."""
    fmt = numbers(refit.boat)

    def said(value: float) -> str:
        return f"{fmt.figure(value)} {fmt.unit}"

    for line in made.lines:
        form = words.SAID_WITHIN if line.as_predicted else words.SAID_BEYOND
        yield form.format(
            run=line.run, made=said(line.made), off=said(line.off), predicted=said(line.predicted),
            covered=words.COVERED[line.covered],
        )  # fmt: skip
    for one in made.found:
        eyes = ", ".join(
            f"{eye.run} {said(eye.take_up)}{words.SAID_REJECTED if eye.rejected else ''}" for eye in one.eyes
        )
        yield words.SAID_TAKE_UP.format(line=one.line, expected=said(one.expected), eyes=eyes)
        yield words.SAID_FEW if one.mean is None else words.SAID_MEAN.format(mean=said(one.mean))
    for following in made.following:
        yield words.SAID_NEXT.format(
            run=following.run, before=said(following.eye_marks_before), after=said(following.eye_marks)
        )  # fmt: skip


def made_files(refit: Refit, record: AsBuilt, made: Made) -> dict[str, bytes]:
    """Return the papers of what was made, by name.

    Args:
        refit: the calculated boat.
        record: as built.
        made: what follows from it.
    """
    pages = made_sheets(refit, record, made.lines, made.found, made.following)
    return {
        "as-made.pdf": paper_bytes(refit, MADE, pages),
        "handover.pdf": paper_bytes(refit, HANDOVER, handover_sheets(refit, record)),
    }
