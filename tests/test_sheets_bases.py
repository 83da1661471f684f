"""Base plate sheets read back from their files, against plates and tubes worked out apart."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from functools import cache

import ezdxf
import numpy as np
import pytest

from geom.boat.file import read_boat
from geom.drafting.sheet import finish, lettered
from geom.drafting.sight import offset_height
from geom.errors import InputError
from geom.figure import Circle, Leader, Line, Polyline, Text
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.sheets.bases.sheet import base_plates
from geom.solids.bases import tube_foot
from geom.tables import numbers
from tests.boats import BOATS, refit_of
from tests.post_reference import PAD_LEAST, axis_of, deck_of, pad_on_axis, side_of
from tests.sheet_texts import plain, shows, texts_of
from tests.some import some

APPID = "TOERAIL"
BOAT = "saltwhin-31"
CORNERS = {
    "forward outboard": (-1, 1), "aft outboard": (1, 1), "aft inboard": (1, -1), "forward inboard": (-1, -1),
}  # fmt: skip


@cache
def drafts():
    return base_plates(refit_of(BOAT))


@cache
def sheets():
    found = drafts()
    return tuple(finish(refit_of(BOAT), draft, len(found)) for draft in lettered(found))


def length(text, value):
    fmt = numbers(refit_of(BOAT).boat)
    return shows(text, value / fmt.mm, fmt.decimals)


def base_of(sheet):
    return refit_of(BOAT).boat.bases[sheet.title.removeprefix("SALTWHIN 31: ").split(",")[0]]


def posts_of(sheet):
    """Return the posts that a sheet is for, by its words."""
    word, side = sheet.title.removeprefix("SALTWHIN 31: ").split(", ")[:2]
    return [p for p in refit_of(BOAT).boat.posts if p.base == word and p.id[0] == side[0].upper()]


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
    worked_out, wrong = refit_of(BOAT), []
    height = offset_height(worked_out)
    for post in worked_out.boat.posts:
        base = worked_out.boat.bases[post.base]
        if base.tube != "to suit the post":
            continue
        aft, out = on_plate(post)
        off = math.acos(1.0 / math.sqrt(1.0 + aft * aft + out * out))
        od = worked_out.boat.tubes[post.tube].od
        tag = f"plates:{post.id}"
        across, along = cells[f"{tag}:leans"].split(", ")
        for text, slope, words in ((across, out, ("outboard", "inboard")), (along, aft, ("aft", "forward"))):
            number, word = text.split(" ")
            straight = float(number) == 0.0
            if not shows(number, abs(math.degrees(math.atan(slope))), 2) or (
                not straight and word != words[0 if slope > 0.0 else 1]
            ):
                wrong.append(f"{tag}:leans {text}")
        for key, reach in (("at_height", height), ("off_middle", base.thickness)):
            for text, slope in zip(cells[f"{tag}:{key}"].split(" / "), (out, aft), strict=True):
                if not length(text, abs(reach * slope)):
                    wrong.append(f"{tag}:{key} {text}")
        for text, value in zip(cells[f"{tag}:foot"].strip("Ø").split(" x "), (od / math.cos(off), od), strict=False):
            if not length(text, value):
                wrong.append(f"{tag}:foot {text}")
        if not length(cells[f"{tag}:over_plate"], post.top - base.thickness / math.cos(off)):
            wrong.append(f"{tag}:over_plate")
    return wrong


def test_tubes_stand_on_their_plates_as_the_boat_says():
    assert feet_at_odds(texts_of(sheets())) == []


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("plates:S-S3:leans", "1.00 outboard, 1.00 forward"), ("plates:S-S3:at_height", "10.4 / 10.5"),
        ("plates:P-S3:off_middle", "0.1 / 0.6"), ("plates:P-S3:foot", "Ø25.0"), ("plates:S-S1:over_plate", "632.0"),
    ],
)  # fmt: skip
def test_a_forged_foot_is_caught(tag, text):
    cells = texts_of(sheets())
    assert feet_at_odds({**cells, tag: text}) != []


def test_pads_are_what_lies_between_plate_and_deck():
    worked_out, cells = refit_of(BOAT), texts_of(sheets())
    checked = 0
    for post in worked_out.boat.posts:
        base = worked_out.boat.bases[post.base]
        if base.tube == "to suit the post":
            continue
        gaps = gaps_of(post, base)
        minimum = min(gaps.values())
        for word, gap in gaps.items():
            assert length(cells[f"plates:{post.id}:{word}"], gap - minimum + PAD_LEAST)
        assert length(cells[f"plates:{post.id}:on_axis"], PAD_LEAST - minimum)
        # The pad lifts the plate: what is under the tube is missing above.
        assert length(cells[f"plates:{post.id}:over_plate"], post.top + minimum - PAD_LEAST - base.thickness)
        checked += 1
    assert checked == 2


def test_pads_have_no_feather_edge_and_are_not_interchangeable():
    """S-S2 and P-S2 stand on decks of other slopes, and a mirrored pad would not fit either."""
    notes = [plain(texts_of((sheet,))["notes:base"]) for sheet in sheets()]
    square = [base_of(sheet).tube == "square to the plate" for sheet in sheets()]
    for stated in ("No feather edge: its thinnest corner is 3.0", "S-S2, P-S2 are NOT INTERCHANGEABLE"):
        assert [plain(stated) in note for note in notes] == square


def test_a_drain_is_asked_for_at_the_lowest_point():
    notes = [plain(texts_of((sheet,))["notes:base"]) for sheet in sheets()]
    assert all(plain("Ø4.0 to 5.0, at the lowest point inside") in note for note in some(notes))


BOUGHT = """bases:
  bought: {tube: square to the plate, length: 90, width: 80, thickness: 9, corner_radius: 12, bolt: 8, bolt_hole: 8.5,
    bolts: [[32, 27], [32, -27], [-32, -27], [-32, 27]],
    socket: {od: 31, bore: 25.3, height: 60, depth: 55, retention: set screw}}
"""


def bought():
    """Return SALTWHIN with P-S2 in a bought socket, 55 deep, held by a set screw."""
    text = (BOATS / f"{BOAT}.yaml").read_text("utf-8").replace("bases:\n", BOUGHT, 1)
    head, tail = text.split("  - id: P-S2\n")
    return refit(read_boat(f"{head}  - id: P-S2\n{tail.replace('standard base', 'bought', 1)}".encode(), "made.yaml"))


def test_a_tube_in_a_socket_is_cut_to_its_depth_and_not_welded():
    """Cut length: top less pad, plate of 9 and socket of 60, and 55 into it, by hand. A set screw alone is flagged."""
    boat = bought()
    post = boat.boat.post("P-S2")
    found = base_plates(boat)
    texts = texts_of(tuple(finish(boat, draft, len(found)) for draft in lettered(found)))
    notes = plain(texts["notes:base"])
    cut = post.top - pad_on_axis(post, boat.boat.bases["bought"]) - 9.0 - 60.0 + 55.0
    assert plain(f"goes in 55.0, from its mouth: cut length {cut:.1f}") in notes
    assert plain("Retained by: set screw") in notes and plain("A set screw alone lets go") in notes
    joints = [text for tag, text in texts.items() if tag == "edge:joint"]
    assert any("in a socket, no weld" in text for text in joints)
    start, _ = tube_foot(boat.boat.bases["bought"], boat.placed.posts["P-S2"])
    assert start == pytest.approx(post.top - cut, abs=1e-6)
    (finding,) = [one for one in boat.findings if one.clause == "retention" and one.post == "P-S2"]
    assert finding.verdict == "notice"


@pytest.mark.parametrize(
    ("socket", "message"),
    [
        ("depth: 70", "deeper than the base is high"),
        ("pin_hole: 6", "a pin needs its diameter and its height"),
        ("pin_hole: 6, pin_height: 59, depth: 50", "the pin misses the tube in its socket"),
        ("retention: through pin", "a pin without its hole"),
    ],
)
def test_a_socket_that_cannot_be_is_refused(socket, message):
    text = BOUGHT.replace("depth: 55, retention: set screw", socket)
    whole = (BOATS / f"{BOAT}.yaml").read_text("utf-8").replace("bases:\n", text, 1)
    with pytest.raises(InputError, match=message):
        read_boat(whole.encode(), "made.yaml")


def test_the_wedge_is_drawn_as_thick_as_its_corners_say():
    drawn = 0
    for sheet in sheets():
        texts = texts_of((sheet,))
        for view in sheet.views:
            wedge = next((i for i in view.items if isinstance(i, Polyline) and i.tag == "edge:pad"), None)
            if wedge is None:
                continue
            (post,) = posts_of(sheet)
            base = base_of(sheet)
            gaps = gaps_of(post, base)
            from_aft = view.name == "edge-aft"
            hand = side_of(post.id)
            for x in {round(x, 6) for x, _ in wedge.points}:
                if from_aft:
                    word = "aft outboard" if x * hand > 0.0 else "aft inboard"
                else:
                    # Seen from outboard the bow lies at the right on starboard, at the left on port.
                    word = "forward outboard" if x * hand > 0.0 else "aft outboard"
                ys = [y for px, y in wedge.points if abs(px - x) < 1e-6]
                assert max(ys) - min(ys) == pytest.approx(gaps[word] - min(gaps.values()) + PAD_LEAST, abs=1e-6)
                assert length(
                    texts[f"pad:{post.id}:{word}"].split(" ")[-1], gaps[word] - min(gaps.values()) + PAD_LEAST
                )
                drawn += 1
    assert drawn == 8


def test_bolt_holes_are_hidden_down_to_the_deck():
    """A hidden edge of a hole ends on the lower edge of what lies on the deck: the plate, or the pad."""
    checked = 0
    for sheet in sheets():
        base = base_of(sheet)
        for view in sheet.views[1:]:
            deck = next(i for i in view.items if getattr(i, "tag", "") == "edge:deck")
            slope = (deck.end[1] - deck.start[1]) / (deck.end[0] - deck.start[0])
            hidden = [i for i in view.items if isinstance(i, Line) and i.layer == "HIDDEN" and i.start[0] == i.end[0]]
            lines = [line for line in hidden if max(line.start[1], line.end[1]) == 0.0]
            places = {round(place[0 if view.name == "edge-outboard" else 1], 6) for place in base.bolts}
            assert len(lines) == 2 * len(places)
            for line in lines:
                at_deck = deck.start[1] + slope * (line.start[0] - deck.start[0])
                assert min(line.start[1], line.end[1]) == pytest.approx(at_deck, abs=1e-6)
                checked += 1
    assert checked >= 32


def test_the_edge_shows_the_tube_leaning_as_its_post_does():
    for sheet in some(sheets()):
        if base_of(sheet).tube != "to suit the post":
            continue
        post = posts_of(sheet)[0]
        aft, out = on_plate(post)
        for view in some(sheet.views[1:]):
            axis = next(i for i in view.items if isinstance(i, Line) and i.tag == f"edge:axis:{post.id}")
            run = (axis.end[0] - axis.start[0]) / (axis.end[1] - axis.start[1])
            hand = side_of(post.id)
            wanted = hand * out if view.name == "edge-aft" else -hand * aft
            assert run == pytest.approx(wanted, abs=1e-9)
            # The axis goes through the middle of the plate's lower face.
            low = axis.start[0] + (-base_of(sheet).thickness - axis.start[1]) * run
            assert low == pytest.approx(0.0, abs=1e-9)


def test_only_holes_are_drawn_as_holes():
    for sheet in some(sheets()):
        plan = sheet.views[0]
        circles = [item for item in plan.items if isinstance(item, Circle)]
        assert {c.layer for c in circles if not c.tag.startswith("bolt:")} == {"HIDDEN"}
        leader = next(i for i in plan.items if isinstance(i, Leader) and i.tag == "tube")
        assert leader.text.endswith("no hole")
        radius = next(c.radius for c in circles if c.tag.startswith("tube:"))
        assert math.hypot(*leader.points[0]) == pytest.approx(radius)
        assert 2.0 * radius == refit_of(BOAT).boat.tubes[posts_of(sheet)[0].tube].od


def test_corners_of_a_pad_are_named_where_they_lie():
    for sheet in some(sheets()):
        plan, hand = sheet.views[0], 1.0 if ", starboard" in sheet.title else -1.0
        named = {i.text: i.at for i in plan.items if isinstance(i, Text) and i.text[:3] in ("FWD", "AFT")}
        if base_of(sheet).tube == "to suit the post":
            assert named == {}
            continue
        for word, sign_y, sign_x in (("FWD OUT", 1, 1), ("AFT OUT", -1, 1), ("AFT IN", -1, -1), ("FWD IN", 1, -1)):
            assert named[word][0] * hand * sign_x > 0.0
            assert named[word][1] * sign_y > 0.0


def test_bolts_stand_in_the_file_where_the_boat_file_puts_them():
    for sheet in some(sheets()):
        base = base_of(sheet)
        hand = 1.0 if ", starboard" in sheet.title else -1.0
        doc = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
        found = {
            (round(c.dxf.center.x, 6), round(c.dxf.center.y, 6), round(2.0 * c.dxf.radius, 6))
            for c in doc.modelspace().query("CIRCLE")
            if c.has_xdata(APPID) and c.get_xdata(APPID)[0].value.startswith("bolt:")
        }
        assert found == {(round(hand * out, 6), round(-aft, 6), base.bolt_hole) for aft, out in base.bolts}


def test_a_bent_post_is_named_on_its_own_plate_s_sheet_alone():
    """P-S3 of the demonstration boat stands 4.5 deg out of its row's lean; the others are what they should be."""
    stated = {sheet.title: plain(texts_of((sheet,))["notes:base"]) for sheet in sheets()}
    bent = [title for title, note in stated.items() if "PROBABLYBENT" in note]
    assert bent == [next(t for t in stated if "welded plate, port" in t)]
    assert plain("P-S3: PROBABLY BENT") in stated[bent[0]]


def test_what_the_file_does_not_tell_is_said_to_be_not_stated():
    cells = texts_of(sheets())
    for word in ("welded plate", "standard base"):
        assert cells[f"base:{word}:plate:material"].startswith("not stated")
        assert cells[f"base:{word}:backing:size"].startswith("not stated")
        assert "thread and length not stated" in cells[f"base:{word}:bolt:size"]


def test_bolts_are_counted_for_all_plates_of_a_sheet():
    for sheet in some(sheets()):
        word = sheet.title.removeprefix("SALTWHIN 31: ").split(",")[0]
        count = texts_of((sheet,))[f"base:{word}:bolt:count"].split(",")[0]
        assert int(count) == len(posts_of(sheet)) * len(base_of(sheet).bolts)


def test_plates_that_are_no_mirror_of_themselves_are_said_to_be_mirror_images():
    worked_out = refit_of(BOAT)
    bases = {word: base.model_copy(update={"bolts": base.bolts[:3]}) for word, base in worked_out.boat.bases.items()}
    changed = replace(
        worked_out, loaded=replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"bases": bases}))
    )
    for one, said in ((worked_out, False), (changed, True)):
        found = base_plates(one)
        texts = texts_of(tuple(finish(one, draft, len(found)) for draft in lettered(found)))
        assert ("mirror images" in texts["notes:base"]) is said


def test_no_base_no_sheet():
    assert base_plates(refit_of("first-try")) == ()
