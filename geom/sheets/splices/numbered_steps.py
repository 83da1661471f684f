"""Numbered steps in 3.5 mm lettering, in columns side by side under headings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from geom.figure import Item, Line, Point, Text
from geom.lettering import Weight

LETTERING = 3.5
# Pitches of the steps' lines, the largest that fits is taken; 1.4 times the lettering is the minimum [mm].
PITCHES = (7.0, 6.4, 6.0, 5.6, 5.2, 4.9)
_HEAD, _NUMBER, _GAP = 6.2, 7.5, 6.0
# A column is at least this wide, and there are three at most [mm].
_NARROWEST, _MOST = 84.0, 3


@dataclass(frozen=True)
class Entry:
    """One step set in lines: the heading it is under, its number (empty for a warning before the first), its lines.

    `tag` is the id of its lines; `governs` is whether the rest depends on it.
    """

    head: str
    number: str
    lines: tuple[str, ...]
    tag: str
    governs: bool = False


@dataclass(frozen=True)
class Columns:
    """Steps in columns of one width [mm]."""

    width: float
    columns: tuple[tuple[Entry, ...], ...]

    def height(self, pitch: float) -> float:
        """Return the height of the tallest column [mm]."""
        return max((_height(column, pitch) for column in self.columns), default=0.0)


def _height(column: Sequence[Entry], pitch: float) -> float:
    heads = 1 + sum(a.head != b.head for a, b in pairwise(column))
    return heads * _HEAD + sum(len(entry.lines) for entry in column) * pitch


def in_columns(entries: Callable[[float], Sequence[Entry]], width: float) -> Columns:
    """Return steps in as many columns as make them least high.

    Args:
        entries: returns the steps with lines of a width [mm].
        width: of all columns with the gaps between them [mm].
    """
    most = max(1, min(_MOST, int((width + _GAP) / (_NARROWEST + _GAP))))
    tried = [_divided(entries, width, count) for count in range(1, most + 1)]
    return min(tried, key=lambda one: one.height(PITCHES[-1]))


def _divided(entries: Callable[[float], Sequence[Entry]], width: float, count: int) -> Columns:
    each = (width - (count - 1) * _GAP) / count
    found = tuple(entries(each - _NUMBER - 0.5))
    count = min(count, len(found))
    divisions = ((0, *breaks, len(found)) for breaks in combinations(range(1, len(found)), count - 1))
    parts = (tuple(found[a:b] for a, b in pairwise(division)) for division in divisions)
    return min((Columns(each, part) for part in parts), key=lambda one: one.height(PITCHES[-1]))


def steps_items(steps: Columns, at: Point, pitch: float, tag: str) -> tuple[Item, ...]:
    """Return the columns of steps from their upper edge down.

    Args:
        steps: in columns.
        at: their upper left corner [mm].
        pitch: of the lines [mm].
        tag: id of the headings.
    """
    items: list[Item] = []
    left, top = at
    for column in steps.columns:
        y, before = top, ""
        for entry in column:
            if entry.head != before:
                items += _heading(entry.head, (left, y), steps.width, tag)
                y, before = y - _HEAD, entry.head
            if entry.number:
                place = (left + _NUMBER - 2.3, y - LETTERING)
                number_tag = f"{entry.tag}:number"
                items.append(Text(place, entry.number, LETTERING, "TEXT", "right", weight="semibold", tag=number_tag))
            layer = "TEXT" if entry.number else "OPEN-ITEM"
            weight: Weight = "semibold" if entry.governs else "regular"
            for line in entry.lines:
                place = (left + _NUMBER, y - LETTERING)
                items.append(Text(place, line, LETTERING, layer, tag=entry.tag, weight=weight))
                y -= pitch
        left += steps.width + _GAP
    return tuple(items)


def _heading(head: str, at: Point, width: float, tag: str) -> tuple[Item, ...]:
    left, top = at
    return (
        Text((left, top - 3.0), head, 2.5, "TEXT", tag=tag, weight="semibold"),
        Line((left, top - 4.4), (left + width, top - 4.4), "TABLE"),
    )
