"""The numbered steps of a run in columns side by side: on the bench, then on board."""

from __future__ import annotations

from collections.abc import Iterator

from geom.drafting.line_text import in_words, length, tape_length
from geom.drafting.numbered_steps import LETTERING, Columns, Entry, in_columns
from geom.drafting.ruling import broken
from geom.placement.eyes import Where
from geom.placement.line_ends import OTHER, run_end
from geom.refit import Refit
from geom.rigging.threading_steps import Step
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.marks import splice_number
from geom.tables import numbers

# The first of these steps is done on board.
_ON_BOARD = (
    "step.free_end_through", "step.finished_end_through", "step.fasten", "step.fasten_pin", "step.slide_on",
    "step.slide_on_for",
)  # fmt: skip


def columns(refit: Refit, work: RunWork, width: float) -> Columns:
    """Return the steps of a run in as many columns as make them least high.

    Args:
        refit: the boat as calculated.
        work: the run.
        width: of all columns with the gaps between them [mm].
    """
    return in_columns(lambda room: tuple(_entries(refit, work, room)), width)


def _entries(refit: Refit, work: RunWork, room: float) -> Iterator[Entry]:
    for text in decisions(refit, work):
        yield Entry(words.BENCH, "", broken(text, room, LETTERING), f"decide:{work.run}")
    steps, place = work.plan.work, words.BENCH
    for number, step in enumerate(steps, start=1):
        if any(remark.code in _ON_BOARD for remark in step.does):
            place = words.BOARD
        governs = step.check is not None and step.check.measure == "on board"
        lines = broken(step_words(refit, work, step), room, LETTERING, "semibold" if governs else "regular")
        yield Entry(place, str(number), lines, f"step:{work.run}:{number}", governs)


def decisions(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return what has to be decided before a line is cut: whether a line on hold becomes one with it."""
    held = [other.run for other in refit.work.runs.values() if any(one.joins == work.run for one in other.alternatives)]
    return tuple(words.DECIDE.format(run=run) for run in held)


def step_words(refit: Refit, work: RunWork, step: Step) -> str:
    """Return a step as a sentence, with the splice to make, the lengths of the fittings, or the length to mark."""
    fmt, more = numbers(refit.boat), ""
    if step.makes is not None:
        splice = splice_number(refit, work, step.makes)
        more = "" if splice is None else words.SPLICE_SHEET.format(number=splice)
    elif step.fastens is not None:
        held = _fittings(refit, work, step.fastens)
        more = f": {held}" if held else ""
    elif step.marks is not None:
        value = work.lengths.from_throat(OTHER[step.marks])
        more = "" if value is None else f": {tape_length(value, fmt)} {fmt.unit}"
    said = ". ".join(_capital(in_words(remark, fmt)) for remark in step.does)
    return f"{said}{more}."


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


def _fittings(refit: Refit, work: RunWork, where: Where) -> str:
    fmt, found = numbers(refit.boat), []
    for name in run_end(refit.placed.runs[work.run], where).fittings:
        size = refit.boat.fittings[name].length
        text = f"{length(size.planned, fmt)} {fmt.unit}"
        if size.min is not None and size.max is not None:
            text = words.RANGE.format(text=text, minimum=length(size.min, fmt), maximum=length(size.max, fmt))
        found.append(text)
    return ", ".join(found)
