"""Consistency checks of what a new spacing keeps: fixed posts and barred stretches of the deck edge."""

from __future__ import annotations

from collections.abc import Iterator

from geom.boat.faults import LocatedFault, closest
from geom.boat.model import Boat
from geom.boat.tree import Location


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield the faults of a boat's fixed posts and barred stretches."""
    if boat.spacing is None:
        return
    posts = [post.id for post in boat.posts]
    for index, name in enumerate(boat.spacing.fixed):
        place: Location = ("spacing", "fixed", index)
        if name not in posts:
            yield LocatedFault(place, "no such post", name, closest(name, posts))
        elif name in boat.spacing.fixed[:index]:
            yield LocatedFault(place, "named twice", name, "each post once")
    margin = 0.2 * boat.boat.loa
    for index, barred in enumerate(boat.spacing.barred):
        place = ("spacing", "barred", index)
        if barred.aft <= barred.forward:
            yield LocatedFault((*place, "aft"), "does not lie aft of `forward`", valid="the X of its after end")
        for key, x in (("forward", barred.forward), ("aft", barred.aft)):
            if not -margin <= x <= boat.boat.loa + margin:
                yield LocatedFault((*place, key), "X lies off the boat", valid="in boat axes X is aft of the stem head")
