"""The pad between a base plate that is square to its tube and the deck, which slopes under it.

The frame is that of the plate: origin at the centre of the plate's lower face, X fore-and-aft (+ aft), Y to starboard,
Z square to the plate; the pad is under it, its lower face along the deck.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.figure import Point
from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import rounded


@dataclass(frozen=True)
class PadSpec(Built):
    """Length fore-and-aft, width, corner radius and thickness in the middle; bolt hole and the bolts' positions [mm].

    `rise` are the slopes of the deck against the plate, going aft and to starboard, as ratios.
    """

    length: float
    width: float
    corner_radius: float
    thickness: float
    rise: Point
    bolt_hole: float
    bolts: tuple[Point, ...]

    family: ClassVar[str] = "pad"
    axes: ClassVar[str] = "X aft, Y to starboard, Z square to the plate, from the middle of the upper face"

    def validate(self) -> None:
        """Check that there is a pad at every corner.

        Raises:
            GeometryError: there is none.
        """
        require_positive(
            "pad", length=self.length, width=self.width, thickness=self.thickness, bolt_hole=self.bolt_hole
        )
        thinnest = self.thickness - 0.5 * (self.length * abs(self.rise[0]) + self.width * abs(self.rise[1]))
        require(thinnest > 0.0, "pad", f"its thinnest corner is {thinnest:.2f} mm")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes and the slopes of the lower face."""
        return (
            Dim("length", self.length),
            Dim("width", self.width),
            Dim("corner radius", self.corner_radius),
            Dim("thickness", self.thickness),
            Dim("deck rises aft", math.degrees(math.atan(self.rise[0])), "deg"),
            Dim("deck rises to starboard", math.degrees(math.atan(self.rise[1])), "deg"),
            Dim("bolt hole", self.bolt_hole),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return the drilled pad."""
        x, y, r = 0.5 * self.length, 0.5 * self.width, self.corner_radius
        outline = rounded(((-x, -y, r), (x, -y, r), (x, y, r), (-x, y, r)))
        bores = tuple((f"bolt {number}", at, 0.5 * self.bolt_hole) for number, at in enumerate(self.bolts, 1))
        low = Frame((0.0, 0.0, -self.thickness))
        return (Extruded(outline, self.thickness, low, bores, fall=self.rise),)
