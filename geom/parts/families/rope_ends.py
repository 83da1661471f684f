"""Envelopes of rope work: stop knot, finished soft eye and lashing; space required, not the lay of the rope."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.path import Path, Stretch
from geom.parts.shape.profile import Profile, Step, stadium
from geom.parts.shape.swept import Swept

_UP = math.pi / 2.0
# Packing density of soft rope legs, a share: 0.70 to 0.73, estimated, no source.
FILL = 0.70


@dataclass(frozen=True)
class StopKnotSpec(Built):
    """Rope and knot diameter, length of standing part and of tail beyond the knot's centre [mm].

    Origin at the knot's centre, Z along the standing part.
    """

    rope: float
    knot: float
    standing: float
    tail: float

    family: ClassVar[str] = "stop knot"

    def validate(self) -> None:
        """Check that the knot is thicker than its rope.

        Raises:
            GeometryError: it is not.
        """
        require_positive("stop knot", rope=self.rope, knot=self.knot, standing=self.standing, tail=self.tail)
        require(self.rope < self.knot, "stop knot", "the knot must be thicker than the rope")
        require(
            0.5 * self.knot < min(self.standing, self.tail), "stop knot", "standing part and tail must leave the knot"
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("rope", self.rope),
            Dim("knot", self.knot),
            Dim("standing", self.standing),
            Dim("tail", self.tail),
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return a ball on a rope, as one turned body."""
        r, ball = 0.5 * self.rope, 0.5 * self.knot
        z = math.sqrt(ball * ball - r * r)
        profile = Profile(
            (0.0, -self.tail),
            (
                Step((r, -self.tail)),
                Step((r, -z)),
                Step((r, z), (0.0, 0.0)),
                Step((r, self.standing)),
                Step((0.0, self.standing)),
            ),
        )
        return (Turned(profile),)


@dataclass(frozen=True)
class SoftEyeSpec(Built):
    """A finished eye: rope, pin, throat to bearing point, throat, bury with its taper [mm].

    Origin at the throat, Z towards the bearing point. `throat_width` and `throat_breadth` enclose the
    crossing of the two parts; `buried` is the diameter over the buried tail.
    """

    rope: float
    pin: float
    throat_to_bearing: float
    throat_width: float
    throat_breadth: float
    throat_length: float
    buried: float
    bury: float
    taper: float

    family: ClassVar[str] = "soft eye"

    @property
    def leg_offset(self) -> float:
        """Distance of a leg's axis from the centre line at the throat [mm]."""
        return 0.55 * self.rope

    @property
    def bow_radius(self) -> float:
        """Radius of the rope's axis round the pin [mm]."""
        return 0.5 * (self.pin + self.rope)

    def validate(self) -> None:
        """Check that the legs reach round the pin and that the throat encloses them.

        Raises:
            GeometryError: they do not, or it does not.
        """
        require_positive(self.family, **{name: float(value) for name, value in vars(self).items()})
        need = 2.0 * self.leg_offset + self.rope
        require(need < self.throat_width, self.family, f"the throat must be wider than its two legs ({need:.2f} mm)")
        require(self.rope < self.throat_breadth, self.family, "the throat must be broader than the rope")
        require(self.throat_breadth < self.throat_width, self.family, "the throat must be wider than it is broad")
        require(self.rope < self.buried, self.family, "the buried part must be thicker than the rope")
        require(self.buried < self.throat_breadth, self.family, "the throat must be broader than the buried part")
        require(self.taper < self.bury, self.family, "the taper must be shorter than the bury")
        require(self.leg_offset < self.bow_radius, self.family, "the pin is too thin for the legs of the rope")
        require(self._splay()[1] > 0.0, self.family, "the eye is too short for its pin: its legs do not reach round it")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def _splay(self) -> tuple[float, float]:
        """Return a leg's angle to the centre line [rad] and its straight length [mm], negative where there is none.

        The leg leaves the throat along Z, bends outward at a radius of one rope diameter and is tangent to the bow.
        """
        a, b = self.leg_offset + self.rope, self.throat_to_bearing - 0.5 * self.pin - 0.5 * self.rope
        reach = self.bow_radius + self.rope
        if b <= 0.0 or math.hypot(a, b) <= reach:
            return 0.0, -1.0
        angle = math.atan2(b, a) - math.acos(reach / math.hypot(a, b))
        return angle, math.sqrt(a * a + b * b - reach * reach) if angle > 0.0 else -1.0

    def loop(self) -> Path:
        """Return the rope's axis round the eye: up a leg, outward, round the pin and back."""
        s, rho, bend, rise = self.leg_offset, self.bow_radius, self.rope, 0.5 * self.rope
        top = self.throat_to_bearing - 0.5 * self.pin
        angle = self._splay()[0]
        c, sn = math.cos(angle), math.sin(angle)
        foot, turn = (s, 0.0, 0.0), (s, 0.0, rise)
        out = (s + bend - bend * c, 0.0, rise + bend * sn)
        touch = (rho * c, 0.0, top - rho * sn)

        def other(p: tuple[float, float, float]) -> tuple[float, float, float]:
            return (-p[0], p[1], p[2])

        return Path(
            (
                Stretch(foot, turn),
                Stretch(turn, out, (s + bend, 0.0, rise), (0.0, 1.0, 0.0)),
                Stretch(out, touch),
                Stretch(touch, other(touch), (0.0, 0.0, top), (0.0, -1.0, 0.0)),
                Stretch(other(touch), other(out)),
                Stretch(other(out), other(turn), (-s - bend, 0.0, rise), (0.0, 1.0, 0.0)),
                Stretch(other(turn), other(foot)),
            )
        )

    def bodies(self) -> tuple[Body, ...]:
        """Return throat, loop and bury."""
        base, r, b = -self.throat_length, 0.5 * self.rope, 0.5 * self.buried
        end = base - self.bury
        throat = Extruded(stadium(self.throat_width, self.throat_breadth), self.throat_length, Frame((0.0, 0.0, base)))
        profile = Profile(
            (0.0, end - 2.0 * self.rope),
            (
                Step((r, end - 2.0 * self.rope)),
                Step((r, end)),
                Step((b, end + self.taper)),
                Step((b, base)),
                Step((0.0, base)),
            ),
        )
        return (throat, Swept(self.loop(), r), Turned(profile))


@dataclass(frozen=True)
class LashingSpec(Built):
    """A lashing of several turns round two pins, as one bundle: distance of the pins, pin, line [mm], turns.

    Origin half-way between the pins, Z from pin to pin, the pins along Y.
    """

    between: float
    pin: float
    line: float
    turns: int

    family: ClassVar[str] = "lashing"

    def validate(self) -> None:
        """Check that the pins are clear of each other and that the turns are a whole number.

        Raises:
            GeometryError: they touch, or it is not.
        """
        require_positive("lashing", between=self.between, pin=self.pin, line=self.line)
        whole = math.isfinite(self.turns) and self.turns == int(self.turns)
        require(whole and 1 <= self.turns <= 100, "lashing", f"it needs 1 to 100 whole turns (read: {self.turns})")
        require(self.pin < self.between, "lashing", "the two pins touch")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("between", self.between),
            Dim("pin", self.pin),
            Dim("line", self.line),
            Dim("turns", float(self.turns), ""),
        )

    @property
    def bundle(self) -> float:
        """Diameter of the bundle of turns, at the packing density of rope legs [mm]."""
        return self.line * math.sqrt(self.turns / FILL)

    def bodies(self) -> tuple[Body, ...]:
        """Return a link of round section."""
        half, r = 0.5 * self.between, 0.5 * (self.pin + self.bundle)
        top, low = (0.0, 0.0, half), (0.0, 0.0, -half)
        a, b, c, d = (r, 0.0, -half), (r, 0.0, half), (-r, 0.0, half), (-r, 0.0, -half)
        turn = (0.0, -1.0, 0.0)
        start = (r, 0.0, 0.0)
        link = Path(
            (
                Stretch(start, b),
                Stretch(b, c, top, turn),
                Stretch(c, d),
                Stretch(d, a, low, turn),
                Stretch(a, start),
            )
        )
        return (Swept(link, 0.5 * self.bundle),)
