"""A drilled tube unrolled: its outer surface developed on a flat sheet wrapped round it, printed side out.

The sheet's x is to the right seen from outside with the foot down, which is counter-clockwise seen from
above; y is the distance from the foot along the tube. The angle about the tube is positive in the same sense
from aft, so that outboard is at +90 deg on a starboard post and at -90 deg on a port post.
Source: geometry of two crossing cylinders, exact.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.boat.model import BasePlate
from geom.figure import Point
from geom.placement.holes import Drilling
from geom.placement.pads import deck_frame, tube_length
from geom.placement.place import PlacedHole, PlacedPost, side_sign

Exit = Literal["aft", "fwd"]
EXITS: tuple[Exit, Exit] = ("aft", "fwd")
_STEPS = 96
# Arc at the seam to be clear of holes [mm].
_SEAM_CLEAR = 8.0


@dataclass(frozen=True)
class UnrolledHole:
    """One hole of a post on the flat sheet: `swing` is its axis' angle about the tube, aft end, from aft [rad]."""

    hole: PlacedHole
    drilling: Drilling
    swing: float


@dataclass(frozen=True)
class Unrolled:
    """A post's tube unrolled.

    `seam` is the angle of the left edge [rad], `paper` the thickness of the sheet [mm], on whose middle surface
    arcs are measured.
    """

    post: PlacedPost
    holes: tuple[UnrolledHole, ...]
    seam: float
    paper: float

    @property
    def radius(self) -> float:
        """Radius on which the sheet's lengths are true [mm]."""
        return (self.post.tube_od + self.paper) / 2.0

    @property
    def width(self) -> float:
        """Circumference [mm]: pi times the outside diameter plus the paper's thickness."""
        return math.tau * self.radius

    def x(self, angle: float) -> float:
        """Return the x of a direction about the tube [mm], 0 up to the width; the angle from aft [rad]."""
        turned = (angle - self.seam) % math.tau
        return 0.0 if math.tau - turned < 1e-9 else turned * self.radius

    def centre(self, hole: UnrolledHole, at: Exit) -> Point:
        """Return the point where a hole's axis meets the tube's outside [mm]."""
        rise = self.post.tube_od / 2.0 * math.tan(hole.drilling.tilt)
        angle = hole.swing if at == "aft" else hole.swing + math.pi
        return (self.x(angle), hole.hole.along + (rise if at == "aft" else -rise))

    def outline(self, hole: UnrolledHole, at: Exit) -> tuple[Point, ...]:
        """Return the developed outline of a drilled hole at the tube's outside [mm].

        With R the tube's radius, a the hole's, t the angle round the hole, the edge is at the arc
        asin(a cos t / R) beside the hole's axis and at along + a sin t / cos tilt +- sqrt(R2 - a2 cos2 t) tan tilt.
        """
        big, small, tilt = self.post.tube_od / 2.0, hole.hole.diameter / 2.0, hole.drilling.tilt
        middle, _ = self.centre(hole, at)
        sign = 1.0 if at == "aft" else -1.0
        points = []
        for step in range(_STEPS):
            t = math.tau * step / _STEPS
            beside = small * math.cos(t)
            height = small * math.sin(t) / math.cos(tilt)
            height += sign * math.sqrt(big * big - beside * beside) * math.tan(tilt)
            points.append((middle + sign * self.radius * math.asin(beside / big), hole.hole.along + height))
        return tuple(points)

    def half_width(self, hole: UnrolledHole) -> float:
        """Return the half-width of an outline [mm]."""
        return self.radius * math.asin(hole.hole.diameter / self.post.tube_od)

    def reach(self, hole: UnrolledHole) -> tuple[float, float]:
        """Return the smallest and the largest distance from the foot of both outlines of a hole [mm]."""
        levels = [y for at in EXITS for _, y in self.outline(hole, at)]
        return min(levels), max(levels)


def foot_cut(flat: Unrolled, base: BasePlate) -> tuple[Point, ...]:
    """Return the developed line of the tube's end on its plate's upper face [mm], over the width of the sheet.

    On a plate on the deck the tube is cut by the deck's slope: with n square to the plate, a the tube's axis and
    r the radius vector of a point of its outside, the cut is at the foot's height less r.n / a.n.
    """
    post = flat.post
    normal = deck_frame(post).normal
    height = post.top - tube_length(post, base)
    slope = 0.0 if base.tube == "square to the plate" else post.tube_od / 2.0 / vec.dot(post.axis, normal)
    hand = side_sign(post.side)
    points = []
    for step in range(_STEPS + 1):
        angle = flat.seam + math.tau * step / _STEPS
        aft, out = math.cos(angle), hand * math.sin(angle)
        lean = aft * vec.dot(post.fore_and_aft, normal) + out * vec.dot(post.outboard, normal)
        points.append((flat.width * step / _STEPS, height - slope * lean))
    return tuple(points)


def directions(post: PlacedPost) -> dict[str, float]:
    """Return the named directions about a tube by their angle from aft [rad], as in `Unrolled`."""
    out = side_sign(post.side) * math.pi / 2.0
    return {"AFT": 0.0, "OUTBOARD": out, "FWD": math.pi, "INBOARD": -out}


def unroll(post: PlacedPost, drillings: dict[str, Drilling], paper: float = 0.0) -> Unrolled:
    """Return a post's tube unrolled, with its seam clear of every hole.

    Args:
        post: the placed post.
        drillings: axis of each hole, by hole id.
        paper: thickness of the paper wrapped round the tube [mm].
    """
    hand = side_sign(post.side)
    holes = tuple(UnrolledHole(hole, drillings[hole.id], hand * drillings[hole.id].clocking) for hole in post.holes)
    return Unrolled(post, holes, _seam(post, holes), paper)


def _seam(post: PlacedPost, holes: tuple[UnrolledHole, ...]) -> float:
    """Return the angle of the seam [rad]: inboard where clear of holes, else outboard, else mid-gap."""
    covered = []
    for hole in holes:
        half = math.asin(hole.hole.diameter / post.tube_od)
        covered += [(hole.swing + turn, half) for turn in (0.0, math.pi)]
    named = directions(post)
    keep = _SEAM_CLEAR / (post.tube_od / 2.0)
    for word in ("INBOARD", "OUTBOARD"):
        if all(_apart(named[word], centre) > half + keep for centre, half in covered):
            return named[word]
    edges = sorted(((centre - half) % math.tau, (centre - half) % math.tau + 2.0 * half) for centre, half in covered)
    best, widest, reached = named["INBOARD"], -math.inf, edges[-1][1] - math.tau
    for start, end in edges:
        if start - reached > widest:
            best, widest = (start + reached) / 2.0, start - reached
        reached = max(reached, end)
    return best


def _apart(a: float, b: float) -> float:
    return abs((a - b + math.pi) % math.tau - math.pi)
