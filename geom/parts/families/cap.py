"""A cap for an open tube: a plug, a rim as wide as the tube and a domed head. Origin on the tube's end, Z outward."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.profile import Profile, Step


@dataclass(frozen=True)
class CapSpec(Built):
    """Tube outside diameter, plug diameter and length, rim thickness, dome height above the rim [mm]."""

    tube_od: float
    plug: float
    plug_length: float
    rim: float
    dome: float

    family: ClassVar[str] = "cap"

    def validate(self) -> None:
        """Check that the plug fits the tube and that the dome is at most a hemisphere.

        Raises:
            GeometryError: it does not, or it is higher.
        """
        require_positive(
            "cap", tube_od=self.tube_od, plug=self.plug, plug_length=self.plug_length, rim=self.rim, dome=self.dome
        )
        require(self.plug < self.tube_od, "cap", "the plug must be thinner than the tube")
        require(self.dome <= 0.5 * self.tube_od, "cap", "the dome must not be higher than half the tube's diameter")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("tube od", self.tube_od),
            Dim("plug", self.plug),
            Dim("plug length", self.plug_length),
            Dim("rim", self.rim),
            Dim("dome", self.dome),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return one turned body; the dome's centre lies on the axis."""
        r, plug, top = 0.5 * self.tube_od, 0.5 * self.plug, self.rim + self.dome
        ball = (r * r + self.dome * self.dome) / (2.0 * self.dome)
        profile = Profile(
            (0.0, -self.plug_length),
            (
                Step((plug, -self.plug_length)),
                Step((plug, 0.0)),
                Step((r, 0.0)),
                Step((r, self.rim)),
                Step((0.0, top), (0.0, top - ball)),
            ),
        )
        return (Turned(profile),)
