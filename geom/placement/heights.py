"""Heights of holes and spans above the deck at a foot and above the deck edge that they stand over."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from geom.boat.model import Boat, Run
from geom.frozen import frozen
from geom.placement.place import PlacedHole, PlacedPost, PlacedRun
from geom.units import Mm
from geom.vec import Vec


@frozen
class HoleHeight:
    """Vertical heights of a hole centre [mm]; None above the deck edge where the edge was not surveyed that far.

    Above foot and above deck are the same unless the post stands on a bulwark or a toe rail.
    """

    hole: str
    above_foot: Mm
    above_deck: Mm
    above_edge: Mm | None

    @property
    def lower(self) -> Mm:
        """The lower of the heights above deck and deck edge, which governs [mm]."""
        return self.above_deck if self.above_edge is None else min(self.above_deck, self.above_edge)


@frozen
class SpanHeight:
    """The lowest point of a span above the deck edge: height and station X [mm], None where unknown."""

    lowest: Mm | None
    at_x: Mm | None


def edge_z(edge: tuple[Vec, ...], x: float) -> float | None:
    """Return the height of the deck edge at a station [mm], straight between its points; None outside them.

    Args:
        edge: points of the deck edge from forward aft [mm].
        x: the station [mm].
    """
    for (x0, _, z0), (x1, _, z1) in pairwise(edge):
        if x0 <= x <= x1:
            return z0 + (z1 - z0) * (x - x0) / (x1 - x0)
    return None


def edge_across_z(boat: Boat, y: float) -> float | None:
    """Return the height of the stern's deck edge at a distance off the centreline [mm]; None where it is not known.

    Args:
        boat: the boat file.
        y: to starboard [mm].
    """
    return edge_z(_turned(boat.edge_across("stern")), y)


def under(boat: Boat, run: Run, at: Vec) -> float | None:
    """Return the height of the deck edge that a run stands over at a point [mm]; None outside the edge.

    Args:
        boat: the boat file.
        run: the run.
        at: point of the run [mm].
    """
    return edge_z(edge_of(boat, run), at[1] if run.side == "C" else at[0])


def edge_of(boat: Boat, run: Run) -> tuple[Vec, ...]:
    """Return the deck edge that a run stands over [mm], its points turned to (Y, X, Z) for a run across the boat."""
    return _turned(boat.edge_across(run.across)) if run.side == "C" else boat.edge(run.side)


def turned(run: Run, at: Vec) -> Vec:
    """Return a point as the edge of its run has it: (Y, X, Z) for a run across the boat [mm]."""
    return (at[1], at[0], at[2]) if run.side == "C" else at


def _turned(points: tuple[Vec, ...]) -> tuple[Vec, ...]:
    return tuple((y, x, z) for x, y, z in points)


def edge_y(edge: tuple[Vec, ...], x: float) -> float | None:
    """Return the half-breadth (signed Y) of the deck edge at a station [mm]; None outside its points.

    Args:
        edge: points of the deck edge from forward aft [mm].
        x: the station [mm].
    """
    return edge_z(tuple((px, pz, py) for px, py, pz in edge), x)


def hole_height(boat: Boat, post: PlacedPost, hole: PlacedHole) -> HoleHeight:
    """Return the heights of a hole centre above the deck at the foot and above the deck edge.

    Args:
        boat: the boat file.
        post: the placed post.
        hole: its hole.
    """
    edge = edge_z(boat.edge(post.side), hole.centre[0])
    return HoleHeight(
        hole=hole.id,
        above_foot=hole.centre[2] - post.foot[2],
        above_deck=hole.centre[2] - post.foot[2] + post.raised,
        above_edge=None if edge is None else hole.centre[2] - edge,
    )


def span_heights(boat: Boat, run: PlacedRun) -> tuple[SpanHeight, ...]:
    """Return the lowest height above the deck edge along each span.

    Line and edge are straight between their points, so that the minimum is at an end of the span or at a
    point of the edge.
    """
    edge, points = edge_of(boat, run.spec), [turned(run.spec, point) for point in run.points]
    found = (_span(edge, a, b) for a, b in pairwise(points))
    if run.side != "C":
        return tuple(found)
    return tuple(
        low if low.at_x is None else replace(low, at_x=a[1] + (b[1] - a[1]) * (low.at_x - a[0]) / (b[0] - a[0]))
        for low, (a, b) in zip(found, pairwise(points), strict=True)
    )


def _span(edge: tuple[Vec, ...], a: Vec, b: Vec) -> SpanHeight:
    stations = [a[0], b[0], *(x for x, _, _ in edge if a[0] < x < b[0])]
    found = []
    for x in stations:
        deck = edge_z(edge, x)
        if deck is None:
            return SpanHeight(None, None)
        line = a[2] + (b[2] - a[2]) * (x - a[0]) / (b[0] - a[0])
        found.append((line - deck, x))
    lowest, at_x = min(found)
    return SpanHeight(lowest, at_x)


def openings(post: PlacedPost) -> tuple[float, ...]:
    """Return the vertical openings at a post from the deck up: deck to the lowest hole, then hole to hole [mm]."""
    heights = sorted(hole.centre[2] for hole in post.holes)
    return tuple(upper - lower for lower, upper in pairwise([post.foot[2], *heights]))
