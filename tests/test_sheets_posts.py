"""Post schedule, cards and fixture read back from their files, against posts worked out apart."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from itertools import pairwise

import ezdxf
import numpy as np
import pytest

from geom.figure import Dimension, Ordinate, Text
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.sheets.installation.checks import neighbours
from geom.sheets.installation.sheet import fixture
from geom.sheets.stanchions.cards import post_cards
from geom.sheets.stanchions.schedule import post_schedule
from geom.tables import numbers
from tests.boats import NAMES, by_id, refit_of, report_of
from tests.made import sheets_by
from tests.post_reference import (
    axis_of,
    brace_of,
    clocking_seen,
    deck_of,
    four_lengths,
    hole_at,
    offsets_of,
    pad_on_axis,
    side_of,
)
from tests.sheet_texts import shows, texts_of
from tests.some import some

APPID = "TOERAIL"
# At which height over the deck sheets give offsets: round, and on the shortest tube (612 mm, 18.25 in, 522 mm).
HEIGHT = {"SALTWHIN 31": 600.0, "PIPWING 25": 18.0 * 25.4, "FIRST TRY": 500.0}


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


def written(worked_out):
    """Return what checks a length as text: finer where inches carry a further decimal."""
    fmt = numbers(worked_out.boat)

    def check(text, value, finer=0):
        return shows(text, value / fmt.mm, fmt.decimals + (finer if fmt.unit == "in" else 0))

    return check


def worded(text, value, decimals, plus, minus, none=""):
    """Return whether a text is a value's size with the word of its direction, or the word for none."""
    number, _, word = text.replace("°", "").partition(" ")
    wanted = none if float(number) == 0.0 else plus if value > 0.0 else minus
    return shows(number, abs(value), decimals) and word == wanted


def measured_or_planned(hole):
    """Return whether somebody stated the direction or asks for it; of others the axis is only computed."""
    return hole.planned is not None or hole.as_found.direction != "unknown"


def unbracketed(text, hole):
    """Return a text without the brackets that it must have where the direction is computed, else what is no number."""
    if measured_or_planned(hole):
        return text
    return text[1:-1] if text[0] + text[-1] == "()" else "nan not-in-brackets"


def cards_at_odds(cells, worked_out):
    """Return the tags of a set of post cards that do not say what the boat says."""
    length, fmt = written(worked_out), numbers(worked_out.boat)
    height = HEIGHT[worked_out.boat.boat.name]
    rope_holes = {
        f"{post}-{run.level}"
        for run in worked_out.boat.runs
        if not worked_out.boat.lines[run.line].construction.endswith("wire")
        for post in run.through
    }
    wrong = []
    named = [tag.split(":")[1] for tag in cells if tag.startswith("quantity:") and tag.endswith(":S")]
    for name in named:
        post = worked_out.boat.post(name)
        axis, frame = axis_of(post), deck_of(post)
        out, aft = offsets_of(post, rule=height)
        column = "planned" if worked_out.boat.survey == "as designed" and post.intended is None else "found"
        checks = {
            f"{column}:{name}:offset-out": lambda t, v=out: worded(t, v / fmt.mm, fmt.decimals, "outboard", "inboard"),
            f"{column}:{name}:offset-aft": lambda t, v=aft: worded(t, v / fmt.mm, fmt.decimals, "aft", "forward"),
            f"{column}:{name}:plate-out": lambda t, v=out: worded(
                t, math.degrees(math.atan(v / height)), 2, "outboard", "inboard"
            ),
            f"{column}:{name}:plate-aft": lambda t, v=aft: worded(
                t, math.degrees(math.atan(v / height)), 2, "aft", "forward"
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
            checks |= {
                f"card:{name}-{level}:along": lambda t, v=hole.along: length(t, v, 1),
                f"card:{name}-{level}:aft": lambda t, v=hole.along + rise, h=hole: length(unbracketed(t, h), v, 1),
                f"card:{name}-{level}:fwd": lambda t, v=hole.along - rise, h=hole: length(unbracketed(t, h), v, 1),
                f"card:{name}-{level}:clock": lambda t, v=turn, h=hole: worded(
                    unbracketed(t, h), v, 1, "outboard", "inboard"
                ),
                f"clock:{name}-{level}": lambda t, v=turn, h=hole: worded(
                    unbracketed(t, h), v, 1, "outboard", "inboard"
                ),
                f"basis:{name}-{level}": lambda t, h=hole: ("NOT MEASURED" in t) != measured_or_planned(h),
                f"card:{name}-{level}:bush": lambda t, n=f"{name}-{level}": (
                    t == "not chosen" if n in rope_holes else t == "none"
                ),
            }
        if post.brace is not None:
            aft, out, up, slant, tilt = brace_of(post)
            checks |= {
                f"brace:{name}:aft": lambda t, v=aft: worded(t, v / fmt.mm, fmt.decimals, "aft", "forward"),
                f"brace:{name}:out": lambda t, v=out: worded(t, v / fmt.mm, fmt.decimals, "outboard", "inboard"),
                f"brace:{name}:up": lambda t, v=up: worded(t, v / fmt.mm, fmt.decimals, "above", "below", "level"),
                f"brace:{name}:slant": lambda t, v=slant: length(t, v),
                f"brace:{name}:angle": lambda t, v=tilt: shows(t.rstrip("°"), math.degrees(v), 1),
            }
        wrong += [tag for tag, check in checks.items() if tag not in cells or not check(cells[tag])]
    return wrong


def test_cards_say_what_the_boat_says(boat):
    worked_out = refit_of(boat)
    cells = texts_of(sheets_by(post_cards, worked_out))
    assert len(cells) > 30
    assert cards_at_odds(cells, worked_out) == []


def test_every_post_is_on_one_card(boat):
    cells = texts_of(sheets_by(post_cards, refit_of(boat)))
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
    cells = texts_of(sheets_by(make, worked_out))
    assert at_odds(cells, worked_out) == []
    assert at_odds(cells, changed) != []


def test_schedule_says_what_the_check_says(boat):
    worked_out, report = refit_of(boat), report_of(boat)
    cells, length = texts_of(sheets_by(post_schedule, worked_out)), written(worked_out)
    for name, stated in some(by_id(report["posts"]).items()):
        post = worked_out.boat.post(name)
        height = HEIGHT[worked_out.boat.boat.name]
        out, aft = offsets_of(post, rule=height)
        assert length(cells[f"posts:{name}:offset_out"], out)
        assert length(cells[f"posts:{name}:offset_aft"], aft)
        assert length(cells[f"posts:{name}:plumb_out"], height * math.tan(post.lean))
        assert shows(cells[f"posts:{name}:plate_total"], stated["plate_total_deg"], 2)
        for key, value in zip("xyz", post.foot, strict=True):
            assert length(cells[f"posts:{name}:foot_{key}"], value, 1)
    for name, stated in by_id(report["holes"]).items():
        post, level = worked_out.boat.post(stated["post"]), stated["level"]
        assert length(cells[f"holes:{name}:along"], post.holes[level].along, 1)
        assert length(cells[f"holes:{name}:above_foot"], hole_at(post, level)[2] - post.foot[2])
        assert cells[f"holes:{name}:eye"] == ("-" if stated["run"] is None else stated["eye"]["verdict"])
        clear, _, touches = cells[f"holes:{name}:square"].partition(", ")
        square = stated["if_square"]
        assert clear == "-" if square is None else length(clear, square["clear_mm"])
        assert touches == ("touches" if square and square["touches_both_lips"] else "")


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
        for kind, (value, moved) in zip(("uu", "ll", "ul", "lu"), faces_of(worked_out.boat, a, b), strict=True):
            tag = f"fixture:{key}:{a.id}:{b.id}:{kind}"
            if not length(cells[f"{tag}:faces"], value):
                wrong.append(f"{tag}:faces")
            if not (cells[f"{tag}:limit"] == "-" if moved == 0.0 else length(cells[f"{tag}:limit"], moved)):
                wrong.append(f"{tag}:limit")
    for post in posts.values():
        for level in post.holes:
            away = hole_at(post, level) - np.asarray(post.foot)
            tag, along = f"plumb:{post.id}-{level}", post.holes[level].along
            # One millimetre of place along the tube, half a degree more of the angle it already has off plumb.
            tilt = math.acos(away[2] / along)
            rise = 1.0 + away[2] - along * math.cos(tilt + math.radians(0.5))
            wanted = {"height": away[2], "limit": along * math.tan(math.radians(0.5)), "height-limit": rise}
            wrong += [f"{tag}:{key}" for key, value in wanted.items() if not length(cells[f"{tag}:{key}"], value)]
            ways = (("out", side_of(post.id) * away[1], "inboard"), ("aft", away[0], "fwd"))
            for key, value, minus in ways:
                number, _, word = cells[f"{tag}:{key}"].partition(" ")
                if not length(number, abs(value)) or word != ("" if value > 0.0 or float(number) == 0.0 else minus):
                    wrong.append(f"{tag}:{key}")
    return wrong


def faces_of(boat, a, b):
    """Return of the four lengths what lies between the tubes' near faces, and what half a degree at both feet moves.

    A face stands abreast of its mark, square off the tube's axis, as far as the tube's radius.
    """

    def marks(post):
        found = sorted((hole_at(post, level) for level in post.holes), key=lambda p: p[2])
        low = np.asarray(post.foot) if len(found) == 1 else found[0]
        return found[-1], low

    def face(post, at, other):
        axis = np.array([math.tan(post.rake), side_of(post.id) * math.tan(post.lean), 1.0])
        axis /= np.linalg.norm(axis)
        across = np.cross(axis, np.cross(other - at, axis))
        return at + 0.5 * boat.tubes[post.tube].od * across / np.linalg.norm(across)

    (a_up, a_low), (b_up, b_low) = marks(a), marks(b)
    for p, q in ((a_up, b_up), (a_low, b_low), (a_up, b_low), (a_low, b_up)):
        up = [float(np.linalg.norm(at - np.asarray(post.foot))) for at, post in ((p, a), (q, b))]
        apart = float(np.linalg.norm(face(a, p, q) - face(b, q, p)))
        yield apart, sum(up) * math.tan(math.radians(0.5))


def test_the_fixture_doubts_lengths_between_posts_whose_tape_disagrees():
    """SALTWHIN 31: S-S3 to S-S4 taped 702, by coordinates 720.5; no tape of the others is flagged."""
    notes = " ".join(
        item.text for item in sheets_by(fixture, refit_of("saltwhin-31"))[0].items if isinstance(item, Text)
    )
    number = next(pair.number for pair in neighbours(refit_of("saltwhin-31"), "S") if pair.a.id == "S-S3")
    assert f"{number}a to {number}d: S-S3-U to S-S4-U was taped 702.0, by coordinates it is 720.5 mm" in notes
    assert notes.count("was taped") == 1
    other = sheets_by(fixture, refit_of("pipwing-25"))[0]
    assert not any("was taped" in item.text for item in other.items if isinstance(item, Text))


def test_fixture_says_what_the_boat_says(boat):
    assert fixture_at_odds(texts_of(sheets_by(fixture, refit_of(boat))), refit_of(boat)) == []


def away_from(point, line):
    """Return the distance of a point from a straight stroke."""
    start, end = np.asarray(line.start), np.asarray(line.end)
    share = np.clip((np.asarray(point) - start) @ (end - start) / ((end - start) @ (end - start)), 0.0, 1.0)
    return float(np.linalg.norm(np.asarray(point) - start - share * (end - start)))


def test_every_numbered_length_is_lettered_at_its_own_line(boat):
    """The lettering of a row's number stands nearer to the line between the row's marks than to any other."""
    for sheet in some(sheets_by(fixture, refit_of(boat))):
        cells = texts_of((sheet,))
        rows = [tag.removesuffix(":number") for tag in cells if tag.startswith("fixture:") and tag.endswith(":number")]
        assert rows and sheet.views
        found = 0
        for view in sheet.views:
            drawn = {item.tag: item for item in view.items if item.tag}
            lines = {
                cells[f"{row}:number"]: line
                for row in rows
                if (line := drawn.get(f"taped:{cells[f'{row}:from']}:{cells[f'{row}:to']}")) is not None
            }
            found += len(lines)
            for number in lines:
                lettering = drawn[f"length:{number}"]
                middle = (lettering.at[0], lettering.at[1] + 0.5 * lettering.height / view.scale)
                assert min(lines, key=lambda other, m=middle, of=lines: away_from(m, of[other])) == number
        assert found == len(rows)


def test_a_heeled_boat_is_warned_of_and_a_post_that_leans_in():
    """One degree moves a hole at 615 mm by 10.7 mm: 615 sin 1 deg = 10.73."""
    lines = [item.text for sheet in sheets_by(fixture, refit_of("saltwhin-31")) for item in sheet.items
             if hasattr(item, "text")]  # fmt: skip
    notes = " ".join(lines)
    assert "level" in notes and "S-S1-U by 10.7 mm" in notes
    assert "confirm before fabrication" in notes
    assert "confirm before fabrication" not in " ".join(
        item.text for sheet in sheets_by(fixture, refit_of("pipwing-25")) for item in sheet.items
        if hasattr(item, "text")
    )  # fmt: skip


def dimensions_at_odds(sheets, worked_out):
    """Return the tags of dimensions in the written DXF files that measure or show something else than the boat."""
    fmt, wrong = numbers(worked_out.boat), []
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
            measured = None if entity.dimtype == 6 else entity.get_measurement() * style.dxf.dimlfac * fmt.mm
            if measured is not None and abs(measured - wanted) > 0.01:
                wrong.append(f"{tag} measures")
            if abs(number * fmt.mm - wanted) > 0.51 * fmt.mm * 10.0**-fmt.decimals:
                wrong.append(f"{tag} shows {shown}, wanted {wanted}")
    return wrong


def _wanted(worked_out, kind, name, rest):
    boat = worked_out.boat
    if kind == "offset":
        found = offsets_of(boat.post(name), rule=HEIGHT[boat.boat.name])
        return abs(dict(zip(("out", "aft"), found, strict=True))[rest[0]])
    if kind == "rule":
        return HEIGHT[boat.boat.name]
    if kind == "cut":
        post, axis = boat.post(name), axis_of(boat.post(name))
        base = boat.bases[post.base]
        if base.tube == "to suit the post":
            return post.top - base.thickness / float(axis @ deck_of(post)[2])
        return post.top - base.thickness - pad_on_axis(post, base)
    if kind == "hole":
        return boat.post(name[:-2]).holes[name[-1]].diameter
    if kind == "along":
        post = boat.post(name)
        return {"foot": 0.0, "top": post.top, "brace": post.brace.along if post.brace else None}.get(
            rest[0], post.holes[rest[0]].along if rest[0] in post.holes else None
        )
    return None


def test_card_dimensions_in_the_file_are_those_of_the_boat(boat):
    sheets = sheets_by(post_cards, refit_of(boat))[:2]
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


@pytest.mark.parametrize("tag", ["offset:S-S1:aft", "rule:S-S1:out", "hole:S-S1-U", "along:S-S1:U", "cut:S-S1"])
def test_a_mutated_dimension_is_caught(tag):
    worked_out = refit_of("saltwhin-31")
    sheet = sheets_by(post_cards, worked_out)[0]
    assert dimensions_at_odds((sheet,), worked_out) == []
    assert dimensions_at_odds((moved(sheet, tag, 1.0),), worked_out) != []
