"""The distance from a line to the edge where a hole leaves a tube: plain functions of floats.

All is in the frame of the hole: its axis, the direction across the tube, and the one square to both. Units: mm, rad.
`geom/mechanics/kernels` compiles them for many boats.
"""

from __future__ import annotations

import math
from typing import NamedTuple

_STEPS = 36
_STEP = 2.0 * math.pi / _STEPS
_TURNS = tuple((math.cos(index * _STEP), math.sin(index * _STEP)) for index in range(_STEPS))
_REFINEMENTS = 40
# Relative accuracy of the slope at a minimum, which leaves an error of its square.
_RESOLUTION = 1e-9


class ExitEdge(NamedTuple):
    """The closed edge on the side to which the hole axis points, and the direction of a line through the hole's centre.

    `tube` and `hole` are radii; the tilt is that of the hole axis along the tube.
    """

    tube: float
    hole: float
    cos_tilt: float
    sin_tilt: float
    line: tuple[float, float, float]


def min_distance(edge: ExitEdge) -> float:
    """Return the minimum distance from the line to the edge [mm]."""
    least = math.inf
    before, here = distance(edge, *_TURNS[-2]), distance(edge, *_TURNS[-1])
    for index in range(_STEPS):
        cos, sin = _TURNS[index]
        after = distance(edge, cos, sin)
        if before >= here <= after:
            least = min(least, _refined(edge, (index - 2) * _STEP, index * _STEP))
        before, here = here, after
    return least


def distance(edge: ExitEdge, cos: float, sin: float) -> float:
    """Return the distance from the line to a point of the edge [mm].

    Args:
        edge: with the line.
        cos: of the angle round the hole.
        sin: of the same angle.
    """
    side, rise = edge.hole * cos, edge.hole * sin
    # In a tilted hole the face of the tube is farther from the hole centre at its upper edge.
    reach = (math.sqrt(edge.tube * edge.tube - side * side) + rise * edge.sin_tilt) / edge.cos_tilt
    h, a, u = edge.line
    x, y, z = side * u - rise * a, rise * h - reach * u, reach * a - side * h
    return math.sqrt(x * x + y * y + z * z)


def nears(edge: ExitEdge, f: float) -> float:
    """Return half the derivative of the square of that distance by the angle [mm2].

    Args:
        edge: with the line.
        f: angle round the hole [rad].
    """
    cos, sin = math.cos(f), math.sin(f)
    side, rise = edge.hole * cos, edge.hole * sin
    root = math.sqrt(edge.tube * edge.tube - side * side)
    reach = (root + rise * edge.sin_tilt) / edge.cos_tilt
    reaches = (side * rise / root + side * edge.sin_tilt) / edge.cos_tilt
    h, a, u = edge.line
    return (
        (side * u - rise * a) * (-rise * u - side * a)
        + (rise * h - reach * u) * (side * h - reaches * u)
        + (reach * a - side * h) * (reaches * a + rise * h)
    )


def _refined(edge: ExitEdge, low: float, high: float) -> float:
    """Return the minimum distance from line to edge between two angles, where its derivative is zero.

    False position, with the value at an end that stays halved (the Illinois rule).
    """
    at_low, at_high = nears(edge, low), nears(edge, high)
    f = 0.5 * (low + high)
    for _ in range(_REFINEMENTS):
        if at_low >= 0.0 or at_high <= 0.0 or high - low <= _RESOLUTION:
            break
        f = high - at_high * (high - low) / (at_high - at_low)
        at_f = nears(edge, f)
        if abs(at_f) <= _RESOLUTION * (at_high - at_low):
            break
        if at_f > 0.0:
            high, at_high, at_low = f, at_f, 0.5 * at_low
        else:
            low, at_low, at_high = f, at_f, 0.5 * at_high
    return distance(edge, math.cos(f), math.sin(f))
