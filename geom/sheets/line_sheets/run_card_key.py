"""What a sheet of run cards says of itself: a key of what stands on it, and the tolerance of its lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geom.drafting.line_text import length, thimble_out
from geom.lettering import width as text_width
from geom.placement.line_ends import BOTH, family, line_end
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.tables import numbers

# What the title block's cell for the tolerance holds [mm].
_TOLERANCE_ROOM = 58.0


def key_lines(refit: Refit, works: Sequence[RunWork], room: float) -> tuple[str, ...]:
    """Return the key of the cards of some runs; nothing that is on none of them.

    Args:
        refit: the boat worked out.
        works: the runs.
        room: width of a line, which short entries share [mm].
    """
    lines: list[str] = []
    for entry in _key_lines(refit, works):
        place = next((n for n, line in enumerate(lines) if text_width(f"{line} {entry}", 2.5) <= room), None)
        if place is None:
            lines.append(entry)
        else:
            lines[place] = f"{lines[place]} {entry}"
    return tuple(lines)


def _key_lines(refit: Refit, works: Sequence[RunWork]) -> Iterator[str]:
    cut = [work for work in works if not work.refused]
    runs = {work.run: refit.placed.runs[work.run] for work in works}
    beyond = any(run.spec.start.fittings or run.spec.finish.fittings for run in runs.values())
    yield run_card_words.KEY_ZERO
    if beyond:
        yield run_card_words.KEY_PIN
    of = "FINISHED"
    yield run_card_words.KEY_FINISHED
    if any(work.rope for work in cut):
        yield run_card_words.KEY_REEL
    if any(abs(work.lengths.marked - work.lengths.finished) > 0.05 for work in cut):
        yield run_card_words.KEY_MARKED
        of = "MARKED (else FINISHED)"
    if any(work.lengths.eye_to_eye is not None for work in cut):
        yield run_card_words.KEY_EYES.format(of=of)
        yield run_card_words.KEY_THROAT
    if any(work.fit.buries for work in cut):
        yield run_card_words.KEY_SPLICE
    if any(family(line_end(refit.boat, runs[w.run], where))["kind"] == "terminal" for w in cut for where in BOTH):
        yield run_card_words.KEY_WIRE
    verdicts = {refit.placed.eye(hole.hole).verdict for w in works for hole in w.fit.holes}
    if verdicts:
        holes = run_card_words.KEY_TRIAL if "trial" in verdicts else run_card_words.KEY_HOLES
        yield holes.format(thimble=thimble_out(refit))
    yield run_card_words.KEY_ERROR.format(shares=_shares(works))
    yield run_card_words.KEY_LAST


def _shares(works: Sequence[RunWork]) -> str:
    """Return what the errors of these runs are made up of."""
    bedding = [any(share.name == "bedding-in" for share in work.budget.shares) for work in works]
    if all(bedding):
        return "survey, making, bedding-in"
    return "survey and making, bedding-in where it is stated" if any(bedding) else "survey and making"


def tolerance(refit: Refit, works: Sequence[RunWork]) -> str:
    """Return the error of each run as the title block has it, or where it stands if those are too many."""
    fmt = numbers(refit.boat)
    stated = ", ".join(
        run_card_words.TOLERANCE.format(run=work.run, value=length(work.budget.combined, fmt)) for work in works
    )
    return stated if text_width(stated, 2.5) <= _TOLERANCE_ROOM else run_card_words.TOLERANCE_MANY
