"""Tables whose columns are as wide as their text, with letters of dimensions and shared headings, over pages."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby

from geom.drafting.text import CONTINUED
from geom.errors import GeometryError
from geom.figure import Across, Cell, Item, Line, Point, Rect, Text
from geom.lettering import width as text_width

LETTERING = 2.5
ROW = 5.0
_HEAD_PITCH, _HEAD_PADDING, _MARGIN = 3.9, 1.5, 1.3
# Capitals stand this far above the middle of their row, to leave room for descenders [mm].
_UP = 0.15
# Lettering of a title and the height that it takes [mm].
_TITLE_LETTERING, _TITLE = 3.5, 5.5
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
    """A table before it is placed: columns, rows of tagged cells, the id of its rules, height of a row [mm], title.

    `together` rows stand on one page, as many as that again on the next.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    tag: str
    row: float = ROW
    title: str = ""
    lettering: float = LETTERING
    together: int = 1

    @property
    def head_height(self) -> float:
        """The height of title and headings [mm]."""
        return self._headings + bool(self.title) * _TITLE

    @property
    def height(self) -> float:
        """The height over all [mm]."""
        return self.head_height + len(self.rows) * self.row

    @property
    def width(self) -> float:
        """The smallest width over all [mm]."""
        return math.fsum(self.widths)

    @property
    def _headings(self) -> float:
        lines = max(len(column.lines) for column in self.columns) + self._over
        grouped = any(column.group for column in self.columns)
        gap = _HEAD_PITCH - LETTERING
        return lines * _HEAD_PITCH + 2.0 * _HEAD_PADDING - gap + grouped * _GROUP_UP

    @property
    def _over(self) -> int:
        return int(any(column.letter or column.group for column in self.columns))

    @property
    def widths(self) -> tuple[float, ...]:
        """The smallest width of each column [mm]."""
        widths = [
            max(
                [text_width(line, self.lettering, "semibold") for line in (*column.lines, column.letter)]
                + [text_width(row[index].text, self.lettering, row[index].weight) for row in self.rows]
            )
            + 2.0 * _MARGIN
            + column.beside
            + self._inset(index)
            for index, column in enumerate(self.columns)
        ]
        for name, places in self._groups():
            short = text_width(name, self.lettering, "semibold") + 2.0 * _MARGIN - math.fsum(widths[k] for k in places)
            for k in places if name and short > 0.0 else ():
                widths[k] += short / len(places)
        return _spread(widths, text_width(self.title, LETTERING, "semibold"))

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
        return self._items(at, _spread(self.widths, width))

    def _items(self, at: Point, widths: Sequence[float]) -> tuple[Item, ...]:
        left, top = at
        edges = list(accumulate(widths, initial=left))
        insets = [self._inset(index) for index in range(len(widths))]
        items: list[Item] = []
        if self.title:
            # A long title of a narrow table is lettered like its headings.
            wide = text_width(self.title, _TITLE_LETTERING, "semibold")
            height = _TITLE_LETTERING if wide <= math.fsum(widths) else LETTERING
            base = top - _TITLE_LETTERING - 0.5
            items.append(Text((left, base), self.title, height, "TEXT", tag=self.tag, weight="semibold"))
            top -= _TITLE
        foot = top - self._headings
        items += self._heads(edges, foot)
        for number, row in enumerate(self.rows):
            base = foot - (number + 0.5) * self.row - 0.5 * self.lettering + _UP
            for cell, column, near, inset, far in zip(row, self.columns, edges[:-1], insets, edges[1:], strict=True):
                if cell.text:
                    x = _anchor(column.across, near + inset, far)
                    items.append(Text((x, base), cell.text, self.lettering, cell.layer or _LAYER, column.across,
                                      tag=cell.tag, weight=cell.weight))  # fmt: skip
        levels = [(top, "HEAD-RULE"), (foot, _LAYER)]
        levels += [(foot - k * self.row, "RULE") for k in range(1, len(self.rows))]
        levels.append((foot - len(self.rows) * self.row, _LAYER))
        items += [Line((left, y), (edges[-1], y), layer, self.tag) for y, layer in levels]
        return tuple(items)

    def _heads(self, edges: Sequence[float], foot: float) -> Iterator[Item]:
        rows = max(len(column.lines) for column in self.columns)
        base = foot + _HEAD_PADDING
        for index, (column, near, far) in enumerate(zip(self.columns, edges, edges[1:], strict=False)):
            x = _anchor(column.across, near + self._inset(index), far)
            lines = column.lines if column.group else (column.letter, *column.lines) if column.letter else column.lines
            for up, line in enumerate(reversed(lines)):
                if line:
                    yield self._head((x, base + up * _HEAD_PITCH), line, column.across)
        for name, places in self._groups():
            if name:
                near, far = edges[places[0]] + _MARGIN, edges[places[-1] + 1] - _MARGIN
                level = base + rows * _HEAD_PITCH + _GROUP_UP
                yield self._head((0.5 * (near + far), level), name, "centre")
                yield Line((near, level - _GROUP_RULE), (far, level - _GROUP_RULE), _LAYER, self.tag)

    def _head(self, at: Point, text: str, across: Across) -> Text:
        return Text(at, text, self.lettering, _LAYER, across, tag=self.tag, weight="semibold")


@dataclass(frozen=True)
class Piece:
    """Rows of a table on one page: its columns as wide as those of the whole table, `top` the upper edge [mm]."""

    table: ColumnTable
    widths: tuple[float, ...]
    top: float

    @property
    def width(self) -> float:
        """The width over all [mm]."""
        return math.fsum(self.widths)

    def items(self, left: float, width: float = 0.0) -> tuple[Item, ...]:
        """Return the rows drawn.

        Args:
            left: edge [mm].
            width: over all, where it is to be wider than its text [mm].
        """
        return self.table._items((left, self.top), _spread(self.widths, width))


def table_of(
    title: str, heads: Sequence[str], rows: Sequence[tuple[Cell, ...]], tag: str, row: float = ROW
) -> ColumnTable:
    """Return a table whose columns are aligned like the cells of its first row.

    Args:
        title: over it, none where empty.
        heads: heading of each column, of one or two lines.
        rows: of tagged cells.
        tag: id of title, headings and rules.
        row: height of a row [mm].
    """
    aligned: list[Across] = [one.across for one in rows[0]] if rows else ["left"] * len(heads)
    columns = tuple(Column(head, across=across) for head, across in zip(heads, aligned, strict=True))
    return ColumnTable(columns, tuple(rows), tag, row, title)


def cell(text: str, tag: str = "", across: Across = "right") -> Cell:
    """Return a cell, aligned right by default as for numbers.

    Args:
        text: of the cell.
        tag: id that it is checked by.
        across: alignment.
    """
    return Cell(text, tag, across)


def paged(
    tables: Sequence[ColumnTable], space: Rect, gap: float, first: Rect | None = None
) -> Iterator[tuple[Piece, ...]]:
    """Yield the tables page by page from the top down, split between rows where a page ends.

    Args:
        tables: in order; the title of a continued table says so.
        space: the same on each page [mm].
        gap: between two tables [mm].
        first: the space of the first page where it differs [mm].

    Raises:
        GeometryError: a page has no room for the headings and one row.
    """
    page: list[Piece] = []
    page_space = first or space
    top = page_space.top
    for table in tables:
        rows, begun = table.rows, False
        while rows:
            fit = int((top - page_space.bottom - table.head_height) / table.row + 1e-6)
            if fit < len(rows):
                fit -= fit % table.together
            if fit < min(3, len(rows)):
                if top == space.top and page_space is space:
                    raise GeometryError(f"no page holds a row of table {table.title!r}")
                yield tuple(page)
                page, page_space, top = [], space, space.top
                continue
            title = CONTINUED.format(title=table.title) if begun and table.title else table.title
            part = replace(table, title=title, rows=rows[:fit])
            page.append(Piece(part, table.widths, top))
            top -= part.height + gap
            rows, begun = rows[fit:], True
    if page:
        yield tuple(page)


def _spread(widths: Sequence[float], width: float) -> tuple[float, ...]:
    """Return widths of columns that are wider by the same, so that they have a width over all [mm]."""
    spare = max(0.0, width - math.fsum(widths)) / len(widths)
    return tuple(one + spare for one in widths)


def _anchor(across: Across, near: float, far: float) -> float:
    return {"left": near + _MARGIN, "centre": 0.5 * (near + far), "right": far - _MARGIN}[across]
