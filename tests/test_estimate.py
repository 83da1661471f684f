"""The quick quote: chords by hand, stamped ESTIMATE on every page, nothing released."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

import pytest

from geom.errors import InputError
from geom.figure import Polyline
from geom.paperwork.quote.costs import Quotation
from geom.paperwork.quote.estimate import Support, estimate, read_supports, rough_lines
from geom.paperwork.quote.estimate_sheet import estimate_sheets
from geom.units import LengthFormat
from tests.boats import refit_of
from tests.papers import faults
from tests.sheet_texts import texts_of
from tests.some import some
from tests.test_quotation import rates

HEAD = "POST,AFT,OUT,DECK,UPPER,LOWER\n"
# 3, 4 and 12 in three directions: chords of 13 m, and of 5 m where the lower line does not rise.
TWO = f"{HEAD}S-A,0,0,0,600,600\nS-B,3000,4000,0,12600,600\n"


@cache
def of_the_demonstration() -> tuple[Support, ...]:
    """Return five readings of each support of a surveyed boat, from its own figures."""
    boat = refit_of("saltwhin-31").placed.boat
    rows = []
    for eye in boat.eyes:
        if eye.id.endswith("-U"):
            lower = next(other for other in boat.eyes if other.id == f"{eye.id[:-1]}L")
            x, y, z = eye.at
            rows.append(f"{eye.id[:-2]},{x},{abs(y)},{z - 600},600,{lower.at[2] - z + 600}")
    for post in refit_of("saltwhin-31").placed.posts.values():
        upper, low = (next(hole for hole in post.holes if hole.level == level) for level in "UL")
        x, y, z = upper.centre
        rows.append(f"{post.id},{x},{abs(y)},{post.foot[2]},{z - post.foot[2]},{low.centre[2] - post.foot[2]}")
    return read_supports((HEAD + "\n".join(rows)).encode(), "readings.csv", "mm")


def quoted(text: str) -> Quotation:
    return estimate(read_supports(text.encode(), "readings.csv", "mm"), "guard rope", rates(), "rates.yaml")


def test_chords_by_hand():
    lines = rough_lines(read_supports(TWO.encode(), "readings.csv", "mm"))
    assert [(line.name, line.path) for line in lines] == [("S-F-U", pytest.approx(13000.0)), ("S-F-L", 5000.0)]
    # 4 ft more for each line spliced at both ends: 1.2192 m.
    assert lines[0].ordered == pytest.approx(14219.2)


def test_amounts_by_hand():
    """18 m of chords and 2 x 1.2192 m: 20.44 m to order at 3.85 and 5 % waste is 82.63; 4 splices at 0.75 h of 64."""
    found = {line.item: line for line in quoted(TWO).lines}
    assert found["guard rope"].quantity.parts == (Decimal("18.00"), Decimal("20.44"), Decimal("20.44"))
    assert found["guard rope"].amount.likely == Decimal("82.63")
    assert found["splice"].amount.likely == Decimal("192.00")
    assert "hole" not in found and found["survey"].amount.likely == Decimal("44.80")


def test_inches_are_read_as_inches():
    text = TWO.replace("3000,4000,0,12600,600", "3 ft,4 ft,0,600,600")
    upper = rough_lines(read_supports(text.encode(), "readings.csv", "in"))[0]
    assert upper.path == pytest.approx(5 * 304.8)


def test_the_chords_of_a_surveyed_boat_are_those_of_its_spans():
    """A line from rail to rail in place of three: the same spans between the same points, the gate's eyes aside."""
    spans = refit_of("saltwhin-31").placed.runs["S-F-U"].spans
    line = rough_lines(of_the_demonstration())[0]
    from geom.vec import distance

    chords = [distance(a, b) for a, b in zip(line.points, line.points[1:], strict=False)]
    assert chords[:2] == pytest.approx(list(spans[:2]), abs=0.01)


def test_every_page_is_stamped_and_nothing_is_released():
    supports = of_the_demonstration()
    quote = estimate(supports, "guard rope", rates(), "rates.yaml")
    sheets = estimate_sheets("SALTWHIN 31", supports, quote, LengthFormat())
    for sheet in some(sheets):
        texts = texts_of([sheet])
        assert texts["stamp"] == "ESTIMATE" and texts["stamp:why"] == "nothing may be ordered or made from it"
    texts = texts_of(sheets)
    assert Decimal(texts["gross:likely"]) == quote.gross.likely
    assert "Nothing may be ordered, cut or drilled" in " ".join(texts[tag] for tag in texts if "estimate:notes" in tag)
    drawn = [item for sheet in sheets for item in sheet.items if isinstance(item, Polyline)]
    assert {"plan:S-F-U", "plan:P-F-L"} <= {item.tag for item in drawn}
    assert faults(sheets) == []


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("POST,X,OUT\n", "not the headings of five readings"),
        (f"{HEAD}S-A,0,0,0,600,300\n", "too few supports"),
        (HEAD, "too few supports"),
        (f"{HEAD}A,0,0,0,600,300\nS-B,1,1,1,1,1\n", "readings.csv:2: POST: not the name of a support"),
        (f"{HEAD}S-A,0,0,0,6x0,300\nS-B,1,1,1,1,1\n", "readings.csv:2: S-A UPPER"),
        (f"{HEAD}S-A,0,0,0,,300\nS-B,1,1,1,1,1\n", "readings.csv:2: S-A UPPER"),
        (f"{HEAD}S-A,0,0,0,600,300\nS-B,1,1,1,1,1\nS-A,2,1,1,1,1\n",
         "readings.csv:4: POST: this support is given twice (read: S-A) - valid: one row; line 2 has it"),
        (f"{HEAD}S-A,0,0,0,600,300\nS-B,-3700,1,1,1,1\n", "readings.csv:3: S-B AFT: forward of the stem (read: -3700)"),
        (f"{HEAD}S-A,0,-850,0,600,300\nS-B,1,1,1,1,1\n", "readings.csv:2: S-A OUT: a distance from the centreline has"),
        (f"{HEAD}S-A,0,0,0,605,700\nS-B,1,1,1,1,1\n", "readings.csv:2: S-A LOWER: the lower line is above the upper"),
        (f"{HEAD}S-A,0,0,0,0,\nS-B,1,1,1,1,1\n", "readings.csv:2: S-A UPPER: the line is not above the deck (read: 0)"),
        (f"{HEAD}S-A,0,0,0,600,-300\nS-B,1,1,1,1,1\n", "readings.csv:2: S-A LOWER: the line is not above the deck"),
    ],
)  # fmt: skip
def test_bad_readings_are_refused(text, message):
    with pytest.raises(InputError) as caught:
        quoted(text)
    assert message in str(caught.value)


def test_a_side_without_a_lower_line_has_one_line():
    text = f"{HEAD}S-A,0,0,0,600,\nS-B,3000,4000,0,600,300\n"
    assert [line.name for line in rough_lines(read_supports(text.encode(), "r.csv", "mm"))] == ["S-F-U"]


def test_a_deck_below_its_level_line_and_a_support_on_the_centreline_are_read():
    text = f"{HEAD}S-A,0,0,-20,600,600\nS-B,3000,0,-40 mm,600,0 mm\n"
    with pytest.raises(InputError, match="S-B LOWER"):
        read_supports(text.encode(), "r.csv", "mm")
    found = read_supports(text.replace(",0 mm", ",").encode(), "r.csv", "mm")
    assert [(one.out, one.deck) for one in found] == [(0.0, -20.0), (0.0, -40.0)]
