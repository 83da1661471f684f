"""A ruled table as lines and lettering."""

from __future__ import annotations

import math
from itertools import accumulate

from geom.figure import Across, Cell, Line, Point, Table, Text
from geom.render.pieces import Parts
from geom.render.style import DRAFTING, Style


def table_rows(table: Table) -> int:
    """Return the height of a table in rows, title and headings included."""
    return bool(table.title) + bool(table.head) + len(table.rows)


def table_size(table: Table) -> Point:
    """Return the width and the height of a table on paper [mm]."""
    return (math.fsum(table.widths), table_rows(table) * table.pitch)


def table_parts(table: Table, corner: Point, style: Style = DRAFTING) -> Parts:
    """Yield the ruling and the cells of a table.

    Args:
        table: the table.
        corner: its upper left corner on paper [mm].
        style: drafting sizes.

    Raises:
        ValueError: a row has more or fewer cells than the table has columns.
    """
    left, top = corner
    width, height = table_size(table)
    edges = [left, *accumulate(table.widths, initial=left)][1:]
    columns = len(table.widths)

    def letter(cell: Cell, x: float, wide: float, row: int) -> Text:
        inset = {"left": style.cell_margin, "centre": wide / 2.0, "right": wide - style.cell_margin}[cell.across]
        at, tag = (x + inset, top - (row + 0.5) * table.pitch), cell.tag or table.tag
        layer = cell.layer or table.layer
        return Text(at, cell.text, table.height, layer, cell.across, "middle", 0.0, tag, cell.weight)

    row = 0
    if table.title:
        yield letter(Cell(table.title, weight="semibold"), left, width, row), "cell", width - 2.0 * style.cell_margin
        row += 1
    ruled_from = top - row * table.pitch
    # A heading is aligned like the values of its column.
    alignments: list[Across] = [cell.across for cell in table.rows[0]] if table.rows else []
    alignments += ["left"] * (len(table.head) - len(alignments))
    head = tuple(Cell(text, "", alignment, "semibold") for text, alignment in zip(table.head, alignments, strict=False))
    rows = [head] if table.head else []
    for cells in [*rows, *table.rows]:
        if len(cells) != columns:
            raise ValueError(f"table {table.title or table.tag!r}: a row of {len(cells)} cells in {columns} columns")
        behind: Across = "left"
        for cell, x, wide in zip(cells, edges, table.widths, strict=False):
            apart = table.apart if behind == "right" and cell.across == "left" else 0.0
            if cell.text:
                yield letter(cell, x + apart, wide, row), "cell", wide - apart - 2.0 * style.cell_margin
            behind = cell.across
        row += 1
    # Horizontal rules only: a heavy one over the headings, a firm one under them and at the foot, hairlines between.
    body = ruled_from - bool(table.head) * table.pitch
    rules = [(ruled_from, "HEAD-RULE"), *([(body, "TABLE")] if table.head else [])]
    rules += [(body - index * table.pitch, "RULE") for index in range(1, len(table.rows))]
    for y, layer in (*rules, (top - height, "TABLE")):
        yield Line((left, y), (left + width, y), layer, table.tag), "rule", None
