"""Base of the fittings composed of turned, extruded and swept bodies."""

from __future__ import annotations

import math
from abc import abstractmethod
from typing import Any

from geom import vec
from geom.figure import Item, Line
from geom.parts.part import Box, Cylinder, Outline, Part, kernel
from geom.parts.shape.body import Body
from geom.parts.shape.occlusion import hide
from geom.parts.shape.view import FRONT, PLAN, SIDE, Sight
from geom.vec import Vec

_AXES: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class Built(Part):
    """A part composed of bodies that touch in planar faces only."""

    @abstractmethod
    def bodies(self) -> tuple[Body, ...]:
        """Return the bodies, each touching one before it."""

    def dimension_items(self) -> tuple[tuple[Item, ...], tuple[Item, ...], tuple[Item, ...]]:
        """Return the dimensions and centre lines of the front view, the side view and the plan."""
        return (), (), ()

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

    def outline(self) -> Outline:
        """Return the three views with their dimensions."""
        front, side, plan = self.dimension_items()
        return Outline(front=self._view(FRONT, front), side=self._view(SIDE, side), plan=self._view(PLAN, plan))

    def _view(self, sight: Sight, dimensions: tuple[Item, ...]) -> tuple[Item, ...]:
        """Return the edges of all bodies; where two coincide, the visible one is kept."""
        bodies = self.bodies()
        edges = [item for body in bodies for item in self._visible_edges(body, bodies, sight)]
        seen = {repr(_bare(item)) for item in edges if item.layer != "HIDDEN"}
        kept: dict[str, Item] = {}
        for item in edges:
            key = repr(_bare(item))
            if item.layer != "HIDDEN" or key not in seen:
                kept.setdefault(key, item)
        return (*kept.values(), *dimensions)

    def _visible_edges(self, body: Body, bodies: tuple[Body, ...], sight: Sight) -> list[Item]:
        """Return a body's edges in a view, hidden where a nearer body covers them."""
        items = list(body.view(sight))
        for other in bodies:
            if other is not body and self._is_nearer(other, body, sight):
                covers = other.covers(sight)
                items = [piece for item in items for piece in hide(item, covers)]
        return items

    def _is_nearer(self, other: Body, body: Body, sight: Sight) -> bool:
        """Return whether another body is wholly nearer to the viewer than a body."""
        return -other.reach(vec.scale(sight.viewer, -1.0)) >= body.reach(sight.viewer) - 1e-9

    def solid(self) -> Any:
        """Return the bodies fused to one solid."""
        first, *others = (body.solid() for body in self.bodies())
        if not others:
            return first
        cq = kernel()
        joined = first.fuse(*others)
        solids = joined.Solids()
        return solids[0] if len(solids) == 1 else cq.Compound.makeCompound(solids)


def _bare(item: Item) -> tuple[object, ...]:
    """Return an item's geometry without layer and tag; a line reversed is the same line."""
    if isinstance(item, Line):
        return tuple(sorted((_short(item.start), _short(item.end)), key=repr))
    values = [value for name, value in vars(item).items() if name not in ("layer", "tag")]
    return tuple(_short(value) for value in values)


def _short(value: object) -> object:
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, tuple):
        return tuple(_short(inner) for inner in value)
    return value
