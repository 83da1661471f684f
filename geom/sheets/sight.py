"""How a post is looked at: upright by itself, or on its deck from outboard and from aft."""

from __future__ import annotations

from geom import vec
from geom.parts.view import Sight
from geom.runs.base_fit import deck_frame
from geom.runs.place import PlacedPost, side_sign
from geom.sheets.profile_view import facing


def from_outboard_square(post: PlacedPost) -> Sight:
    """Return the look from outboard at the tube by itself, upright."""
    return Sight(vec.scale(post.fore_and_aft, facing(post.side)), post.axis, post.outboard)


def from_outboard(post: PlacedPost) -> Sight:
    """Return the look from outboard, square to the deck: the bow lies at the right seen from starboard."""
    deck = deck_frame(post)
    return Sight(vec.scale(deck.aft, facing(post.side)), deck.normal, deck.outboard)


def from_aft(post: PlacedPost) -> Sight:
    """Return the look from aft to forward, square to the deck: starboard lies at the right."""
    deck = deck_frame(post)
    return Sight(vec.scale(deck.outboard, side_sign(post.side)), deck.normal, deck.aft)
