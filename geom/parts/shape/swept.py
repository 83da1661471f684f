"""A round bar or tube swept along a path."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from geom import vec
from geom.parts.part import Cylinder, kernel
from geom.parts.shape.path import Path, Stretch
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
