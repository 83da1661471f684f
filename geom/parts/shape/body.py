"""Simple bodies of which fittings are composed: turned and extruded.

Bodies touch each other only in planar faces, so a part's volume is the sum of its bodies' volumes.
A body's frame is square to the part's axes, so that its views are plain outlines.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any, Protocol

from geom import vec
from geom.figure import Circle, Item, Line, Point, Polyline
from geom.parts.part import Cylinder, kernel
from geom.parts.shape.edges import edge_lines, inside_outline, meets_outline, outline_items, sees_out
from geom.parts.shape.frame import Frame
from geom.parts.shape.occlusion import Covers
from geom.parts.shape.profile import Profile, Stroke
from geom.parts.shape.view import Sight, plane, towards_viewer
from geom.vec import Vec

_ROUND = tuple(math.tau * k / 48 for k in range(48))


class Body(Protocol):
    """The interface of a body."""

    def volume(self) -> float:
        """Return the volume [mm3]."""
        ...

    def reach(self, way: Vec) -> float:
        """Return the largest coordinate of the body along a direction [mm]."""
        ...

    def holes(self) -> tuple[Cylinder, ...]:
        """Return its round through holes."""
        ...

    def view(self, sight: Sight) -> tuple[Item, ...]:
        """Return its edges in a view."""
        ...

    def covers(self, sight: Sight) -> Covers:
        """Return a test whether a point on paper is within the body's projection."""
        ...

    def solid(self) -> Any:
        """Return its solid."""
        ...


@dataclass(frozen=True)
class Turned:
    """A profile (radius, height) turned about the frame's Z."""

    profile: Profile
    frame: Frame = field(default_factory=Frame)

    def volume(self) -> float:
        """Return the volume by Pappus [mm3]."""
        return self.profile.turned_volume()

    def reach(self, way: Vec) -> float:
        """Return the largest coordinate of the body along a direction [mm]."""
        along = vec.dot(way, self.frame.z)
        across = math.sqrt(max(0.0, vec.dot(way, way) - along * along))
        return vec.dot(way, self.frame.origin) + self.profile.reach((across, along))

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the bores: upright strokes of the profile with metal outside them."""
        return tuple(
            Cylinder(f"bore {2.0 * stroke.start[0]:g}", stroke.start[0], self.frame.origin, self.frame.z)
            for stroke in self.profile.strokes()
            if stroke.centre is None and 1e-9 < stroke.start[0] == stroke.end[0] and stroke.end[1] < stroke.start[1]
        )

    def view(self, sight: Sight) -> tuple[Item, ...]:
        """Return the contour in a view square to the axis, or the circles in a view along it."""
        viewer = towards_viewer(sight, self.frame)
        if abs(viewer[2]) > 0.5:
            return self._end(sight, 1.0 if viewer[2] > 0.0 else -1.0)
        across: Vec = (1.0, 0.0, 0.0) if abs(viewer[1]) > 0.5 else (0.0, 1.0, 0.0)
        items: list[Item] = []
        for sign in (1.0, -1.0):
            half = plane(sight, self.frame, vec.scale(across, sign), (0.0, 0.0, 1.0))
            edges = outline_items(self.profile, (1.0, 0.0), skip_axis=True)
            items += [half.place(item) for item in edges]
        whole = plane(sight, self.frame, across, (0.0, 0.0, 1.0))
        for point, layer in edge_lines(self.profile, (1.0, 0.0)):
            if point[0] > 1e-9:
                items.append(whole.place(Line((-point[0], point[1]), point, layer)))
        return tuple(items)

    def _end(self, sight: Sight, sign: float) -> tuple[Item, ...]:
        shown: dict[float, str] = {}
        for stroke in self.profile.strokes():
            for point in (stroke.start, *stroke.extremes((1.0, 0.0)), *stroke.extremes((-1.0, 0.0))):
                radius = round(point[0], 9)
                if radius > 1e-9 and shown.get(radius) != "OUTLINE":
                    shown[radius] = "OUTLINE" if sees_out(self.profile, point, (0.0, sign)) else "HIDDEN"
        centre = sight.point(self.frame.origin)
        return tuple(Circle(centre, radius, layer) for radius, layer in sorted(shown.items()))

    def covers(self, sight: Sight) -> Covers:
        """Return a test for the body's projection: a disc or ring along the axis, else the turned profile."""
        viewer = towards_viewer(sight, self.frame)
        zero = sight.point(self.frame.origin)
        chain = self.profile.flat()
        if abs(viewer[2]) > 0.5:
            inner, outer = min(x for x, _ in chain), max(x for x, _ in chain)
            return lambda p: inner < math.dist(p, zero) < outer
        along = sight.point(self.frame.z)

        def covered(p: Point) -> bool:
            x, y = p[0] - zero[0], p[1] - zero[1]
            start = (abs(x * along[1] - y * along[0]), x * along[0] + y * along[1])
            return meets_outline(chain, start, (1.0, 0.0))

        return covered

    def solid(self) -> Any:
        """Return the solid of revolution."""
        cq = kernel()
        wire = wire_of(self.profile, Frame(x=(1.0, 0.0, 0.0), z=(0.0, -1.0, 0.0)))
        solid = cq.Solid.revolve(wire, [], 360.0, cq.Vector(0, 0, 0), cq.Vector(0, 0, 1))
        return moved(solid, self.frame)


@dataclass(frozen=True)
class Extruded:
    """A profile in the frame's XY extruded along Z from 0 to the depth, with round through holes (centre, radius) [mm].

    `fall` is the slope of the lower face, a ratio: z = fall * x, for wedged plates.
    """

    profile: Profile
    depth: float
    frame: Frame = field(default_factory=Frame)
    bores: tuple[tuple[str, Point, float], ...] = ()
    windows: tuple[Profile, ...] = ()
    fall: float = 0.0

    def volume(self) -> float:
        """Return area times depth, less the wedge under the sloped face [mm3]."""
        area, moment = self.profile.area(), self.profile.moments()[0]
        for window in self.windows:
            area -= window.area()
            moment -= window.moments()[0]
        for _, centre, radius in self.bores:
            disc = math.pi * radius * radius
            area -= disc
            moment -= disc * centre[0]
        return area * self.depth - self.fall * moment

    def reach(self, way: Vec) -> float:
        """Return the largest coordinate of the body along a direction [mm]."""
        x, y, z = (vec.dot(way, axis) for axis in (self.frame.x, self.frame.y, self.frame.z))
        top = self.profile.reach((x, y)) + z * self.depth
        bottom = self.profile.reach((x + self.fall * z, y))
        return vec.dot(way, self.frame.origin) + max(top, bottom)

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the through holes."""
        return tuple(
            Cylinder(name, radius, self.frame.point((centre[0], centre[1], 0.0)), self.frame.z)
            for name, centre, radius in self.bores
        )

    def view(self, sight: Sight) -> tuple[Item, ...]:
        """Return the face, or the edge-on view."""
        viewer = towards_viewer(sight, self.frame)
        if abs(viewer[2]) > 0.5:
            face = plane(sight, self.frame, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
            strokes = [s for profile in (self.profile, *self.windows) for s in profile.strokes()]
            items = [stroke.item("OUTLINE") for stroke in strokes]
            items += [Circle(centre, radius, "OUTLINE", tag=f"hole:{name}") for name, centre, radius in self.bores]
            return tuple(face.place(item) for item in items)
        along = 0 if abs(viewer[1]) > 0.5 else 1
        return self._edge_on(sight, along, (viewer[0], viewer[1]))

    def _edge_on(self, sight: Sight, along: int, viewer: Point) -> tuple[Item, ...]:
        axis: Vec = (1.0, 0.0, 0.0) if along == 0 else (0.0, 1.0, 0.0)
        flat = plane(sight, self.frame, axis, (0.0, 0.0, 1.0))
        low, high = -self.profile.reach((-axis[0], -axis[1])), self.profile.reach((axis[0], axis[1]))
        items: list[Item] = [Line((low, self.depth), (high, self.depth), "OUTLINE")]
        slope = self.fall if along == 0 else 0.0
        lowest = 0.0
        if along == 1 and self.fall != 0.0:
            items += self._sloped_edge(viewer[0])
            lowest = min(self.fall * x for x, y in self.profile.flat() if high - abs(y) < 1e-9)
        else:
            items.append(Line((low, slope * low), (high, slope * high), "OUTLINE"))
        marks = {round(value, 9): "OUTLINE" for value in (low, high)}
        for profile in (self.profile, *self.windows):
            for point, layer in edge_lines(profile, viewer):
                place = round(point[along], 9)
                if profile is self.profile and layer == "OUTLINE":
                    marks[place] = layer
                marks.setdefault(place, "HIDDEN")
        for _, centre, radius in self.bores:
            marks.setdefault(round(centre[along] - radius, 9), "HIDDEN")
            marks.setdefault(round(centre[along] + radius, 9), "HIDDEN")
            ends = (slope * centre[along] + lowest - 3.0, self.depth + 3.0)
            items.append(Line((centre[along], ends[0]), (centre[along], ends[1]), "CENTRE"))
        for value, layer in sorted(marks.items()):
            items.append(Line((value, slope * value + lowest), (value, self.depth), layer))
        return tuple(flat.place(item) for item in items)

    def _sloped_edge(self, viewer: float) -> list[Item]:
        """Return the edge of a sloped lower face seen along its slope: all of it from below, else the near half."""
        from_below = self.fall * viewer > 0.0
        items: list[Item] = []
        for stroke in self.profile.strokes():
            near = stroke.at(0.5)[0] * viewer > -1e-9
            shares = [0.0, 1.0] if stroke.centre is None else [k / 12.0 for k in range(13)]
            points = tuple((y, self.fall * x) for x, y in (stroke.at(share) for share in shares))
            items.append(Polyline(points, "OUTLINE" if from_below or near else "HIDDEN"))
        for _, centre, radius in self.bores:
            rim = [(centre[1] + radius * math.cos(a), centre[0] + radius * math.sin(a)) for a in _ROUND]
            points = tuple((y, self.fall * x) for y, x in rim)
            items.append(Polyline(points, "OUTLINE" if from_below else "HIDDEN", closed=True))
        return items

    def covers(self, sight: Sight) -> Covers:
        """Return a test for the body's projection: its face without holes, or its bounding box edge-on."""
        viewer = towards_viewer(sight, self.frame)
        if abs(viewer[2]) < 0.5:
            (left, right), (low, high) = (
                (-self.reach(vec.scale(axis, -1.0)), self.reach(axis)) for axis in (sight.right, sight.up)
            )
            return lambda p: left < p[0] < right and low < p[1] < high
        zero, u, v = sight.point(self.frame.origin), sight.point(self.frame.x), sight.point(self.frame.y)
        chain, windows = self.profile.flat(), [window.flat() for window in self.windows]

        def covered(p: Point) -> bool:
            x, y = p[0] - zero[0], p[1] - zero[1]
            own = (x * u[0] + y * u[1], x * v[0] + y * v[1])
            if not inside_outline(chain, own) or any(inside_outline(window, own) for window in windows):
                return False
            return all(math.dist(own, centre) > radius for _, centre, radius in self.bores)

        return covered

    def solid(self) -> Any:
        """Return the prism, a sloped lower face cut with one plane."""
        cq = kernel()
        outer = wire_of(self.profile, Frame())
        inner = [wire_of(window, Frame()) for window in self.windows]
        inner += [
            cq.Wire.makeCircle(radius, cq.Vector(*centre, 0), cq.Vector(0, 0, 1)) for _, centre, radius in self.bores
        ]
        if self.fall == 0.0:
            return moved(cq.Solid.extrudeLinear(outer, inner, cq.Vector(0, 0, self.depth)), self.frame)
        drop = 2.0 + max(abs(self.fall * x) for x, _ in self.profile.flat())
        reach = 4.0 * (drop + max(math.hypot(*p) for p in self.profile.flat()) + self.depth)
        block = cq.Solid.extrudeLinear(outer, inner, cq.Vector(0, 0, self.depth + drop))
        block = block.moved(cq.Location(cq.Vector(0, 0, -drop)))
        tilted = cq.Plane((0, 0, 0), (1, 0, self.fall), (-self.fall, 0, 1))
        below = cq.Workplane(tilted).rect(reach, reach).extrude(-reach).val()
        return moved(block.cut(below).Solids()[0], self.frame)


def wire_of(profile: Profile, frame: Frame) -> Any:
    """Return the profile in the XY plane of a frame as a closed wire of the kernel."""
    cq = kernel()

    def at(stroke: Stroke, share: float) -> Any:
        x, y = stroke.at(share)
        return cq.Vector(*frame.point((x, y, 0.0)))

    edges = [
        cq.Edge.makeLine(at(stroke, 0.0), at(stroke, 1.0))
        if stroke.centre is None
        else cq.Edge.makeThreePointArc(at(stroke, 0.0), at(stroke, 0.5), at(stroke, 1.0))
        for stroke in profile.strokes()
    ]
    return cq.Wire.assembleEdges(edges)


def moved(solid: Any, frame: Frame) -> Any:
    """Return a solid moved from its own frame to a frame.

    Its geometry is transformed, since a solid with a location would be written as an assembly.
    """
    if frame == Frame():
        return solid
    cq = kernel()
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform

    move = cq.Location(cq.Plane(frame.origin, frame.x, frame.z)).wrapped.Transformation()
    return cq.Solid(BRepBuilderAPI_Transform(solid.wrapped, move, True).Shape())
