"""What all views of the whole boat share: its sides in order, its extent in plan."""

from __future__ import annotations

from geom.boat.model import Side
from geom.drafting.rail_lines import rail_axis
from geom.refit import Refit

SIDES: tuple[Side, Side] = ("S", "P")
# What is on neither outer side: the inboard edges of hulls, and lines across the boat.
INBOARD: tuple[Side, Side] = ("SI", "PI")
OTHER_SIDES: tuple[Side, ...] = (*INBOARD, "C")


def extent(refit: Refit) -> tuple[float, float, float, float]:
    """Return smallest and largest X, smallest and largest Y of the deck edge and everything on deck [mm]."""
    points = [point for side in SIDES for point in refit.boat.edge(side)]
    points += [point for run in refit.placed.runs.values() for point in run.points]
    points += [post.foot for post in refit.placed.posts.values()]
    points += [point for rail in refit.boat.rails.values() for point in rail_axis(rail)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), max(xs), min(ys), max(ys)
