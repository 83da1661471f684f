"""A chafe sleeve on a rope where it passes a hole. Origin at mid-length, Z along the rope."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from geom.parts.families.bush import ring_profile
from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Turned
from geom.parts.shape.built import Built


@dataclass(frozen=True)
class SleeveSpec(Built):
    """Bore (the rope's diameter), wall and length [mm]."""

    bore: float
    wall: float
    length: float

    family: ClassVar[str] = "chafe sleeve"

    def validate(self) -> None:
        """Check that the sizes are positive and the wall is less than the length.

        Raises:
            GeometryError: they are not.
        """
        require_positive("chafe sleeve", bore=self.bore, wall=self.wall, length=self.length)
        require(self.wall < self.length, "chafe sleeve", "the wall must be less than the length")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (Dim("bore", self.bore), Dim("wall", self.wall), Dim("length", self.length))

    def bodies(self) -> tuple[Body, ...]:
        """Return one ring."""
        return (Turned(ring_profile(self.bore + 2.0 * self.wall, self.bore, self.length, 0.0)),)
