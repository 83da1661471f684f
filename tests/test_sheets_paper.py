"""Grid of fields, bars and broken words: sheets against ISO 5457, and inch sheets that read as inch sheets."""

from __future__ import annotations

from itertools import pairwise

import pytest

from geom.drafting import ruling
from geom.drafting.paper import BORDER, FIELD, MIN_FIELD, SERIES, Paper, frame_items
from geom.drafting.ruling import ListColumn, RuledList, broken, flow, list_height, list_items, words_whole
from geom.drafting.sheet import letters
from geom.figure import Cell, Line, Rect, Text
from geom.lettering import width
from geom.render.faults import layout
from geom.sheets import drawing_set
from tests.boats import drawn, refit_of
from tests.some import some

# Source: ISO 5457:1999 table 2, number of fields along the long and the short edge.
FIELDS = {"A0": (24, 16), "A1": (16, 12), "A2": (12, 8), "A3": (8, 6), "A4": (6, 4)}


def edges_of(paper: Paper) -> tuple[list[float], list[float]]:
    """Return where fields end along the lower and the left edge, from the frame's corner to the other."""
    frame = paper.frame
    lines = [item for item in frame_items(paper) if isinstance(item, Line) and item.layer == "GRID"]
    below = sorted(a.start[0] for a in lines if a.start[0] == a.end[0] and a.start[1] == frame.bottom - BORDER)
    beside = sorted(a.start[1] for a in lines if a.start[1] == a.end[1] and a.start[0] == frame.left - BORDER)
    return [frame.left, *below, frame.right], [frame.bottom, *beside, frame.top]


@pytest.mark.parametrize("name", FIELDS)
def test_iso_sheets_have_the_fields_of_the_table(name):
    along, across = edges_of(Paper(name, *SERIES["ISO"][name]))
    assert (len(along) - 1, len(across) - 1) == FIELDS[name]


@pytest.mark.parametrize("name", [name for series in SERIES.values() for name in series])
def test_fields_are_50_mm_from_the_middle_and_none_is_a_sliver(name):
    size = next(series[name] for series in SERIES.values() if name in series)
    for edges, middle in some(zip(edges_of(Paper(name, *size)), (size[0] / 2.0, size[1] / 2.0), strict=True)):
        steps = [b - a for a, b in pairwise(edges)]
        assert steps[1:-1] == pytest.approx([FIELD] * (len(steps) - 2))
        assert all(MIN_FIELD < step < FIELD + MIN_FIELD + 1e-9 for step in (steps[0], steps[-1]))
        assert min(abs(edge - middle) for edge in edges) < 1e-9, "a field ends at the centring mark"


@pytest.mark.parametrize(
    ("boat", "series", "inches"),
    [
        ("pipwing-25", "ISO", True),
        ("pipwing-25", "ANSI", True),
        ("first-try", "ISO", False),
        ("first-try", "ANSI", True),
    ],
)
def test_inch_boats_and_inch_sheets_carry_a_4_inch_scale_under_the_100_mm(boat, series, inches):
    for sheet in some(drawing_set(drawn(boat, None, series))):
        (bar,) = [item for item in sheet.items if getattr(item, "tag", "") == "bar:100"]
        assert bar.end[0] - bar.start[0] == pytest.approx(100.0)
        hanging = [
            item.start[0] - bar.start[0]
            for item in sheet.items
            if isinstance(item, Line) and item.start[1] == bar.start[1] and item.end[1] < bar.start[1]
        ]
        assert hanging == pytest.approx([half * 12.7 for half in range(9)] if inches else [])
        assert any("4 in when printed" in item.text for item in sheet.items if isinstance(item, Text)) == inches
        assert layout(sheet).faults == ()


def test_a_word_too_wide_is_broken_at_its_hyphens():
    assert broken("guard-wire-end-terminal", 30.0) == ("guard-wire-end-", "terminal")
    assert broken("at guard-wire-end-terminal here", 30.0) == ("at", "guard-wire-end-", "terminal here")
    assert "".join(broken("x" * 60, 24.0)) == "x" * 60
    for text in ("a-b-c-d-e-f-g-h-i-j-k-l-m-n", "unhyphenated-andverylongindeedthisis word", "-", "a--b"):
        lines = broken(text, 12.0)
        assert all(width(line, 2.5) <= 12.0 for line in lines)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize("figure", ["88 25/32", "88 25/32 in", "5 mm"])
def test_a_figure_is_not_parted_at_a_line_end(figure):
    """88 at the end of a line, and 25/32 on the next, reads as 88."""
    said = f"splice again under {figure}"
    assert broken(said, width(said, 2.5) - 0.5) == ("splice again under", figure)


def narrow_list() -> RuledList:
    """Return a list whose first column has too small a share for its word, in its last row."""
    columns = (ListColumn("A", 1.0), ListColumn("B", 20.0), ListColumn("C", 1.0, "right"))
    words = ("low", "gate", "end", "displacement")
    return RuledList("", columns, tuple((Cell(word), Cell("line at rest"), Cell("1.0")) for word in words), "list")


def test_a_column_has_room_for_its_longest_word_where_others_have():
    listed = narrow_list()
    assert words_whole(listed, 60.0) and not words_whole(listed, 36.0)
    texts = [item.text for item in list_items(listed, (0.0, 100.0), 60.0) if isinstance(item, Text)]
    assert "displacement" in texts
    broken_up = [item.text for item in list_items(listed, (0.0, 100.0), 30.0) if isinstance(item, Text)]
    assert "displacement" not in broken_up


def test_the_columns_of_a_list_that_goes_on_are_as_wide_as_before():
    listed = narrow_list()
    half = Rect(0.0, 0.0, 60.0, 0.7 * list_height(listed, 60.0))
    sheets = flow([listed], [half])
    assert len(sheets) == 2
    places = [{item.at[0] for item in items if isinstance(item, Text)} for items in sheets]
    assert places[0] == places[1] and len(places[0]) == 3


@pytest.mark.parametrize("name", ["pipwing-25", "open-transom-36"])
def test_no_word_of_a_boat_s_lists_is_broken(name, monkeypatch):
    seen = []

    def recorded(text, *rest, **more):
        lines = broken(text, *rest, **more)
        seen.append((text, lines))
        return lines

    monkeypatch.setattr(ruling, "broken", recorded)
    drawing_set(refit_of(name))
    for text, lines in some(seen):
        whole = set(text.replace(ruling.KEPT, " ").replace("-", "- ").split())
        assert whole >= {word for line in lines for word in line.replace("-", "- ").split()}, text


def test_what_is_under_a_row_begins_right_below_what_it_stands_under():
    """Words under a short cell do not wait for a long one beside it; headings of one line stand at the foot."""
    columns = (ListColumn("PLACE", 20), ListColumn("OF EACH OF THE TWO", 30))
    under = (ListColumn("", 20), ListColumn("", 30))
    row = (Cell("one two three four five six", "long"), Cell("short", "short"), Cell(""), Cell("words", "under"))
    ruled = RuledList("", columns, (row,), "list", under=under)
    at = {}
    for item in list_items(ruled, (0.0, 100.0), 45.0):
        if isinstance(item, Text):
            at.setdefault(item.tag or item.text, []).append(item.at[1])
    pitch = at["long"][0] - at["long"][1]
    assert len(at["long"]) > 2 and at["under"] == [pytest.approx(at["short"][0] - pitch)]
    heads = {item.text: item.at[1] for item in list_items(ruled, (0.0, 100.0), 45.0) if isinstance(item, Text)}
    assert heads["PLACE"] == pytest.approx(heads["THE TWO"])


def test_letters_of_sheets_never_read_as_figures():
    """Drawing numbers leave out I, O and the like (common practice, no source): A1l would be taken for A11."""
    found = [letters(place) for place in range(600)]
    assert found[:10] == list("abcdefghjk") and found[22:25] == ["z", "aa", "ab"]
    assert not set("".join(found)) & set("ilo") and len(set(found)) == len(found)
    # They sort by length, then by letter: R1z before R1aa.
    assert sorted(found, key=lambda one: (len(one), one)) == found
