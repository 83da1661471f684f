"""Notes of the deck plan: axes, meaning of the figures, survey accuracy, tapes that disagree."""

from __future__ import annotations

from collections.abc import Sequence

from geom.boat.model import Level
from geom.drafting import plan_text as plan_words
from geom.drafting.post_text import length
from geom.drafting.ruling import broken
from geom.drafting.tape_discrepancies import tapes_apart
from geom.figure import Item, LengthFormat, Point, Text
from geom.intake.survey.closure import ClosureRow
from geom.refit import Refit
from geom.rigging.dimension_chain import plus_minus
from geom.tables import numbers
from geom.units import decimal, degrees

PITCH = 4.0
_INDENT = 4.0
_LETTERING = 2.5


def plan_notes(refit: Refit, shown: Sequence[str]) -> tuple[str, ...]:
    """Return the notes to the deck plan.

    Args:
        refit: the boat as calculated.
        shown: the tables on the sheet.
    """
    spans = [plan_words.SPANS]
    notes = [plan_words.AXES.format(z_zero=refit.boat.axes.z_zero)]
    pins = pin_offsets(refit)
    if pins:
        spans.append(plan_words.GATE_PINS.format(value=pins))
    notes += [" ".join(spans), lines_note(refit)]
    if refit.placed.gates:
        notes[-1] += f" {plan_words.GATES}"
    if "posts" in shown:
        notes.append(plan_words.POSTS_NOTE)
    if "holes" in shown:
        notes.append(f"{plan_words.HOLES_NOTE} {_axes_words(refit)}".strip())
    if "runs" in shown:
        notes.append(plan_words.RUNS_NOTE)
    notes.append(known_words(refit))
    notes += [_tape_words(row, numbers(refit.boat)) for row in tapes_apart(refit)]
    return tuple(notes)


def notes_height(notes: Sequence[str], width: float) -> float:
    """Return the height of numbered notes with their heading at a width [mm]."""
    return PITCH * (1 + sum(len(broken(note, width - _INDENT)) for note in notes)) + 1.0


def notes_items(notes: Sequence[str], at: Point, width: float) -> list[Item]:
    """Return numbered notes under their heading from an upper left corner down; a starred note has no number.

    Args:
        notes: the notes.
        at: upper left corner [mm].
        width: of the lines [mm].
    """
    x, y = at[0], at[1] - _LETTERING
    items: list[Item] = [Text((x, y), plan_words.NOTES, _LETTERING, "TEXT")]
    for number, note in enumerate(notes, 1):
        starred = note.startswith("*")
        for row, line in enumerate(broken(note.removeprefix("* "), width - _INDENT)):
            y -= PITCH
            if row == 0:
                items.append(Text((x, y), "*" if starred else str(number), _LETTERING, "NOTE"))
            items.append(Text((x + _INDENT, y), line, _LETTERING, "NOTE"))
    return items


def lines_note(refit: Refit) -> str:
    """Return the letter and line style of each line of the boat."""
    levels: list[Level] = ["U", "M", "L"]
    used = [level for level in levels if any(run.level == level for run in refit.placed.runs.values())]
    return plan_words.LINES.format(levels="; ".join(plan_words.LINE_WORDS[level] for level in used))


def pin_offsets(refit: Refit) -> str:
    """Return the offsets of pins of eyes on posts from the tube's axis, in the sheet's unit; empty without any."""
    ends = [end for run in refit.boat.runs for end in (run.start, run.finish)]
    found = sorted({end.eye_offset for end in ends if end.eye_offset})
    return ", ".join(length(offset, numbers(refit.boat), 1) for offset in found)


def known_words(refit: Refit) -> str:
    """Return the rounding of figures and the survey accuracy."""
    fmt = numbers(refit.boat)
    step = f"{10.0**-fmt.decimals:g}"
    if refit.boat.survey == "as designed":
        return plan_words.DESIGNED.format(step=step, unit=fmt.unit)
    return plan_words.KNOWN.format(step=step, unit=fmt.unit, **_bounds(refit), source=_source(refit))


def survey_tolerance(refit: Refit) -> str:
    """Return the survey accuracy for the title block, empty where nothing was measured."""
    if refit.boat.survey == "as designed":
        return ""
    stated = _bounds(refit)
    alike = stated["xy"] == stated["z"]
    return (plan_words.TOLERANCE if alike else plan_words.TOLERANCE_APART).format(**stated)


def _bounds(refit: Refit) -> dict[str, str]:
    fmt, off = numbers(refit.boat), plus_minus(refit.boat)
    stated = {name: length(value, fmt) for name, value in (("xy", off.xy), ("z", off.z), ("along", off.along))}
    return {**stated, "lean": decimal(degrees(off.lean), 1)}


def _source(refit: Refit) -> str:
    stated = refit.boat.uncertainty
    if stated is None:
        return plan_words.COMMON_PRACTICE
    own = (stated.xy, stated.z, stated.lean, stated.along)
    return stated.source if None not in own else f"{stated.source}; what it leaves out: {plan_words.COMMON_PRACTICE}"


def _axes_words(refit: Refit) -> str:
    """Return the basis of the holes' axes where not every direction is given."""
    stated = [hole.measured is not None for _, hole in refit.placed.holes() if hole.id in refit.placed.lines_in_holes]
    if all(stated):
        return ""
    return plan_words.AXES_PARTLY if any(stated) else plan_words.AXES_COMPUTED


def _tape_words(row: ClosureRow, fmt: LengthFormat) -> str:
    return plan_words.TAPE.format(
        start=row.start, end=row.end, taped=length(row.taped, fmt), computed=length(row.computed, fmt)
    )
