"""The axes of the tubes of pulpit and pushpit, for plan and profiles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby, pairwise

from geom.boat.model import Rail, RailEye, Side
from geom.figure import Item, Point, Polyline
from geom.parts.shape.path import through
from geom.placement.place import hull_sign
from geom.refit import Refit
from geom.vec import Vec

# Chords of an arc in a bend, enough at the scales of a plan.
_CHORDS = 6
# Largest distance of an eye from the leg that it is attached to [mm].
_NEAR = 100.0
# How far a rail goes beyond an inboard edge and is still drawn with it [mm].
_ALONG = 300.0


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
    """Return the visible part of each rail on one side, seen from outboard; of an inboard edge what stands along it.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        turn: sign from boat X to paper x, a factor.
    """
    xs = [x for x, _, _ in refit.boat.edge(side)]
    low, high = (-math.inf, math.inf) if side in ("S", "P") else (min(xs) - _ALONG, max(xs) + _ALONG)
    items: list[Item] = []
    for word, rail in refit.boat.rails.items():
        for near, points in groupby(
            rail_axis(rail), key=lambda point: hull_sign(side) * point[1] >= 0.0 and low <= point[0] <= high
        ):
            chain: tuple[Point, ...] = tuple((turn * x, z) for x, _, z in points)
            if near and len(chain) > 1:
                items.append(Polyline(chain, "RAIL", tag=f"profile-rail:{word}"))
    return items


def leg_beyond(refit: Refit, eye: RailEye, outward: float) -> float:
    """Return the outward position of the leg that an eye is attached to, or of the eye itself without one [mm].

    Args:
        refit: the boat as calculated.
        eye: on the pulpit or the pushpit.
        outward: +1 where X increases away from the lines, else -1; the result is X times this factor.
    """
    positions = [outward * eye.at[0]]
    for rail in refit.boat.rails.values():
        for (x, y, z), (end_x, _, end_z) in pairwise(rail_axis(rail)):
            if y * eye.at[1] > 0.0 and min(z, end_z) <= eye.at[2] <= max(z, end_z):
                positions += [outward * value for value in (x, end_x) if 0.0 < outward * (value - eye.at[0]) < _NEAR]
    return max(positions)


def top_over(refit: Refit, eyes: Sequence[RailEye], outward: float) -> float:
    """Return the Z of the lowest tube that leads outward over the eyes of one rail [mm], infinite without one.

    Args:
        refit: the boat as calculated.
        eyes: of one rail.
        outward: +1 where X increases away from the lines, else -1.
    """
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
