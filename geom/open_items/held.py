"""Stanchions on hold: those on which an open item stops the work."""

from __future__ import annotations

from collections.abc import Sequence

from geom.open_items.item import OpenItem
from geom.refit import Refit

# Items of these kinds stop the work on a stanchion.
_STOPS = ("stop", "fails")


def held_posts(refit: Refit, items: Sequence[OpenItem]) -> dict[str, tuple[OpenItem, ...]]:
    """Return the stanchions on hold in the boat file's order, each with the open items that stop the work on it.

    Args:
        refit: the boat as calculated.
        items: its open items.
    """
    posts = {hole.id: post.id for post, hole in refit.placed.holes()}
    found: dict[str, list[OpenItem]] = {}
    for item in items:
        if item.kind not in _STOPS:
            continue
        # A tape between two holes is about their distance, and no sheet of stanchions shows it.
        named = {posts.get(place, place) for place in item.places} if "stanchions" in item.sheets else {*item.places}
        concerned = [name for name in refit.placed.posts if name in named]
        # What is about every stanchion of the boat stops none of them alone.
        if len(concerned) < len(refit.placed.posts):
            for name in concerned:
                found.setdefault(name, []).append(item)
    return {name: tuple(found[name]) for name in refit.placed.posts if name in found}
