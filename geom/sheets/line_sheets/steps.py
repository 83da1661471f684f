"""The numbered steps of a run in columns side by side: on the bench, then on board."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from geom.drafting.line_text import in_words, length, tape_length
from geom.drafting.ruling import broken
from geom.figure import Item, Line, Rect, Text
from geom.lettering import Weight
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
PITCHES = (7.0, 6.4, 6.0, 5.6, 5.2, 4.9)
_HEAD, _NUMBER, _GAP = 6.2, 7.5, 6.0
# A column is at least this wide, and there are three at most [mm].
_NARROWEST, _MOST = 84.0, 3
# The first of these steps is done on board.
_ON_BOARD = (
    "step.free_end_through", "step.finished_end_through", "step.fasten", "step.fasten_pin", "step.slide_on",
    "step.slide_on_for",
)  # fmt: skip


@dataclass(frozen=True)
class _Entry:
    """One step set in lines: where it is done, its number (empty for a warning before the first), its lines.

    `governs` is whether it is the check on board that the work depends on.
    """

    place: str
    number: str
    lines: tuple[str, ...]
    governs: bool = False


@dataclass(frozen=True)
class Columns:
    """The steps of a run in columns of one width [mm]."""

    width: float
    columns: tuple[tuple[_Entry, ...], ...]

    def height(self, pitch: float) -> float:
        """Return the height of the tallest column [mm]."""
        return max((_height(column, pitch) for column in self.columns), default=0.0)


def _height(column: Sequence[_Entry], pitch: float) -> float:
    heads = 1 + sum(a.place != b.place for a, b in pairwise(column))
    return heads * _HEAD + sum(len(entry.lines) for entry in column) * pitch


def columns(refit: Refit, work: RunWork, width: float) -> Columns:
    """Return the steps of a run in as many columns as make them least high.

    Args:
        refit: the boat as calculated.
        work: the run.
        width: of all columns with the gaps between them [mm].
    """
    most = max(1, min(_MOST, int((width + _GAP) / (_NARROWEST + _GAP))))
    tried = [_in_columns(refit, work, width, count) for count in range(1, most + 1)]
    return min(tried, key=lambda one: one.height(PITCHES[-1]))


def _in_columns(refit: Refit, work: RunWork, width: float, count: int) -> Columns:
    each = (width - (count - 1) * _GAP) / count
    entries = tuple(_entries(refit, work, each - _NUMBER - 0.5))
    count = min(count, len(entries))
    divisions = ((0, *breaks, len(entries)) for breaks in combinations(range(1, len(entries)), count - 1))
    parts = (tuple(entries[a:b] for a, b in pairwise(division)) for division in divisions)
    return min((Columns(each, part) for part in parts), key=lambda one: one.height(PITCHES[-1]))


def _entries(refit: Refit, work: RunWork, room: float) -> Iterator[_Entry]:
    for text in decisions(refit, work):
        yield _Entry(words.BENCH, "", broken(text, room, LETTERING))
    steps, place = work.plan.work, words.BENCH
    for number, step in enumerate(steps, start=1):
        if any(remark.code in _ON_BOARD for remark in step.does):
            place = words.BOARD
        governs = step.check is not None and step.check.measure == "on board"
        lines = broken(step_words(refit, work, step), room, LETTERING, "semibold" if governs else "regular")
        yield _Entry(place, str(number), lines, governs)


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


def steps_items(run: str, steps: Columns, place: Rect, pitch: float) -> tuple[Item, ...]:
    """Return the columns of steps from the upper edge of a place down.

    Args:
        run: id of the run.
        steps: in columns.
        place: where they begin, at its upper left corner [mm].
        pitch: of the lines [mm].
    """
    items: list[Item] = []
    left = place.left
    for column in steps.columns:
        y, before = place.top, ""
        for entry in column:
            if entry.place != before:
                items += _column_head(run, entry.place, left, y, steps.width)
                y, before = y - _HEAD, entry.place
            if entry.number:
                at = (left + _NUMBER - 2.3, y - LETTERING)
                tag = f"step:{run}:{entry.number}:number"
                items.append(Text(at, entry.number, LETTERING, "TEXT", "right", weight="semibold", tag=tag))
            layer, tag = ("TEXT", f"step:{run}:{entry.number}") if entry.number else ("OPEN-ITEM", f"decide:{run}")
            weight: Weight = "semibold" if entry.governs else "regular"
            for line in entry.lines:
                items.append(Text((left + _NUMBER, y - LETTERING), line, LETTERING, layer, tag=tag, weight=weight))
                y -= pitch
        left += steps.width + _GAP
    return tuple(items)


def _column_head(run: str, head: str, left: float, top: float, width: float) -> tuple[Item, ...]:
    return (
        Text((left, top - 3.0), head, 2.5, "TEXT", tag=f"steps:{run}", weight="semibold"),
        Line((left, top - 4.4), (left + width, top - 4.4), "TABLE"),
    )
