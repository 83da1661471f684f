"""How a post gives where a line takes hold of it: its tube bends, more at its holes, and a brace does not give."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.mechanics.post_bending import PostFrame
from geom.mechanics.tube import hole_give
from geom.vec import Vec

# Stiffer than any line: a hold at a brace's own place does not move [mm/N].
_LEAST_GIVE = 1e-7


@dataclass(frozen=True)
class Hold:
    """A point of a line on a post that bends: two directions square to the tube, and how it gives in each [mm/N]."""

    directions: tuple[Vec, Vec]
    give: tuple[float, float]


def hold_of(post: PostFrame, along: float) -> Hold | None:
    """Return how a post gives where a line takes hold; None where the tube's elastic modulus is not known.

    Source: cantilever under a load by the work of a unit force, each hole's loss of section added, and propped by a
    rigid brace by superposition (any strength-of-materials text).

    Args:
        post: the post.
        along: the hold's distance along the tube [mm].
    """
    if post.elastic_modulus is None:
        return None
    out, across, aft = _give(post, post.elastic_modulus, along, along)
    if post.brace is not None:
        side, ahead = vec.dot(post.brace.direction, post.outboard), vec.dot(post.brace.direction, post.fore_and_aft)
        xx, xy, yy = _give(post, post.elastic_modulus, along, post.brace.along)
        by_prop = (xx * side + xy * ahead, xy * side + yy * ahead)
        xx, xy, yy = _give(post, post.elastic_modulus, post.brace.along, post.brace.along)
        own = xx * side * side + 2.0 * xy * side * ahead + yy * ahead * ahead
        out -= by_prop[0] * by_prop[0] / own
        across -= by_prop[0] * by_prop[1] / own
        aft -= by_prop[1] * by_prop[1] / own
    return _principal(post, out, across, aft)


def _give(post: PostFrame, modulus: float, at: float, by: float) -> tuple[float, float, float]:
    """Return how a bare post moves at one place by a unit force at another: out by out, out by aft, aft by aft."""
    low, high = min(at, by), max(at, by)
    whole = low**2 * (3.0 * high - low) / (6.0 * post.tube.inertia)
    out, across, aft = whole, 0.0, whole
    for hole in post.holes:
        if hole.along < low:
            fibre, neutral = hole_give(post.tube, hole.diameter)
            arms = (low - hole.along) * (high - hole.along)
            cos, sin = math.cos(hole.clocking), math.sin(hole.clocking)
            out += arms * (fibre * sin * sin + neutral * cos * cos)
            across += arms * (fibre - neutral) * sin * cos
            aft += arms * (fibre * cos * cos + neutral * sin * sin)
    return out / modulus, across / modulus, aft / modulus


def _principal(post: PostFrame, out: float, across: float, aft: float) -> Hold:
    """Return a hold by the two directions in which a force moves it straight away."""
    turn = 0.5 * math.atan2(2.0 * across, out - aft)
    cos, sin = math.cos(turn), math.sin(turn)
    first = vec.add(vec.scale(post.outboard, cos), vec.scale(post.fore_and_aft, sin))
    second = vec.add(vec.scale(post.outboard, -sin), vec.scale(post.fore_and_aft, cos))
    along_first = out * cos * cos + 2.0 * across * sin * cos + aft * sin * sin
    along_second = out * sin * sin - 2.0 * across * sin * cos + aft * cos * cos
    return Hold((first, second), (max(along_first, _LEAST_GIVE), max(along_second, _LEAST_GIVE)))
