"""A round bar or tube swept along a path."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

from geom import vec
from geom.figure import Arc, Item, Line, Point, Polyline
from geom.parts.part import Cylinder, kernel
from geom.parts.shape.occlusion import Covers
from geom.parts.shape.path import Path, Stretch
from geom.parts.shape.view import Sight
from geom.vec import Vec


@dataclass(frozen=True)
class Swept:
    """A disc, less a bore, swept along a path and square to it; radii [mm]."""

    path: Path
    radius: float
    bore_radius: float = 0.0

    def volume(self) -> float:
        """Return the section's area times the path's length [mm3] (Pappus: the section's centroid is on the path)."""
        return math.pi * (self.radius**2 - self.bore_radius**2) * self.path.length

    def reach(self, way: Vec) -> float:
        """Return the largest coordinate of the body along a direction [mm].

        On an arc it decreases with the angle from the farthest point, as long as the arc's radius is not less
        than the section's.
        """
        size = vec.norm(way)

        def disc(stretch: Stretch, share: float) -> float:
            slope = vec.dot(stretch.heading(share), way)
            return vec.dot(stretch.at(share), way) + self.radius * math.sqrt(max(0.0, size * size - slope * slope))

        return max(disc(s, share) for s in self.path.stretches for share in (0.0, s.farthest(way), 1.0))

    def holes(self) -> tuple[Cylinder, ...]:
        """Return no holes: a swept bore is not a drilled hole."""
        return ()

    def view(self, sight: Sight) -> tuple[Item, ...]:
        """Return the apparent contour: the projected path, offset by the radius to both sides, with its ends."""
        flat = [s for s in self.path.stretches if s.length > 1e-9]
        if self._edge_on(flat, sight):
            return self._edge_view(sight)
        items: list[Item] = []
        for stretch in flat:
            for sign in (1.0, -1.0):
                items += _offset(stretch, sight, sign * self.radius)
        ends = () if self.path.closed else ((flat[0], 0.0), (flat[-1], 1.0))
        for stretch, share in ends:
            items.append(self._end(stretch, share, sight))
        return tuple(items)

    def _edge_on(self, stretches: list[Stretch], sight: Sight) -> bool:
        """Return whether the whole path is in a plane seen edge-on, or a straight line seen end-on."""
        arcs = [s.normal for s in stretches if s.normal is not None]
        if arcs:
            return all(abs(vec.dot(normal, sight.viewer)) < 1e-9 for normal in arcs)
        return all(abs(vec.dot(s.heading(0.0), sight.viewer)) > 1.0 - 1e-9 for s in stretches)

    def _edge_view(self, sight: Sight) -> tuple[Item, ...]:
        """Return the edge-on view: a band, its ends round where the bar turns towards the viewer."""
        long, across = (
            (sight.up, sight.right)
            if self._spread(sight.up) > self._spread(sight.right)
            else (
                sight.right,
                sight.up,
            )
        )
        middle = 0.5 * (self.reach(across) - self.reach(vec.scale(across, -1.0)))
        along, aside = sight.point(long), sight.point(across)
        items: list[Item] = []
        ends = []
        for sign in (1.0, -1.0):
            way = vec.scale(long, sign)
            high = self.reach(way)
            round_end = any(self._tops(s, way, high, sight) for s in self.path.stretches)
            at = high - self.radius if round_end else high
            centre = (
                sign * at * along[0] + middle * aside[0],
                sign * at * along[1] + middle * aside[1],
            )
            left = (centre[0] - self.radius * aside[0], centre[1] - self.radius * aside[1])
            right = (centre[0] + self.radius * aside[0], centre[1] + self.radius * aside[1])
            ends.append((left, right))
            if round_end:
                facing = math.atan2(sign * along[1], sign * along[0])
                items.append(Arc(centre, self.radius, facing - math.pi / 2.0, facing + math.pi / 2.0, "OUTLINE"))
            else:
                items.append(Line(left, right, "OUTLINE"))
        items += [Line(ends[0][k], ends[1][k], "OUTLINE") for k in (0, 1)]
        return tuple(items)

    def _tops(self, stretch: Stretch, way: Vec, high: float, sight: Sight) -> bool:
        """Return whether a stretch is the farthest and runs towards the viewer there, which gives a round contour."""
        share = stretch.farthest(way)
        towards = abs(vec.dot(stretch.heading(share), sight.viewer)) > 1.0 - 1e-9
        return towards and abs(vec.dot(stretch.at(share), way) + self.radius - high) < 1e-9

    def _spread(self, axis: Vec) -> float:
        return self.reach(axis) + self.reach(vec.scale(axis, -1.0))

    def _end(self, stretch: Stretch, share: float, sight: Sight) -> Item:
        """Return the end disc: a line where seen edge-on, else its ellipse as a chain."""
        heading, at = stretch.heading(share), stretch.at(share)
        if abs(vec.dot(heading, sight.viewer)) < 1e-9:
            side = vec.scale(vec.cross(sight.viewer, heading), self.radius)
            return Line(sight.point(vec.sub(at, side)), sight.point(vec.add(at, side)), "OUTLINE")
        guess: Vec = (1.0, 0.0, 0.0) if abs(heading[0]) < 0.9 else (0.0, 1.0, 0.0)
        first = vec.unit(vec.square_to(guess, heading))
        second = vec.cross(heading, first)
        points = []
        turns = [math.tau * k / 48 for k in range(48)]
        for way in (sight.right, sight.up):
            crest = math.atan2(vec.dot(second, way), vec.dot(first, way))
            turns += [crest % math.tau, (crest + math.pi) % math.tau]
        for f in sorted(turns):
            out = vec.add(vec.scale(first, math.cos(f)), vec.scale(second, math.sin(f)))
            points.append(sight.point(vec.along(at, out, self.radius)))
        return Polyline(tuple(points), "OUTLINE", closed=True)

    def covers(self, sight: Sight) -> Covers:
        """Return a test for the body's projection: points within the radius of the projected path."""
        spine = [sight.point(s.at(k / 32.0)) for s in self.path.stretches for k in range(33)]

        def covered(p: Point) -> bool:
            return any(_off(p, a, b) < self.radius for a, b in itertools.pairwise(spine))

        return covered

    def solid(self) -> Any:
        """Return the swept solid."""
        cq = kernel()
        first = self.path.stretches[0]
        start, heading = cq.Vector(*first.at(0.0)), cq.Vector(*first.heading(0.0))
        outer = cq.Wire.makeCircle(self.radius, start, heading)
        inner = [cq.Wire.makeCircle(self.bore_radius, start, heading)] if self.bore_radius > 0.0 else []
        if len(self.path.stretches) == 1 and first.centre is None:
            return cq.Solid.extrudeLinear(outer, inner, cq.Vector(*vec.sub(first.end, first.start)))
        return cq.Solid.sweep(outer, inner, wire_along(self.path), True, False)


def wire_along(path: Path) -> Any:
    """Return the path as an open wire of the kernel."""
    cq = kernel()
    edges = []
    for stretch in path.stretches:
        if stretch.length < 1e-9:
            continue
        a, b = cq.Vector(*stretch.start), cq.Vector(*stretch.end)
        if stretch.centre is None:
            edges.append(cq.Edge.makeLine(a, b))
        else:
            edges.append(cq.Edge.makeThreePointArc(a, cq.Vector(*stretch.at(0.5)), b))
    return cq.Wire.assembleEdges(edges)


def _offset(stretch: Stretch, sight: Sight, by: float) -> list[Item]:
    """Return the projection of a stretch offset sideways on paper, exact where it is in the plane of the paper."""
    if stretch.centre is not None and stretch.normal is not None:
        facing = vec.dot(stretch.normal, sight.viewer)
        if abs(facing) > 1.0 - 1e-9:
            radius = stretch.radius - by * facing
            start, centre = sight.point(stretch.start), sight.point(stretch.centre)
            first = math.atan2(start[1] - centre[1], start[0] - centre[0])
            first = first if facing > 0.0 else first - stretch.turn
            return [Arc(centre, radius, first, first + stretch.turn, "OUTLINE")] if radius > 1e-9 else []
        ways = [vec.scale(axis, sign) for axis in (sight.right, sight.up) for sign in (1.0, -1.0)]
        shares = sorted({k / 24.0 for k in range(25)} | {stretch.farthest(way) for way in ways})
        points = [_aside(stretch, share, sight, by) for share in shares]
        return [Polyline(tuple(p for p in points if p is not None), "OUTLINE")]
    a, b = _aside(stretch, 0.0, sight, by), _aside(stretch, 1.0, sight, by)
    return [Line(a, b, "OUTLINE")] if a is not None and b is not None else []


def _off(p: Point, a: Point, b: Point) -> float:
    """Return the distance of a point from a stroke, square to it [mm]; infinite beyond the ends."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length2 = dx * dx + dy * dy
    if length2 < 1e-18:
        return math.inf
    share = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length2
    if not -1e-9 <= share <= 1.0 + 1e-9:
        return math.inf
    return math.dist(p, (a[0] + share * dx, a[1] + share * dy))


def _aside(stretch: Stretch, share: float, sight: Sight, by: float) -> Point | None:
    heading = stretch.heading(share)
    along = (vec.dot(heading, sight.right), vec.dot(heading, sight.up))
    length = math.hypot(*along)
    if length < 1e-9:
        return None
    x, y = sight.point(stretch.at(share))
    return (x - along[1] / length * by, y + along[0] / length * by)
