"""The three orthographic views of a part, and the mapping of plane drawings into them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.figure import Arc, Circle, Item, Line, Point, Polyline
from geom.parts.shape.frame import Frame
from geom.vec import Vec


@dataclass(frozen=True)
class Sight:
    """One view: the unit directions to the right and up on paper, and towards the viewer."""

    right: Vec
    up: Vec
    viewer: Vec

    def point(self, place: Vec) -> Point:
        """Return the projection of a point in space on paper [mm]."""
        return (vec.dot(place, self.right), vec.dot(place, self.up))


FRONT = Sight((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
SIDE = Sight((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
PLAN = Sight((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True)
class Plane:
    """Mapping of a plane to paper: the paper point of its zero [mm] and the paper directions of its axes."""

    zero: Point
    u: Point
    v: Point

    def point(self, place: Point) -> Point:
        """Return the paper point of a point of the plane [mm]."""
        return (
            self.zero[0] + place[0] * self.u[0] + place[1] * self.v[0],
            self.zero[1] + place[0] * self.u[1] + place[1] * self.v[1],
        )

    def place(self, item: Item) -> Item:
        """Return an item of the plane on paper; a mirrored plane reverses arcs.

        Raises:
            TypeError: an item of another kind than line, circle, polyline or arc.
        """
        if isinstance(item, Line):
            return Line(self.point(item.start), self.point(item.end), item.layer, item.tag)
        if isinstance(item, Circle):
            return Circle(self.point(item.centre), item.radius, item.layer, item.tag)
        if isinstance(item, Polyline):
            return Polyline(tuple(self.point(p) for p in item.points), item.layer, item.closed, item.tag)
        if isinstance(item, Arc):
            angle = math.atan2(self.u[1], self.u[0])
            start, end = angle + item.start, angle + item.end
            if self.u[0] * self.v[1] - self.u[1] * self.v[0] < 0.0:
                start, end = angle - item.end, angle - item.start
            return Arc(self.point(item.centre), item.radius, start, end, item.layer, item.tag)
        raise TypeError(f"a {type(item).__name__} cannot be mapped")


def plane(sight: Sight, frame: Frame, u: Vec, v: Vec) -> Plane:
    """Return the mapping of a plane of a body's frame into a view.

    Args:
        sight: the view.
        frame: the body's frame.
        u: direction of the plane's x in the frame.
        v: direction of the plane's y in the frame.
    """
    return Plane(sight.point(frame.origin), sight.point(frame.direction(u)), sight.point(frame.direction(v)))


def towards_viewer(sight: Sight, frame: Frame) -> Vec:
    """Return the direction to the viewer in a body's own frame."""
    return tuple(vec.dot(sight.viewer, axis) for axis in (frame.x, frame.y, frame.z))  # type: ignore[return-value]
