"""Tube wraps laid back round the tube: marks on the solid's hole axes, outlines on both cylinders, foot on a plate."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geom import vec
from geom.figure import Text
from geom.placement.pads import deck_frame
from geom.placement.place import side_sign
from geom.render.faults import faults
from geom.sheets.aids.page import aid_papers
from geom.sheets.aids.tube_wrap import tube_wrap
from geom.sheets.aids.unrolled import EXITS, foot_cut, unroll
from geom.solids.posts import post_spec
from tests.boats import NAMES, refit_of
from tests.counts import TIMES
from tests.full_size_marks import lines_of, on_page, outlines_of, pages_of, sets_of
from tests.some import some


def wrapped(x: float, y: float, aft_line: float, radius: float):
    """Return where a point of the flat sheet comes to lie in the post's frame: X aft, Y to starboard, Z up the tube.

    Seen from outside, the foot down, a sheet runs to the right counter-clockwise as seen from above.
    """
    angle = (x - aft_line) / radius
    return (radius * math.cos(angle), radius * math.sin(angle), y)


@cache
def hole_axes(spec):
    """Return axis point and direction of every cylindrical face of the solid, by its radius."""
    found = []
    for face in spec.solid().Faces():
        if face.geomType() == "CYLINDER":
            cylinder = face._geomAdaptor().Cylinder()
            place, way = cylinder.Axis().Location(), cylinder.Axis().Direction()
            found.append((cylinder.Radius(), (place.X(), place.Y(), place.Z()), (way.X(), way.Y(), way.Z())))
    return found


def off_axis(point, place, way) -> float:
    return vec.norm(vec.cross(vec.sub(point, place), way))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("boat", NAMES)
def test_marks_of_the_printed_wrap_lie_on_the_hole_axes_of_the_solid(boat, paper):
    refit = refit_of(boat)
    name = f"tube-wraps-{paper}"
    worst, seen = 0.0, set()
    for post in refit.placed.posts.values():
        spec = post_spec(post, refit.placed.drillings)
        axes = hole_axes(spec)
        radius = post.tube_od / 2.0
        for sheet, (_, _, strokes, _) in zip(sets_of(boat)[name], pages_of(boat, name), strict=True):
            for view in sheet.views:
                if not view.name.startswith(f"wrap-{post.id}-"):
                    continue
                aft_line = lines_of(view, f"direction:{post.id}:AFT")[0].start[0]
                for across in lines_of(view, "centre:"):
                    _, hole, at, way = across.tag.split(":")
                    if way != "across":
                        continue
                    (up,) = lines_of(view, f"centre:{hole}:{at}:up")
                    for line in (across, up):
                        ends = [(view.origin[0] + x, view.origin[1] + y) for x, y in (line.start, line.end)]
                        assert on_page(strokes, *ends)
                    mark = wrapped(up.start[0], across.start[1], aft_line, radius)
                    bore = post.hole(hole[-1]).diameter / 2.0
                    miss = min(off_axis(mark, p, d) for r, p, d in axes if abs(r - bore) < 1e-6)
                    worst = max(worst, miss)
                    aft_end = next(c for c in spec.holes() if c.name == hole[-1]).direction
                    assert (vec.dot(mark, (aft_end[0], aft_end[1], 0.0)) > 0.0) == (at == "aft")
                    seen.add((hole, at))
    assert worst < 0.05
    print(f"{boat} {paper}: worst mark off its axis {worst:.2e} mm")
    assert seen == {(hole.id, at) for _, hole in refit.placed.holes() for at in EXITS}


@pytest.mark.parametrize("boat", NAMES)
def test_developed_outlines_lie_on_both_cylinders_and_on_the_solid(boat):
    import cadquery as cq

    refit = refit_of(boat)
    for post in some(list(refit.placed.posts.values())[::3]):
        spec = post_spec(post, refit.placed.drillings)
        solid, axes = spec.solid(), hole_axes(spec)
        views = [view for sheet in sets_of(boat)["tube-wraps-a4"] for view in sheet.views]
        mine = [view for view in views if view.name.startswith(f"wrap-{post.id}-")]
        for view, outline in some((one, cut) for one in mine for cut in outlines_of(one, "exit:")):
            aft_line = lines_of(view, f"direction:{post.id}:AFT")[0].start[0]
            hole = outline.tag.split(":")[1]
            bore = post.hole(hole[-1]).diameter / 2.0
            assert outline.closed
            for index, (x, y) in enumerate(outline.points):
                point = wrapped(x, y, aft_line, post.tube_od / 2.0)
                near = min(abs(off_axis(point, p, d) - r) for r, p, d in axes if abs(r - bore) < 1e-6)
                assert near < 1e-6
                if index % 12 == 0:
                    assert solid.distance(cq.Vertex.makeVertex(*point)) < 1e-5


def test_outline_of_a_square_hole_by_hand():
    """A hole of 12.7 mm square through a tube of 25.4 mm: half the height is 6.35, half the width 12.7 asin(1/2)."""
    refit = refit_of("pipwing-25")
    post = refit.placed.posts["S-S1"]
    hole = replace(post.holes[0], diameter=12.7)
    straight = replace(refit.placed.drillings[hole.id], clocking=0.0, tilt=0.0)
    flat = unroll(replace(post, holes=(hole,)), {hole.id: straight})
    for at in EXITS:
        x, y = flat.centre(flat.holes[0], at)
        points = flat.outline(flat.holes[0], at)
        assert y == pytest.approx(hole.along)
        assert max(v for _, v in points) - y == pytest.approx(6.35)
        assert max(u for u, _ in points) - x == pytest.approx(12.7 * math.asin(0.5))
    assert flat.width == pytest.approx(79.7965, abs=1e-4)


def test_outboard_lies_to_the_right_of_aft_on_starboard_and_to_the_left_on_port():
    refit = refit_of("saltwhin-31")
    for sheet in some(sets_of("saltwhin-31")["tube-wraps-a4"]):
        for view in some(sheet.views):
            post = view.name.removeprefix("wrap-").rsplit("-", 1)[0]
            aft, out = (lines_of(view, f"direction:{post}:{word}")[0].start[0] for word in ("AFT", "OUTBOARD"))
            quarter = math.pi * refit.placed.posts[post].tube_od / 4.0
            assert out - aft == pytest.approx(quarter if post.startswith("S") else -quarter)


def test_the_foot_s_line_lies_on_the_plate_s_upper_face():
    refit = refit_of("saltwhin-31")
    seen = 0
    for post in refit.placed.posts.values():
        base = refit.boat.bases[post.spec.base]
        flat = unroll(post, refit.placed.drillings)
        points = foot_cut(flat, base)
        hand = side_sign(post.side)
        for x, y in points:
            angle = flat.seam + x / flat.radius
            out = vec.add(
                vec.scale(post.fore_and_aft, math.cos(angle)), vec.scale(post.outboard, hand * math.sin(angle))
            )
            place = vec.add(vec.scale(out, post.tube_od / 2.0), vec.scale(post.axis, y))
            if base.tube == "to suit the post":
                assert vec.dot(place, deck_frame(post).normal) == pytest.approx(base.thickness, abs=1e-9)
                seen += 1
        if base.tube == "square to the plate":
            assert len({round(y, 9) for _, y in points}) == 1
    assert seen


@st.composite
def odd_posts(draw):
    """Return a post with its drillings that no demonstration boat has: tubes, bores, clockings, tilts, bases."""
    refit = refit_of("saltwhin-31")
    post = draw(st.sampled_from(list(refit.placed.posts.values())))
    od = draw(st.sampled_from([22.0, 25.0, 25.4, 28.0, 30.0, 33.7, 40.0, 48.3]))
    top = draw(st.floats(260.0, 800.0))
    bore = draw(st.floats(6.0, 0.6 * od))
    count = draw(st.integers(1, 3))
    holes, drillings = [], dict(refit.placed.drillings)
    down = draw(st.floats(0.75 * bore + 3.0, 1.5 * bore + 8.0))
    for level, k in zip("UML", range(count), strict=False):
        along = top - down - k * top / 3.5
        hole = replace(post.holes[0], id=f"{post.id}-{level}", level=level, diameter=bore, along=along)
        holes.append(hole)
        drillings[hole.id] = replace(
            next(iter(drillings.values())),
            hole=hole.id,
            clocking=math.radians(draw(st.floats(-85.0, 85.0))),
            tilt=math.radians(draw(st.floats(-12.0, 12.0))),
        )
    base = draw(st.sampled_from([None, "welded plate", "standard base"]))
    spec = post.spec.model_copy(update={"base": base})
    placed = replace(refit.placed, drillings=drillings)
    return replace(refit, placed=placed), replace(post, tube_od=od, top=top, holes=tuple(holes), spec=spec)


@pytest.mark.long
@settings(max_examples=10 * TIMES, deadline=None, derandomize=TIMES == 1, suppress_health_check=[HealthCheck.too_slow])
@given(odd_posts(), st.sampled_from([0.0, 0.1, 0.25]))
def test_any_post_s_wrap_has_no_fault_and_says_which_post_it_is(case, thickness):
    refit, post = case
    for paper in some(aid_papers(upright=True)):
        sheets = tube_wrap(refit, post, paper, thickness)
        for sheet in sheets:
            assert faults(sheet) == []
            for view in sheet.views:
                texts = [item.text for item in view.items if isinstance(item, Text)]
                for word in ("AFT", "FWD", "OUTBOARD", "INBOARD", "UP", post.id):
                    assert any(text.startswith(word) for text in texts), word
        stated = [
            item.text for sheet in sheets for view in sheet.views for item in view.items if isinstance(item, Text)
        ]
        assert all(hole.id in stated for hole in post.holes)
