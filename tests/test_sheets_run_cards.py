"""Run cards: marks and trim add up, disagreeing tapes, gates to be decided first, steps, buries, key and tolerance."""

from __future__ import annotations

import pytest

from geom.drafting.line_text import in_words
from geom.figure import Polyline, Text
from geom.sheets.line_sheets.run_cards import run_cards
from geom.sheets.line_sheets.threading import threading_plan
from geom.tables import numbers
from tests.boats import NAMES, refit_of
from tests.made import sheets_by
from tests.sheet_texts import plain, texts_of
from tests.some import some


def test_cut_marks_and_trim_add_up():
    """The rope that is cut holds both ends beyond their eye marks, what lies between, and the trim."""
    worked_out = refit_of("saltwhin-31")
    texts = texts_of(sheets_by(run_cards, worked_out))
    # Finished 1638.8, two eyes of 25 off, two take-ups of 30 on.
    assert texts["eye-to-eye:S-A-U"] == "1648.8"
    for run, work in worked_out.work.runs.items():
        if work.refused:
            continue
        beyond = [work.splices[where].eye_mark for where in ("start", "finish")]
        assert all(f"{value:.1f}" in texts[f"trim:{run}"] for value in beyond)
        rest = float(texts[f"cut:{run}"]) - float(texts[f"eye-to-eye:{run}"]) - sum(beyond)
        # Trim of 50 at each end, 4 d of it in the lock that passes the standing part, and 300 to hold and pull by where
        # an end is made on board; the length off the reel is rounded up to 10.
        tail = 0.0 if work.plan.in_place is None else 300.0
        assert 80.0 - 0.06 <= rest - tail < 90.0


def test_a_tape_that_disagrees_stands_on_the_cards_of_its_span():
    texts = texts_of(sheets_by(run_cards, refit_of("saltwhin-31")))
    # The lower line runs between the same two posts.
    assert [tag for tag in texts if tag.startswith("tape:")] == ["tape:S-G-U", "tape:S-G-L"]
    assert texts["taped:S-G-L"] == texts["taped:S-G-U"]
    assert "18.5" in texts["tape:S-G-U"]
    assert "taped 702.0, computed 720.5" in texts["taped:S-G-U"]
    assert not any(tag.startswith("tape:") for tag in texts_of(sheets_by(run_cards, refit_of("pipwing-25"))))


def test_a_line_that_may_go_on_through_a_gate_says_so_before_it_is_cut():
    texts = texts_of(sheets_by(run_cards, refit_of("saltwhin-31")))
    required_by = {tag.removeprefix("decide:"): text for tag, text in texts.items() if tag.startswith("decide:")}
    assert {run: run.replace("-F-", "-G-") in text for run, text in required_by.items()} == dict.fromkeys(
        ("S-F-U", "S-F-L", "P-F-U", "P-F-L"), True
    )


@pytest.mark.parametrize("boat", ["saltwhin-31", "pipwing-25"])
def test_a_cut_that_is_made_on_board_names_its_step(boat):
    worked_out = refit_of(boat)
    cards, plans = (texts_of(sheets_by(make, worked_out)) for make in (run_cards, threading_plan))
    for run, work in some(worked_out.work.runs.items()):
        text = cards.get(f"reckoned:{run}")
        assert (text is None) == (work.plan.in_place is None)
        if text is not None:
            step = text.partition("step ")[2].partition(",")[0]
            assert plans[f"plan:{run}:step:{step}"].endswith("cut")


@pytest.mark.parametrize("boat", NAMES)
def test_every_remark_of_a_demonstration_boat_stands_on_its_card(boat):
    worked_out = refit_of(boat)
    texts = texts_of(sheets_by(run_cards, worked_out))
    for run, work in some(worked_out.work.runs.items()):
        said = plain(texts[f"remarks:{run}"])
        assert "more:in" not in said
        for remark in work.remarks:
            if remark.kind in ("cannot tell", "notice") and remark.code not in ("budget", "anchorage", "eye-shape"):
                assert plain(in_words(remark.says, numbers(worked_out.boat))) in said or remark.says in work.refused
        stated = worked_out.placed.runs[run].spec
        for end in (stated.start, stated.finish):
            assert end.anchorage is not None or plain(end.eye or end.post) in said


def test_buries_that_overlap_are_dimensioned_over_each_other():
    """Finished 575.45: eyes of 25 and buries of 72 d of 5 mm overlap by 2 (25 + 360) - 575.45."""
    texts = texts_of(sheets_by(run_cards, refit_of("saltwhin-31")))
    assert texts["needs:S-G-U:overlap"] == "overlap 194.5"
    assert texts["needs:S-G-U:start"] == texts["needs:S-G-U:finish"] == "bury 360.0"
    assert plain("2 x (25.0 + 360.0) + 30.0 = 800.0") in plain(texts["refused:S-G-U"])


def strokes(sheets, tag):
    """Return the x of every stroke with an id in the views, along the line [mm]."""
    found = []
    for sheet in sheets:
        for view in sheet.views:
            for item in view.items:
                if item.tag == tag:
                    found += [x for x, _ in (item.points if isinstance(item, Polyline) else (item.start, item.end))]
    return found


def test_tubes_are_drawn_to_scale_and_the_line_ends_where_an_eye_begins():
    sheets = sheets_by(run_cards, refit_of("pipwing-25"))
    edges = strokes(sheets, "tube:S-F-U:S-S1-U")
    assert max(edges) - min(edges) == pytest.approx(25.4)
    gate = strokes(sheets_by(run_cards, refit_of("saltwhin-31")), "line:S-G-U")
    assert (min(gate), max(gate)) == (pytest.approx(25.0), pytest.approx(575.451 - 25.0, abs=1e-3))


def test_a_key_names_what_is_drawn_and_the_block_the_error():
    rope, wire = (sheets_by(run_cards, refit_of(boat))[0] for boat in ("saltwhin-31", "pipwing-25"))
    said = [" ".join(i.text for i in sheet.items if isinstance(i, Text)) for sheet in (rope, wire)]
    for word, on in (("taper, bury:", 0), ("EYE MARK TO EYE MARK:", 0), ("wire: its end", 1)):
        assert [word in text for text in said] == [on == 0, on == 1]
    # Bedding-in is part of a wire's error and not known of this rope.
    assert ["making, bedding-in" in text for text in said] == [False, True]
    assert "S-F-U ±11.4, S-G-U ±11.9" in said[0]
    assert "S-F-U ±0.38, P-F-U ±0.39" in said[1]
