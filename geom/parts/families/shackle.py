"""A straight shackle and its pin. Origin at the middle of the pin, X along the pin, Z towards the bow."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, ClassVar

from geom.parts.part import Cylinder, Dim, kernel, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.crossing import common_volume
from geom.parts.shape.frame import Frame
from geom.parts.shape.path import Path, Stretch
from geom.parts.shape.profile import Profile, Step
from geom.parts.shape.swept import Swept

_UP = math.pi / 2.0


@dataclass(frozen=True)
class ShackleSpec(Built):
    """Bar, jaw between the ears, length inside from pin centre to bow, pin hole, ear radius and thickness [mm]."""

    bar: float
    jaw: float
    inside: float
    pin_hole: float
    ear_radius: float
    ear_thickness: float

    family: ClassVar[str] = "shackle"

    @property
    def bow_radius(self) -> float:
        """Radius of the bar's centre line in the bow [mm]."""
        return 0.5 * (self.jaw + self.ear_thickness)

    @property
    def straight(self) -> float:
        """Height above the pin at which the bow begins [mm]."""
        return self.inside + 0.5 * self.bar - self.bow_radius

    def validate(self) -> None:
        """Check that the shackle can be bent and drilled.

        Raises:
            GeometryError: it cannot.
        """
        require_positive(
            "shackle",
            bar=self.bar,
            jaw=self.jaw,
            inside=self.inside,
            pin_hole=self.pin_hole,
            ear_radius=self.ear_radius,
            ear_thickness=self.ear_thickness,
        )
        require(self.bar < self.ear_thickness, "shackle", "the ear must be thicker than the bar it carries")
        require(self.bar < 2.0 * self.ear_radius, "shackle", "the ear must be wider than the bar")
        require(self.pin_hole < 2.0 * self.ear_radius, "shackle", "the pin hole must be smaller than the ear")
        require(self.bar < self.bow_radius, "shackle", "the bow is too tight for the bar")
        require(self.ear_radius < self.straight, "shackle", "the legs have no length between ears and bow")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("bar", self.bar),
            Dim("jaw", self.jaw),
            Dim("inside", self.inside),
            Dim("pin hole", self.pin_hole),
            Dim("ear radius", self.ear_radius),
            Dim("ear thickness", self.ear_thickness),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return ear, bow and ear; the legs meet the flat tops of the ears."""
        x, top, r = self.bow_radius, self.ear_radius, self.ear_radius
        bow = Path(
            (
                Stretch((x, 0.0, top), (x, 0.0, self.straight)),
                Stretch((x, 0.0, self.straight), (-x, 0.0, self.straight), (0.0, 0.0, self.straight), (0.0, -1.0, 0.0)),
                Stretch((-x, 0.0, self.straight), (-x, 0.0, top)),
            )
        )
        outline = Profile((r, 0.0), (Step((r, top)), Step((-r, top)), Step((-r, 0.0)), Step((r, 0.0), (0.0, 0.0))))
        ears = [
            Extruded(
                outline,
                self.ear_thickness,
                Frame((at, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
                (("pin", (0.0, 0.0), 0.5 * self.pin_hole),),
            )
            for at in (0.5 * self.jaw, -0.5 * self.jaw - self.ear_thickness)
        ]
        return (ears[0], Swept(bow, 0.5 * self.bar), ears[1])


@dataclass(frozen=True)
class PinSpec(Built):
    """A clevis or shackle pin with a cross hole for its split pin; origin under the head, Z along the pin [mm].

    `grip` is the length from under the head to the cross hole's centre; `over_all` from under the head to the tip.
    """

    diameter: float
    head: float
    head_thickness: float
    grip: float
    over_all: float
    cross_hole: float

    family: ClassVar[str] = "pin"

    def validate(self) -> None:
        """Check that the cross hole is within the shank.

        Raises:
            GeometryError: it is not.
        """
        require_positive(
            "pin",
            diameter=self.diameter,
            head=self.head,
            head_thickness=self.head_thickness,
            grip=self.grip,
            over_all=self.over_all,
            cross_hole=self.cross_hole,
        )
        require(self.diameter < self.head, "pin", "the head must be wider than the pin")
        require(self.cross_hole < self.diameter, "pin", "the cross hole must be smaller than the pin")
        edge = 0.5 * self.cross_hole
        tip = self.over_all - 0.1 * self.diameter
        require(edge < self.grip and self.grip + edge < tip, "pin", "the cross hole runs off the pin")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("diameter", self.diameter),
            Dim("head", self.head),
            Dim("head thickness", self.head_thickness),
            Dim("grip", self.grip),
            Dim("over all", self.over_all),
            Dim("cross hole", self.cross_hole),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return the turned pin without its cross hole."""
        r, chamfer = 0.5 * self.diameter, 0.1 * self.diameter
        profile = Profile(
            (0.0, -self.head_thickness),
            (
                Step((0.5 * self.head, -self.head_thickness)),
                Step((0.5 * self.head, 0.0)),
                Step((r, 0.0)),
                Step((r, self.over_all - chamfer)),
                Step((r - chamfer, self.over_all)),
                Step((0.0, self.over_all)),
            ),
        )
        return (Turned(profile),)

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the cross hole."""
        return (Cylinder("cross hole", 0.5 * self.cross_hole, (0.0, 0.0, self.grip), (0.0, 1.0, 0.0)),)

    def volume(self) -> float:
        """Return the pin's volume less that of the cross hole [mm3]."""
        return super().volume() - common_volume(0.5 * self.diameter, 0.5 * self.cross_hole)

    def solid(self) -> Any:
        """Return the pin with its cross hole drilled."""
        cq = kernel()
        drill = cq.Solid.makeCylinder(
            0.5 * self.cross_hole, 2.0 * self.head, cq.Vector(0, -self.head, self.grip), cq.Vector(0, 1, 0)
        )
        return super().solid().cut(drill).Solids()[0]
