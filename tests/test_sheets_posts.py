"""Stanchion schedule and installation check read back from their files, against posts computed independently."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from geom.figure import Text
from geom.refit import refit
from geom.sheets.installation.checks import neighbours
from geom.sheets.installation.sheet import installation_check
from geom.sheets.stanchions.schedule import post_schedule
from geom.tables import numbers
from tests.boats import NAMES, by_id, refit_of, report_of
from tests.made import sheets_by
from tests.post_reference import (
    four_lengths,
    hole_at,
    offsets_of,
    side_of,
)
from tests.sheet_texts import shows, texts_of
from tests.some import some

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


def test_a_foot_changed_behind_the_fixture_is_caught():
    """The sheets of one boat against another that differs in one foot."""
    worked_out = refit_of("saltwhin-31")
    first, *rest = worked_out.boat.posts
    other = first.model_copy(update={"foot": (first.foot[0] + 60.0, *first.foot[1:])})
    changed = refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"posts": (other, *rest)})))
    cells = texts_of(sheets_by(installation_check, worked_out))
    assert fixture_at_odds(cells, worked_out) == []
    assert fixture_at_odds(cells, changed) != []


def said(verdict):
    """Return how the schedule words a verdict: an end that does not pass its hole is made on board."""
    return {"in place": "on board", "cannot tell": "not determined"}.get(verdict, verdict)


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
        assert shows(cells[f"posts:{name}:plate_total"], stated["plate_total_deg"], 1)
        for key, value in zip("xyz", post.foot, strict=True):
            assert length(cells[f"posts:{name}:foot_{key}"], value, 1)
    for name, stated in by_id(report["holes"]).items():
        post, level = worked_out.boat.post(stated["post"]), stated["level"]
        assert length(cells[f"holes:{name}:along"], post.holes[level].along, 1)
        assert length(cells[f"holes:{name}:above_foot"], hole_at(post, level)[2] - post.foot[2])
        assert cells.get(f"holes:{name}:eye", "") == ("" if stated["run"] is None else said(stated["eye"]["verdict"]))
        clear, _, touches = cells.get(f"holes:{name}:square", "").partition(", ")
        square = stated["if_square"]
        assert clear == "" if square is None else length(clear, square["clear_mm"])
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


def test_the_check_marks_lengths_between_posts_whose_tape_disagrees():
    """SALTWHIN 31: S-S3 to S-S4 taped 702, by coordinates 720.5; no tape of the others is flagged."""
    notes = " ".join(
        item.text for item in sheets_by(installation_check, refit_of("saltwhin-31"))[0].items if isinstance(item, Text)
    )
    number = next(pair.number for pair in neighbours(refit_of("saltwhin-31"), "S") if pair.a.id == "S-S3")
    assert f"{number}a to {number}d: S-S3-U to S-S4-U taped 702.0, by coordinates 720.5 mm" in notes
    assert notes.count(" taped ") == 1
    other = sheets_by(installation_check, refit_of("pipwing-25"))[0]
    assert not any(" taped " in item.text for item in other.items if isinstance(item, Text))


def test_the_installation_check_agrees_with_the_boat(boat):
    assert fixture_at_odds(texts_of(sheets_by(installation_check, refit_of(boat))), refit_of(boat)) == []


def away_from(point, line):
    """Return the distance of a point from a straight stroke."""
    start, end = np.asarray(line.start), np.asarray(line.end)
    share = np.clip((np.asarray(point) - start) @ (end - start) / ((end - start) @ (end - start)), 0.0, 1.0)
    return float(np.linalg.norm(np.asarray(point) - start - share * (end - start)))


def test_every_numbered_length_is_lettered_at_its_own_line(boat):
    """The lettering of a row's number stands nearer to the line between the row's marks than to any other."""
    for sheet in some(sheets_by(installation_check, refit_of(boat))):
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
            pairs = {number[:-1] for number in lines if f"length:{number}" not in drawn}
            for number in (*lines, *pairs):
                if number[:-1] in pairs:
                    continue
                lettering = drawn[f"length:{number}"]
                middle = (lettering.at[0], lettering.at[1] + 0.5 * lettering.height / view.scale)
                # Without room for letters the pair's number stands at the line from upper to upper hole.
                meant = f"{number}a" if number in pairs else number
                assert min(lines, key=lambda other, m=middle, of=lines: away_from(m, of[other])) == meant
        assert found == len(rows)


def test_a_heeled_boat_is_warned_of_and_a_post_that_leans_in():
    """One degree moves a hole at 615 mm by 10.7 mm: 615 sin 1 deg = 10.73."""
    measured = refit_of("saltwhin-31")
    designed = refit(replace(measured.loaded, boat=measured.boat.model_copy(update={"survey": "as designed"})))
    said = [
        " ".join(
            item.text for sheet in sheets_by(installation_check, of) for item in sheet.items if isinstance(item, Text)
        )
        for of in (measured, designed, refit_of("pipwing-25"))
    ]
    assert all("level" in notes and "S-S1-U by 10.7 mm" in notes for notes in said[:2])
    # As measured the one that leans in is held to be bent; as designed it may be meant.
    assert ["confirm before fabrication" in notes for notes in said] == [False, True, False]
    assert ["P-S3: on hold" in notes for notes in said[:2]] == [True, False]


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
def test_no_list_of_the_installation_check_is_parted_where_all_stand_whole(name):
    (sheet,) = sheets_by(installation_check, refit_of(name))
    assert not [text for text in texts_of((sheet,)).values() if "continued" in text]


@pytest.mark.parametrize(("name", "lettered"), [("saltwhin-31", 0), ("pipwing-25", 7)])
def test_the_pairs_of_a_view_have_letters_or_numbers_alike(name, lettered):
    """Ten pairs of SALTWHIN with one of them lettered by chance read as ten kinds of measurement."""
    texts = texts_of(sheets_by(installation_check, refit_of(name)))
    assert sum(re.fullmatch(r"length:\d+a", tag) is not None for tag in texts) == lettered
