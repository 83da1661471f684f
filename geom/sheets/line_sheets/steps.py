"""The numbered steps of a run in two columns: on the bench, then on board."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geom.drafting.line_text import in_words, length, tape_length
from geom.drafting.ruling import broken
from geom.figure import Item, Line, Rect, Text
from geom.placement.eyes import Where
from geom.placement.line_ends import OTHER, run_end
from geom.refit import Refit
from geom.rigging.threading_steps import Step
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.marks import splice_number
from geom.tables import numbers

LETTERING = 3.5
# Pitches of the steps' lines, the largest that fits is taken; 1.4 times the lettering is the minimum [mm].
PITCHES = (6.0, 5.6, 5.2, 4.9)
_HEAD, _NUMBER, _GAP = 6.2, 8.0, 8.0
# Shares of the width that the first column may have.
_SHARES = tuple(share / 100.0 for share in range(30, 71, 5))
# The first of these steps is done on board.
_ON_BOARD = (
    "step.free_end_through", "step.finished_end_through", "step.fasten", "step.fasten_pin", "step.slide_on",
    "step.slide_on_for",
)  # fmt: skip


@dataclass(frozen=True)
class Column:
    """One column of steps: its heading, and each step's number (empty for a warning) and lines."""

    head: str
    steps: tuple[tuple[str, tuple[str, ...]], ...]

    @property
    def lines(self) -> int:
        """Number of lines."""
        return sum(len(lines) for _, lines in self.steps)


def columns(refit: Refit, work: RunWork, width: float) -> tuple[tuple[Column, float], ...]:
    """Return the columns of a run's steps with their widths [mm], divided so that they are as short as possible.

    Args:
        refit: the boat as calculated.
        work: the run.
        width: of both with the gap between them [mm].
    """
    bench, board = divided(work)
    tried = []
    for share in _SHARES:
        first = share * (width - _GAP)
        second = width - _GAP - first
        pair = (
            (_column(refit, work, words.BENCH, bench, 1, first), first),
            (_column(refit, work, words.BOARD, board, 1 + len(bench), second), second),
        )
        tried.append(pair)
    middle = len(tried) // 2
    order = sorted(range(len(tried)), key=lambda index: abs(index - middle))
    return min((tried[index] for index in order), key=lambda pair: max(column.lines for column, _ in pair))


def divided(work: RunWork) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    """Return the steps on the bench and those on board."""
    steps = work.plan.work
    at = next(
        (index for index, step in enumerate(steps) if any(remark.code in _ON_BOARD for remark in step.does)), len(steps)
    )
    return steps[:at], steps[at:]


def _column(refit: Refit, work: RunWork, head: str, steps: Sequence[Step], first: int, width: float) -> Column:
    room = width - _NUMBER - 0.5
    found = [
        (str(number), broken(step_words(refit, work, step), room, LETTERING))
        for number, step in enumerate(steps, start=first)
    ]
    if first == 1:
        found[:0] = [("", broken(text, room, LETTERING)) for text in decisions(refit, work)]
    return Column(head, tuple(found))


def decisions(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return what has to be decided before a line is cut: whether a line on hold becomes one with it."""
    held = [
        other.run for other in refit.work.runs.values() if any(one.joins == work.run for one in other.alternatives)
    ]
    return tuple(words.DECIDE.format(run=run) for run in held)


def step_words(refit: Refit, work: RunWork, step: Step) -> str:
    """Return a step as a sentence, with the splice to make, the lengths of the fittings, or the length to mark."""
    fmt, more = numbers(refit.boat), ""
    if step.makes is not None:
        splice = splice_number(refit, work, step.makes)
        more = "" if splice is None else words.SPLICE.format(number=splice)
    elif step.fastens is not None:
        more = _fittings(refit, work, step.fastens)
    elif step.marks is not None:
        value = work.lengths.from_throat(OTHER[step.marks])
        more = "" if value is None else f"{tape_length(value, fmt)} {fmt.unit}"
    said = in_words(step.does, fmt)
    return f"{said[0].upper()}{said[1:]}{f': {more}' if more else ''}."


def _fittings(refit: Refit, work: RunWork, where: Where) -> str:
    fmt, found = numbers(refit.boat), []
    for name in run_end(refit.placed.runs[work.run], where).fittings:
        size = refit.boat.fittings[name].length
        text = words.FITTING.format(name=name, planned=length(size.planned, fmt))
        if size.min is not None and size.max is not None:
            text = words.RANGE.format(text=text, minimum=length(size.min, fmt), maximum=length(size.max, fmt))
        found.append(text)
    return ", ".join(found)


def steps_height(pair: Sequence[tuple[Column, float]], pitch: float) -> float:
    """Return the height of the columns [mm]."""
    return _HEAD + max(column.lines for column, _ in pair) * pitch + 0.5


def steps_items(run: str, pair: Sequence[tuple[Column, float]], place: Rect, pitch: float) -> tuple[Item, ...]:
    """Return the columns set.

    Args:
        run: id of the run.
        pair: the columns and their widths.
        place: where they begin, at its upper left corner [mm].
        pitch: of the lines [mm].
    """
    items: list[Item] = []
    left = place.left
    for column, width in pair:
        items.append(Text((left, place.top - 3.0), column.head, 2.5, "TEXT", weight="semibold", tag=f"steps:{run}"))
        items.append(Line((left, place.top - 4.4), (left + width, place.top - 4.4), "TABLE"))
        y = place.top - _HEAD - LETTERING
        for number, lines in column.steps:
            if number:
                at = (left + _NUMBER - 2.5, y)
                items.append(Text(at, number, LETTERING, "TEXT", "right", weight="semibold", tag=f"step:{run}:number"))
            for line in lines:
                layer, tag = ("TEXT", f"step:{run}:{number}") if number else ("OPEN-ITEM", f"decide:{run}")
                items.append(Text((left + _NUMBER, y), line, LETTERING, layer, tag=tag))
                y -= pitch
        left += width + _GAP
    return tuple(items)
