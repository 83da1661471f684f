"""A tube on its base: the ellipse of its foot, the pad under a standard base, the tube's length above the plate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.boat.model import BasePlate
from geom.placement.place import PlacedPost, deck_normal, frame_about
from geom.vec import Vec

Corner = Literal["forward outboard", "aft outboard", "aft inboard", "forward inboard"]
# Each corner by its signs aft and outboard, in order round the plate.
CORNERS: dict[Corner, tuple[float, float]] = {
    "forward outboard": (-1.0, 1.0),
    "aft outboard": (1.0, 1.0),
    "aft inboard": (1.0, -1.0),
    "forward inboard": (-1.0, -1.0),
}


@dataclass(frozen=True)
class FootEllipse:
    """A tube cut by a plane: half axes [mm], and the long axis turned from aft to outboard [rad]."""

    half_long: float
    half_short: float
    turned: float


@dataclass(frozen=True)
class Pad:
    """The pad between a standard base and a sloping deck, thickness measured square to the plate [mm].

    The thinnest corner is counted as nothing: a real pad adds its own least thickness everywhere.
    """

    corners: dict[Corner, float]
    on_axis: float


@dataclass(frozen=True)
class DeckFrame:
    """The deck at a post's foot: square to it, and its own fore-and-aft and outboard directions."""

    normal: Vec
    aft: Vec
    outboard: Vec


def plate_edge(base: BasePlate, steps: int = 24) -> tuple[tuple[float, float], ...]:
    """Return a plate's edge with its rounded corners about its middle, as places across and along it [mm].

    Args:
        base: the plate.
        steps: straight strokes to a corner.
    """
    x, y, r = 0.5 * base.width, 0.5 * base.length, base.corner_radius
    if r == 0.0:
        return ((-x, -y), (x, -y), (x, y), (-x, y))
    points = []
    for turn, (cx, cy) in enumerate(((x - r, y - r), (r - x, y - r), (r - x, r - y), (x - r, r - y))):
        for step in range(steps + 1):
            angle = 0.5 * math.pi * (turn + step / steps)
            points.append((cx + r * math.cos(angle), cy + r * math.sin(angle)))
    # Corners as round as the plate is wide leave no straight edge between them.
    return tuple(point for k, point in enumerate(points) if math.dist(point, points[k - 1]) > 1e-6)


def deck_frame(post: PlacedPost) -> DeckFrame:
    """Return the directions of the deck at a post's foot."""
    falls = post.spec.deck_falls
    normal = deck_normal(post.side, falls.aft, falls.outboard)
    aft, outboard = frame_about(normal, post.side)
    return DeckFrame(normal, aft, outboard)


def foot_ellipse(post: PlacedPost) -> FootEllipse:
    """Return the outline of the tube's foot where the deck's plane cuts it.

    Source: geometry; a circular cylinder cut at an angle from square has its long half axis 1/cos of it.
    """
    radius = 0.5 * post.tube_od
    turned = math.atan2(math.tan(post.plate.out), math.tan(post.plate.aft))
    return FootEllipse(radius / math.cos(post.plate.total), radius, turned)


def foot_on_plate(post: PlacedPost, base: BasePlate, steps: int = 72) -> tuple[tuple[float, float], ...]:
    """Return the edge of the tube on the plate's upper face, as places aft and outboard of the plate's middle [mm].

    A plate to suit lies on the deck with the tube's axis through the middle of its lower face, so that on
    the upper face the tube stands off the middle by the thickness times the plate angles' tangents.
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
    """Return the pad that a standard base wants where its plate lies square to the tube.

    Args:
        post: the placed post.
        base: the plate; its sharp corners are measured.
    """
    normal = deck_frame(post).normal
    rise = vec.dot(post.axis, normal)
    gaps: dict[Corner, float] = {}
    for corner, (aft, outboard) in CORNERS.items():
        along = 0.5 * base.length * aft * vec.dot(post.fore_and_aft, normal)
        across = 0.5 * base.width * outboard * vec.dot(post.outboard, normal)
        gaps[corner] = (along + across) / rise
    minimum = min(gaps.values())
    return Pad({corner: gap - minimum for corner, gap in gaps.items()}, -minimum)


def length_above_plate(post: PlacedPost, base: BasePlate) -> float:
    """Return the tube's length on its axis from the plate's upper face to its top [mm].

    The post's own length counts from the deck; a tube that stands on its plate is shorter by what lies under it.
    """
    if base.tube == "square to the plate":
        return post.top - pad(post, base).on_axis - base.thickness
    return post.top - base.thickness / math.cos(post.plate.total)
