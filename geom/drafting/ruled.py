"""Tables with columns sized to their text, flowing over pages."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from geom.errors import GeometryError
from geom.figure import Across, Cell, Point, Rect, Table
from geom.lettering import width as text_width

LETTERING = 2.5
PITCH = 4.6
# Margin of a cell, both sides together, slightly over the drafting margin [mm].
_MARGIN = 2.3


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
        minimum = [
            max(
                [text_width(row[index].text, LETTERING) for row in self.rows]
                + ([text_width(self.head[index], LETTERING)] if self.head else [0.0])
            )
            + _MARGIN
            for index in columns
        ]
        wanted = max(self.width or 0.0, text_width(self.title, LETTERING) + _MARGIN)
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
        return Table(corner, self.widths, self.head, self.rows, self.pitch, LETTERING, self.title, tag=self.tag)


def cell(text: str, tag: str = "", across: Across = "right") -> Cell:
    """Return a cell, aligned right by default as for numbers.

    Args:
        text: of the cell.
        tag: id that it is checked by.
        across: alignment.
    """
    return Cell(text, tag, across)


def facts(title: str, rows: Sequence[tuple[str, str, str]], tag: str, width: float | None = None) -> Ruled:
    """Return a table of two columns: label, and value with the id it is checked by.

    Args:
        title: over the table.
        rows: label, value, tag of the value.
        tag: of the table.
        width: over all [mm], None for that of the text.
    """
    cells = tuple((Cell(label), Cell(value, mark)) for label, value, mark in rows)
    return Ruled(title, (), cells, tag, width)


def flow(tables: Sequence[Ruled], space: Rect, gap: float, first: Rect | None = None) -> Iterator[tuple[Table, ...]]:
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
                )
            )
            top -= part.height + gap
            rows, begun = rows[fit:], True
    if page:
        yield tuple(page)
