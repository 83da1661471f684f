"""Post schedule, cards, base plates and fixture read back from their files, against posts worked out apart."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from itertools import pairwise

import ezdxf
import numpy as np
import pytest

from geom.figure import Dimension, Ordinate
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.schedules import numbers
from geom.sheets.base_plates import base_plates
from geom.sheets.draft import finish
from geom.sheets.fixture import fixture
from geom.sheets.post_cards import post_cards
from geom.sheets.post_schedule import post_schedule
from tests.boats import NAMES, by_id, refit_of, report_of
from tests.post_reference import RULE, axis_of, clocking_seen, deck_of, four_lengths, hole_at, offsets_of, side_of
from tests.sheet_texts import shows, texts_of

APPID = "TOERAIL"


def sheets_of(make, worked_out):
    drafts = make(worked_out)
    return tuple(finish(worked_out, draft, k + 1, len(drafts)) for k, draft in enumerate(drafts))


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


def written(worked_out):
    """Return what checks a length as text: finer where inches carry a further decimal."""
    how = numbers(worked_out.boat)

    def check(text, value, finer=0):
        return shows(text, value / how.mm, how.decimals + (finer if how.unit == "in" else 0))

    return check


def worded(text, value, decimals, plus, minus):
    """Return whether a text is a value's size with the word of its direction."""
    number, _, word = text.replace("°", "").partition(" ")
    wanted = "" if float(number) == 0.0 else plus if value > 0.0 else minus
    return shows(number, abs(value), decimals) and word == wanted


def cards_at_odds(cells, worked_out):
    """Return the tags of a set of post cards that do not say what the boat says."""
    length, how = written(worked_out), numbers(worked_out.boat)
    wrong = []
    named = [tag.split(":")[1] for tag in cells if tag.startswith("quantity:") and tag.endswith(":S")]
    for name in named:
        post = worked_out.boat.post(name)
        axis, frame = axis_of(post), deck_of(post)
        out, aft = offsets_of(post)
        column = "planned" if worked_out.boat.survey == "as designed" and post.intended is None else "found"
        checks = {
            f"{column}:{name}:offset-out": lambda t, v=out: worded(t, v / how.mm, how.decimals, "outboard", "inboard"),
            f"{column}:{name}:offset-aft": lambda t, v=aft: worded(t, v / how.mm, how.decimals, "aft", "forward"),
            f"{column}:{name}:plate-out": lambda t, v=out: worded(
                t, math.degrees(math.atan(v / RULE)), 2, "outboard", "inboard"
            ),
            f"{column}:{name}:plate-aft": lambda t, v=aft: worded(
                t, math.degrees(math.atan(v / RULE)), 2, "aft", "forward"
            ),
            f"{column}:{name}:plate-total": lambda t, c=float(axis @ frame[2]): shows(
                t.rstrip("°"), math.degrees(math.acos(min(1.0, c))), 2
            ),
            f"{column}:{name}:lean": lambda t, v=post.lean: worded(t, math.degrees(v), 2, "outboard", "inboard"),
            f"length:{name}": lambda t, v=post.top: length(t, v, 1),
            f"quantity:{name}:{name[0]}": lambda t: int(t) >= 1,
            f"quantity:{name}:{'P' if name[0] == 'S' else 'S'}": lambda t: t == "0",
        }
        for level, hole in post.holes.items():
            drilled = worked_out.placed.drillings[f"{name}-{level}"].axis
            turn = clocking_seen(post, drilled)
            rise = 0.5 * worked_out.boat.tubes[post.tube].od * math.tan(math.asin(float(axis @ np.asarray(drilled))))
            way = {True: "out", False: "in"}[turn > 0]
            checks |= {
                f"card:{name}-{level}:along": lambda t, v=hole.along: length(t, v, 1),
                f"card:{name}-{level}:aft": lambda t, v=hole.along + rise: length(t, v, 1),
                f"card:{name}-{level}:fwd": lambda t, v=hole.along - rise: length(t, v, 1),
                f"card:{name}-{level}:clock": lambda t, v=turn, w=way: worded(t, v, 1, w, w),
                f"clock:{name}-{level}": lambda t, v=turn: shows(t.rstrip("°"), abs(v), 1),
            }
        wrong += [tag for tag, check in checks.items() if tag not in cells or not check(cells[tag])]
    return wrong


def test_cards_say_what_the_boat_says(boat):
    worked_out = refit_of(boat)
    cells = texts_of(sheets_of(post_cards, worked_out))
    assert len(cells) > 30
    assert cards_at_odds(cells, worked_out) == []


def test_every_post_is_on_one_card(boat):
    cells = texts_of(sheets_of(post_cards, refit_of(boat)))
    sides = [text for tag, text in cells.items() if tag.startswith("side:")]
    listed = [name for text in sides for name in text.split(": ")[1].split(", ")]
    assert sorted(listed) == sorted(refit_of(boat).placed.posts)


@pytest.mark.parametrize("change", ["top", "lean", "along", "foot"])
def test_a_boat_changed_behind_the_cards_is_caught(change):
    """The sheets of one boat against another that differs in one measure of one post."""
    worked_out = refit_of("saltwhin-31")
    first, *rest = worked_out.boat.posts
    if change == "top":
        other = first.model_copy(update={"top": first.top + 1.0})
    elif change == "lean":
        other = first.model_copy(update={"lean": first.lean + math.radians(0.1)})
    elif change == "along":
        upper = first.holes["U"].model_copy(update={"along": first.holes["U"].along + 0.2})
        other = first.model_copy(update={"holes": {**first.holes, "U": upper}})
    else:
        other = first.model_copy(update={"foot": (first.foot[0] + 60.0, *first.foot[1:])})
    changed = refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"posts": (other, *rest)})))
    make = fixture if change == "foot" else post_cards
    at_odds = fixture_at_odds if change == "foot" else cards_at_odds
    cells = texts_of(sheets_of(make, worked_out))
    assert at_odds(cells, worked_out) == []
    assert at_odds(cells, changed) != []


def test_schedule_says_what_the_check_says(boat):
    worked_out, report = refit_of(boat), report_of(boat)
    cells, length = texts_of(sheets_of(post_schedule, worked_out)), written(worked_out)
    for name, told in by_id(report["posts"]).items():
        post = worked_out.boat.post(name)
        out, aft = offsets_of(post)
        assert length(cells[f"posts:{name}:offset_out"], out)
        assert length(cells[f"posts:{name}:offset_aft"], aft)
        assert length(cells[f"posts:{name}:plumb_out"], RULE * math.tan(post.lean))
        assert shows(cells[f"posts:{name}:plate_total"], told["plate_total_deg"], 2)
        for key, value in zip("xyz", post.foot, strict=True):
            assert length(cells[f"posts:{name}:foot_{key}"], value, 1)
    for name, told in by_id(report["holes"]).items():
        post, level = worked_out.boat.post(told["post"]), told["level"]
        assert length(cells[f"holes:{name}:along"], post.holes[level].along, 1)
        assert length(cells[f"holes:{name}:above_foot"], hole_at(post, level)[2] - post.foot[2])
        assert cells[f"holes:{name}:eye"] == ("-" if told["run"] is None else told["eye"]["verdict"])


def fixture_at_odds(cells, worked_out):
    length, posts = written(worked_out), {post.id: post for post in worked_out.boat.posts}
    pairs = []
    for side in "SP":
        ordered = sorted((p for p in posts.values() if p.id[0] == side), key=lambda p: p.foot[0])
        pairs += [(f"near-{side}", a, b) for a, b in pairwise(ordered)]
    both = [name[1:] for name in posts if name[0] == "S" and f"P{name[1:]}" in posts]
    pairs += [("across", posts[f"S{name}"], posts[f"P{name}"]) for name in both]
    wrong = []
    for key, a, b in pairs:
        for kind, value in zip(("uu", "ll", "ul", "lu"), four_lengths(a, b), strict=True):
            tag = f"fixture:{key}:{a.id}:{b.id}:{kind}"
            if tag not in cells or not length(cells[tag], value):
                wrong.append(tag)
    for post in posts.values():
        for level in post.holes:
            away = hole_at(post, level) - np.asarray(post.foot)
            for key, value in (("out", side_of(post.id) * away[1]), ("aft", away[0]), ("drop", away[2])):
                if not length(cells[f"plumb:{post.id}-{level}:{key}"], value):
                    wrong.append(f"plumb:{post.id}-{level}:{key}")
    return wrong


def test_fixture_says_what_the_boat_says(boat):
    assert fixture_at_odds(texts_of(sheets_of(fixture, refit_of(boat))), refit_of(boat)) == []


def test_base_plates_say_what_the_boat_says():
    worked_out = refit_of("saltwhin-31")
    cells, length = texts_of(sheets_of(base_plates, worked_out)), written(worked_out)
    for post in worked_out.boat.posts:
        base = worked_out.boat.bases[post.base]
        axis, frame = axis_of(post), deck_of(post)
        off = math.acos(min(1.0, float(axis @ frame[2])))
        if base.tube == "to suit the post":
            od = worked_out.boat.tubes[post.tube].od
            assert length(cells[f"plates:{post.id}:foot_long"], od / math.cos(off), 1)
            assert length(cells[f"plates:{post.id}:over_plate"], post.top - base.thickness / math.cos(off), 1)
            continue
        # Corners of a plate square to the tube, and how far each stands over the deck along the tube.
        aft = np.array([1.0, 0.0, 0.0]) - axis[0] * axis
        aft /= np.linalg.norm(aft)
        out = side_of(post.id) * np.cross(axis, aft)
        gaps = {}
        for word, a, b in (
            ("forward outboard", -1, 1), ("aft outboard", 1, 1), ("aft inboard", 1, -1), ("forward inboard", -1, -1),
        ):  # fmt: skip
            corner = 0.5 * (a * base.length * aft + b * base.width * out)
            gaps[word] = float(corner @ frame[2]) / float(axis @ frame[2])
        least = min(gaps.values())
        for word, gap in gaps.items():
            assert length(cells[f"plates:{post.id}:{word}"], gap - least, 1)
        assert length(cells[f"plates:{post.id}:over_plate"], post.top + least - base.thickness, 1)


def test_no_base_no_sheet():
    assert base_plates(refit_of("first-try")) == ()


def dimensions_at_odds(sheets, worked_out):
    """Return the tags of dimensions in the written DXF files that measure or show something else than the boat."""
    how, wrong = numbers(worked_out.boat), []
    for sheet in sheets:
        doc = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
        for entity in doc.modelspace().query("DIMENSION"):
            tag = entity.get_xdata(APPID)[0].value
            kind, name, *rest = tag.split(":")
            wanted = _wanted(worked_out, kind, name, rest)
            if wanted is None:
                continue
            style = doc.dimstyles.get(entity.dxf.dimstyle)
            shown = "".join(text.dxf.text for text in doc.blocks.get(entity.dxf.geometry).query("TEXT"))
            number = float(re.search(r"-?\d+(\.\d+)?", shown.replace("Ø", "")).group())
            measured = None if entity.dimtype == 6 else entity.get_measurement() * style.dxf.dimlfac * how.mm
            if measured is not None and abs(measured - wanted) > 0.01:
                wrong.append(f"{tag} measures")
            if abs(number * how.mm - wanted) > 0.51 * how.mm * 10.0**-how.decimals:
                wrong.append(f"{tag} shows {shown}, wanted {wanted}")
    return wrong


def _wanted(worked_out, kind, name, rest):
    boat = worked_out.boat
    if kind == "offset":
        return abs(dict(zip(("out", "aft"), offsets_of(boat.post(name)), strict=True))[rest[0]])
    if kind == "rule":
        return RULE
    if kind == "hole":
        return boat.post(name[:-2]).holes[name[-1]].diameter
    if kind == "along":
        post = boat.post(name)
        return {"foot": 0.0, "top": post.top, "brace": post.brace.along if post.brace else None}.get(
            rest[0], post.holes[rest[0]].along if rest[0] in post.holes else None
        )
    return None


def test_card_dimensions_in_the_file_are_those_of_the_boat(boat):
    sheets = sheets_of(post_cards, refit_of(boat))[:2]
    assert dimensions_at_odds(sheets, refit_of(boat)) == []


def moved(sheet, tag, by):
    """Return a sheet with the end of one dimension moved."""
    views = []
    for view in sheet.views:
        items = [
            replace(item, end=(item.end[0] + by, item.end[1] + by))
            if isinstance(item, Dimension) and item.tag == tag
            else replace(item, text="999.9")
            if isinstance(item, Ordinate) and item.tag == tag
            else item
            for item in view.items
        ]
        views.append(replace(view, items=tuple(items)))
    return replace(sheet, views=tuple(views))


@pytest.mark.parametrize("tag", ["offset:S-S1:aft", "rule:S-S1:out", "hole:S-S1-U", "along:S-S1:U", "along:S-S1:top"])
def test_a_mutated_dimension_is_caught(tag):
    worked_out = refit_of("saltwhin-31")
    sheet = sheets_of(post_cards, worked_out)[0]
    assert dimensions_at_odds((sheet,), worked_out) == []
    assert dimensions_at_odds((moved(sheet, tag, 1.0),), worked_out) != []


def test_bolts_stand_in_the_file_where_the_boat_file_puts_them():
    worked_out = refit_of("saltwhin-31")
    for sheet, draft in zip(sheets_of(base_plates, worked_out), base_plates(worked_out), strict=True):
        base = worked_out.boat.bases[draft.title.split(",")[0]]
        hand = 1.0 if draft.title.endswith("STARBOARD") else -1.0
        doc = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
        found = {
            (round(c.dxf.center.x, 6), round(c.dxf.center.y, 6), round(2.0 * c.dxf.radius, 6))
            for c in doc.modelspace().query("CIRCLE")
            if c.has_xdata(APPID) and c.get_xdata(APPID)[0].value.startswith("bolt:")
        }
        assert found == {(round(hand * out, 6), round(-aft, 6), base.bolt_hole) for aft, out in base.bolts}
