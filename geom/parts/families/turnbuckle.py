"""An open-body turnbuckle at a stated opening, eye and eye, or with one eye and a boss for the stud of a line.

Origin halfway along the opening, Z along the pull, the eyes' holes along Y. Body, screws and eyes are drawn as one
solid: the threads are plain bars that begin at the faces of the bosses.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import ClassVar

from geom.parts.families.eyes import lug
from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step

_SPARE = 1.05
_UP = math.pi / 2.0


@dataclass(frozen=True)
class TurnbuckleSpec(Built):
    """Opening pin to pin with its limits, thread, and the body's and the eyes' sizes [mm].

    `screw` is the length of one threaded shank, from the collar under its eye.
    """

    opening: float
    minimum: float
    maximum: float
    thread: float
    screw: float
    body: float
    boss: float
    boss_length: float
    bar: float
    eye_hole: float
    eye_radius: float
    eye_thickness: float
    neck: float

    family: ClassVar[str] = "open-body turnbuckle"
    screws: ClassVar[tuple[float, ...]] = (1.0, -1.0)

    @property
    def collar(self) -> float:
        """Diameter of the collar between eye and screw, slightly over the eye's foot [mm]."""
        return 2.0 * _SPARE * math.hypot(self.eye_radius, 0.5 * self.eye_thickness)

    @property
    def bar_offset(self) -> float:
        """Distance of a side bar's axis from the centre line [mm]."""
        return 0.5 * self.boss - 0.5 * self.bar * _SPARE

    @property
    def middle(self) -> float:
        """Place of mid-body along Z [mm]."""
        return 0.0

    @property
    def outside(self) -> float:
        """Length of a screw between collar and boss [mm]."""
        return 0.5 * self.opening + self.middle - self.neck - 0.1 * self.collar - 0.5 * self.body

    @property
    def inside(self) -> float:
        """Length of a screw inside the body, beyond the boss [mm]; 0 or less where it ends in the boss."""
        return self.screw - self.outside - self.boss_length

    def at_limit(self, limit: float) -> TurnbuckleSpec:
        """Return the turnbuckle opened or closed to a limit [mm].

        Raises:
            GeometryError: its parts do not fit there.
        """
        return replace(self, opening=limit)

    def validate(self) -> None:
        """Check that the opening is within the limits and that the parts fit.

        Raises:
            GeometryError: it is not, or they do not.
        """
        sizes = {name: float(value) for name, value in vars(self).items()}
        require_positive("turnbuckle", **sizes)
        require(self.minimum < self.maximum, "turnbuckle", "its minimum opening must be under its maximum")
        require(
            self.minimum <= self.opening <= self.maximum,
            "turnbuckle",
            f"an opening of {self.opening:g} mm is outside its limits {self.minimum:g} to {self.maximum:g} mm",
        )
        require(self.thread < self.collar, "turnbuckle", "the eye's foot is smaller than its screw")
        require(self.eye_hole < 2.0 * self.eye_radius, "turnbuckle", "the hole must be smaller than the eye")
        require(0.5 * self.eye_hole < self.neck, "turnbuckle", "the eye's hole runs into its neck")
        require(2.0 * self.boss_length < self.body, "turnbuckle", "the bosses fill the body")
        clearance = self.bar_offset - 0.5 * self.bar - 0.5 * self.thread
        require(clearance > 0.0, "turnbuckle", "the side bars leave no space for the screws")
        require(self.outside > 0.0, "turnbuckle", "at this opening the collars run into the body")
        require(
            self.inside > -self.boss_length,
            "turnbuckle",
            "at this opening the screws are out of their bosses",
        )
        require(
            len(self.screws) * self.inside < self.body - 2.0 * self.boss_length,
            "turnbuckle",
            "at this opening the screws meet inside the body",
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return bosses, side bars, screws with collars, and eyes."""
        at, half, inner = self.middle, 0.5 * self.body, 0.5 * self.body - self.boss_length
        bodies: list[Body] = [
            _rod(0.5 * self.boss, at + inner, at + half),
            _rod(0.5 * self.boss, at - half, at - inner),
        ]
        bodies += [_rod(0.5 * self.bar, at - inner, at + inner, x) for x in (self.bar_offset, -self.bar_offset)]
        # From here on, distances of one side from the origin.
        half, inner = half - at, inner - at
        eye, foot = 0.5 * self.opening, 0.5 * self.opening - self.neck
        collar = foot - 0.1 * self.collar
        for sign in self.screws:
            bodies.append(_rod(0.5 * self.thread, *_span(sign, half, collar)))
            bodies.append(_rod(0.5 * self.collar, *_span(sign, collar, foot)))
            bodies.append(
                lug(self.eye_radius, self.eye_hole, self.eye_thickness, self.neck, (0.0, 0.0, sign * eye), up=sign)
            )
            if self.inside > 1e-6:
                bodies.append(_rod(0.5 * self.thread, *_span(sign, inner - self.inside, inner)))
        return tuple(bodies)


@dataclass(frozen=True)
class StudTurnbuckleSpec(TurnbuckleSpec):
    """A turnbuckle with an eye at its lower end only; the stud of a line is screwed into its upper boss.

    Its opening is from the eye's pin to the face of that boss. Eye and stud move by the same amount, so that half of
    the travel between its limits is the eye's.
    """

    screws: ClassVar[tuple[float, ...]] = (-1.0,)

    @property
    def middle(self) -> float:
        """Place of mid-body along Z [mm]."""
        return 0.5 * (self.opening - self.body)

    def at_limit(self, limit: float) -> TurnbuckleSpec:
        """Return the turnbuckle opened or closed to a limit [mm].

        Raises:
            GeometryError: its parts do not fit there.
        """
        return replace(self, opening=0.5 * (self.opening + limit))


def _span(sign: float, low: float, high: float) -> tuple[float, float]:
    return (low, high) if sign > 0.0 else (-high, -low)


def _rod(radius: float, low: float, high: float, x: float = 0.0) -> Turned:
    profile = Profile((0.0, low), (Step((radius, low)), Step((radius, high)), Step((0.0, high))))
    return Turned(profile, Frame((x, 0.0, 0.0)))
