"""Consistency checks of gates: openings between two neighbouring supports."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from geom.boat.faults import LocatedFault, closest
from geom.boat.mirror import with_both_sides
from geom.boat.model import Boat, Gate, Run, side_of
from geom.boat.quantity import Point
from geom.boat.tree import Location


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield the faults of a boat's gates.

    Args:
        boat: in boat axes, before a missing side is mirrored.
    """
    whole = with_both_sides(boat)
    for index, gate in enumerate(boat.gates):
        place: Location = ("gates", index)
        if (gate.posts is None) == (gate.between is None):
            message = "the key 'posts' is missing" if gate.posts is None else "posts and between are both given"
            yield LocatedFault(place, message, valid="either posts, or between two supports")
            continue
        place = (*place, "between" if gate.posts is None else "posts")
        yield from _gate(whole, gate, place)
        twin = next((other.id for other in boat.gates[:index] if set(_named(other)) == set(_named(gate))), None)
        if twin is not None:
            word = "posts" if gate.between is None else "supports"
            yield LocatedFault(place, f"the {word} of gate {twin}", valid=f"one gate between two {word}")


def supports_of(boat: Boat) -> dict[str, Point]:
    """Return the place of each support by its name [mm]: the foot of a post, or the first eye of a name.

    Args:
        boat: in boat axes.
    """
    found: dict[str, Point] = {}
    for eye in boat.eyes:
        found.setdefault(eye.id.rpartition("-")[0], eye.at)
    return found | {post.id: post.foot for post in boat.posts}


def _named(gate: Gate) -> tuple[str, ...]:
    return gate.posts or gate.between or (gate.id,)


def _gate(boat: Boat, gate: Gate, place: Location) -> Iterator[LocatedFault]:
    supports = {post.id: post.foot for post in boat.posts} if gate.between is None else supports_of(boat)
    word = "post" if gate.between is None else "support"
    known = True
    for index, name in enumerate(gate.supports):
        if name not in supports:
            known = False
            yield LocatedFault((*place, index), f"no such {word}", valid=closest(name, supports))
        elif side_of(gate.id) != "C" and side_of(name) != side_of(gate.id):
            known = False
            message = f"a {word} of the other side than gate {gate.id}"
            yield LocatedFault((*place, index), message, valid=f"{word}s of one side")
    if not known:
        return
    first, last = gate.supports
    if first == last:
        yield LocatedFault((*place, 1), f"a gate from a {word} to itself", valid=f"two different {word}s")
        return
    way, order = (1, "to starboard") if side_of(gate.id) == "C" else (0, "aft")
    begin, end = supports[first][way], supports[last][way]
    if begin >= end:
        valid = f"the {'port' if way else 'forward'} {word} first"
        yield LocatedFault((*place, 1), f"{last} does not stand {order} of {first}", valid=valid)
        return
    fixed = [post for post in boat.posts if post.stands is None and post.side == side_of(gate.id)]
    between = [post.id for post in fixed if begin < post.foot[way] < end]
    if between:
        read = f"{between[0]} is between them"
        yield LocatedFault(place, f"the gate {word}s are not next to each other", read, "neighbours")
    elif gate.between is not None and not any(_passes(boat, run, first, last) for run in boat.runs):
        message = f"no run goes from {first} to {last} with nothing between them"
        yield LocatedFault(place, message, valid="two neighbouring supports of a run")


def _passes(boat: Boat, run: Run, first: str, last: str) -> bool:
    loose = {post.id for post in boat.posts if post.stands is not None} - {first, last}
    names = [name for name in (run.start.support, *run.through, run.finish.support) if name not in loose]
    return any({one, other} == {first, last} for one, other in pairwise(names))
