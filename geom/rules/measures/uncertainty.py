"""How well a height or a span is known, where the boat file states what its survey is good for.

Source: JCGM 100:2008, 4.3.7 (a bound of plus or minus a is taken as evenly likely: u = a / sqrt 3), 5.1.2
(root of the sum of squares), 6.2 (expanded by a coverage factor), from memory, verify.
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
    """Return the expanded uncertainty of a hole's height, by the reading that the verdict goes by [mm].

    Above the foot only the tube counts, its length up to the hole and its lean; above the edge the heights
    of foot and edge count too. None where the file states no survey uncertainty.
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
    """Return the expanded uncertainty of a rail eye's height above the deck edge [mm]; None as above."""
    if placed.boat.uncertainty is None:
        return None
    z = plus_minus(placed.boat).z
    return _expanded([z, z])


def span_known_within(placed: Placed, start: Vec, end: Vec) -> float | None:
    """Return the expanded uncertainty of the distance of two surveyed points [mm]; None as above.

    Each coordinate of both ends counts by its share in the direction of the span.
    """
    if placed.boat.uncertainty is None:
        return None
    off = plus_minus(placed.boat)
    x, y, z = vec.unit(vec.sub(end, start))
    return _expanded([x * off.xy, y * off.xy, z * off.z] * 2)


def _expanded(bounds: list[float]) -> float:
    return coverage() * math.hypot(*bounds) / math.sqrt(3.0)
