"""Wire terminals: the swaged stud and the compression terminal. Origin where the wire enters, Z towards the thread."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step, rounded

_UP = math.pi / 2.0


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
