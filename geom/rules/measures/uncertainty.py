"""Expanded uncertainty of a height or a span, where the boat file states the accuracy of its survey.

Source: JCGM 100:2008, 4.3.7 (rectangular distribution of half-width a: u = a / sqrt 3), 5.1.2 (root of the sum of
squares), 6.2 (coverage factor), from memory, verify.
"""

from __future__ import annotations

import math

from geom import vec
from geom.intake.survey.propagation import coverage
from geom.placement.place import PlacedHole, PlacedPost
from geom.placement.placed import Placed
from geom.rigging.dimension_chain import plus_minus
from geom.vec import Vec


def height_known_within(placed: Placed, post: PlacedPost, hole: PlacedHole) -> float | None:
    """Return the expanded uncertainty of the governing height of a hole [mm]; None where no accuracy is stated.

    Above the foot it comes from the position along the tube and the lean; above the edge also from the heights of foot
    and edge.

    Args:
        placed: the boat in space.
        post: the placed post.
        hole: its hole.
    """
    if placed.boat.uncertainty is None:
        return None
    off, height = plus_minus(placed.boat), placed.hole_heights[hole.id]
    upright = post.axis[2]
    bounds = [upright * off.along, hole.along * math.sqrt(max(1.0 - upright * upright, 0.0)) * off.lean]
    if height.above_edge is not None and height.above_edge < height.above_foot:
        bounds += [off.z, off.z]
    return _expanded(bounds)


def eye_known_within(placed: Placed) -> float | None:
    """Return the expanded uncertainty of the height of a rail eye above the deck edge [mm]; None as above."""
    if placed.boat.uncertainty is None:
        return None
    z = plus_minus(placed.boat).z
    return _expanded([z, z])


def span_known_within(placed: Placed, start: Vec, end: Vec) -> float | None:
    """Return the expanded uncertainty of the distance between two surveyed points [mm]; None as above.

    Each coordinate is weighted by the direction cosine of the span.

    Args:
        placed: the boat in space.
        start: first point [mm].
        end: second point [mm].
    """
    if placed.boat.uncertainty is None:
        return None
    off = plus_minus(placed.boat)
    x, y, z = vec.unit(vec.sub(end, start))
    return _expanded([x * off.xy, y * off.xy, z * off.z] * 2)


def _expanded(bounds: list[float]) -> float:
    return coverage() * math.hypot(*bounds) / math.sqrt(3.0)
