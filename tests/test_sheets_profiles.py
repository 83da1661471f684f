"""The profiles read back: heights, openings and lowest places against the boat computed independently."""

from __future__ import annotations

import io
import math
from fractions import Fraction
from itertools import pairwise

import ezdxf
import numpy as np
import pytest

from geom.drafting.rail_lines import plan_rails, profile_rails
from geom.figure import Dimension
from geom.render.dxf import dxf_bytes
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.profiles.sheet import profiles
from geom.tables import numbers
from tests.boats import NAMES, refit_of, report_of
from tests.made import sheets_by
from tests.post_reference import hole_at
from tests.sheet_texts import rounded, shows, texts_of
from tests.some import some


def sheet_of(name):
    return sheets_by(profiles, refit_of(name))[0]


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


def says(cells, tag, value, fmt):
    """Return whether a cell gives a length: rounded, or finer with a star where it fails a rule."""
    if f"star:{tag}" in cells:
        return shows(cells[tag], value / fmt.mm, fmt.decimals)
    return cells[tag] == rounded(value, fmt)


def length_of(text, fmt):
    """Return the length of a cell [mm]."""
    return math.fsum(float(Fraction(part)) for part in text.split()) * fmt.mm


def edge_height(edge, x):
    return float(np.interp(x, [p[0] for p in edge], [p[2] for p in edge]))


def test_heights_and_openings(boat):
    worked_out, cells = refit_of(boat), texts_of([sheet_of(boat)])
    fmt = numbers(worked_out.boat)
    for post in some(worked_out.boat.posts):
        edge = worked_out.boat.edge(post.side)
        heights = sorted(hole_at(post, level)[2] for level in post.holes)
        for level in some(post.holes):
            x, _, z = hole_at(post, level)
            assert says(cells, f"height:{post.id}-{level}", z - post.foot[2], fmt)
            assert says(cells, f"edge:{post.id}-{level}", z - edge_height(edge, x), fmt)
        if max(len(other.holes) for other in worked_out.boat.posts) == 1:
            # The one opening would repeat the height.
            assert f"opening:{post.id}:1" not in cells
            continue
        for number, (low, high) in enumerate(pairwise([post.foot[2], *heights]), 1):
            assert says(cells, f"opening:{post.id}:{number}", high - low, fmt)


def test_lowest_places_of_spans(boat):
    worked_out, cells = refit_of(boat), texts_of([sheet_of(boat)])
    fmt = numbers(worked_out.boat)
    for run in some(report_of(boat)["runs"]):
        points = worked_out.placed.runs[run["id"]].points
        edge = worked_out.boat.edge(run["side"])
        for number, (a, b) in some(enumerate(pairwise(points), 1)):
            knuckles = [p[0] for p in edge if a[0] < p[0] < b[0]]
            stations = np.concatenate([np.linspace(a[0], b[0], 4001), knuckles])
            gaps = np.interp(stations, [a[0], b[0]], [a[2], b[2]]) - [edge_height(edge, x) for x in stations]
            assert says(cells, f"lowest:{run['id']}:{number}", gaps.min(), fmt)
            at = worked_out.placed.span_heights[run["id"]][number - 1].at_x
            assert cells[f"at:{run['id']}:{number}"] == rounded(at, fmt)
            line = np.interp(at, [a[0], b[0]], [a[2], b[2]])
            assert line - edge_height(edge, at) == pytest.approx(gaps.min(), abs=0.05)


def test_spans_stand_on_the_deck_plan_alone(boat):
    """Each figure stands once as a dimension: those here are of gates."""
    tags = {item.tag for view in sheet_of(boat).views for item in view.items if isinstance(item, Dimension)}
    assert all(tag.startswith("gate:") for tag in tags)


def test_paper_and_scale_are_the_deck_plan_s():
    for name in some(NAMES):
        plan, own = deck_plan(refit_of(name))[0], sheet_of(name)
        assert own.width >= plan.paper.width and own.views[0].scale <= plan.views[0].scale
    assert sheet_of("saltwhin-31").views[0].scale == deck_plan(refit_of("saltwhin-31"))[0].views[0].scale


def test_rail_eyes_have_a_column_with_their_height_over_the_edge(boat):
    worked_out, cells = refit_of(boat), texts_of([sheet_of(boat)])
    fmt = numbers(worked_out.boat)
    for eye in worked_out.boat.eyes:
        above = eye.at[2] - edge_height(worked_out.boat.edge(eye.id[0]), eye.at[0])
        assert says(cells, f"edge:{eye.id}", above, fmt)
    assert {cells[f"name:{side}-{rail}"] for side in "SP" for rail in ("pulpit", "pushpit")} == {"PULPIT", "PUSHPIT"}


def test_heights_under_the_limit_of_a_failed_rule_carry_a_star(boat):
    """By the report alone: each figure of a side's level under the greatest height required by a failed rule."""
    report, cells = report_of(boat), texts_of([sheet_of(boat)])
    fmt = numbers(refit_of(boat).boat)
    required_by: dict[str, float] = {}
    for one in report["findings"]:
        if one["verdict"] == "fail" and "height" in one["quantity"] and one["post"] is not None and one["binding"]:
            required_by[one["post"][0]] = max(one["limit"], required_by.get(one["post"][0], 0.0))
    levels = {hole.id: hole.level for _, hole in refit_of(boat).placed.holes()}
    for tag, text in cells.items():
        if not tag.startswith(("height:", "edge:")) or not text:
            continue
        place = tag.partition(":")[2]
        upper = levels.get(place, place[-1]) == "U"
        short = (
            upper and place[0] in required_by and length_of(text, fmt) < required_by[place[0]] - 0.5 / 10**fmt.decimals
        )
        assert (f"star:{tag}" in cells) == short, tag
    assert (
        any(tag.startswith("star:") for tag in cells) == bool(required_by) == (boat != "first-try" or bool(required_by))
    )


def test_gate_dimensions_measure_between_the_tubes():
    worked_out, sheet = refit_of("saltwhin-31"), sheet_of("saltwhin-31")
    doc = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
    found = {
        entity.get_xdata("TOERAIL")[0].value: entity.get_measurement()
        for entity in doc.modelspace().query("DIMENSION")
        if entity.has_xdata("TOERAIL")
    }
    for gate in some(worked_out.boat.gates):
        a, b = (worked_out.boat.post(name) for name in gate.posts)
        tubes = [worked_out.boat.tubes[post.tube].od for post in (a, b)]
        clear = math.dist(hole_at(a, "U"), hole_at(b, "U")) - sum(tubes) / 2.0
        assert found[f"gate:{gate.id}:U"] == pytest.approx(clear, abs=0.01)


def test_every_gate_pin_is_drawn_where_the_line_ends():
    worked_out, sheet = refit_of("saltwhin-31"), sheet_of("saltwhin-31")
    for view in some(sheet.views):
        turn = -1.0 if view.name.endswith("-S") else 1.0
        pins = {item.tag: item.centre for item in view.items if getattr(item, "tag", "").startswith("pin:")}
        wanted = {
            f"pin:{run.id}:{name}": (turn * point[0], point[2])
            for run in worked_out.placed.runs.values()
            for name, point in ((run.names[0], run.points[0]), (run.names[-1], run.points[-1]))
            if run.side == view.name[-1] and name in worked_out.placed.posts
        }
        assert pins.keys() == wanted.keys() and len(pins) == 8
        assert all(pins[tag] == pytest.approx(wanted[tag]) for tag in wanted)


def test_rails_are_drawn_on_plan_and_profiles_where_the_file_gives_them():
    """Each tube's corners' middles lie on the plan, its legs on the side where they stand; none without rails."""
    worked_out = refit_of("saltwhin-31")
    plan = {item.tag: item for item in plan_rails(worked_out)}
    for word, rail in worked_out.boat.rails.items():
        line = plan[f"rail:{word}"]
        for a, b in pairwise(rail.points):
            middle = tuple(0.5 * (p + q) for p, q in zip(a, b, strict=True))[:2]
            assert _off(middle, line.points) < 1e-6
    for side, sign in (("S", 1.0), ("P", -1.0)):
        for item in profile_rails(worked_out, side, 1.0):
            rail = worked_out.boat.rails[item.tag.removeprefix("profile-rail:")]
            legs = [point for point in (rail.points[0], rail.points[-1]) if sign * point[1] > 0.0]
            assert all(_off((x, z), item.points) < 1e-6 for x, _, z in legs) and legs
    assert plan_rails(refit_of("pipwing-25")) == []


def _off(point, chain):
    found = math.inf
    for a, b in pairwise(chain):
        way = (b[0] - a[0], b[1] - a[1])
        square = way[0] ** 2 + way[1] ** 2
        if square == 0.0:
            continue
        share = min(max(((point[0] - a[0]) * way[0] + (point[1] - a[1]) * way[1]) / square, 0.0), 1.0)
        found = min(found, math.dist(point, (a[0] + share * way[0], a[1] + share * way[1])))
    return found
