"""A stanchion base: a plate on deck, flat or wedged, with four fastenings and, optionally, a socket for the tube.

Origin where the tube's axis meets the deck, Z along the tube. A wedged plate's lower face rises
towards +X by the wedge angle, so that the tube is square to the plate's top.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step, rounded


@dataclass(frozen=True)
class BaseSpec(Built):
    """Plate and fastenings [mm], wedge [rad], and the socket's sizes, all zero for a bare plate.

    `thickness` is measured on the tube's axis.
    """

    length: float
    width: float
    thickness: float
    corner_radius: float
    fastening_hole: float
    fastening_pitch_x: float
    fastening_pitch_y: float
    wedge: float = 0.0
    socket_od: float = 0.0
    socket_bore: float = 0.0
    socket_height: float = 0.0

    family: ClassVar[str] = "base"

    @property
    def has_socket(self) -> bool:
        """Whether the plate has a socket."""
        return self.socket_od > 0.0

    def validate(self) -> None:
        """Check that the holes are on the plate and that its thin edge has metal.

        Raises:
            GeometryError: they are not, or it has none.
        """
        require_positive(
            "base",
            length=self.length,
            width=self.width,
            thickness=self.thickness,
            corner_radius=self.corner_radius,
            fastening_hole=self.fastening_hole,
            fastening_pitch_x=self.fastening_pitch_x,
            fastening_pitch_y=self.fastening_pitch_y,
        )
        require(2.0 * self.corner_radius < min(self.length, self.width), "base", "the corner radius is too large")
        require(abs(self.wedge) < math.radians(20.0), "base", "the wedge must be under 20 deg")
        thin = self.thickness - math.tan(abs(self.wedge)) * 0.5 * self.length
        require(thin > 0.0, "base", f"the wedge leaves no thickness at the plate's thin edge ({thin:.2f} mm)")
        for name, pitch, size in (
            ("length", self.fastening_pitch_x, self.length),
            ("width", self.fastening_pitch_y, self.width),
        ):
            require(pitch + self.fastening_hole < size, "base", f"the fastenings run off the plate's {name}")
            require(pitch > self.fastening_hole, "base", f"the fastening holes overlap along the {name}")
        self._validate_socket()

    def _validate_socket(self) -> None:
        sizes = (self.socket_od, self.socket_bore, self.socket_height)
        if not any(sizes):
            return
        require_positive("base", socket_od=sizes[0], socket_bore=sizes[1], socket_height=sizes[2])
        require(self.socket_bore < self.socket_od, "base", "the socket needs a wall")
        require(self.socket_od < min(self.length, self.width), "base", "the socket must be smaller than the plate")
        clear = math.hypot(0.5 * self.fastening_pitch_x, 0.5 * self.fastening_pitch_y) - 0.5 * self.fastening_hole
        require(0.5 * self.socket_od < clear, "base", "the socket covers the fastenings")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes; the socket's only where there is one."""
        plate = (
            Dim("length", self.length),
            Dim("width", self.width),
            Dim("thickness", self.thickness),
            Dim("corner radius", self.corner_radius),
            Dim("fastening hole", self.fastening_hole),
            Dim("fastening pitch x", self.fastening_pitch_x),
            Dim("fastening pitch y", self.fastening_pitch_y),
            Dim("wedge", math.degrees(self.wedge), "deg"),
        )
        socket = (
            Dim("socket od", self.socket_od),
            Dim("socket bore", self.socket_bore),
            Dim("socket height", self.socket_height),
        )
        return plate + socket if self.has_socket else plate

    def bodies(self) -> tuple[Body, ...]:
        """Return the plate and, on its top, the socket."""
        x, y, r = 0.5 * self.length, 0.5 * self.width, self.corner_radius
        outline = rounded(((-x, -y, r), (x, -y, r), (x, y, r), (-x, y, r)))
        px, py = 0.5 * self.fastening_pitch_x, 0.5 * self.fastening_pitch_y
        places = ((-px, -py), (px, -py), (px, py), (-px, py))
        bores = tuple((f"fastening {k}", at, 0.5 * self.fastening_hole) for k, at in enumerate(places, start=1))
        plate = Extruded(outline, self.thickness, bores=bores, fall=(math.tan(self.wedge), 0.0))
        if not self.has_socket:
            return (plate,)
        inner, outer, height = 0.5 * self.socket_bore, 0.5 * self.socket_od, self.socket_height
        ring = Profile((inner, 0.0), (Step((outer, 0.0)), Step((outer, height)), Step((inner, height))))
        return (plate, Turned(ring, Frame((0.0, 0.0, self.thickness))))
