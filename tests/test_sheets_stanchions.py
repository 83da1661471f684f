"""Sheets of stanchions: the table against posts computed independently, foot, sections, rows and actions."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from geom.boat.model import Falls
from geom.boat.post_model import PlannedHole
from geom.drafting.sheet import finish
from geom.drafting.sight import offset_height
from geom.figure import Line, Text
from geom.open_items import open_items
from geom.placement.place import place_post
from geom.placement.tube_cut import clocking_from_mark, tube_cut, way_of
from geom.refit import refit
from geom.render.faults import layout
from geom.sheets.stanchions.foot_figure import foot_items, seen_from_outboard
from geom.sheets.stanchions.post_remarks import post_remarks
from geom.sheets.stanchions.sheet import stanchion_sheets
from geom.tables import numbers
from tests.boats import NAMES, refit_of
from tests.made import sheets_by
from tests.post_reference import axis_of, clocking_seen, deck_of, foot_spread, pad_on_axis
from tests.random_boats import random_refit
from tests.sheet_texts import texts_of
from tests.some import some


def cells_of(worked_out):
    return texts_of(sheets_by(stanchion_sheets, worked_out))


def row_of(cells, name):
    """Return the first id of the row that lists a post."""
    return next(tag.split(":")[1] for tag, text in cells.items() if tag.endswith(":ids") and name in text.split(", "))


def number(text):
    return float(text.split()[0].rstrip(","))


def length_from_foot(boat, post):
    """Return the tube over its plate, computed independently [mm]."""
    if post.base is None:
        return post.top
    base = boat.bases[post.base]
    if base.tube == "to suit the post":
        return post.top - base.thickness / float(axis_of(post) @ deck_of(post)[2])
    return post.top - base.thickness - pad_on_axis(post, base)


def at_odds(cells, worked_out):
    """Return what the tables do not say as the boat file has it, for posts of rows of their own."""
    boat, fmt = worked_out.boat, numbers(worked_out.boat)
    within = 0.51 * fmt.mm * 10.0**-fmt.decimals
    wrong = []
    for post in boat.posts:
        first = row_of(cells, post.id)
        length = length_from_foot(boat, post)
        if abs(number(cells[f"F:{first}:length"]) * fmt.mm - length) > within:
            wrong.append(f"{post.id} length")
        for level, hole in post.holes.items():
            shown = number(cells[f"F:{first}:along:{level}"]) * fmt.mm
            if abs(shown - (hole.along - (post.top - length))) > within:
                wrong.append(f"{post.id} along {level}")
            turn = clocking_seen(post, worked_out.placed.drillings[f"{post.id}-{level}"].axis)
            text = cells[f"F:{first}:clocking:{level}"]
            if abs(number(text) - abs(turn)) > 0.051 or (
                number(text) and text.split()[1] != ("outbd" if turn > 0 else "inbd")
            ):
                wrong.append(f"{post.id} clocking {level}")
        lean = cells[f"F:{first}:lean"]
        if abs(number(lean) - abs(math.degrees(post.lean))) > 0.051:
            wrong.append(f"{post.id} lean")
    return wrong


@pytest.mark.parametrize("name", NAMES)
def test_the_table_says_what_the_boat_says(name):
    assert at_odds(cells_of(refit_of(name)), refit_of(name)) == []


@pytest.mark.parametrize("change", ["top", "lean", "along", "base"])
def test_a_boat_changed_behind_the_table_is_caught(change):
    worked_out = refit_of("saltwhin-31")
    first, *rest = worked_out.boat.posts
    if change == "top":
        other = first.model_copy(update={"top": first.top + 1.0})
    elif change == "lean":
        other = first.model_copy(update={"lean": first.lean + math.radians(0.3)})
    elif change == "along":
        upper = first.holes["U"].model_copy(update={"along": first.holes["U"].along + 0.2})
        other = first.model_copy(update={"holes": {**first.holes, "U": upper}})
    else:
        other = first.model_copy(update={"base": "standard base"})
    changed = refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"posts": (other, *rest)})))
    assert at_odds(cells_of(worked_out), changed) != []


@pytest.mark.parametrize("name", NAMES)
def test_every_stanchion_is_in_one_row(name):
    cells = cells_of(refit_of(name))
    listed = [post for tag, text in cells.items() if tag.endswith(":ids") for post in text.split(", ")]
    assert sorted(listed) == sorted(refit_of(name).placed.posts)


def test_braced_and_altered_stanchions_have_their_own_sheet():
    sheets = sheets_by(stanchion_sheets, refit_of("saltwhin-31"))
    ids = [{text for tag, text in texts_of((sheet,)).items() if tag.endswith(":ids")} for sheet in sheets]
    assert [sheet.name.split("-")[0] for sheet in sheets] == ["F1", "F2"]
    assert ids == [{"S-S1", "P-S1", "P-S2"}, {"S-S2", "S-S3", "S-S4", "P-S3", "P-S4"}]
    assert [sheet.name.split("-")[0] for sheet in sheets_by(stanchion_sheets, refit_of("pipwing-25"))] == ["F1"]


def test_a_bent_stanchion_and_one_too_low_are_on_hold_with_their_flags():
    cells = cells_of(refit_of("saltwhin-31"))
    actions = {tag.split(":")[1]: text for tag, text in cells.items() if tag.endswith(":action")}
    assert {name for name, text in actions.items() if text == "HOLD"} == {"S-S2", "P-S3"}
    assert set(actions.values()) == {"HOLD", "leave"}
    flags = {tag for tag in cells if tag.startswith("flag:") and tag.count(":") == 2}
    assert {tag.split(":")[2] for tag in flags} == {"S-S2", "P-S3"}


def test_a_stanchion_whose_line_touches_both_lips_of_a_hole_is_on_hold_with_its_flag():
    """New holes are to be decided on before the old direction is made again; only measured directions count."""
    worked_out = random_refit(92)
    cells = cells_of(worked_out)
    touching = {
        post.id for post, hole in worked_out.placed.holes()
        if hole.measured is not None and worked_out.placed.lines_in_holes.get(hole.id) is not None
        and worked_out.placed.lines_in_holes[hole.id].on_axis.touches_both_lips
    }  # fmt: skip
    (item,) = (one.number for one in open_items(worked_out) if one.cause.code == "item.lips")
    assert len(touching) > 3
    assert {tag.split(":")[2] for tag in cells if tag.startswith(f"flag:{item}:")} >= touching
    assert all(cells[f"F:{row_of(cells, name)}:action"] == "HOLD" for name in touching)
    notes = [text for tag, text in cells.items() if tag.startswith("notes:") and "AFT mark, up or down" in text]
    assert notes and all("where sheet G4 has computed" in text for text in notes)


@pytest.mark.parametrize(("planned", "says"), [(12.0, "hole U smaller, new tube"), (12.7, "hole U"), (14.0, "hole U")])
def test_a_hole_planned_smaller_than_it_is_takes_a_new_tube(planned, says):
    """No tool makes a hole of 12.7 one of 12; common practice, no source."""
    worked_out = refit_of("saltwhin-31")
    first, *rest = worked_out.boat.posts
    hole = first.holes["U"].model_copy(update={"planned": PlannedHole(diameter=planned)})
    other = first.model_copy(update={"holes": {**first.holes, "U": hole}})
    boat = worked_out.boat.model_copy(update={"posts": (other, *rest)})
    changed = refit(replace(worked_out.loaded, boat=boat))
    assert cells_of(changed)[f"F:{first.id}:action"] == f"alter: {says}"
    assert [fault for sheet in sheets_by(stanchion_sheets, changed) for fault in layout(sheet).faults] == []


def mirrored_twins():
    """Return a boat whose P-S1 is S-S1 seen in a mirror, and its runs of the port side as well."""
    worked_out = refit_of("first-try")
    assert worked_out.boat.mirror
    return worked_out


def test_identical_and_mirrored_stanchions_share_a_row():
    cells = cells_of(mirrored_twins())
    quantities = {text for tag, text in cells.items() if tag.endswith(":qty")}
    assert quantities == {"1 S + 1 P"}


# Lean against the deck at a foot whose long point is at each side: the deck falls that way.
QUADRANTS = {"aft": (5.0, 0.0), "forward": (-5.0, 0.0), "outboard": (0.0, 5.0), "inboard": (0.0, -5.0),
             "aft, outboard": (4.0, 3.0), "forward, inboard": (-3.0, -4.0)}  # fmt: skip


@pytest.mark.parametrize("name", ["S-S1", "P-S1"])
@pytest.mark.parametrize("quadrant", QUADRANTS)
def test_the_drawn_long_side_agrees_with_its_word(name, quadrant):
    """The side of the drawn foot that begins lower on the tube has the word, at paper left or right."""
    boat = refit_of("saltwhin-31").boat
    falls = Falls(aft=math.radians(QUADRANTS[quadrant][0]), outboard=math.radians(QUADRANTS[quadrant][1]))
    stated = boat.post(name).model_copy(update={"lean": 0.0, "rake": 0.0, "deck_falls": falls})
    post, base = place_post(boat, stated), boat.bases["welded plate"]
    cut = tube_cut(post, base)
    spread, (aft, out) = foot_spread(stated, post.tube_od)
    wanted = quadrant.split(", ")[0 if abs(aft) >= abs(out) else -1]
    assert cut.long_point == wanted
    assert cut.over_long_point - cut.length == pytest.approx(0.5 * spread)
    items = foot_items(post, cut, base, "TBC", 1.0)
    sides = [item for item in items if getattr(item, "tag", "") == f"foot-side:{name}"]
    assert len(sides) == 2
    # Both sides end level on the tube: the longer line belongs to the long point.
    long, short = sorted(sides, key=lambda side: -math.dist(side.start, side.end))
    assert math.dist(long.start, long.end) > math.dist(short.start, short.end)
    at = {item.text: item.at[0] for item in items if isinstance(item, Text)}
    first, second = ("AFT", "FORWARD") if seen_from_outboard(post, cut) else ("INBOARD", "OUTBOARD")
    at_left = first if at[first] < at[second] else second
    at_right = second if at_left == first else first
    assert (at_left if long.start[0] < short.start[0] else at_right) == wanted.upper()
    leader = next(item for item in items if getattr(item, "tag", "") == f"long-point:{name}")
    assert (leader.points[0][0] < 0.0) == (long.start[0] < short.start[0])


@pytest.mark.parametrize("name", ["S-S1", "P-S1"])
@pytest.mark.parametrize("quadrant", QUADRANTS)
def test_the_drawn_pad_is_thick_where_the_deck_falls_away(name, quadrant):
    """Under an upright tube on a level plate: by half the plate, times the tangent of the fall, to either side."""
    boat = refit_of("saltwhin-31").boat
    aft, outboard = (math.radians(one) for one in QUADRANTS[quadrant])
    spec = {"lean": 0.0, "rake": 0.0, "deck_falls": Falls(aft=aft, outboard=outboard)}
    post, base = place_post(boat, boat.post(name).model_copy(update=spec)), boat.bases["welded plate"]
    base = base.model_copy(update={"tube": "square to the plate"})
    cut = tube_cut(post, base)
    items = foot_items(post, cut, base, "TBC", 1.0)
    (pad,) = (item for item in items if getattr(item, "tag", "") == f"pad:{name}")
    upper_left, upper_right, lower_right, lower_left = pad.points
    assert upper_left[0] < upper_right[0]
    at = {item.text: item.at[0] for item in items if isinstance(item, Text)}
    from_outboard = seen_from_outboard(post, cut)
    way, fall, half = ("AFT", aft, base.length / 2) if from_outboard else ("OUTBOARD", outboard, base.width / 2)
    to_right = 1.0 if at[way] > 0.0 else -1.0
    thicker = math.dist(upper_right, lower_right) - math.dist(upper_left, lower_left)
    assert to_right * thicker == pytest.approx(2.0 * half * math.tan(fall), abs=1e-6)


def test_every_mitred_row_has_its_word_and_its_foot():
    worked_out = refit_of("saltwhin-31")
    for sheet in some(sheets_by(stanchion_sheets, worked_out)):
        cells = texts_of((sheet,))
        titles = [text for tag, text in cells.items() if tag.startswith("view:foot") and tag.count(":") == 1]
        for tag, text in some([(tag, text) for tag, text in cells.items() if tag.endswith(":long-point")]):
            post = worked_out.placed.posts[tag.split(":")[1]]
            cut = tube_cut(post, worked_out.boat.bases[post.spec.base])
            word = "SQUARE" if cut.long_point is None else cut.long_point.upper()
            assert text.split(",")[0] == word
            assert any(title.endswith(word) for title in titles)
            if cut.long_point is not None:
                _, (aft, out) = foot_spread(post.spec, post.tube_od)
                assert way_of(math.atan2(out, aft)) == cut.long_point


def test_a_base_that_is_not_stated_gives_no_cut_length():
    (sheet,) = sheets_by(stanchion_sheets, refit_of("pipwing-25"))
    cells = texts_of((sheet,))
    assert not any(":mitre" in tag or ":long" in tag or tag.startswith("view:foot") for tag in cells)
    assert "do not cut" in cells["notes:2"] and "from deck" in cells["table:stanchions"]


def views_of(worked_out, name):
    return [view for sheet in sheets_by(stanchion_sheets, worked_out) for view in sheet.views if view.name == name]


def test_sections_are_whole_and_cut_on_the_axis_of_the_hole():
    """Looking down, both faces of the wall go all round beyond the cut; the strokes of Y-Y lie on the hole's axis."""
    worked_out = refit_of("saltwhin-31")
    for view in some(views_of(worked_out, "section-across")):
        axis = [item for item in view.items if getattr(item, "tag", "").startswith("axis:")]
        hole = axis[0].tag.split(":")[1]
        post = worked_out.placed.posts[hole[:4]]
        rings = {item.radius for item in view.items if getattr(item, "tag", "") == f"beyond:{hole}"}
        assert rings == {0.5 * post.tube_od, 0.5 * post.tube_od - post.tube_wall}
        outboard = 1.0 if hole[0] == "S" else -1.0
        turn = clocking_from_mark(post, worked_out.placed.drillings[hole])
        assert len(axis) == 2
        for stroke, end in zip(axis, (-1.0, 1.0), strict=True):
            for x, y in (stroke.start, stroke.end):
                assert math.atan2(-end * x * outboard, end * y) == pytest.approx(turn, abs=1e-9)
                assert math.hypot(x, y) > 0.5 * post.tube_od
            (arrow,) = [i for i in view.items if isinstance(i, Line) and i.start == stroke.end]
            assert (arrow.end[0] - arrow.start[0]) * outboard < 0.0 and arrow.end[1] == arrow.start[1]


def test_the_section_along_a_hole_has_aft_where_the_view_from_outboard_has_it():
    worked_out = refit_of("saltwhin-31")
    for view in some([*views_of(worked_out, "section-along"), *views_of(worked_out, "tube")]):
        at = {item.text: item.at[0] for item in view.items if isinstance(item, Text)}
        # Both sheets of this boat draw a starboard stanchion.
        assert at["AFT"] < at["FORWARD"]
    for view in some(views_of(worked_out, "section-along")):
        (axis,) = [item for item in view.items if getattr(item, "tag", "").startswith("hole-axis:")]
        hole = axis.tag.split(":")[1]
        assert len([item for item in view.items if getattr(item, "tag", "") == f"beyond:{hole}"]) == 4
        rise = (axis.end[1] - axis.start[1]) / (axis.end[0] - axis.start[0])
        tilt = worked_out.placed.drillings[hole].tilt
        assert rise == pytest.approx(math.tan(tilt) * (-1.0 if hole[0] == "S" else 1.0))


def test_fitted_stanchions_lean_as_the_boat_file_says():
    worked_out = refit_of("saltwhin-31")
    for view in some(views_of(worked_out, "fitted-aft")):
        sides = [
            item for item in view.items if getattr(item, "tag", "").startswith("fitted:") and isinstance(item, Line)
        ]
        for side in some(sides):
            post = worked_out.boat.post(side.tag.split(":")[1])
            axis = np.asarray(axis_of(post))
            low, high = sorted((side.start, side.end), key=lambda end: end[1])
            assert (high[0] - low[0]) / (high[1] - low[1]) == pytest.approx(axis[1] / axis[2])


@pytest.mark.parametrize("name", NAMES)
def test_offsets_are_given_at_a_round_height_that_every_tube_reaches(name):
    worked_out = refit_of(name)
    height = offset_height(worked_out)
    step = 6.0 * 25.4 if worked_out.boat.units.length == "in" else 100.0
    assert height / step == pytest.approx(round(height / step)) and height > 0.0
    reach = [post.top * math.cos(max(post.tilt, post.plate.total)) for post in worked_out.placed.posts.values()]
    assert height <= min(reach) and (height + step > min(reach) or height == 600.0)


def test_a_long_name_leaves_the_sheet_in_order():
    worked_out = refit_of("saltwhin-31")
    identity = worked_out.boat.boat.model_copy(update={"name": "ŠKODA ŁOŠ OF THE FAR NORTHERN ISLANDS 1234567890"})
    long = refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"boat": identity})))
    for draft in some(stanchion_sheets(long)):
        assert layout(finish(long, draft, 20)).faults == ()


def test_a_stanchion_that_is_only_designed_is_not_called_bent():
    """A survey finds a bent stanchion; the same coordinates in a design are what is meant."""
    measured = refit_of("saltwhin-31")
    designed = refit(replace(measured.loaded, boat=measured.boat.model_copy(update={"survey": "as designed"})))
    bent = [
        any("probably bent" in one for said in post_remarks(of).values() for one in said) for of in (measured, designed)
    ]
    assert bent == [True, False]
