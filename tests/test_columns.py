"""Tables whose columns are as wide as their text: what they take, and how they go over pages."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from geom.drafting.columns import Column, ColumnTable, cell, paged, table_of
from geom.errors import GeometryError
from geom.figure import Cell, Line, Rect, Text
from geom.lettering import width
from tests.some import some

SHORT = (Cell("S1"), cell("1.0"))
LONG = (Cell("far longer than its heading"), cell("1200.0"))


def rules(items):
    return [item for item in items if isinstance(item, Line)]


def texts(items):
    return [item for item in items if isinstance(item, Text)]


@pytest.mark.parametrize("title", ["", "STANCHIONS", "A TITLE THAT IS MUCH LONGER THAN THE COLUMNS OF ITS TABLE"])
@pytest.mark.parametrize("over", [0.0, 200.0])
def test_a_table_takes_the_room_it_says(title, over):
    table = table_of(title, ("HOLE", "ABOVE\nFOOT"), [SHORT, LONG], "t")
    items = table.items((10.0, 100.0), over)
    xs = [x for line in some(rules(items)) for x, _ in (line.start, line.end)]
    assert (min(xs), max(xs)) == pytest.approx((10.0, 10.0 + max(table.width, over)))
    levels = sorted(line.start[1] for line in rules(items))
    assert levels[0] == pytest.approx(100.0 - table.height)
    for text in some(texts(items)):
        wide = width(text.text, text.height, text.weight)
        left = text.at[0] - {"left": 0.0, "centre": wide / 2.0, "right": wide}[text.across]
        assert left >= 10.0 - 1e-9 and left + wide <= 10.0 + max(table.width, over) + 1e-9
        assert 100.0 - table.height <= text.at[1] and text.at[1] + text.height <= 100.0


def test_headings_stand_where_their_values_stand():
    table = table_of("", ("a", "b"), [SHORT], "t")
    assert [text.across for text in texts(table.items((0.0, 50.0)))] == ["left", "right"] * 2


@pytest.mark.parametrize("row", [(Cell("1"),), (Cell("1"), Cell("2"), Cell("3"))])
def test_a_row_of_another_length_is_refused(row):
    with pytest.raises((ValueError, IndexError)):
        ColumnTable((Column("a"), Column("b")), (row,), "t").items((0.0, 50.0))


def test_pages_hold_every_row_once_under_headings_of_the_same_widths():
    rows = [(Cell(f"S{k}"), cell(f"{k}.0")) for k in range(40)]
    rows[33] = LONG
    table, other = table_of("HOLES", ("HOLE", "UP"), rows, "t"), table_of("", ("NO.", "UP"), [SHORT] * 2, "u")
    space, first = Rect(0.0, 0.0, 200.0, 100.0), Rect(0.0, 0.0, 200.0, 60.0)
    pages = list(paged([table, other], space, 3.0, first))
    assert [piece.table.tag for page in pages for piece in page] == ["t", "t", "t", "u"]
    assert [row for page in pages for piece in page for row in piece.table.rows] == [*rows, SHORT, SHORT]
    assert [piece.table.title for page in pages for piece in page] == ["HOLES", *["HOLES (continued)"] * 2, ""]
    for number, page in enumerate(some(pages)):
        inside = first if number == 0 else space
        for piece in some(page):
            assert piece.widths == (table if piece.table.tag == "t" else other).widths
            assert piece.top <= inside.top and piece.top - piece.table.height >= inside.bottom - 1e-6
        for above, below in pairwise(page):
            assert above.top - above.table.height - below.top == pytest.approx(3.0)


def test_a_page_without_room_for_a_row_is_refused():
    with pytest.raises(GeometryError, match="no page holds a row of table 'HOLES'"):
        list(paged([table_of("HOLES", ("HOLE", "UP"), [SHORT] * 5, "t")], Rect(0.0, 0.0, 200.0, 20.0), 3.0))


def test_a_shared_heading_is_as_wide_as_its_name():
    columns = (Column("a", group="A VERY LONG SHARED HEADING"), Column("b", group="A VERY LONG SHARED HEADING"))
    table = ColumnTable(columns, (SHORT,), "t")
    assert math.fsum(table.widths) >= width("A VERY LONG SHARED HEADING", 2.5, "semibold")


def test_rows_that_stand_together_are_not_parted():
    """Four rows of a pair are measured together: a page ends after whole fours, or the table begins on the next."""
    rows = tuple((cell(str(number)),) for number in range(12))
    table = replace(table_of("LENGTHS", ("NO.",), rows, "lengths", row=10.0), together=4)
    space = Rect(0.0, 0.0, 100.0, table.head_height + 71.0)
    pages = list(paged((table,), space, 5.0))
    assert [len(piece.table.rows) for page in pages for piece in page] == [4, 4, 4]
    parted = list(paged((replace(table, together=1),), space, 5.0))
    assert [len(piece.table.rows) for page in parted for piece in page] == [7, 5]
