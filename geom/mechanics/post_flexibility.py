"""A post as a flexible support of a line: its displacement under a unit force, brace and drilled holes included."""

from __future__ import annotations

import math

from geom import vec
from geom.frozen import frozen
from geom.mechanics.post_bending import PostFrame
from geom.mechanics.tube import hole_flexibility
from geom.vec import Vec

# Minimum flexibility [mm/N], for a support at the brace, where the post is rigid.
_MIN_FLEXIBILITY = 1e-7


@frozen
class FlexibleSupport:
    """A support on a flexible post: two unit directions square to the tube, and the flexibility in each [mm/N]."""

    directions: tuple[Vec, Vec]
    flexibility: tuple[float, float]


def flexible_support(post: PostFrame, along: float) -> FlexibleSupport | None:
    """Return a post as a flexible support of a line; None where the elastic modulus of the tube is not known.

    Source: cantilever by the unit-load method with the loss of section at each hole, and propped by a rigid brace by
    superposition (any strength-of-materials text).

    Args:
        post: the post.
        along: distance of the line along the tube [mm].
    """
    if post.elastic_modulus is None:
        return None
    out, across, aft = _flexibility(post, post.elastic_modulus, along, along)
    if post.brace is not None:
        side, ahead = vec.dot(post.brace.direction, post.outboard), vec.dot(post.brace.direction, post.fore_and_aft)
        xx, xy, yy = _flexibility(post, post.elastic_modulus, along, post.brace.along)
        by_prop = (xx * side + xy * ahead, xy * side + yy * ahead)
        xx, xy, yy = _flexibility(post, post.elastic_modulus, post.brace.along, post.brace.along)
        own = xx * side * side + 2.0 * xy * side * ahead + yy * ahead * ahead
        out -= by_prop[0] * by_prop[0] / own
        across -= by_prop[0] * by_prop[1] / own
        aft -= by_prop[1] * by_prop[1] / own
    return _principal(post, out, across, aft)


def _flexibility(post: PostFrame, modulus: float, at: float, by: float) -> tuple[float, float, float]:
    """Return the flexibility of an unbraced post at one height for a force at another: out-out, out-aft, aft-aft."""
    low, high = min(at, by), max(at, by)
    whole = low**2 * (3.0 * high - low) / (6.0 * post.tube.inertia)
    out, across, aft = whole, 0.0, whole
    for hole in post.holes:
        if hole.along < low:
            fibre, neutral = hole_flexibility(post.tube, hole.diameter)
            arms = (low - hole.along) * (high - hole.along)
            cos, sin = math.cos(hole.clocking), math.sin(hole.clocking)
            out += arms * (fibre * sin * sin + neutral * cos * cos)
            across += arms * (fibre - neutral) * sin * cos
            aft += arms * (fibre * cos * cos + neutral * sin * sin)
    return out / modulus, across / modulus, aft / modulus


def _principal(post: PostFrame, out: float, across: float, aft: float) -> FlexibleSupport:
    """Return a flexible support in its principal directions, in which displacement and force are parallel."""
    turn = 0.5 * math.atan2(2.0 * across, out - aft)
    cos, sin = math.cos(turn), math.sin(turn)
    first = vec.add(vec.scale(post.outboard, cos), vec.scale(post.fore_and_aft, sin))
    second = vec.add(vec.scale(post.outboard, -sin), vec.scale(post.fore_and_aft, cos))
    along_first = out * cos * cos + 2.0 * across * sin * cos + aft * sin * sin
    along_second = out * sin * sin - 2.0 * across * sin * cos + aft * cos * cos
    return FlexibleSupport((first, second), (max(along_first, _MIN_FLEXIBILITY), max(along_second, _MIN_FLEXIBILITY)))
