"""A tube on its base: foot ellipse, pad under a standard base, length of the tube above the plate."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.boat.model import BasePlate
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedPost, deck_normal, frame_about, side_sign
from geom.vec import Vec

Corner = Literal["forward outboard", "aft outboard", "aft inboard", "forward inboard"]
# Each corner by its signs aft and outboard, in order round the plate.
CORNERS: dict[Corner, tuple[float, float]] = {
    "forward outboard": (-1.0, 1.0),
    "aft outboard": (1.0, 1.0),
    "aft inboard": (1.0, -1.0),
    "forward inboard": (-1.0, -1.0),
}


# Corners of a plate that differ by less stand on the deck without a pad [mm].
PARALLEL = 0.1


@dataclass(frozen=True)
class FootEllipse:
    """A tube cut by a plane: half axes [mm], and the angle of the long axis from aft towards outboard [rad]."""

    half_long: float
    half_short: float
    turned: float


@dataclass(frozen=True)
class Pad:
    """The pad between a standard base and a sloping deck: thickness square to the plate [mm].

    `least` is that of its thinnest corner, zero where base and deck are parallel and there is no pad.
    """

    corners: dict[Corner, float]
    on_axis: float
    least: float

    @property
    def needed(self) -> bool:
        """Whether there is a pad."""
        return self.least > 0.0


@dataclass(frozen=True)
class DeckFrame:
    """The deck at the foot of a post: unit normal, fore-and-aft and outboard directions."""

    normal: Vec
    aft: Vec
    outboard: Vec


def plate_edge(base: BasePlate, steps: int = 24) -> tuple[tuple[float, float], ...]:
    """Return the outline of a plate with its rounded corners, as points across and along it from its middle [mm].

    Args:
        base: the plate.
        steps: straight segments per corner.
    """
    x, y, r = 0.5 * base.width, 0.5 * base.length, base.corner_radius
    if r == 0.0:
        return ((-x, -y), (x, -y), (x, y), (-x, y))
    points = []
    for turn, (cx, cy) in enumerate(((x - r, y - r), (r - x, y - r), (r - x, r - y), (x - r, r - y))):
        for step in range(steps + 1):
            angle = 0.5 * math.pi * (turn + step / steps)
            points.append((cx + r * math.cos(angle), cy + r * math.sin(angle)))
    # Where the corner radius is half the width there is no straight edge between two corners.
    return tuple(point for k, point in enumerate(points) if math.dist(point, points[k - 1]) > 1e-6)


def deck_frame(post: PlacedPost) -> DeckFrame:
    """Return the directions of the deck at the foot of a post."""
    falls = post.spec.deck_falls
    normal = deck_normal(post.side, falls.aft, falls.outboard)
    aft, outboard = frame_about(normal, post.side)
    return DeckFrame(normal, aft, outboard)


def foot_ellipse(post: PlacedPost) -> FootEllipse:
    """Return the outline of the tube where the plane of the deck cuts it.

    Source: geometry; a circular cylinder cut at an angle from square is an ellipse of half axis radius / cos(angle).
    """
    radius = 0.5 * post.tube_od
    turned = math.atan2(math.tan(post.plate.out), math.tan(post.plate.aft))
    return FootEllipse(radius / math.cos(post.plate.total), radius, turned)


def foot_on_plate(post: PlacedPost, base: BasePlate, steps: int = 72) -> tuple[tuple[float, float], ...]:
    """Return the outline of the tube on the upper face of the plate, as points aft and outboard of its middle [mm].

    A plate made to suit lies on the deck with the tube axis through the middle of its lower face, so that on
    the upper face the tube is offset by the thickness times the tangents of the plate angles.

    Args:
        post: the placed post.
        base: its plate.
        steps: points of the outline.
    """
    if base.tube == "square to the plate":
        half_long = half_short = 0.5 * post.tube_od
        turned = aft = outboard = 0.0
    else:
        foot = foot_ellipse(post)
        half_long, half_short, turned = foot.half_long, foot.half_short, foot.turned
        aft = base.thickness * math.tan(post.plate.aft)
        outboard = base.thickness * math.tan(post.plate.out)
    points = []
    for step in range(steps):
        t = math.tau * step / steps
        long, short = half_long * math.cos(t), half_short * math.sin(t)
        points.append(
            (
                aft + long * math.cos(turned) - short * math.sin(turned),
                outboard + long * math.sin(turned) + short * math.cos(turned),
            )
        )
    return tuple(points)


def pad(post: PlacedPost, base: BasePlate) -> Pad:
    """Return the pad needed under a standard base, whose plate is square to the tube.

    A pad has no feather edge: its thinnest corner has a least thickness.
    Source: data/shop_limits.csv, key pad thickness, from memory.

    Args:
        post: the placed post.
        base: the plate; its corners are taken as sharp.
    """
    normal = deck_frame(post).normal
    rise = vec.dot(post.axis, normal)
    gaps: dict[Corner, float] = {}
    for corner, (aft, outboard) in CORNERS.items():
        along = 0.5 * base.length * aft * vec.dot(post.fore_and_aft, normal)
        across = 0.5 * base.width * outboard * vec.dot(post.outboard, normal)
        gaps[corner] = (along + across) / rise
    minimum = min(gaps.values())
    least = shop_limits().pad_thickness if max(gaps.values()) - minimum > PARALLEL else 0.0
    return Pad({corner: gap - minimum + least for corner, gap in gaps.items()}, least - minimum, least)


def interchangeable(posts: Sequence[PlacedPost], base: BasePlate) -> bool:
    """Return whether the pads of posts may be exchanged: alike at every corner, port or starboard as it lies.

    Mirror images are not, as what is outboard on one side is inboard on the other.

    Args:
        posts: at least one post on the base.
        base: the base.
    """
    lying = [
        {(aft, out * side_sign(post.side)): under.corners[corner] for corner, (aft, out) in CORNERS.items()}
        for post, under in ((post, pad(post, base)) for post in posts)
    ]
    return all(abs(one[at] - lying[0][at]) <= PARALLEL for one in lying for at in one)


def length_above_plate(post: PlacedPost, base: BasePlate) -> float:
    """Return the length of the tube along its axis from the upper face of the plate to its top [mm].

    The length of the post is measured from the deck; the tube is shorter by the plate and the pad under it. In a
    socket it begins above or below that face, see `tube_length`.
    """
    if base.tube == "square to the plate":
        return post.top - pad(post, base).on_axis - base.thickness
    return post.top - base.thickness / math.cos(post.plate.total)


def foot_over_plate(base: BasePlate) -> float:
    """Return the height of the tube's foot over the upper face of the plate [mm]: zero, but in a socket as it is deep.

    Negative where the tube goes into the plate.
    """
    if base.socket is None or base.socket.depth is None:
        return 0.0
    return base.socket.height - base.socket.depth


def tube_length(post: PlacedPost, base: BasePlate) -> float:
    """Return the length of the tube along its axis, from its foot to its top [mm].

    Args:
        post: the placed post.
        base: its base; in a socket the tube begins at the stated depth under the mouth.
    """
    return length_above_plate(post, base) - foot_over_plate(base)
