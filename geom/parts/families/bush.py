"""A bush that lines a hole, with rounded mouths. Origin at mid-length, Z along the bore."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.profile import Profile, Step

# A flat end narrower than this is none [mm].
_FLAT = 1e-6


def ring_profile(od: float, bore: float, length: float, mouth: float) -> Profile:
    """Return the profile of a ring about mid-length, its bore flared with a radius at both ends.

    Args:
        od: outside diameter [mm].
        bore: inside diameter [mm].
        length: over all [mm].
        mouth: radius of the mouths, 0 for a sharp edge [mm].
    """
    r, b, half = 0.5 * od, 0.5 * bore, 0.5 * length
    if mouth == 0.0:
        return Profile((b, -half), (Step((r, -half)), Step((r, half)), Step((b, half))))
    # A mouth as wide as the wall leaves no flat end.
    flat = (Step((r, half)), Step((b + mouth, half))) if r - b - mouth > _FLAT else (Step((b + mouth, half)),)
    return Profile(
        (b + mouth, -half),
        (
            *((Step((r, -half)),) if len(flat) == 2 else ()),
            *flat,
            Step((b, half - mouth), (b + mouth, half - mouth)),
            Step((b, mouth - half)),
            Step((b + mouth, -half), (b + mouth, mouth - half)),
        ),
    )


@dataclass(frozen=True)
class BushSpec(Built):
    """Outside diameter, bore, length over all and mouth radius [mm]."""

    od: float
    bore: float
    length: float
    mouth_radius: float

    family: ClassVar[str] = "bush"

    def validate(self) -> None:
        """Check that the bush has a wall and that its mouths do not meet.

        Raises:
            GeometryError: it has none, or they meet.
        """
        require_positive("bush", od=self.od, bore=self.bore, length=self.length)
        require(math.isfinite(self.mouth_radius) and self.mouth_radius >= 0.0, "bush", "its mouth radius is negative")
        require(
            self.bore < self.od and self.bore + 2.0 * self.mouth_radius <= self.od + _FLAT,
            "bush",
            f"bore {self.bore:g} mm and mouth radius {self.mouth_radius:g} mm leave no wall at {self.od:g} mm outside",
        )
        require(2.0 * self.mouth_radius < self.length, "bush", "the two mouths must not meet inside")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("od", self.od),
            Dim("bore", self.bore),
            Dim("length", self.length),
            Dim("mouth radius", self.mouth_radius),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return one turned ring."""
        return (Turned(ring_profile(self.od, self.bore, self.length, self.mouth_radius)),)
