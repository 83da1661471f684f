"""Tables whose columns are as wide as their text: with letters of dimensions and shared headings, or plain ones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby, pairwise

from geom.errors import GeometryError
from geom.figure import Across, Cell, Item, Line, Point, Rect, Table, Text
from geom.lettering import width as text_width

LETTERING = 2.5
ROW = 5.0
# Height of a row of a plain table; margin of its cells, both sides together, slightly over that of drawing [mm].
PITCH, _BESIDE = 4.6, 2.3
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


@dataclass(frozen=True)
class Ruled:
    """A table before it is placed: a heading for each column, rows of tagged cells, preferred width over all [mm].

    Columns have the width of their text; the rest of the preferred width is divided evenly. `pitch` is the
    height of a row [mm].
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    tag: str
    width: float | None = None
    pitch: float = PITCH

    @property
    def widths(self) -> tuple[float, ...]:
        """Width of each column [mm].

        Raises:
            GeometryError: the columns are wider than the table.
        """
        columns = range(len(self.head) or len(self.rows[0]))
        first = self.rows[0] if self.rows else ()
        behind = [one.across == "right" and other.across == "left" for one, other in pairwise(first)]
        words = [index for index, found in enumerate(behind, start=1) if found]
        minimum = [
            max(
                [text_width(row[index].text, LETTERING, row[index].weight) for row in self.rows]
                + ([text_width(self.head[index], LETTERING, "semibold")] if self.head else [0.0])
            )
            + _BESIDE
            + (_APART if index in words else 0.0)
            for index in columns
        ]
        wanted = max(self.width or 0.0, text_width(self.title, LETTERING, "semibold") + _BESIDE)
        spare = (wanted - math.fsum(minimum)) / len(minimum)
        if spare < 0.0 and self.width is not None and math.fsum(minimum) > self.width + 1e-6:
            raise GeometryError(
                f"table {self.title!r} of {math.fsum(minimum):.1f} mm does not go into {self.width:.1f} mm"
            )
        return tuple(size + max(0.0, spare) for size in minimum)

    @property
    def height(self) -> float:
        """Height of the table [mm]."""
        return (bool(self.title) + bool(self.head) + len(self.rows)) * self.pitch

    def at(self, corner: Point) -> Table:
        """Return the table with its upper left corner at a paper point."""
        return Table(corner, self.widths, self.head, self.rows, self.pitch, LETTERING, self.title, tag=self.tag,
                     apart=_APART)  # fmt: skip


def cell(text: str, tag: str = "", across: Across = "right") -> Cell:
    """Return a cell, aligned right by default as for numbers.

    Args:
        text: of the cell.
        tag: id that it is checked by.
        across: alignment.
    """
    return Cell(text, tag, across)


def flow_ruled(
    tables: Sequence[Ruled], space: Rect, gap: float, first: Rect | None = None
) -> Iterator[tuple[Table, ...]]:
    """Yield the tables page by page from the top down, split between rows where a page ends.

    Args:
        tables: in order; the title of a continued table says so.
        space: the same on each page [mm].
        gap: between two tables [mm].
        first: the space of the first page where it differs [mm].

    Raises:
        GeometryError: a page has no room for a heading and one row.
    """
    page: list[Table] = []
    page_space = first or space
    top = page_space.top
    for table in tables:
        rows, begun = table.rows, False
        while rows:
            fit = int((top - page_space.bottom) / table.pitch - bool(table.title) - bool(table.head) + 1e-6)
            if fit < min(3, len(rows)):
                if top == space.top and page_space is space:
                    raise GeometryError(f"no page holds a row of table {table.title!r}")
                yield tuple(page)
                page, page_space, top = [], space, space.top
                continue
            title = f"{table.title}, continued" if begun else table.title
            part = replace(table, title=title, rows=rows[:fit])
            # Columns keep the widths of the whole table on every page.
            page.append(
                Table(
                    (page_space.left, top),
                    table.widths,
                    table.head,
                    part.rows,
                    table.pitch,
                    LETTERING,
                    title,
                    tag=table.tag,
                    apart=_APART,
                )
            )
            top -= part.height + gap
            rows, begun = rows[fit:], True
    if page:
        yield tuple(page)
