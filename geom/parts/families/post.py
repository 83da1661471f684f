"""A stanchion: a tube with drilled holes that cross its axis.

The frame: origin at the foot's centre, Z along the tube, X aft and square to the tube (the boat's X
less its part along the tube), Y = Z x X, so towards starboard on either side of the boat. It is
right-handed for both hands. Clocking of a hole is positive with its aft end outboard, which is +Y on
a starboard post and -Y on a port post: the axis is

    (cos tilt cos clocking, hand * cos tilt sin clocking, sin tilt), hand +1 for S and -1 for P.

A port post is the mirror image of the starboard post of the same sizes, and not the same part
unless every clocking is zero.

A tube on a plate begins above the foot, cut by the plate's plane, which rises going aft
and outboard by the two slopes of `foot_rise`.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from geom.frozen import frozen
from geom.parts.part import Box, Cylinder, Dim, Part, kernel, require, require_positive
from geom.parts.shape.crossing import common_volume
from geom.vec import Vec

Hand = Literal["P", "S"]
# A hole tilted as far as this, or a foot cut as steeply against its tube, is not made [rad].
MAX_HOLE_TILT = MAX_FOOT_SLOPE = math.radians(60.0)
# Groove of the AFT mark: height of its lower end above foot or socket, length, width, depth [mm].
# Our own choice: a laser or a scriber makes it visible, and the weld does not fill it.
MARK_UP, MARK_LONG, MARK_WIDE, MARK_DEEP = 10.0, 30.0, 0.5, 0.2


@frozen
class DrilledHole:
    """A hole on the tube's axis: distance from the foot [mm], diameter [mm], clocking and tilt [rad]."""

    name: str
    along: float
    diameter: float
    clocking: float = 0.0
    tilt: float = 0.0

    def reach(self, od: float) -> float:
        """Return the half-height of the hole's edge along the tube [mm].

        The highest and lowest points of a tilted hole's edge are in a plane through the tube's axis.

        Args:
            od: outside diameter of the tube [mm].
        """
        return 0.5 * od * abs(math.tan(self.tilt)) + 0.5 * self.diameter / math.cos(self.tilt)


@dataclass(frozen=True)
class PostSpec(Part):
    """A post: outside diameter and wall of its tube, top and start of the tube from the foot [mm].

    `foot_rise` are the slopes of the foot's plane going aft and outboard, as ratios; `mark` is the direction of the AFT
    mark about the tube, outboard + [rad], where the mark is to be cut as a thin groove; `hidden` is the length of the
    tube in a socket, above which the groove begins.
    """

    od: float
    wall: float
    top: float
    drilled: tuple[DrilledHole, ...] = ()
    hand: Hand = "S"
    start: float = 0.0
    foot_rise: tuple[float, float] = (0.0, 0.0)
    mark: float | None = None
    hidden: float = 0.0

    family: ClassVar[str] = "post"
    axes: ClassVar[str] = "X aft, Y to starboard, Z up the tube, from the middle of its foot on the deck"

    @property
    def slope(self) -> float:
        """Slope of the foot's plane against a square cut, as a ratio."""
        return math.hypot(*self.foot_rise)

    @property
    def _mark_low(self) -> float:
        """Height of the lower end of the AFT mark [mm]."""
        return self.start + max(0.5 * self.od * self.slope, self.hidden) + MARK_UP

    def foot_at(self, x: float, y: float) -> float:
        """Return the height of the foot's plane at a point of the post's frame [mm].

        Args:
            x: aft [mm].
            y: to starboard [mm].
        """
        hand = 1.0 if self.hand == "S" else -1.0
        return self.start + self.foot_rise[0] * x + hand * self.foot_rise[1] * y

    @property
    def bore(self) -> float:
        """Inside diameter of the tube [mm]."""
        return self.od - 2.0 * self.wall

    def validate(self) -> None:
        """Check that the tube and its holes can be made.

        Raises:
            GeometryError: they cannot.
        """
        require_positive("post", od=self.od, wall=self.wall, length=self.top)
        require(self.hand in ("P", "S"), "post", f"hand must be P or S (read: {self.hand})")
        require(math.isfinite(self.start) and self.start >= 0.0, "post", "its start must be at its foot or above")
        require(0.0 <= self.hidden < self.top, "post", "its length in a socket must be zero or more, and under its top")
        require(self.slope < math.tan(MAX_FOOT_SLOPE), "post", "its foot is cut at 60 deg or more")
        require(self.start + 0.5 * self.od * self.slope < self.top, "post", "its foot reaches its top")
        require(self.mark is None or self.wall > MARK_DEEP, "post", "its wall is thinner than the AFT mark is deep")
        require(self.mark is None or self._mark_low + MARK_LONG < self.top, "post", "its AFT mark reaches its top")
        require(2.0 * self.wall < self.od, "post", f"wall {self.wall:g} mm leaves no bore in a tube of {self.od:g} mm")
        for hole in self.drilled:
            self._validate_hole(hole)
        ordered = sorted(self.drilled, key=lambda hole: hole.along)
        for lower, upper in itertools.pairwise(ordered):
            apart = upper.along - lower.along - upper.reach(self.od) - lower.reach(self.od)
            require(apart > 0.0, "post", f"holes {lower.name} and {upper.name} overlap")

    def _validate_hole(self, hole: DrilledHole) -> None:
        owner = f"post, hole {hole.name}"
        require_positive(owner, diameter=hole.diameter)
        require(math.isfinite(hole.clocking), owner, "clocking is not a number")
        require(abs(hole.tilt) < MAX_HOLE_TILT, owner, "tilt must be under 60 deg")
        require(
            hole.diameter < self.bore,
            owner,
            f"diameter {hole.diameter:g} mm must be smaller than the tube's bore of {self.bore:g} mm",
        )
        reach = hole.reach(self.od)
        require(
            self.start + 0.5 * self.od * self.slope + reach < hole.along < self.top - reach,
            owner,
            f"at {hole.along:g} mm from the foot it runs off the tube of {self.top:g} mm",
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return tube and hole sizes; angles in degrees."""
        sizes = [Dim("od", self.od), Dim("wall", self.wall), Dim("length", self.top)]
        if self.start or self.slope:
            aft, out = (math.degrees(math.atan(rise)) for rise in self.foot_rise)
            sizes += [Dim("start", self.start), Dim("foot aft", aft, "deg"), Dim("foot outboard", out, "deg")]
        for hole in self.drilled:
            sizes += [
                Dim(f"{hole.name} along", hole.along),
                Dim(f"{hole.name} diameter", hole.diameter),
                Dim(f"{hole.name} clocking", math.degrees(hole.clocking), "deg"),
                Dim(f"{hole.name} tilt", math.degrees(hole.tilt), "deg"),
            ]
        return tuple(sizes)

    def direction(self, hole: DrilledHole) -> Vec:
        """Return the unit direction of a hole's axis in the post's frame, pointing aft."""
        hand = 1.0 if self.hand == "S" else -1.0
        flat = math.cos(hole.tilt)
        return (flat * math.cos(hole.clocking), hand * flat * math.sin(hole.clocking), math.sin(hole.tilt))

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the drilled holes."""
        return tuple(
            Cylinder(hole.name, 0.5 * hole.diameter, (0.0, 0.0, hole.along), self.direction(hole))
            for hole in self.drilled
        )

    def volume(self) -> float:
        """Return the volume of the tube less the metal drilled from both walls [mm3].

        A sloped foot removes on one side what it leaves on the other.
        """
        tube = math.pi / 4.0 * (self.od**2 - self.bore**2) * (self.top - self.start)
        return tube - math.fsum(self._drilled_away(hole) for hole in self.drilled) - self._marked_away()

    def _marked_away(self) -> float:
        """Return the metal that the groove of the AFT mark removes [mm3]."""
        if self.mark is None:
            return 0.0
        radius, half = 0.5 * self.od, 0.5 * MARK_WIDE
        over = half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)
        return MARK_LONG * (over - MARK_WIDE * (radius - MARK_DEEP))

    def _drilled_away(self, hole: DrilledHole) -> float:
        """Return the metal that one hole removes [mm3]: common volume with the bar less that with the bore."""
        drill = 0.5 * hole.diameter
        whole = common_volume(0.5 * self.od, drill, hole.tilt)
        return whole - common_volume(0.5 * self.bore, drill, hole.tilt)

    def box(self) -> Box:
        """Return the tube's bounding box; no hole removes a whole side of it."""
        r = 0.5 * self.od
        return Box((-r, -r, self.start - r * self.slope), (r, r, self.top))

    def solid(self) -> Any:
        """Return the drilled tube: an extruded ring less one cylinder per hole."""
        cq = kernel()
        # The tube's seam is athwartships, where no hole cuts it: half as many edge curves.
        low = self.start - self.od * self.slope
        seam = cq.Plane((0, 0, low), (0, 1, 0), (0, 0, 1))
        tube = cq.Workplane(seam).circle(0.5 * self.od).circle(0.5 * self.bore).extrude(self.top - low).val()
        drills = [] if self.slope == 0.0 else [self._under_foot(cq)]
        if self.mark is not None:
            drills.append(self._groove(cq))
        if not self.drilled and not drills:
            return tube.Solids()[0]
        for cylinder in self.holes():
            # The kernel's booleans fail on subnormal numbers; components this small are zero.
            axis = cq.Vector(*(part if abs(part) > 1e-15 else 0.0 for part in cylinder.direction))
            start = cq.Vector(*cylinder.point) - axis * (2.0 * self.od)
            drills.append(cq.Solid.makeCylinder(cylinder.radius, 4.0 * self.od, start, axis))
        return tube.cut(*drills).Solids()[0]

    def _groove(self, cq: Any) -> Any:
        """Return a block that cuts the AFT mark."""
        assert self.mark is not None
        turn = self.mark if self.hand == "S" else -self.mark
        out = (math.cos(turn), math.sin(turn), 0.0)
        face = cq.Plane((0.0, 0.0, self._mark_low), out, (0.0, 0.0, 1.0))
        floor = 0.5 * self.od - MARK_DEEP
        return cq.Workplane(face).center(floor + 0.5 * self.od, 0.0).rect(self.od, MARK_WIDE).extrude(MARK_LONG).val()

    def _under_foot(self, cq: Any) -> Any:
        """Return a block that fills the space under the foot's plane."""
        hand = 1.0 if self.hand == "S" else -1.0
        normal = (-self.foot_rise[0], -hand * self.foot_rise[1], 1.0)
        face = cq.Plane((0.0, 0.0, self.start), (1.0, 0.0, self.foot_rise[0]), normal)
        wide = 4.0 * self.od * math.hypot(1.0, self.slope)
        return cq.Workplane(face).rect(wide, wide).extrude(-4.0 * self.od * (self.slope + 1.0)).val()


def hole_edges(radius: float, a: float, u: Vec, steps: int = 48) -> tuple[list[Vec], list[Vec]]:
    """Return the two closed curves where a hole meets the surface of a tube [mm], the aft one first.

    e = u x Z over its length and f = e x u span the hole's section, so that a point of its wall is
    a (cos t e + sin t f) + s u; the tube's radius gives two values of s, one forward and one aft.

    Args:
        radius: outside radius of the tube [mm].
        a: radius of the hole [mm].
        u: unit direction of the hole's axis.
        steps: number of points on each curve.
    """
    flat = math.hypot(u[0], u[1])
    e = (u[1] / flat, -u[0] / flat, 0.0)
    f = (e[1] * u[2], -e[0] * u[2], e[0] * u[1] - e[1] * u[0])
    aft: list[Vec] = []
    fore: list[Vec] = []
    for k in range(steps):
        t = math.tau * k / steps
        p = tuple(a * (math.cos(t) * e[i] + math.sin(t) * f[i]) for i in range(3))
        half = (p[0] * u[0] + p[1] * u[1]) / (flat * flat)
        root = math.sqrt(half * half - (p[0] ** 2 + p[1] ** 2 - radius * radius) / (flat * flat))
        for store, s in ((aft, -half + root), (fore, -half - root)):
            store.append((p[0] + s * u[0], p[1] + s * u[1], p[2] + s * u[2]))
    return aft, fore
