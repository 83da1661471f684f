"""Pulpit and pushpit tubes: read in any axes, refused where they cannot be bent, swept in the assembly."""

from __future__ import annotations

import itertools
import math

import pytest

from geom import resources, vec
from geom.boat.file import read_boat
from geom.boat.model import Axes
from geom.boat.turn import turn
from geom.errors import InputError
from geom.parts.families.rail import RailSpec
from geom.refit import refit
from geom.solids.assembly import assemble
from tests.some import some

TEXT = resources.starter_text("saltwhin-31")


def boat_of(text: str):
    return read_boat(text.encode("utf-8"), "boat").boat


def test_points_are_turned_to_boat_axes() -> None:
    """The same rail given in axes that count forward and to port, from 9 m aft of the stem head."""
    boat = boat_of(TEXT)
    given = boat.rails["pulpit"]
    stated = given.model_copy(update={"points": tuple((9000.0 - x, -y, z) for x, y, z in given.points)})
    axes = Axes(origin=(9000.0, 0.0, 0.0), x="forward", y="port", z_zero="waterline")
    turned = turn(boat.model_copy(update={"axes": axes, "rails": {"pulpit": stated}})).rails["pulpit"]
    assert all(vec.distance(a, b) < 1e-9 for a, b in zip(turned.points, given.points, strict=True))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("    tube: stanchion\n    bend_radius: 80", "    tube: stanchoin\n    bend_radius: 80", "no such tube"),
        ("bend_radius: 80", "bend_radius: 25", "bend radius smaller than the tube's diameter"),
        ("- [150, 130, 1870]", "- [15000, 130, 1870]", "X lies off the boat"),
        ("- [150, 130, 1870]", "- [1130, 520, 1841]", "same place as the point before it"),
        ("bend_radius: 80", "bend_radius: -80", "bend_radius"),
    ],
)
def test_what_cannot_be_a_rail_is_refused(old: str, new: str, said: str) -> None:
    assert old in TEXT
    with pytest.raises(InputError) as refused:
        boat_of(TEXT.replace(old, new, 1))
    assert "rails" in str(refused.value) and said in str(refused.value)


def test_volume_is_that_of_a_pipe_as_long_as_its_axis() -> None:
    """Pappus's second theorem: section area times the way of its centroid, straights and arcs alike."""
    boat = boat_of(TEXT)
    for rail in some(boat.rails.values()):
        tube = boat.tubes[rail.tube]
        legs = [vec.sub(b, a) for a, b in itertools.pairwise(rail.points)]
        length = sum(vec.norm(leg) for leg in legs)
        for a, b in itertools.pairwise(legs):
            turn = vec.angle(a, b)
            length -= rail.bend_radius * (2.0 * math.tan(turn / 2.0) - turn)
        area = math.pi / 4.0 * (tube.od**2 - (tube.od - 2.0 * tube.wall) ** 2)
        spec = RailSpec(tube.od, tube.wall, rail.bend_radius, rail.points)
        assert spec.volume() == pytest.approx(area * length, rel=1e-9)


def test_eyes_of_the_demonstration_stand_on_its_rails() -> None:
    """An eye's bearing point lies a little off the tube: outside it, and no further than an eye reaches."""
    boat = boat_of(TEXT)
    for eye in some(boat.eyes):
        points = boat.rails[eye.on].points
        tube = boat.tubes[boat.rails[eye.on].tube]
        nearest = math.inf
        for a, b in itertools.pairwise(points):
            way = vec.sub(b, a)
            share = min(max(vec.dot(vec.sub(eye.at, a), way) / vec.dot(way, way), 0.0), 1.0)
            nearest = min(nearest, vec.distance(eye.at, vec.along(a, way, share)))
        assert 0.5 * tube.od < nearest < 0.5 * tube.od + 40.0, eye.id


def test_rails_and_braces_stand_in_the_assembly() -> None:
    worked_out = refit(read_boat(TEXT.encode("utf-8"), "boat"))
    instances = {piece.instance: piece for piece in assemble(worked_out).pieces}
    assert {"pulpit", "pushpit", "S-S3 brace", "P-S4 brace"} <= set(instances)
    assert instances["S-S3 brace"].part is None, "the file gives no tube for a brace: its axis only"
