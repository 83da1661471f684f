"""Expanded uncertainty of surveyed quantities: by the accuracy in the boat file, else by common practice.

Each takes the plus or minus of the readings behind it, with their weights; the same figures make up the error budget
of a run.
Source: JCGM 100:2008, 4.3.7 (rectangular distribution of half-width a: u = a / sqrt 3), 5.1.2 (root of the sum of
squares), 6.2 (coverage factor), from memory, verify.
"""

from __future__ import annotations

import math

from geom import vec
from geom.intake.survey.propagation import coverage
from geom.placement.place import PlacedHole, PlacedPost
from geom.placement.placed import Placed, once
from geom.rigging.dimension_chain import PlusMinus, plus_minus
from geom.rules.finding import Known
from geom.units import degrees
from geom.vec import Vec


def hole_height_known(placed: Placed, post: PlacedPost, hole: PlacedHole, above_edge: bool) -> Known:
    """Return the uncertainty of the height of a hole [mm].

    Above the foot it comes from the position along the tube and the lean; above the edge also from the heights of foot
    and edge.

    Args:
        placed: the boat in space.
        post: the placed post.
        hole: its hole.
        above_edge: whether the height is above the deck edge, not above the foot.
    """
    off = _off(placed)
    return _known(off, *_along_tube(off, post, hole.along), *((off.z, off.z) if above_edge else ()))


def top_known(placed: Placed, post: PlacedPost) -> Known:
    """Return the uncertainty of the height of the top of a tube above its foot [mm]."""
    off = _off(placed)
    return _known(off, *_along_tube(off, post, post.top))


@once
def levels_known(placed: Placed) -> Known:
    """Return the uncertainty of the vertical distance between two surveyed points [mm]."""
    off = _off(placed)
    return _known(off, off.z, off.z)


@once
def holes_apart_known(placed: Placed) -> Known:
    """Return the uncertainty of the distance between two holes of one post [mm]."""
    off = _off(placed)
    return _known(off, off.along, off.along)


@once
def station_height_known(placed: Placed) -> Known:
    """Return the uncertainty of the height of a line above the deck edge between two posts [mm]."""
    off = _off(placed)
    return _known(off, off.along, off.z, off.z)


def span_known(placed: Placed, start: Vec, end: Vec) -> Known:
    """Return the uncertainty of the distance between two surveyed points [mm].

    Each coordinate is weighted by the direction cosine of the span.

    Args:
        placed: the boat in space.
        start: first point [mm].
        end: second point [mm].
    """
    off = _off(placed)
    x, y, z = vec.unit(vec.sub(end, start))
    return _known(off, *[x * off.xy, y * off.xy, z * off.z] * 2)


@once
def edge_distance_known(placed: Placed) -> Known:
    """Return the uncertainty of the distance of a foot from the deck edge [mm]."""
    off = _off(placed)
    return _known(off, off.xy, off.xy)


@once
def tilt_known(placed: Placed) -> Known:
    """Return the uncertainty of the tilt of a tube [deg]."""
    off = _off(placed)
    return _known(off, degrees(off.lean))


def displacement_known(placed: Placed, rise: float) -> Known:
    """Return the uncertainty of the horizontal displacement of a tube over a rise [mm].

    Args:
        placed: the boat in space.
        rise: height of the part of the tube [mm].
    """
    off = _off(placed)
    return _known(off, rise * off.lean)


@once
def taped_known(placed: Placed) -> Known:
    """Return the uncertainty of a length taped on board [mm]."""
    off = _off(placed)
    return Known(_expanded(off.tape), off.tape_source)


@once
def _off(placed: Placed) -> PlusMinus:
    return plus_minus(placed.boat)


def _along_tube(off: PlusMinus, post: PlacedPost, along: float) -> tuple[float, float]:
    """Return the plus or minus of the height of a point of a tube above its foot, from its position and the lean."""
    upright = post.axis[2]
    return upright * off.along, along * math.sqrt(max(1.0 - upright * upright, 0.0)) * off.lean


def _known(off: PlusMinus, *bounds: float) -> Known:
    return Known(_expanded(*bounds), off.source)


def _expanded(*bounds: float) -> float:
    return coverage() * math.hypot(*bounds) / math.sqrt(3.0)
