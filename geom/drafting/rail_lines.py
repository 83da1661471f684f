"""The axes of the pulpit's and the pushpit's tubes, as plan and profiles show them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby, pairwise

from geom.boat.model import Rail, RailEye, Side
from geom.figure import Item, Point, Polyline
from geom.parts.shape.path import through
from geom.placement.place import side_sign
from geom.refit import Refit
from geom.vec import Vec

# Chords of an arc in a bend: at the scales of a plan they are as good as round.
_CHORDS = 6
# No eye stands further off the leg it is made fast to [mm].
_NEAR = 100.0


def rail_axis(rail: Rail) -> tuple[Vec, ...]:
    """Return points of a rail's axis from end to end, its bends as short chords [mm]."""
    stretches = through(rail.points, rail.bend_radius).stretches
    points = [stretches[0].start]
    for stretch in stretches:
        chords = 1 if stretch.centre is None else _CHORDS
        points += [stretch.at(step / chords) for step in range(1, chords + 1)]
    return tuple(points)


def plan_rails(refit: Refit) -> list[Item]:
    """Return every rail from above."""
    return [
        Polyline(tuple((x, y) for x, y, _ in rail_axis(rail)), "RAIL", tag=f"rail:{word}")
        for word, rail in refit.boat.rails.items()
    ]


def profile_rails(refit: Refit, side: Side, turn: float) -> list[Item]:
    """Return what each rail shows on one side, seen from outboard.

    Args:
        refit: the boat worked out.
        side: which side.
        turn: the sign that turns boat X to the paper's x.
    """
    items: list[Item] = []
    for word, rail in refit.boat.rails.items():
        for near, points in groupby(rail_axis(rail), key=lambda point: side_sign(side) * point[1] >= 0.0):
            chain: tuple[Point, ...] = tuple((turn * x, z) for x, _, z in points)
            if near and len(chain) > 1:
                items.append(Polyline(chain, "RAIL", tag=f"profile-rail:{word}"))
    return items


def leg_beyond(refit: Refit, eye: RailEye, outward: float) -> float:
    """Return how far outward the leg that an eye stands on lies, or the eye itself without one.

    Args:
        refit: the boat worked out.
        eye: on the pulpit or the pushpit.
        outward: +1 where X grows away from the lines, else -1; the answer is X times it [mm].
    """
    found = [outward * eye.at[0]]
    for rail in refit.boat.rails.values():
        for (x, y, z), (end_x, _, end_z) in pairwise(rail_axis(rail)):
            if y * eye.at[1] > 0.0 and min(z, end_z) <= eye.at[2] <= max(z, end_z):
                found += [outward * value for value in (x, end_x) if 0.0 < outward * (value - eye.at[0]) < _NEAR]
    return max(found)


def top_over(refit: Refit, eyes: Sequence[RailEye], outward: float) -> float:
    """Return the Z of the lowest tube that leads outward over the eyes of one rail; infinite without one [mm]."""
    highest, from_x = max(eye.at[2] for eye in eyes), min(outward * eye.at[0] for eye in eyes)
    zs = [
        z
        for rail in refit.boat.rails.values()
        for x, y, z in rail_axis(rail)
        if y * eyes[0].at[1] > 0.0 and z > highest and outward * x > from_x + _NEAR
    ]
    return min(zs, default=math.inf)


def rail_heights(refit: Refit) -> list[float]:
    """Return the Z of every rail's ends and corners [mm]."""
    return [point[2] for rail in refit.boat.rails.values() for point in rail.points]
