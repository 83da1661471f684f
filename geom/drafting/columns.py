"""Tables whose columns have a letter or share a heading: those that a drawing refers to by its dimension letters."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate, groupby

from geom.figure import Across, Cell, Item, Line, Point, Text
from geom.lettering import width as text_width

LETTERING = 2.5
ROW = 5.0
_HEAD_PITCH, _HEAD_PADDING, _MARGIN = 3.9, 1.5, 1.3
# A heading over several columns is higher by this, for the rule under it.
_GROUP_UP, _GROUP_RULE = 0.7, 0.85
# Between figures and the words of the next column [mm].
_APART = 1.8
_LAYER = "TABLE"


@dataclass(frozen=True)
class Column:
    """A column: up to two lines of heading, its letter in the drawing, alignment, the heading it shares with others.

    Columns next to each other with the same `group` have it over them, once, with their common letter. `beside` is room
    for symbols behind the text [mm].
    """

    head: str
    letter: str = ""
    across: Across = "left"
    group: str = ""
    beside: float = 0.0

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines of the heading."""
        return tuple(self.head.split("\n"))


@dataclass(frozen=True)
class ColumnTable:
    """A table before it is placed: columns, rows of tagged cells, the id of its rules, height of a row [mm]."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    tag: str
    row: float = ROW

    @property
    def head_height(self) -> float:
        """The height of the headings [mm]."""
        lines = max(len(column.lines) for column in self.columns) + self._over
        grouped = any(column.group for column in self.columns)
        gap = _HEAD_PITCH - LETTERING
        return lines * _HEAD_PITCH + 2.0 * _HEAD_PADDING - gap + grouped * _GROUP_UP

    @property
    def height(self) -> float:
        """The height over all [mm]."""
        return self.head_height + len(self.rows) * self.row

    @property
    def _over(self) -> int:
        return int(any(column.letter or column.group for column in self.columns))

    @property
    def widths(self) -> tuple[float, ...]:
        """The smallest width of each column [mm]."""
        widths = [
            max(
                [text_width(line, LETTERING, "semibold") for line in (*column.lines, column.letter)]
                + [text_width(row[index].text, LETTERING, row[index].weight) for row in self.rows]
            )
            + 2.0 * _MARGIN
            + column.beside
            + self._inset(index)
            for index, column in enumerate(self.columns)
        ]
        for name, places in self._groups():
            short = text_width(name, LETTERING, "semibold") + 2.0 * _MARGIN - math.fsum(widths[k] for k in places)
            for k in places if name and short > 0.0 else ():
                widths[k] += short / len(places)
        return tuple(widths)

    def _inset(self, index: int) -> float:
        """Return the space in front of a column of words behind one of figures [mm]."""
        figures = index > 0 and self.columns[index - 1].across == "right"
        return _APART if figures and self.columns[index].across == "left" else 0.0

    def _groups(self) -> Iterator[tuple[str, list[int]]]:
        for name, places in groupby(range(len(self.columns)), key=lambda k: self.columns[k].group):
            yield name, list(places)

    def items(self, at: Point, width: float = 0.0) -> tuple[Item, ...]:
        """Return the table drawn from its upper left corner down.

        Args:
            at: upper left corner [mm].
            width: over all, where it is to be wider than its text [mm].
        """
        left, top = at
        widths = self.widths
        spare = max(0.0, width - math.fsum(widths)) / len(widths)
        edges = list(accumulate((one + spare for one in widths), initial=left))
        insets = [self._inset(index) for index in range(len(widths))]
        foot = top - self.head_height
        items: list[Item] = [*self._heads(edges, foot)]
        for number, row in enumerate(self.rows):
            base = foot - (number + 0.5) * self.row - 0.5 * LETTERING
            for cell, column, near, inset, far in zip(row, self.columns, edges, insets, edges[1:], strict=False):
                if cell.text:
                    x = _anchor(column.across, near + inset, far)
                    items.append(Text((x, base), cell.text, LETTERING, cell.layer or _LAYER, column.across,
                                      tag=cell.tag, weight=cell.weight))  # fmt: skip
        levels = [(top, "HEAD-RULE"), (foot, _LAYER)]
        levels += [(foot - k * self.row, "RULE") for k in range(1, len(self.rows))]
        levels.append((foot - len(self.rows) * self.row, _LAYER))
        items += [Line((left, y), (edges[-1], y), layer, self.tag) for y, layer in levels]
        return tuple(items)

    def _heads(self, edges: list[float], foot: float) -> Iterator[Item]:
        rows = max(len(column.lines) for column in self.columns)
        base = foot + _HEAD_PADDING
        for index, (column, near, far) in enumerate(zip(self.columns, edges, edges[1:], strict=False)):
            x = _anchor(column.across, near + self._inset(index), far)
            lines = column.lines if column.group else (column.letter, *column.lines) if column.letter else column.lines
            for up, line in enumerate(reversed(lines)):
                if line:
                    yield _head((x, base + up * _HEAD_PITCH), line, column.across, self.tag)
        for name, places in self._groups():
            if name:
                near, far = edges[places[0]] + _MARGIN, edges[places[-1] + 1] - _MARGIN
                level = base + rows * _HEAD_PITCH + _GROUP_UP
                yield _head((0.5 * (near + far), level), name, "centre", self.tag)
                yield Line((near, level - _GROUP_RULE), (far, level - _GROUP_RULE), _LAYER, self.tag)


def _anchor(across: Across, near: float, far: float) -> float:
    return {"left": near + _MARGIN, "centre": 0.5 * (near + far), "right": far - _MARGIN}[across]


def _head(at: Point, text: str, across: Across, tag: str) -> Text:
    return Text(at, text, LETTERING, _LAYER, across, tag=tag, weight="semibold")
