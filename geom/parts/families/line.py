"""A rope or wire along its path, in the axes of its points, with a small arc at each hole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body
from geom.parts.shape.built import Built
from geom.parts.shape.path import Path, through
from geom.parts.shape.swept import Swept
from geom.vec import Vec

# Radius of the arc at a hole, in line diameters; it moves the axis off the corner by less than 0.1 d at 15 deg.
ARC_DIAMETERS = 10.0


@dataclass(frozen=True)
class LineSpec(Built):
    """Diameter and the points of the axis [mm]."""

    diameter: float
    points: tuple[Vec, ...]

    family: ClassVar[str] = "line"

    @property
    def path(self) -> Path:
        """The axis with its arcs."""
        return through(self.points, ARC_DIAMETERS * self.diameter)

    def validate(self) -> None:
        """Check that every turn has room for the line.

        Raises:
            GeometryError: two turns are too close.
        """
        require_positive("line", diameter=self.diameter)
        require(self.path.min_radius > self.diameter, "line", "two turns are too close to each other")

    def dims(self) -> tuple[Dim, ...]:
        """Return diameter and length along the axis."""
        return (Dim("diameter", self.diameter), Dim("length", self.path.length))

    def bodies(self) -> tuple[Body, ...]:
        """Return the swept round."""
        return (Swept(self.path, 0.5 * self.diameter),)
