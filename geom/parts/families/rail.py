"""A pulpit or pushpit rail: a bent tube through given points, in the axes of those points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body
from geom.parts.shape.built import Built
from geom.parts.shape.path import through
from geom.parts.shape.swept import Swept
from geom.vec import Vec


@dataclass(frozen=True)
class RailSpec(Built):
    """Tube outside diameter and wall, radius of the bends on the tube's axis, points of the axis [mm]."""

    od: float
    wall: float
    bend_radius: float
    points: tuple[Vec, ...]

    family: ClassVar[str] = "rail"

    def validate(self) -> None:
        """Check that the tube has a bore and that no bend is tighter than the tube's diameter.

        Raises:
            GeometryError: it has none, or a bend is tighter.
        """
        require_positive("rail", od=self.od, wall=self.wall, bend_radius=self.bend_radius)
        require(2.0 * self.wall < self.od, "rail", f"wall {self.wall:g} mm leaves no bore in a tube of {self.od:g} mm")
        tightest = through(self.points, self.bend_radius).min_radius
        require(
            tightest > self.od,
            "rail",
            f"a bend of {tightest:.1f} mm on the axis is tighter than the tube's diameter: points too close together",
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes and the developed length."""
        return (
            Dim("od", self.od),
            Dim("wall", self.wall),
            Dim("bend radius", self.bend_radius),
            Dim("developed length", through(self.points, self.bend_radius).length),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return the swept tube."""
        return (Swept(through(self.points, self.bend_radius), 0.5 * self.od, 0.5 * self.od - self.wall),)
