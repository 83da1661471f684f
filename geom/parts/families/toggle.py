"""A toggle: a jaw that swings on a pin and, square to it, an eye. Origin at the jaw's pin, X along it, Z to the eye."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.families.eyes import lug
from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step, rounded

_UP = math.pi / 2.0


@dataclass(frozen=True)
class ToggleSpec(Built):
    """Jaw and cheeks with their pin hole, block, eye, and the length from pin hole to eye [mm].

    `jaw` is the gap between the cheeks, `radius` that of a cheek's end, `block` the metal that joins the cheeks.
    """

    jaw: float
    cheek: float
    radius: float
    pin_hole: float
    block: float
    eye_hole: float
    eye_radius: float
    eye_thickness: float
    length: float

    family: ClassVar[str] = "toggle"

    @property
    def over_cheeks(self) -> float:
        """Breadth along the pin [mm]."""
        return self.jaw + 2.0 * self.cheek

    @property
    def shoulder(self) -> float:
        """Height above the pin where the cheeks end and the block begins [mm]."""
        return self.length - self.neck - self.block

    @property
    def neck(self) -> float:
        """Length from the block to the eye's hole [mm]."""
        return 0.5 * self.eye_hole + 0.5 * (self.eye_radius - 0.5 * self.eye_hole)

    def validate(self) -> None:
        """Refuse a toggle whose holes leave no metal, or whose pieces do not stand on each other."""
        require_positive("toggle", **{name: float(value) for name, value in vars(self).items()})
        require(self.pin_hole < 2.0 * self.radius, "toggle", "the pin hole must be smaller than the cheek")
        require(self.eye_hole < 2.0 * self.eye_radius, "toggle", "the eye's hole must be smaller than the eye")
        require(self.eye_thickness <= 2.0 * self.radius, "toggle", "the eye must not be thicker than the block")
        require(0.5 * self.pin_hole < self.shoulder, "toggle", "the toggle is too short for its pin")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return cheek, cheek, the block on both, and the eye on the block."""
        r, top, x = self.radius, self.shoulder, 0.5 * self.over_cheeks
        outline = Profile((r, 0.0), (Step((r, top)), Step((-r, top)), Step((-r, 0.0)), Step((r, 0.0), (0.0, 0.0))))
        cheeks = [
            Extruded(
                outline,
                self.cheek,
                Frame((at, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
                (("pin", (0.0, 0.0), 0.5 * self.pin_hole),),
            )
            for at in (0.5 * self.jaw, -x)
        ]
        # The block carries the whole foot of the eye, however narrow the jaw is.
        b = max(x, self.eye_radius)
        block = Extruded(
            rounded(((-b, -r, 0.0), (b, -r, 0.0), (b, r, 0.0), (-b, r, 0.0))), self.block, Frame((0.0, 0.0, top))
        )
        eye = lug(self.eye_radius, self.eye_hole, self.eye_thickness, self.neck, (0.0, 0.0, self.length))
        return (cheeks[0], block, cheeks[1], eye)
