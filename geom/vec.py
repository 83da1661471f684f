"""Vectors in three dimensions as plain tuples, which are faster than arrays at this size."""

from __future__ import annotations

import math

Vec = tuple[float, float, float]


def add(a: Vec, b: Vec) -> Vec:
    """Return a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec, b: Vec) -> Vec:
    """Return a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec, factor: float) -> Vec:
    """Return a times a factor."""
    return (a[0] * factor, a[1] * factor, a[2] * factor)


def along(start: Vec, direction: Vec, distance: float) -> Vec:
    """Return the point at a distance from start along a direction.

    Args:
        start: the point [mm].
        direction: unit direction.
        distance: along it [mm].
    """
    return (
        start[0] + direction[0] * distance,
        start[1] + direction[1] * distance,
        start[2] + direction[2] * distance,
    )


def between(a: Vec, b: Vec, share: float) -> Vec:
    """Return the point at a share of the way from one point to another.

    Args:
        a: the point at share 0 [mm].
        b: the point at share 1 [mm].
        share: of the way.
    """
    return add(a, scale(sub(b, a), share))


def dot(a: Vec, b: Vec) -> float:
    """Return the scalar product, in the product of both units [mm2 for lengths]."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Return the vector product."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def norm(a: Vec) -> float:
    """Return the length of a [mm, or the unit of a]."""
    return math.hypot(*a)


def unit(a: Vec) -> Vec:
    """Return a scaled to length one.

    Raises:
        ZeroDivisionError: a has no length, so no direction.
    """
    return scale(a, 1.0 / norm(a))


def distance(a: Vec, b: Vec) -> float:
    """Return the distance between two points [mm]."""
    return math.dist(a, b)


def angle(a: Vec, b: Vec) -> float:
    """Return the angle between two directions [rad], exact for small angles too."""
    return math.atan2(norm(cross(a, b)), dot(a, b))


def square_to(a: Vec, axis: Vec) -> Vec:
    """Return the component of a square to a unit axis."""
    along_axis = a[0] * axis[0] + a[1] * axis[1] + a[2] * axis[2]
    return (a[0] - axis[0] * along_axis, a[1] - axis[1] * along_axis, a[2] - axis[2] * along_axis)
