"""Base of the fittings composed of turned, extruded and swept bodies."""

from __future__ import annotations

import math
from abc import abstractmethod
from typing import Any

from geom import vec
from geom.parts.part import Box, Cylinder, Part, kernel
from geom.parts.shape.body import Body
from geom.vec import Vec

_AXES: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class Built(Part):
    """A part composed of bodies that touch in planar faces only."""

    @abstractmethod
    def bodies(self) -> tuple[Body, ...]:
        """Return the bodies, each touching one before it."""

    def volume(self) -> float:
        """Return the sum of the bodies' volumes [mm3]."""
        return math.fsum(body.volume() for body in self.bodies())

    def box(self) -> Box:
        """Return the bounding box of all bodies."""
        bodies = self.bodies()
        high = tuple(max(body.reach(axis) for body in bodies) for axis in _AXES)
        low = tuple(-max(body.reach(vec.scale(axis, -1.0)) for body in bodies) for axis in _AXES)
        return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the holes of all bodies."""
        return tuple(hole for body in self.bodies() for hole in body.holes())

    def solid(self) -> Any:
        """Return the bodies fused to one solid."""
        first, *others = (body.solid() for body in self.bodies())
        if not others:
            return first
        cq = kernel()
        joined = first.fuse(*others)
        solids = joined.Solids()
        return solids[0] if len(solids) == 1 else cq.Compound.makeCompound(solids)


def _short(value: object) -> object:
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, tuple):
        return tuple(_short(inner) for inner in value)
    return value
