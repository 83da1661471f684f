"""Post cards: what a card is for, what it asks of a hole, how a foot is cut, and which way things lie."""

from __future__ import annotations

import math

import pytest

from geom.drafting import text as words
from geom.drafting.sight import offset_height
from geom.figure import Line, Text
from geom.sheets.stanchions.cards import post_cards
from geom.sheets.stanchions.hole_figure import clocking_from_plate
from tests.boats import NAMES, refit_of
from tests.made import set_of, sheets_by
from tests.post_reference import foot_spread
from tests.sheet_texts import texts_of
from tests.some import some


def cards_of(name):
    return sheets_by(post_cards, refit_of(name))


@pytest.mark.parametrize("name", NAMES)
def test_a_card_says_what_it_is_for_and_drills_only_what_is_planned(name):
    new = refit_of(name).boat.survey == "as designed"
    for sheet in some(cards_of(name)):
        texts = [getattr(item, "text", "") for item in sheet.items]
        (stated,) = [text for tag, text in texts_of((sheet,)).items() if tag.startswith("purpose:")]
        assert stated.startswith("NEW POST" if new else "POST AS FOUND")
        assert any("drill from both sides" in text for text in texts) == new
        assert any("Do not redrill" in text for text in texts) != new


def test_a_hole_that_no_line_passes_is_not_asked_to_be_rounded():
    worked_out, cells = refit_of("saltwhin-31"), texts_of(cards_of("saltwhin-31"))
    said = {
        hole.id: " ".join(text for tag, text in cells.items() if tag.startswith(f"edge:{hole.id}:"))
        for _, hole in worked_out.placed.holes()
    }
    passed = worked_out.placed.lines_in_holes.keys()
    for hole in some(said.keys() & passed):
        assert "EDGE NOT CHOSEN, R 2.0 MIN" in said[hole] and "bare hole" in said[hole]
    for hole in some(said.keys() - passed):
        assert "NO LINE PASSES" in said[hole] and "pin 20.0 off" in said[hole]
        assert not any(word in said[hole] for word in ("EDGE", "GRIT", "bush"))


def test_the_long_side_of_a_foot_is_where_the_deck_lies_lower():
    worked_out, cells = refit_of("saltwhin-31"), texts_of(cards_of("saltwhin-31"))
    labels = {
        row[1].tag: row[0].text
        for sheet in cards_of("saltwhin-31")
        for table in sheet.items
        if getattr(table, "tag", "").startswith("table:part:")
        for row in table.rows
    }
    seen = set()
    for post in worked_out.boat.posts:
        if worked_out.boat.bases[post.base].tube == "square to the plate":
            assert cells[f"foot:{post.id}"] == "square"
            continue
        spread, (aft, out) = foot_spread(post, worked_out.boat.tubes[post.tube].od)
        assert cells[f"foot:{post.id}"].endswith(f", {spread:.1f} across")
        number, _, word = cells[f"long-side:{post.id}"].replace("°", "").partition(" ")
        # On the card the angle lies in the deck, here it is seen along the tube: some tenths apart on this boat.
        assert float(number) == pytest.approx(abs(math.degrees(math.atan2(out, abs(aft)))), abs=0.4)
        assert word == ("" if float(number) == 0.0 else "outboard" if out > 0.0 else "inboard")
        assert labels[f"long-side:{post.id}"].endswith("AFT" if aft > 0.0 else "FORWARD")
        seen.add(word)
    assert seen == {"", "outboard"}


def test_a_bent_post_and_one_that_fails_a_rule_are_flagged_on_their_cards():
    cells = texts_of(cards_of("saltwhin-31"))
    assert {tag for tag in cells if tag.startswith("remark:")} == {"remark:S-S2", "remark:P-S3"}
    assert "probably bent" in cells["remark:P-S3"] and "ISO 15085 10.2" in cells["remark:S-S2"]
    failing = {f.post for f in refit_of("pipwing-25").findings if f.verdict == "fail" and f.post}
    cells = texts_of(cards_of("pipwing-25"))
    assert {tag.split(":")[1] for tag in cells if tag.startswith("remark:")} == failing != set()


def test_a_base_that_is_not_stated_gives_no_cut_length():
    cells = texts_of(cards_of("pipwing-25"))
    assert not any(tag.startswith("cut:") for tag in cells)
    assert {text for tag, text in cells.items() if tag.startswith("over-plate:")} == {"not given"}
    stated = {text for tag, text in cells.items() if tag.startswith("foot-cut:")}
    assert len(stated) == 1 and all("not stated" in text for text in stated)


def test_the_cut_along_a_hole_has_aft_where_the_view_from_outboard_has_it():
    checked = 0
    for sheet in cards_of("saltwhin-31"):
        for view in sheet.views:
            if view.name not in ("A", "B", "U2", "L2"):
                continue
            at = {item.text: item.at[0] for item in view.items if isinstance(item, Text)}
            assert (at["AFT"] < at["FORWARD"]) == ("post-card-S" in sheet.name), (sheet.name, view.name)
            if view.name in ("U2", "L2"):
                hole = f"{sheet.name[-4:]}-{view.name[0]}"
                (axis,) = [item for item in view.items if getattr(item, "tag", "") == f"hole-axis:{hole}"]
                rise = (axis.end[1] - axis.start[1]) / (axis.end[0] - axis.start[0])
                tilt = refit_of("saltwhin-31").placed.drillings[hole].tilt
                assert rise == pytest.approx(math.tan(tilt) * (-1.0 if hole[0] == "S" else 1.0))
                checked += 1
    assert checked == 16


@pytest.mark.parametrize("name", NAMES)
def test_offsets_are_given_at_a_round_height_that_every_tube_reaches(name):
    worked_out = refit_of(name)
    height = offset_height(worked_out)
    step = 6.0 * 25.4 if worked_out.boat.units.length == "in" else 100.0
    assert height / step == pytest.approx(round(height / step)) and height > 0.0
    reach = [post.top * math.cos(max(post.tilt, post.plate.total)) for post in worked_out.placed.posts.values()]
    assert height <= min(reach) and (height + step > min(reach) or height == 600.0)


def test_a_section_along_a_hole_is_cut_on_its_axis_and_looked_at_from_outboard():
    """Both strokes lie on the axis of the hole, off the tube; their arrows point inboard."""
    worked_out, checked = refit_of("saltwhin-31"), 0
    for sheet in cards_of("saltwhin-31"):
        for view in sheet.views:
            if view.name not in ("U1", "L1"):
                continue
            hole = f"{sheet.name[-4:]}-{view.name[0]}"
            post = worked_out.placed.posts[hole[:4]]
            outboard = 1.0 if hole[0] == "S" else -1.0
            turn = clocking_from_plate(post, worked_out.placed.drillings[hole])
            strokes = [item for item in view.items if getattr(item, "tag", "") == f"axis:{hole}"]
            assert len(strokes) == 2
            for stroke, end in zip(strokes, (-1.0, 1.0), strict=True):
                for x, y in (stroke.start, stroke.end):
                    assert math.atan2(-end * x * outboard, end * y) == pytest.approx(turn, abs=1e-9)
                    assert math.hypot(x, y) > 0.5 * post.tube_od
                (arrow,) = [i for i in view.items if isinstance(i, Line) and i.start == stroke.end]
                assert (arrow.end[0] - arrow.start[0]) * outboard < 0.0 and arrow.end[1] == arrow.start[1]
                checked += 1
    assert checked == 32


@pytest.mark.parametrize("name", NAMES)
def test_titles_of_a_set_stand_in_one_height(name):
    heights = {
        item.height for sheet in set_of(name) for item in sheet.items
        if getattr(item, "tag", "") == f"title:{words.TITLE}"
    }  # fmt: skip
    assert heights == {3.5}
