"""Simple bodies of which fittings are composed: turned and extruded.

Bodies touch each other only in planar faces, so a part's volume is the sum of its bodies' volumes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any, Protocol

from geom import vec
from geom.figure import Point
from geom.parts.part import Cylinder, kernel
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Stroke
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

    def solid(self) -> Any:
        """Return the solid of revolution."""
        cq = kernel()
        wire = wire_of(self.profile, Frame(x=(1.0, 0.0, 0.0), z=(0.0, -1.0, 0.0)))
        solid = cq.Solid.revolve(wire, [], 360.0, cq.Vector(0, 0, 0), cq.Vector(0, 0, 1))
        return moved(solid, self.frame)


@dataclass(frozen=True)
class Extruded:
    """A profile in the frame's XY extruded along Z from 0 to the depth, with round through holes (centre, radius) [mm].

    `fall` are the slopes of the lower face, as ratios: z = fall[0] * x + fall[1] * y, for wedged plates and pads.
    """

    profile: Profile
    depth: float
    frame: Frame = field(default_factory=Frame)
    bores: tuple[tuple[str, Point, float], ...] = ()
    windows: tuple[Profile, ...] = ()
    fall: Point = (0.0, 0.0)

    def volume(self) -> float:
        """Return area times depth, less the wedge under the sloped face [mm3]."""
        area, moments = self.profile.area(), self.profile.moments()
        about = self._slope(*moments)
        for window in self.windows:
            area -= window.area()
            about -= self._slope(*window.moments())
        for _, centre, radius in self.bores:
            disc = math.pi * radius * radius
            area -= disc
            about -= disc * self._slope(*centre)
        return area * self.depth - about

    def _slope(self, x: float, y: float) -> float:
        return self.fall[0] * x + self.fall[1] * y

    def reach(self, way: Vec) -> float:
        """Return the largest coordinate of the body along a direction [mm]."""
        x, y, z = (vec.dot(way, axis) for axis in (self.frame.x, self.frame.y, self.frame.z))
        top = self.profile.reach((x, y)) + z * self.depth
        bottom = self.profile.reach((x + self.fall[0] * z, y + self.fall[1] * z))
        return vec.dot(way, self.frame.origin) + max(top, bottom)

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the through holes."""
        return tuple(
            Cylinder(name, radius, self.frame.point((centre[0], centre[1], 0.0)), self.frame.z)
            for name, centre, radius in self.bores
        )

    def solid(self) -> Any:
        """Return the prism, a sloped lower face cut with one plane."""
        cq = kernel()
        outer = wire_of(self.profile, Frame())
        inner = [wire_of(window, Frame()) for window in self.windows]
        inner += [
            cq.Wire.makeCircle(radius, cq.Vector(*centre, 0), cq.Vector(0, 0, 1)) for _, centre, radius in self.bores
        ]
        if self.fall == (0.0, 0.0):
            return moved(cq.Solid.extrudeLinear(outer, inner, cq.Vector(0, 0, self.depth)), self.frame)
        drop = 2.0 + max(abs(self._slope(*point)) for point in self.profile.flat())
        reach = 4.0 * (drop + max(math.hypot(*p) for p in self.profile.flat()) + self.depth)
        block = cq.Solid.extrudeLinear(outer, inner, cq.Vector(0, 0, self.depth + drop))
        block = block.moved(cq.Location(cq.Vector(0, 0, -drop)))
        tilted = cq.Plane((0, 0, 0), (1, 0, self.fall[0]), (-self.fall[0], -self.fall[1], 1))
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
