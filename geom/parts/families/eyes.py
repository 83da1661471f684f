"""Eyes: rail eye, welded to a rail; eye stud with threaded shank; double gate eye, bolted through a post.

Origin at the (first) hole's centre; the hole's axis is Y; the foot or shank lies towards -Z.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step
from geom.vec import Vec


def lug_profile(radius: float, foot: float) -> Profile:
    """Return the profile of a lug: half a disc about the origin, straight sides, a flat foot.

    Args:
        radius: of the half disc [mm].
        foot: distance of the foot below the origin [mm].
    """
    return Profile(
        (-radius, -foot),
        (Step((radius, -foot)), Step((radius, 0.0)), Step((-radius, 0.0), (0.0, 0.0)), Step((-radius, -foot))),
    )


def lug(
    radius: float, hole: float, thickness: float, foot: float, at: Vec = (0.0, 0.0, 0.0), up: float = 1.0
) -> Extruded:
    """Return a flat eye, square to Y.

    Args:
        radius: outside radius [mm].
        hole: diameter of the hole [mm].
        thickness: along Y [mm].
        foot: distance from the hole's centre to the foot [mm].
        at: centre of the hole [mm].
        up: factor, 1 with the foot towards -Z, -1 with the foot towards +Z.
    """
    frame = Frame((at[0], at[1] + 0.5 * thickness * up, at[2]), (1.0, 0.0, 0.0), (0.0, -up, 0.0))
    return Extruded(lug_profile(radius, foot), thickness, frame, (("eye", (0.0, 0.0), 0.5 * hole),))


@dataclass(frozen=True)
class RailEyeSpec(Built):
    """Hole, outside radius of the eye, thickness, height of the hole above the welded foot [mm]."""

    hole: float
    radius: float
    thickness: float
    height: float

    family: ClassVar[str] = "rail eye"

    def validate(self) -> None:
        """Check that the hole is within the eye.

        Raises:
            GeometryError: it is not.
        """
        require_positive(self.family, hole=self.hole, radius=self.radius, thickness=self.thickness, height=self.height)
        require(self.hole < 2.0 * self.radius, self.family, "the hole must be smaller than the eye")
        require(0.5 * self.hole < self.height, self.family, "the hole runs into the foot")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("hole", self.hole),
            Dim("radius", self.radius),
            Dim("thickness", self.thickness),
            Dim("height", self.height),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return the lug."""
        return (lug(self.radius, self.hole, self.thickness, self.height),)


def _validate_lug_on_collar(
    owner: str, hole: float, radius: float, thickness: float, neck: float, collar: float
) -> None:
    require(hole < 2.0 * radius, owner, "the hole must be smaller than the eye")
    require(0.5 * hole < neck, owner, "the hole runs into the neck")
    require(
        2.0 * math.hypot(radius, 0.5 * thickness) < collar, owner, "the collar must be larger than the foot of the eye"
    )


@dataclass(frozen=True)
class EyeStudSpec(Built):
    """Eye (hole, radius, thickness), neck from hole to collar, collar and threaded shank [mm]."""

    hole: float
    radius: float
    thickness: float
    neck: float
    collar: float
    collar_thickness: float
    thread: float
    thread_length: float

    family: ClassVar[str] = "eye stud"

    def validate(self) -> None:
        """Check that eye, collar and thread are consistent.

        Raises:
            GeometryError: they are not.
        """
        require_positive(
            self.family,
            hole=self.hole,
            radius=self.radius,
            thickness=self.thickness,
            neck=self.neck,
            collar=self.collar,
            collar_thickness=self.collar_thickness,
            thread=self.thread,
            thread_length=self.thread_length,
        )
        _validate_lug_on_collar(self.family, self.hole, self.radius, self.thickness, self.neck, self.collar)
        require(self.thread < self.collar, self.family, "the thread must be thinner than the collar")
        require(0.2 * self.thread < self.thread_length, self.family, "the thread is shorter than its chamfer")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("hole", self.hole),
            Dim("radius", self.radius),
            Dim("thickness", self.thickness),
            Dim("neck", self.neck),
            Dim("collar", self.collar),
            Dim("collar thickness", self.collar_thickness),
            Dim("thread", self.thread),
            Dim("thread length", self.thread_length),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return the eye and, under it, the collar with the shank; the thread is drawn as a plain bar."""
        c, t, low = 0.5 * self.collar, 0.5 * self.thread, -self.neck - self.collar_thickness
        end, chamfer = low - self.thread_length, 0.1 * self.thread
        shank = Profile(
            (0.0, end),
            (
                Step((t - chamfer, end)),
                Step((t, end + chamfer)),
                Step((t, low)),
                Step((c, low)),
                Step((c, -self.neck)),
                Step((0.0, -self.neck)),
            ),
        )
        return (lug(self.radius, self.hole, self.thickness, self.neck), Turned(shank))


@dataclass(frozen=True)
class GateEyeSpec(Built):
    """A double eye bolted through a gate post: an eye on each side of the tube, collars bearing on the tube [mm].

    `between` is the distance of the two holes; the origin is half-way, on the tube's axis.
    """

    hole: float
    radius: float
    thickness: float
    neck: float
    collar: float
    collar_thickness: float
    bolt: float
    between: float

    family: ClassVar[str] = "gate eye"

    def validate(self) -> None:
        """Check that eyes, collars and bolt are consistent.

        Raises:
            GeometryError: they are not.
        """
        require_positive(
            self.family,
            hole=self.hole,
            radius=self.radius,
            thickness=self.thickness,
            neck=self.neck,
            collar=self.collar,
            collar_thickness=self.collar_thickness,
            bolt=self.bolt,
            between=self.between,
        )
        _validate_lug_on_collar(self.family, self.hole, self.radius, self.thickness, self.neck, self.collar)
        require(self.bolt < self.collar, self.family, "the bolt must be thinner than its collar")
        require(
            2.0 * (self.neck + self.collar_thickness) < self.between,
            self.family,
            "the two collars meet inside the tube",
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("hole", self.hole),
            Dim("radius", self.radius),
            Dim("thickness", self.thickness),
            Dim("neck", self.neck),
            Dim("collar", self.collar),
            Dim("collar thickness", self.collar_thickness),
            Dim("bolt", self.bolt),
            Dim("between", self.between),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return eye, collars with bolt, and the other eye."""
        half, c, b = 0.5 * self.between, 0.5 * self.collar, 0.5 * self.bolt
        face = half - self.neck
        back = face - self.collar_thickness
        spool = Profile(
            (0.0, -face),
            (
                Step((c, -face)),
                Step((c, -back)),
                Step((b, -back)),
                Step((b, back)),
                Step((c, back)),
                Step((c, face)),
                Step((0.0, face)),
            ),
        )
        upper = lug(self.radius, self.hole, self.thickness, self.neck, (0.0, 0.0, half))
        lower = lug(self.radius, self.hole, self.thickness, self.neck, (0.0, 0.0, -half), up=-1.0)
        return (upper, Turned(spool), lower)
