"""Wire terminals: stud, compression terminal, eye, fork. Origin where the wire enters, Z towards thread or pin."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.families.eyes import lug, lug_profile
from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step, rounded

# A disc is so much larger than what stands on it.
_OVER = 1.05


@dataclass(frozen=True)
class SwagedStudSpec(Built):
    """Shank after swaging, bore and its depth, shank length, shoulder, thread [mm]."""

    shank: float
    bore: float
    bore_depth: float
    shank_length: float
    thread: float
    thread_length: float

    family: ClassVar[str] = "swaged stud"

    def validate(self) -> None:
        """Check that bore and thread leave metal.

        Raises:
            GeometryError: they do not.
        """
        sizes = {name: float(value) for name, value in vars(self).items()}
        require_positive("swaged stud", **sizes)
        require(self.bore < self.shank, "swaged stud", "the bore must be smaller than the shank")
        require(self.bore_depth < self.shank_length, "swaged stud", "the bore must end inside the shank")
        require(0.2 * self.thread < self.thread_length, "swaged stud", "the thread is shorter than its chamfer")
        require(0.2 * self.thread < self.shank, "swaged stud", "the shank is too thin for its thread")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return one turned body; the thread is a plain bar with a chamfer."""
        s, b, t, end = 0.5 * self.shank, 0.5 * self.bore, 0.5 * self.thread, self.shank_length + self.thread_length
        chamfer = 0.1 * self.thread
        steps = [Step((s, 0.0)), Step((s, self.shank_length))]
        if abs(t - s) > 1e-9:
            steps.append(Step((t, self.shank_length)))
        steps += [Step((t, end - chamfer)), Step((t - chamfer, end)), Step((0.0, end))]
        return (Turned(Profile((b, 0.0), (*steps, Step((0.0, self.bore_depth)), Step((b, self.bore_depth))))),)


@dataclass(frozen=True)
class CompressionTerminalSpec(Built):
    """Sleeve (diameter, length), bore for the wire, hexagon (across flats, length), thread [mm].

    The bore runs through the sleeve and the hexagon; the cone and its forming piece inside are not drawn.
    """

    sleeve: float
    sleeve_length: float
    bore: float
    flats: float
    hexagon_length: float
    thread: float
    thread_length: float

    family: ClassVar[str] = "compression terminal"

    def validate(self) -> None:
        """Check that sleeve, hexagon and stud join.

        Raises:
            GeometryError: they do not.
        """
        sizes = {name: float(value) for name, value in vars(self).items()}
        require_positive("compression terminal", **sizes)
        require(self.bore < self.sleeve, "compression terminal", "the bore must be smaller than the sleeve")
        require(self.sleeve < self.flats, "compression terminal", "the sleeve must lie inside the hexagon")
        require(self.bore < self.thread < self.flats, "compression terminal", "the thread must close the bore")
        require(
            0.2 * self.thread < self.thread_length, "compression terminal", "the thread is shorter than its chamfer"
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return sleeve, hexagon and threaded stud."""
        s, b, t = 0.5 * self.sleeve, 0.5 * self.bore, 0.5 * self.thread
        foot = self.sleeve_length + self.hexagon_length
        end, chamfer = foot + self.thread_length, 0.1 * self.thread
        corner = self.flats / math.sqrt(3.0)
        corners = tuple(
            (corner * math.cos(k * math.pi / 3.0), corner * math.sin(k * math.pi / 3.0), 0.0) for k in range(6)
        )
        sleeve = Profile((b, 0.0), (Step((s, 0.0)), Step((s, self.sleeve_length)), Step((b, self.sleeve_length))))
        stud = Profile(
            (0.0, foot), (Step((t, foot)), Step((t, end - chamfer)), Step((t - chamfer, end)), Step((0.0, end)))
        )
        hexagon = Extruded(
            rounded(corners), self.hexagon_length, Frame((0.0, 0.0, self.sleeve_length)), (("wire", (0.0, 0.0), b),)
        )
        return (Turned(sleeve), hexagon, Turned(stud))


@dataclass(frozen=True)
class TerminalEyeSpec(Built):
    """Shank after swaging, bore and its depth, shank length, collar, eye, and the neck from hole to collar [mm]."""

    shank: float
    bore: float
    bore_depth: float
    shank_length: float
    collar_thickness: float
    eye_hole: float
    eye_radius: float
    eye_thickness: float
    neck: float

    family: ClassVar[str] = "terminal eye"

    @property
    def collar(self) -> float:
        """Diameter of the collar between shank and eye, slightly over the eye's foot [mm]."""
        return max(_OVER * 2.0 * math.hypot(self.eye_radius, 0.5 * self.eye_thickness), self.shank)

    @property
    def pin(self) -> float:
        """Height of the eye's hole above the mouth [mm]."""
        return self.shank_length + self.collar_thickness + self.neck

    def validate(self) -> None:
        """Check that bore and eye leave metal.

        Raises:
            GeometryError: they do not.
        """
        sizes = {name: float(value) for name, value in vars(self).items()}
        require_positive("terminal eye", **sizes)
        require(self.bore < self.shank, "terminal eye", "the bore must be smaller than the shank")
        require(self.bore_depth < self.shank_length, "terminal eye", "the bore must end inside the shank")
        require(self.eye_hole < 2.0 * self.eye_radius, "terminal eye", "the hole must be smaller than the eye")
        require(0.5 * self.eye_hole < self.neck, "terminal eye", "the hole runs into the neck")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return shank with collar, and the eye on it."""
        eye = lug(self.eye_radius, self.eye_hole, self.eye_thickness, self.neck, (0.0, 0.0, self.pin))
        c, foot, top = 0.5 * self.collar, self.shank_length, self.shank_length + self.collar_thickness
        collar = Turned(Profile((0.0, foot), (Step((c, foot)), Step((c, top)), Step((0.0, top)))))
        return (_bored(self.shank, self.bore, self.bore_depth, self.shank_length), collar, eye)


@dataclass(frozen=True)
class TerminalForkSpec(Built):
    """Shank after swaging, bore and its depth, shank length, block, and a jaw of two cheeks with a pin hole [mm].

    `radius` is that of a cheek's end, `neck` from pin hole to block.
    """

    shank: float
    bore: float
    bore_depth: float
    shank_length: float
    block: float
    jaw: float
    cheek: float
    radius: float
    pin_hole: float
    neck: float

    family: ClassVar[str] = "terminal fork"

    @property
    def over_cheeks(self) -> float:
        """Breadth along the pin [mm]."""
        return self.jaw + 2.0 * self.cheek

    @property
    def width(self) -> float:
        """The longer side of the block under the cheeks, which carries them and the shank [mm]."""
        return max(self.over_cheeks, 2.0 * self.radius, self.shank)

    @property
    def pin(self) -> float:
        """Height of the pin hole above the mouth [mm]."""
        return self.shank_length + self.block + self.neck

    def validate(self) -> None:
        """Check that bore, cheeks and pin hole leave metal.

        Raises:
            GeometryError: they do not.
        """
        sizes = {name: float(value) for name, value in vars(self).items()}
        require_positive("terminal fork", **sizes)
        require(self.bore < self.shank, "terminal fork", "the bore must be smaller than the shank")
        require(self.bore_depth < self.shank_length, "terminal fork", "the bore must end inside the shank")
        require(self.pin_hole < 2.0 * self.radius, "terminal fork", "the pin hole must be smaller than the cheek")
        require(0.5 * self.pin_hole < self.neck, "terminal fork", "the pin hole runs into the block")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), float(value)) for name, value in vars(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return shank with its block, and a cheek on either side of the jaw."""
        outline = lug_profile(self.radius, self.neck)
        cheeks = [
            Extruded(
                outline,
                self.cheek,
                Frame((at, 0.0, self.pin), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
                (("pin", (0.0, 0.0), 0.5 * self.pin_hole),),
            )
            for at in (0.5 * self.jaw, -0.5 * self.over_cheeks)
        ]
        x, y = max(0.5 * self.over_cheeks, 0.5 * self.shank), max(self.radius, 0.5 * self.shank)
        corners = ((-x, -y, 0.0), (x, -y, 0.0), (x, y, 0.0), (-x, y, 0.0))
        block = Extruded(rounded(corners), self.block, Frame((0.0, 0.0, self.shank_length)))
        return (_bored(self.shank, self.bore, self.bore_depth, self.shank_length), block, *cheeks)


def _bored(shank: float, bore: float, depth: float, length: float) -> Turned:
    """Return a shank with a blind bore from its mouth [mm]."""
    s, b = 0.5 * shank, 0.5 * bore
    steps = (Step((s, 0.0)), Step((s, length)), Step((0.0, length)), Step((0.0, depth)), Step((b, depth)))
    return Turned(Profile((b, 0.0), steps))
