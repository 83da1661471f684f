"""Smooth paths in space of straight lines and arcs, for tubes, wires and ropes."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from geom import vec
from geom.errors import GeometryError
from geom.vec import Vec

# Share of a leg that the tangent of an arc may use, so that two arcs on one leg never meet.
LEG_SHARE = 0.45


@dataclass(frozen=True)
class Stretch:
    """A straight line, or an arc about a centre and a unit normal of less than a full turn [mm]."""

    start: Vec
    end: Vec
    centre: Vec | None = None
    normal: Vec | None = None

    @property
    def radius(self) -> float:
        """Radius of an arc [mm]."""
        assert self.centre is not None
        return vec.distance(self.start, self.centre)

    @property
    def turn(self) -> float:
        """Angle of an arc [rad]."""
        assert self.centre is not None and self.normal is not None
        a, b = vec.sub(self.start, self.centre), vec.sub(self.end, self.centre)
        return math.atan2(vec.dot(vec.cross(a, b), self.normal), vec.dot(a, b)) % math.tau

    @property
    def length(self) -> float:
        """Length along the stretch [mm]."""
        return vec.distance(self.start, self.end) if self.centre is None else self.radius * self.turn

    def at(self, share: float) -> Vec:
        """Return the point at a share of the stretch, 0 to 1."""
        if self.centre is None or self.normal is None:
            return vec.along(self.start, vec.sub(self.end, self.start), share)
        a = vec.sub(self.start, self.centre)
        angle = share * self.turn
        b = vec.cross(self.normal, a)
        return vec.add(self.centre, vec.add(vec.scale(a, math.cos(angle)), vec.scale(b, math.sin(angle))))

    def heading(self, share: float) -> Vec:
        """Return the unit direction at a share of the stretch, 0 to 1."""
        if self.centre is None or self.normal is None:
            return vec.unit(vec.sub(self.end, self.start))
        return vec.unit(vec.cross(self.normal, vec.sub(self.at(share), self.centre)))

    def farthest(self, way: Vec) -> float:
        """Return the share at which the stretch is farthest along a direction, 0 for the start, 1 for the end."""
        if self.centre is None or self.normal is None:
            return 1.0 if vec.dot(vec.sub(self.end, self.start), way) > 0.0 else 0.0
        a = vec.sub(self.start, self.centre)
        b = vec.cross(self.normal, a)
        angle = math.atan2(vec.dot(b, way), vec.dot(a, way)) % math.tau
        turn = self.turn
        if angle <= turn:
            return angle / turn
        return 1.0 if angle - turn < math.tau - angle else 0.0


@dataclass(frozen=True)
class Path:
    """Consecutive stretches with common tangents."""

    stretches: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """Length along the path [mm]."""
        return math.fsum(stretch.length for stretch in self.stretches)

    @property
    def closed(self) -> bool:
        """Whether the path ends where it starts."""
        return vec.distance(self.stretches[0].start, self.stretches[-1].end) < 1e-9

    @property
    def min_radius(self) -> float:
        """Smallest radius of an arc [mm], infinite for a straight path."""
        return min((s.radius for s in self.stretches if s.centre is not None), default=math.inf)


def through(points: tuple[Vec, ...], radius: float) -> Path:
    """Return a path along straight legs with an arc at each intermediate point.

    An arc has the given radius unless its tangents would use more than a fixed share of the shorter leg;
    then its radius is smaller.

    Args:
        points: at least two points [mm].
        radius: of every arc [mm].

    Raises:
        GeometryError: fewer than two points, two coincident points, or a path that turns back on itself.
    """
    if len(points) < 2 or any(vec.distance(a, b) < 1e-6 for a, b in itertools.pairwise(points)):
        raise GeometryError("a path needs at least two points, no two of them coincident")
    stretches: list[Stretch] = []
    here = points[0]
    for before, at, after in zip(points, points[1:], points[2:], strict=False):
        a, b = vec.unit(vec.sub(at, before)), vec.unit(vec.sub(after, at))
        turn = vec.angle(a, b)
        if turn < 1e-6:
            continue
        if turn > math.radians(175.0):
            raise GeometryError("the path turns back on itself")
        legs = min(vec.distance(before, at), vec.distance(at, after))
        back = min(radius * math.tan(turn / 2.0), LEG_SHARE * legs)
        normal = vec.unit(vec.cross(a, b))
        entry, leave = vec.along(at, a, -back), vec.along(at, b, back)
        centre = vec.along(entry, vec.cross(normal, a), back / math.tan(turn / 2.0))
        stretches += [Stretch(here, entry), Stretch(entry, leave, centre, normal)]
        here = leave
    stretches.append(Stretch(here, points[-1]))
    return Path(tuple(stretches))
