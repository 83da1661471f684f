"""A base plate by the sizes of one boat file: rounded corners, bolt holes anywhere.

Origin at the centre of the lower face, X fore-and-aft (+ aft), Y to starboard, Z square to the plate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.figure import Point
from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded
from geom.parts.shape.built import Built
from geom.parts.shape.profile import rounded


@dataclass(frozen=True)
class PlateSpec(Built):
    """Length fore-and-aft, width, thickness, corner radius, bolt hole, and the bolts' positions [mm]."""

    length: float
    width: float
    thickness: float
    corner_radius: float
    bolt_hole: float
    bolts: tuple[Point, ...]

    family: ClassVar[str] = "base plate"
    axes: ClassVar[str] = "X aft, Y to starboard, Z square to the plate, from the middle of the lower face"

    def validate(self) -> None:
        """Check that corners and bolt holes fit the plate.

        Raises:
            GeometryError: they do not.
        """
        owner = "base plate"
        require_positive(
            owner, length=self.length, width=self.width, thickness=self.thickness, bolt_hole=self.bolt_hole
        )
        round_ = math.isfinite(self.corner_radius) and self.corner_radius >= 0.0
        require(round_ and 2.0 * self.corner_radius < min(self.length, self.width), owner, "its corners do not fit")
        reach = 0.5 * self.bolt_hole
        for number, (x, y) in enumerate(self.bolts, 1):
            inside = abs(x) + reach < 0.5 * self.length and abs(y) + reach < 0.5 * self.width
            require(inside and self._clears_corner(abs(x), abs(y), reach), owner, f"bolt {number} runs off the plate")
            for other, place in enumerate(self.bolts[: number - 1], 1):
                apart = math.dist((x, y), place) > self.bolt_hole
                require(apart, owner, f"bolt holes {other} and {number} overlap")

    def _clears_corner(self, x: float, y: float, reach: float) -> bool:
        """Return whether a hole is clear of a rounded corner; x and y from the plate's centre, without sign [mm]."""
        over_x = x - (0.5 * self.length - self.corner_radius)
        over_y = y - (0.5 * self.width - self.corner_radius)
        return min(over_x, over_y) <= 0.0 or math.hypot(over_x, over_y) + reach < self.corner_radius

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes and the bolts' positions."""
        sizes = [
            Dim("length", self.length),
            Dim("width", self.width),
            Dim("thickness", self.thickness),
            Dim("corner radius", self.corner_radius),
            Dim("bolt hole", self.bolt_hole),
        ]
        for number, (x, y) in enumerate(self.bolts, 1):
            sizes += [Dim(f"bolt {number} aft", x), Dim(f"bolt {number} starboard", y)]
        return tuple(sizes)

    def bodies(self) -> tuple[Body, ...]:
        """Return the drilled plate."""
        x, y, r = 0.5 * self.length, 0.5 * self.width, self.corner_radius
        outline = rounded(((-x, -y, r), (x, -y, r), (x, y, r), (-x, y, r)))
        bores = tuple((f"bolt {number}", at, 0.5 * self.bolt_hole) for number, at in enumerate(self.bolts, 1))
        return (Extruded(outline, self.thickness, bores=bores),)
