"""Cross checks of a boat as its file gives it: things that cannot be true together, whatever the boat.

What may be true of a real old boat is left to the checks of holes and rules: an upper hole below the
lower one, a bore too small for the line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, islice

from geom.boat import post_checks, run_checks
from geom.boat.faults import MOST_FAULTS, LocatedFault, closest
from geom.boat.mirror import SIDE_WORDS, other_name, sides_given
from geom.boat.model import Boat, Side
from geom.boat.quantity import Point

# Below and above these nobody builds a boat with guard lines: such a figure was read in the wrong unit.
SHORTEST_BOAT = 2000.0
LONGEST_BOAT = 60000.0


def troubles_of(boat: Boat) -> list[LocatedFault]:
    """Return everything in a boat that contradicts itself.

    Args:
        boat: in boat axes, before a missing side is mirrored, so that places are those of the file.
    """
    found = chain(
        _identity(boat),
        _sides(boat),
        _deck_edge(boat),
        _twice(boat),
        post_checks.faults(boat),
        run_checks.faults(boat),
        _eyes_within(boat),
        _tapes(boat),
        _trials(boat),
        _eye_factors(boat),
    )
    return list(islice(found, MOST_FAULTS))


def _identity(boat: Boat) -> Iterator[LocatedFault]:
    loa = boat.boat.loa
    if not SHORTEST_BOAT <= loa <= LONGEST_BOAT:
        yield LocatedFault(
            ("boat", "loa"), "not the length of a boat: were the right units declared?", valid="2 m to 60 m"
        )


def _sides(boat: Boat) -> Iterator[LocatedFault]:
    given = sides_given(boat)
    everywhere: set[Side] = set().union(*given.values())
    if boat.mirror:
        if len(everywhere) > 1:
            yield LocatedFault(
                ("mirror",), "both sides are given, and mirror: true makes one from the other", valid="one of the two"
            )
        elif boat.deck_edge.starboard is None and boat.deck_edge.port is None:
            yield LocatedFault(("deck_edge",), "the deck edge is missing", valid=SIDE_WORDS[min(everywhere)])
        return
    if len(everywhere) == 1:
        side = next(iter(everywhere))
        message = f"only the {SIDE_WORDS[side]} side is given"
        yield LocatedFault(("posts",), message, valid="both sides, or `mirror: true` where one stands for both")
        return
    for part in ("deck_edge", "posts", "runs"):
        for side in SIDE_WORDS.keys() - given[part]:
            yield LocatedFault(
                (part,), f"nothing is given for {SIDE_WORDS[side]}", valid="both sides; `mirror: true` for one"
            )


def _deck_edge(boat: Boat) -> Iterator[LocatedFault]:
    edges: list[tuple[str, float, Sequence[Point] | None]] = [
        ("starboard", 1.0, boat.deck_edge.starboard),
        ("port", -1.0, boat.deck_edge.port),
    ]
    for word, sign, edge in edges:
        if edge is None:
            continue
        if len(edge) < 2:
            yield LocatedFault(("deck_edge", word), "too few points for an edge", valid="at least 2")
        for index, point in enumerate(edge):
            if sign * point[1] < 0.0:
                yield LocatedFault(
                    ("deck_edge", word, index), f"Y lies on the wrong side for {word}", valid=post_checks.Y_SIGNS
                )
            if index and point[0] <= edge[index - 1][0]:
                yield LocatedFault(
                    ("deck_edge", word, index),
                    "does not lie aft of the point before it",
                    valid="points from forward to aft",
                )


def _twice(boat: Boat) -> Iterator[LocatedFault]:
    parts: dict[str, Sequence[str]] = {
        "posts": [post.id for post in boat.posts],
        "eyes": [eye.id for eye in boat.eyes],
        "gates": [gate.id for gate in boat.gates],
        "runs": [run.id for run in boat.runs],
    }
    for part, ids in parts.items():
        for index, name in enumerate(ids):
            if name in ids[:index]:
                yield LocatedFault((part, index, "id"), "this id is given twice", name, "each id once")
    holes = _hole_names(boat)
    for index, eye in enumerate(boat.eyes):
        if eye.id in holes:
            yield LocatedFault(("eyes", index, "id"), "an eye and a hole have the same name", eye.id, "another name")


def _eyes_within(boat: Boat) -> Iterator[LocatedFault]:
    for index, eye in enumerate(boat.eyes):
        yield from post_checks.place_troubles(boat, eye.id, eye.at, ("eyes", index, "at"))


def _hole_names(boat: Boat) -> list[str]:
    return [f"{post.id}-{level}" for post in boat.posts for level in post.holes]


def _tapes(boat: Boat) -> Iterator[LocatedFault]:
    points = [*(eye.id for eye in boat.eyes), *_hole_names(boat)]
    if boat.mirror:
        points += [other_name(point) for point in points]
    for index, tape in enumerate(boat.tapes):
        for key, name in (("start", tape.start), ("end", tape.end)):
            if name not in points:
                yield LocatedFault(("tapes", index, key), "no such eye or hole", valid=closest(name, points))
        if tape.start == tape.end:
            yield LocatedFault(("tapes", index, "end"), "a tape from a point to itself", valid="two different points")


def _trials(boat: Boat) -> Iterator[LocatedFault]:
    holes = _hole_names(boat)
    for index, trial in enumerate(boat.trials):
        if trial.hole not in holes:
            yield LocatedFault(("trials", index, "hole"), "no such hole", valid=closest(trial.hole, holes))


def _eye_factors(boat: Boat) -> Iterator[LocatedFault]:
    factors = boat.eye_factors
    if factors is not None and factors.trial > factors.squeeze:
        yield LocatedFault(("eye_factors", "trial"), "more than `squeeze`", valid="not more than squeeze")
