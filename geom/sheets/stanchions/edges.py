"""Edges and bushes of a stanchion's holes as the table writes them."""

from __future__ import annotations

from geom.drafting.shop_text import as_bought
from geom.figure import LengthFormat
from geom.placement.place import PlacedHole, PlacedPost
from geom.sheets.stanchions import text as words


def edge_word(post: PlacedPost, fmt: LengthFormat) -> str:
    """Return the edge or bush of a post's holes, once where they are alike; empty where nobody has chosen it.

    Args:
        post: the post.
        fmt: format of lengths.
    """
    found = {hole.level: _edge(hole, fmt) for hole in post.holes}
    if len(set(found.values())) == 1:
        return next(iter(found.values()))
    return ", ".join(f"{level} {text}" for level, text in found.items() if text)


def edges_open(post: PlacedPost) -> bool:
    """Return whether the edge of a hole of a post that rope passes is still to be chosen."""
    return any(hole.edge.edge == "not chosen" for hole in post.holes)


def for_rope(post: PlacedPost) -> bool:
    """Return whether rope passes a hole of a post."""
    return any(hole.edge.min_radius is not None for hole in post.holes)


def _edge(hole: PlacedHole, fmt: LengthFormat) -> str:
    edge = hole.edge
    if edge.bush is not None:
        return words.BUSH.format(bore=as_bought(edge.bush.bore, fmt), length=as_bought(edge.bush.length, fmt))
    if edge.radius is None:
        return ""
    text = words.EDGE_RADIUS.format(radius=as_bought(edge.radius, fmt))
    if edge.sleeve is None or edge.sleeve.width is None:
        return text
    return words.SLEEVED.format(edge=text, width=as_bought(edge.sleeve.width, fmt))
