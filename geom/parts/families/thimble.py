"""An open teardrop thimble: a grooved channel bent round a bow, with two straight legs to its point.

Origin at the bow's centre, Y across the groove, Z towards the bow's crown, the point towards -Z.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, ClassVar

from geom import vec
from geom.parts.part import Box, Dim, Part, kernel, require, require_positive
from geom.parts.shape.body import wire_of
from geom.parts.shape.frame import Frame
from geom.parts.shape.path import Path, Stretch
from geom.parts.shape.profile import Profile, Step
from geom.parts.shape.swept import wire_along
from geom.vec import Vec


@dataclass(frozen=True)
class ThimbleSpec(Part):
    """Rope, width over all and inside, length over all, gap of the tips, thickness under the groove [mm]."""

    rope: float
    width: float
    inside: float
    length: float
    tip_gap: float
    thickness: float

    family: ClassVar[str] = "thimble"

    @property
    def flange(self) -> float:
        """Radial height of the channel, from the inside face to the rims of the flanges [mm]."""
        return 0.5 * (self.width - self.inside)

    @property
    def groove_radius(self) -> float:
        """Radius of the groove [mm], 5 per cent over that of the rope."""
        return 0.525 * self.rope

    @property
    def breadth(self) -> float:
        """Breadth across the groove: the groove and a wall on each side [mm]."""
        return 2.0 * (self.groove_radius + self.thickness)

    def validate(self) -> None:
        """Check that the thimble can be bent from a channel.

        Raises:
            GeometryError: it cannot.
        """
        require_positive(
            "thimble",
            rope=self.rope,
            width=self.width,
            inside=self.inside,
            length=self.length,
            tip_gap=self.tip_gap,
            thickness=self.thickness,
        )
        require(self.inside < self.width, "thimble", "the width over all must be more than the width inside")
        require(
            self.thickness + self.groove_radius <= self.flange,
            "thimble",
            f"a flange of {self.flange:g} mm does not hold the rope's groove",
        )
        require(self.tip_gap < self.inside, "thimble", "the tips' gap must be less than the width inside")
        require(
            self.length > 0.5 * self.width + 0.5 * self.inside + self.flange,
            "thimble",
            "it is too short for its width",
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (
            Dim("rope", self.rope),
            Dim("width", self.width),
            Dim("inside", self.inside),
            Dim("length", self.length),
            Dim("tip gap", self.tip_gap),
            Dim("thickness", self.thickness),
        )

    def section(self) -> Profile:
        """Return the channel's section: x outward from the inside face, y across the groove."""
        half, g, seat, top = 0.5 * self.breadth, self.groove_radius, self.thickness + self.groove_radius, self.flange
        return Profile(
            (0.0, -half),
            (
                Step((top, -half)),
                Step((top, -g)),
                Step((seat, -g)),
                Step((seat, g), (seat, 0.0), ccw=False),
                Step((top, g)),
                Step((top, half)),
                Step((0.0, half)),
            ),
        )

    def half_angle(self) -> float:
        """Return a leg's angle to the centre line [rad] that gives the length over all at the tips' lowest edges."""
        bow, low = 0.5 * self.inside, 0.5 * self.width - self.length

        def lowest(angle: float) -> float:
            apex = bow / math.sin(angle)
            return -apex + 0.5 * self.tip_gap / math.tan(angle) - self.flange * math.sin(angle)

        tight, wide = 1e-4, math.pi / 2.0 - 1e-4
        for _ in range(200):
            middle = 0.5 * (tight + wide)
            tight, wide = (middle, wide) if lowest(middle) < low else (tight, middle)
        return 0.5 * (tight + wide)

    def path(self) -> Path:
        """Return the inside face in the plane of the loop: leg, bow, leg."""
        r, angle = 0.5 * self.inside, self.half_angle()
        touch = (r * math.cos(angle), 0.0, -r * math.sin(angle))
        tip_z = -r / math.sin(angle) + 0.5 * self.tip_gap / math.tan(angle)
        tip = (0.5 * self.tip_gap, 0.0, tip_z)
        mirror = [(-p[0], p[1], p[2]) for p in (touch, tip)]
        centre: Vec = (0.0, 0.0, 0.0)
        return Path(
            (
                Stretch(tip, touch),
                Stretch(touch, mirror[0], centre, (0.0, -1.0, 0.0)),
                Stretch(mirror[0], mirror[1]),
            )
        )

    def volume(self) -> float:
        """Return the section area times the path of its centroid [mm3] (Pappus)."""
        area, moment = self.section().area(), self.section().moments()[0]
        leg, bow, _ = self.path().stretches
        return area * 2.0 * leg.length + (area * 0.5 * self.inside + moment) * bow.turn

    def box(self) -> Box:
        """Return the bounding box from crown, tips, flanks and breadth."""
        half = 0.5 * self.breadth
        return Box(
            (-0.5 * self.width, -half, 0.5 * self.width - self.length), (0.5 * self.width, half, 0.5 * self.width)
        )

    def solid(self) -> Any:
        """Return the channel swept round the loop."""
        cq = kernel()
        leg = self.path().stretches[0]
        angle = self.half_angle()
        out: Vec = (math.cos(angle), 0.0, -math.sin(angle))
        frame = Frame(leg.start, out, vec.cross(out, (0.0, 1.0, 0.0)))
        return cq.Solid.sweep(wire_of(self.section(), frame), [], wire_along(self.path()), True, False)
