"""What all views of the whole boat share: its sides in order, its extent in plan, the meshes of its nets."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.model import Side
from geom.drafting.rail_lines import rail_axis
from geom.figure import Hatch, Item, Point
from geom.placement.nets import PlacedNet
from geom.refit import Refit

SIDES: tuple[Side, Side] = ("S", "P")
# What is on neither outer side: the inboard edges of hulls, and lines across the boat.
INBOARD: tuple[Side, Side] = ("SI", "PI")
OTHER_SIDES: tuple[Side, ...] = (*INBOARD, "C")
# Between the strokes of a net [paper mm].
_MESH = 2.5


def extent(refit: Refit) -> tuple[float, float, float, float]:
    """Return smallest and largest X, smallest and largest Y of the deck edge and everything on deck [mm]."""
    points = [point for side in SIDES for point in refit.boat.edge(side)]
    points += [point for run in refit.placed.runs.values() for point in run.points]
    points += [post.foot for post in refit.placed.posts.values()]
    points += [point for rail in refit.boat.rails.values() for point in rail_axis(rail)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), max(xs), min(ys), max(ys)


def meshes(net: PlacedNet, across: int, up: int, turn: float = 1.0) -> Iterator[Item]:
    """Yield the meshes of a net in a view, each bay of netting for itself.

    Args:
        net: the net.
        across: index of the coordinate that runs along the paper.
        up: index of the coordinate that runs up it.
        turn: 1, or -1 where the first runs to the left (ratio).
    """
    for number, outline in enumerate(net.outlines, start=1):
        corners: tuple[Point, ...] = tuple((turn * point[across], point[up]) for point in outline)
        for angle in (math.pi / 4.0, -math.pi / 4.0):
            yield Hatch(corners, "UNDERLAY", _MESH, angle, tag=f"net:{net.id}:{number}")
