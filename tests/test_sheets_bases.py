"""The sheet of bases read back from its file, against plates, pads and braces computed independently."""

from __future__ import annotations

import io
import json
import math
from dataclasses import replace
from functools import cache

import ezdxf
import numpy as np
import pytest

from geom.boat.file import read_boat
from geom.drafting.sheet import finish, lettered
from geom.figure import Circle, Line, Polyline
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.resources import starter_text
from geom.sheets.bases.sheet import base_plates
from geom.tables import numbers
from tests.boats import refit_of
from tests.post_reference import PAD_LEAST, axis_of, brace_of, deck_of, side_of
from tests.random_boats import random_data
from tests.sheet_texts import shows, texts_of
from tests.some import some

APPID = "TOERAIL"
BOAT = "saltwhin-31"
CORNERS = {
    "forward outboard": (-1, 1), "aft outboard": (1, 1), "aft inboard": (1, -1), "forward inboard": (-1, -1),
}  # fmt: skip


@cache
def sheet():
    (found,) = lettered(base_plates(refit_of(BOAT)))
    return finish(refit_of(BOAT), found, 1)


def boat():
    return refit_of(BOAT).boat


def length(text, value):
    fmt = numbers(boat())
    return shows(text, value / fmt.mm, fmt.decimals)


def worded(text, value, decimals, plus, minus):
    """Return whether a text is a value's size with the short word of its direction."""
    number, _, word = text.partition(" ")
    return shows(number, abs(value), decimals) and word == (
        "" if float(number) == 0.0 else plus if value > 0.0 else minus
    )


def views_of(word):
    """Return the views of a base: from above, from aft, from outboard."""
    first = next(k for k, view in enumerate(sheet().views) if view.title == word.upper())
    return sheet().views[first : first + 3]


def drawn_post(word):
    return next(post for post in boat().posts if post.base == word and post.id[0] == "S")


def on_plate(post):
    """Return aft, outboard and up of the tube's axis in the deck's directions, for one millimetre up."""
    aft, out, up = deck_of(post) @ axis_of(post)
    return aft / up, out / up


def gaps_of(post, base):
    """Return how far each sharp corner of a plate square to the tube stands over the deck, along the tube [mm]."""
    axis, normal = axis_of(post), deck_of(post)[2]
    aft = np.array([1.0, 0.0, 0.0]) - axis[0] * axis
    aft /= np.linalg.norm(aft)
    out = side_of(post.id) * np.cross(axis, aft)
    return {
        word: float(0.5 * (a * base.length * aft + b * base.width * out) @ normal) / float(axis @ normal)
        for word, (a, b) in CORNERS.items()
    }


def feet_at_odds(cells):
    """Return the cells of plates made to suit that say otherwise than lean, rake and falls of the boat file."""
    wrong = []
    for post in some(boat().posts):
        base = boat().bases[post.base]
        if base.tube != "to suit the post":
            wrong += [key for key in cells if key == f"feet:{post.id}:out"]
            continue
        aft, out = on_plate(post)
        checks = {
            "out": (math.degrees(math.atan(out)), "outbd", "inbd"), "aft": (math.degrees(math.atan(aft)), "aft", "fwd"),
            "off-out": (base.thickness * out, "outbd", "inbd"), "off-aft": (base.thickness * aft, "aft", "fwd"),
        }  # fmt: skip
        wrong += [
            key for key, (value, *ways) in checks.items() if not worded(cells[f"feet:{post.id}:{key}"], value, 1, *ways)
        ]
    return wrong


def test_tubes_stand_on_their_plates_as_the_boat_says():
    assert feet_at_odds(texts_of((sheet(),))) == []


@pytest.mark.parametrize(("tag", "text"), [("feet:S-S1:aft", "2.4 fwd"), ("feet:S-S3:out", "1.0 outbd")])
def test_a_forged_foot_is_caught(tag, text):
    assert feet_at_odds({**texts_of((sheet(),)), tag: text}) != []


def test_pads_are_what_lies_between_plate_and_deck():
    cells, checked = texts_of((sheet(),)), 0
    for post in boat().posts:
        base = boat().bases[post.base]
        if base.tube == "to suit the post":
            continue
        gaps = gaps_of(post, base)
        minimum = min(gaps.values())
        for word, gap in gaps.items():
            assert length(cells[f"pads:{post.id}:{word}"], gap - minimum + PAD_LEAST)
        assert length(cells[f"pads:{post.id}:on-axis"], PAD_LEAST - minimum)
        checked += 1
    assert checked == 2
    assert "NOT INTERCHANGEABLE" in cells["title:table:pads"]


def test_brace_feet_are_where_the_boat_file_has_them():
    cells = texts_of((sheet(),))
    for post in some([post for post in boat().posts if post.brace is not None]):
        aft, out, up, slant, tilt = brace_of(post)
        tag = f"braces:{post.id}"
        assert worded(cells[f"{tag}:aft"], aft, 1, "aft", "fwd") and worded(
            cells[f"{tag}:out"], out, 1, "outbd", "inbd"
        )
        assert cells[f"{tag}:up"] == "level" if up == 0.0 else worded(cells[f"{tag}:up"], up, 1, "above", "below")
        assert length(cells[f"{tag}:slant"], slant) and shows(cells[f"{tag}:angle"], math.degrees(tilt), 1)


def test_the_wedge_is_drawn_as_thick_as_its_corners_say():
    post, base = drawn_post("standard base"), boat().bases["standard base"]
    gaps, hand, drawn = gaps_of(post, base), side_of(post.id), 0
    for view in views_of("standard base")[1:]:
        wedge = next(i for i in view.items if isinstance(i, Polyline) and i.tag == "edge:pad")
        for x in {round(x, 6) for x, _ in wedge.points}:
            # Seen from outboard the bow lies at the right on starboard.
            aft_view = "aft outboard" if x * hand > 0.0 else "aft inboard"
            word = aft_view if view.name.endswith("aft") else "forward outboard" if x * hand > 0.0 else "aft outboard"
            ys = [y for px, y in wedge.points if abs(px - x) < 1e-6]
            assert max(ys) - min(ys) == pytest.approx(gaps[word] - min(gaps.values()) + PAD_LEAST, abs=1e-6)
            drawn += 1
    assert drawn == 4


def test_bolt_holes_are_hidden_down_to_the_deck():
    """A hidden edge of a hole ends on the lower edge of what lies on the deck: the plate, or the pad."""
    checked = 0
    for word, base in boat().bases.items():
        for view in views_of(word)[1:]:
            deck = next(i for i in view.items if getattr(i, "tag", "") == "edge:deck")
            slope = (deck.end[1] - deck.start[1]) / (deck.end[0] - deck.start[0])
            hidden = [i for i in view.items if isinstance(i, Line) and i.layer == "HIDDEN" and i.start[0] == i.end[0]]
            lines = [line for line in hidden if max(line.start[1], line.end[1]) == 0.0]
            places = {round(place[0 if view.name.endswith("outboard") else 1], 6) for place in base.bolts}
            assert len(lines) == 2 * len(places)
            for line in lines:
                at_deck = deck.start[1] + slope * (line.start[0] - deck.start[0])
                assert min(line.start[1], line.end[1]) == pytest.approx(at_deck, abs=1e-6)
                checked += 1
    assert checked == 16


def test_the_edge_shows_the_tube_leaning_as_its_post_does():
    post, base = drawn_post("welded plate"), boat().bases["welded plate"]
    aft, out = on_plate(post)
    for view in some(views_of("welded plate")[1:]):
        axis = next(i for i in view.items if isinstance(i, Line) and i.tag == f"edge:axis:{post.id}")
        run = (axis.end[0] - axis.start[0]) / (axis.end[1] - axis.start[1])
        hand = side_of(post.id)
        assert run == pytest.approx(hand * out if view.name.endswith("aft") else -hand * aft, abs=1e-9)
        # The axis goes through the middle of the plate's lower face.
        assert axis.start[0] + (-base.thickness - axis.start[1]) * run == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("stated", "angle"), [(None, "third"), ("third", "third"), ("first", "first")])
def test_views_stand_by_the_projection_of_the_boat_s_drawings(stated, angle):
    """ISO 5456-2: the view from above over the front view in third angle, under it in first; that of the right beside.

    The front view is that from aft, so that outboard on starboard is its right.
    """
    worked_out = refit_of(BOAT)
    drawing = worked_out.boat.drawing.model_copy(update={"projection": stated})
    boat = worked_out.boat.model_copy(update={"drawing": drawing})
    (found,) = lettered(base_plates(refit(replace(worked_out.loaded, boat=boat))))
    drawn = finish(worked_out, found, 1)
    assert dict(drawn.border.fields)["PROJECTION"] == f"{angle} angle"
    assert layout(drawn).faults == ()
    at = {view.name: view.origin for view in drawn.views}
    above, front, right = at["base-1"], at["base-1-edge-aft"], at["base-1-edge-outboard"]
    sign = 1.0 if angle == "third" else -1.0
    assert above[0] == pytest.approx(front[0]) and sign * (above[1] - front[1]) > 20.0
    assert right[1] == pytest.approx(front[1]) and sign * (right[0] - front[0]) > 20.0


def test_only_holes_are_drawn_as_holes():
    for word in some(boat().bases):
        circles = [item for item in views_of(word)[0].items if isinstance(item, Circle)]
        assert {c.layer for c in circles if not c.tag.startswith("bolt:")} == {"HIDDEN"}
        (tube,) = [c for c in circles if c.tag.startswith("tube:")]
        assert 2.0 * tube.radius == boat().tubes["stanchion"].od
    assert "no hole" in texts_of((sheet(),))["notes:1"]


def test_bolts_stand_in_the_file_where_the_boat_file_puts_them():
    doc = ezdxf.read(io.StringIO(dxf_bytes(sheet(), "cad").decode("utf-8")))
    found = {
        (round(c.dxf.center.x, 6), round(c.dxf.center.y, 6), round(2.0 * c.dxf.radius, 6))
        for c in doc.modelspace().query("CIRCLE")
        if c.has_xdata(APPID) and c.get_xdata(APPID)[0].value.startswith("bolt:")
    }
    wanted = set()
    for word, base in boat().bases.items():
        x, y = views_of(word)[0].model_at
        wanted |= {(round(x + out, 6), round(y - aft, 6), base.bolt_hole) for aft, out in base.bolts}
    assert found == wanted


def test_what_the_file_does_not_state_is_to_be_confirmed_and_flagged():
    cells = texts_of((sheet(),))
    sizes = [text for tag, text in cells.items() if tag.endswith(":line") and tag.startswith("view:base")]
    assert len(sizes) == 2 and not any("TBC" in text for text in sizes)
    assert [tag for tag in cells if tag.startswith("flag:")]


def test_plates_are_counted_by_side():
    cells = texts_of((sheet(),))
    sizes = [text for tag, text in cells.items() if tag.endswith(":line") and tag.startswith("view:base")]
    assert [text.rsplit("; ", 1)[1] for text in sizes] == ["3 S + 3 P", "1 S + 1 P"]


def test_plates_that_are_no_mirror_of_themselves_are_said_to_be_mirror_images():
    worked_out = refit_of(BOAT)
    bases = {word: base.model_copy(update={"bolts": base.bolts[:3]}) for word, base in worked_out.boat.bases.items()}
    changed = replace(
        worked_out, loaded=replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"bases": bases}))
    )
    for one, said in ((worked_out, "identical"), (changed, "mirror")):
        (found,) = lettered(base_plates(one))
        assert said in texts_of((finish(one, found, 1),))["notes:2"]


def test_a_plate_of_one_side_is_drawn_for_that_side_and_not_mirrored():
    """The bases of this boat have three bolts: one plate stands to starboard, the other to port."""
    worked_out = refit(read_boat(json.dumps(random_data(39, loa=6500.0, posts=2)).encode(), "two bases"))
    (found,) = lettered(base_plates(worked_out))
    cells = texts_of((finish(worked_out, found, 1),))
    sizes = [text for tag, text in cells.items() if tag.endswith(":line") and tag.startswith("view:base")]
    assert [text.rsplit("; ", 1)[1] for text in sizes] == ["1 S", "1 P"]
    assert "starboard" not in cells["heading:line"] and "each" in cells["heading:line"]
    assert "do not mirror plate, standard base" in cells["notes:2"]
    (found,) = lettered(base_plates(refit_of(BOAT)))
    assert "drawn for starboard" in texts_of((finish(refit_of(BOAT), found, 1),))["heading:line"]


def test_no_base_no_sheet():
    lines = starter_text("first-try").splitlines()
    begin = lines.index("bases:")
    end = next(number for number, line in enumerate(lines[begin + 1 :], begin + 1) if line[:1] not in (" ", ""))
    bare = [line for line in (*lines[:begin], *lines[end:]) if not line.startswith("    base:")]
    assert base_plates(refit(read_boat("\n".join(bare).encode("utf-8"), "bare"))) == ()
