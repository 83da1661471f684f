"""Clear diameter of a hole, closed forms against the solid kernel's own distance."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from geom import vec
from geom.parts.families.post import DrilledHole, PostSpec
from geom.placement.holes import clear_across, clear_along, clear_diameter
from geom.vec import Vec
from tests.counts import seeds

UP: Vec = (0.0, 0.0, 1.0)


def kernel_clear(solid: Any, centre: Vec, line: Vec) -> float:
    """Twice the kernel's least distance from a line through the centre to the drilled tube [mm]; 0 on contact."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape
    from OCP.gp import gp_Pnt

    start, end = vec.along(centre, line, -400.0), vec.along(centre, line, 400.0)
    edge = BRepBuilderAPI_MakeEdge(gp_Pnt(*start), gp_Pnt(*end)).Edge()
    return 2.0 * float(BRepExtrema_DistShapeShape(edge, solid.wrapped).Value())


def turned(clocking: float, tilt: float) -> Vec:
    return (math.cos(tilt) * math.cos(clocking), math.cos(tilt) * math.sin(clocking), math.sin(tilt))


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(6))
def test_clear_diameter_is_the_kernels_distance(seed: int) -> None:
    """Random tube, wall, hole, hole direction and line, to 0.001 mm; where the line's axis hits metal both say so."""
    pick = random.Random(seed)
    od = pick.uniform(20.0, 33.0)
    wall = pick.uniform(1.2, 2.5)
    diameter = pick.uniform(6.0, 0.8 * (od - 2.0 * wall))
    hole = DrilledHole("U", 200.0, diameter, pick.uniform(-0.5, 0.5), pick.uniform(-0.3, 0.3))
    spec = PostSpec(od, wall, 400.0, (hole,))
    free = math.asin(diameter / od)
    line = turned(hole.clocking + pick.uniform(-0.7, 0.7) * free, hole.tilt + pick.uniform(-0.7, 0.7) * free)
    found = kernel_clear(spec.solid(), (0.0, 0.0, 200.0), line)
    stated = clear_diameter(od, diameter, UP, spec.direction(hole), line)
    assert max(stated, 0.0) == pytest.approx(found, abs=0.001)


@pytest.mark.parametrize(("od", "hole", "degrees"), [(25.0, 8.0, 10.0), (25.0, 14.0, 15.0), (30.0, 10.0, 10.0)])
def test_closed_forms_are_the_kernels_distance(od: float, hole: float, degrees: float) -> None:
    solid = PostSpec(od, 1.5, 400.0, (DrilledHole("U", 200.0, hole),)).solid()
    angle = math.radians(degrees)
    assert kernel_clear(solid, (0.0, 0.0, 200.0), turned(0.0, angle)) == pytest.approx(
        clear_along(od, hole, angle), abs=1e-4
    )
    assert kernel_clear(solid, (0.0, 0.0, 200.0), turned(angle, 0.0)) == pytest.approx(
        clear_across(od, hole, angle), abs=1e-4
    )


def test_some_random_cases_leave_room_and_some_hit_metal() -> None:
    """The random cases say something: a line beyond the hole's free angle has no clear diameter at all."""
    solid = PostSpec(25.0, 1.5, 400.0, (DrilledHole("U", 200.0, 8.0),)).solid()
    steep = turned(math.radians(25.0), 0.0)
    assert kernel_clear(solid, (0.0, 0.0, 200.0), steep) == 0.0
    assert clear_diameter(25.0, 8.0, UP, (1.0, 0.0, 0.0), steep) < 0.0
