"""Edges and bushes of a stanchion's holes as the table writes them."""

from __future__ import annotations

from geom.drafting.hole_text import needs_bush
from geom.drafting.shop_text import as_bought
from geom.figure import LengthFormat
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedHole, PlacedPost
from geom.refit import Refit
from geom.sheets.stanchions import text as words


def edge_word(refit: Refit, post: PlacedPost, fmt: LengthFormat) -> str:
    """Return the edge or bush of a post's holes, once where they are alike; empty where nobody has chosen it.

    Args:
        refit: the boat as calculated.
        post: the post.
        fmt: format of lengths.
    """
    found = {hole.level: _edge(refit, post, hole, fmt) for hole in post.holes}
    if len(set(found.values())) == 1:
        return next(iter(found.values()))
    return ", ".join(f"{level} {text}" for level, text in found.items() if text)


def edges_open(refit: Refit, post: PlacedPost) -> bool:
    """Return whether the edge of a hole of a post that a line passes is still to be chosen."""
    return any(hole.id in refit.placed.lines_in_holes and needs_bush(post, hole) for hole in post.holes)


def _edge(refit: Refit, post: PlacedPost, hole: PlacedHole, fmt: LengthFormat) -> str:
    given, liner = hole.spec.planned or hole.spec.as_found, hole.spec.liner
    if liner is not None:
        return words.BUSH.format(bore=as_bought(liner.bore, fmt), length=as_bought(liner.length, fmt))
    if given is not None and given.lip_radius is not None:
        return words.EDGE_RADIUS.format(radius=as_bought(given.lip_radius, fmt))
    if hole.id not in refit.placed.lines_in_holes or needs_bush(post, hole):
        return ""
    return words.EDGE_RADIUS.format(radius=as_bought(shop_limits().edge_radius, fmt))
