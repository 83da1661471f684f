"""Heights of a run: above the deck at each foot, above the deck edge, lowest along each span; openings."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from geom.boat.model import Boat
from geom.runs.place import PlacedHole, PlacedPost, PlacedRun
from geom.vec import Vec


@dataclass(frozen=True)
class HoleHeight:
    """Vertical heights of a hole's centre [mm]; above the edge None where the edge was not taken that far."""

    hole: str
    above_foot: float
    above_edge: float | None

    @property
    def lower(self) -> float:
        """The lower of the readings, the one a verdict goes by [mm]."""
        return self.above_foot if self.above_edge is None else min(self.above_foot, self.above_edge)


@dataclass(frozen=True)
class SpanHeight:
    """The lowest place of one span over the deck edge: its height [mm] and its station X [mm], None if unknown."""

    lowest: float | None
    at_x: float | None


def edge_z(edge: tuple[Vec, ...], x: float) -> float | None:
    """Return the height of the deck edge at a station, straight between its points; None outside them."""
    for (x0, _, z0), (x1, _, z1) in pairwise(edge):
        if x0 <= x <= x1:
            return z0 + (z1 - z0) * (x - x0) / (x1 - x0)
    return None


def edge_y(edge: tuple[Vec, ...], x: float) -> float | None:
    """Return the half-breadth (signed Y) of the deck edge at a station; None outside its points."""
    return edge_z(tuple((px, pz, py) for px, py, pz in edge), x)


def hole_height(boat: Boat, post: PlacedPost, hole: PlacedHole) -> HoleHeight:
    """Return both vertical heights of a hole's centre."""
    edge = edge_z(boat.edge(post.side), hole.centre[0])
    return HoleHeight(
        hole=hole.id,
        above_foot=hole.centre[2] - post.foot[2],
        above_edge=None if edge is None else hole.centre[2] - edge,
    )


def span_heights(boat: Boat, run: PlacedRun) -> tuple[SpanHeight, ...]:
    """Return the lowest height over the deck edge along each span.

    The line is a straight chord and the edge straight between its points, so that the least stands at
    a span's end or at one of the edge's points.
    """
    return tuple(_span(boat.edge(run.side), a, b) for a, b in pairwise(run.points))


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
