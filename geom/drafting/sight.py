"""Orthographic views, and those of a post: upright by itself, or on its deck from outboard and from aft."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.drafting.profile_view import facing
from geom.figure import Point
from geom.placement.pads import deck_frame
from geom.placement.place import RULE_LENGTH, PlacedPost, side_sign
from geom.refit import Refit
from geom.tables import numbers
from geom.units import Mm
from geom.vec import Vec


@dataclass(frozen=True)
class Sight:
    """One view: the unit directions to the right and up on paper, and towards the viewer."""

    right: Vec
    up: Vec
    viewer: Vec

    def point(self, place: Vec) -> Point:
        """Return the projection of a point in space on paper [mm]."""
        return (vec.dot(place, self.right), vec.dot(place, self.up))


def from_outboard_square(post: PlacedPost) -> Sight:
    """Return the view from outboard of the tube by itself, upright."""
    return Sight(vec.scale(post.fore_and_aft, facing(post.side)), post.axis, post.outboard)


def from_outboard(post: PlacedPost) -> Sight:
    """Return the view from outboard, along the deck: from starboard the bow is at the right."""
    deck = deck_frame(post)
    return Sight(vec.scale(deck.aft, facing(post.side)), deck.normal, deck.outboard)


def from_aft(post: PlacedPost) -> Sight:
    """Return the view from aft, along the deck: starboard is at the right."""
    deck = deck_frame(post)
    return Sight(vec.scale(deck.outboard, side_sign(post.side)), deck.normal, deck.aft)


_INCH_STEP, _INCH_MOST = 6.0 * 25.4, 24.0 * 25.4
_STEP = 100.0


def offset_height(refit: Refit) -> Mm:
    """Return the height, square to the deck or plumb, at which offsets of all tubes are given [mm].

    It is 600 mm or 24 in, reduced by whole 100 mm or 6 in to the shortest tube.

    Args:
        refit: the boat as calculated.
    """
    step, maximum = (_STEP, RULE_LENGTH) if numbers(refit.boat).unit == "mm" else (_INCH_STEP, _INCH_MOST)
    reach = min(post.top * math.cos(max(post.plate.total, post.tilt)) for post in refit.placed.posts.values())
    if reach < step:
        step /= 10.0
    return min(maximum, math.floor(reach / step + 1e-9) * step)
