"""Consistency checks of a boat file: statements that cannot be true together on any boat.

What may be found on a real old boat is left to the checks of holes and rules: an upper hole below the
lower one, a bore too small for the line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, islice

from geom.boat import gate_checks, net_checks, post_checks, run_checks, size_checks, spacing_checks
from geom.boat.faults import MAX_FAULTS, LocatedFault, closest
from geom.boat.mirror import SIDE_WORDS, other_name, sides_given
from geom.boat.model import Boat, DeckEdge, Side, side_of
from geom.boat.quantity import Point

# Plausible length over all [mm]; a length outside was probably given in another unit than the one declared.
MIN_LOA = 2000.0
MAX_LOA = 60000.0


def consistency_faults(boat: Boat) -> list[LocatedFault]:
    """Return every contradiction within a boat file.

    Args:
        boat: in boat axes, before a missing side is mirrored, so that locations are those of the file.
    """
    every_check = chain(
        _identity(boat),
        _sides(boat),
        _deck_edge(boat),
        _duplicate_ids(boat),
        part_faults(boat),
        _eyes_within(boat),
        _tapes(boat),
        _trials(boat),
        _eye_factors(boat),
    )
    return list(islice(every_check, MAX_FAULTS))


def part_faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield the contradictions in posts, gates, runs and sizes of a boat, with one side given or with both."""
    yield from post_checks.faults(boat)
    yield from gate_checks.faults(boat)
    yield from run_checks.faults(boat)
    yield from size_checks.faults(boat)
    yield from net_checks.faults(boat)
    yield from spacing_checks.faults(boat)


def _identity(boat: Boat) -> Iterator[LocatedFault]:
    loa = boat.boat.loa
    if not MIN_LOA <= loa <= MAX_LOA:
        yield LocatedFault(("boat", "loa"), "not the length of a boat; check the declared units", valid="2 m to 60 m")


def _sides(boat: Boat) -> Iterator[LocatedFault]:
    sides_of = sides_given(boat)
    sides_used: set[Side] = set().union(*sides_of.values())
    if boat.mirror:
        if len(sides_used) > 1:
            yield LocatedFault(
                ("mirror",), "both sides are given, and `mirror: true` makes one", valid="one of the two"
            )
        elif boat.deck_edge.starboard is None and boat.deck_edge.port is None:
            yield LocatedFault(("deck_edge",), "the deck edge is missing", valid=SIDE_WORDS[min(sides_used)])
        return
    if len(sides_used) == 1:
        side = next(iter(sides_used))
        message = f"only the {SIDE_WORDS[side]} side is given"
        yield LocatedFault(("posts",), message, valid="both sides, or `mirror: true` where one stands for both")
        return
    for part in ("deck_edge", "posts", "runs"):
        for side in SIDE_WORDS.keys() - sides_of[part]:
            yield LocatedFault(
                (part,), f"nothing is given for {SIDE_WORDS[side]}", valid="both sides; `mirror: true` for one"
            )


def _deck_edge(boat: Boat) -> Iterator[LocatedFault]:
    given = boat.deck_edge
    if boat.boat.hulls == "mono":
        for word in ("starboard_inner", "port_inner"):
            if getattr(given, word) is not None:
                yield LocatedFault(("deck_edge", word), "a monohull has no inboard edge", valid="hulls: multi")
    for side, word in (("SI", "starboard_inner"), ("PI", "port_inner")):
        if getattr(given, word) is None and any(side_of(name) == side for name in _standing(boat)):
            message = f"the key '{word}' is missing"
            yield LocatedFault(("deck_edge",), message, valid="the inboard edge on which posts and runs stand")
    yield from _edges_across(given)
    edges: list[tuple[str, float, Sequence[Point] | None]] = [
        ("starboard", 1.0, given.starboard),
        ("port", -1.0, given.port),
        ("starboard_inner", 1.0, given.starboard_inner),
        ("port_inner", -1.0, given.port_inner),
    ]
    for word, sign, edge in edges:
        if edge is None:
            continue
        if len(edge) < 2:
            yield LocatedFault(("deck_edge", word), "too few points for a deck edge", valid="at least 2")
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


def _standing(boat: Boat) -> list[str]:
    return [*(post.id for post in boat.posts), *(run.id for run in boat.runs)]


def _edges_across(given: DeckEdge) -> Iterator[LocatedFault]:
    for word, edge in (("bow", given.bow), ("stern", given.stern)):
        if edge is not None and len(edge) < 2:
            yield LocatedFault(("deck_edge", word), "too few points for a deck edge", valid="at least 2")
        for index, point in enumerate(edge or ()):
            if edge is not None and index and point[1] <= edge[index - 1][1]:
                message = "does not lie to starboard of the point before it"
                yield LocatedFault(("deck_edge", word, index), message, valid="points from port to starboard")


def _duplicate_ids(boat: Boat) -> Iterator[LocatedFault]:
    parts: dict[str, Sequence[str]] = {
        "posts": [post.id for post in boat.posts],
        "eyes": [eye.id for eye in boat.eyes],
        "gates": [gate.id for gate in boat.gates],
        "runs": [run.id for run in boat.runs],
        "nets": [net.id for net in boat.nets],
    }
    for part, ids in parts.items():
        for index, name in enumerate(ids):
            if name in ids[:index]:
                yield LocatedFault((part, index, "id"), "duplicate id", name, "each id once")
    holes = _hole_names(boat)
    for index, eye in enumerate(boat.eyes):
        if eye.id in holes:
            yield LocatedFault(("eyes", index, "id"), "an eye has the name of a hole", eye.id, "another name")


def _eyes_within(boat: Boat) -> Iterator[LocatedFault]:
    for index, eye in enumerate(boat.eyes):
        yield from post_checks.location_faults(boat, eye.id, eye.at, ("eyes", index, "at"))


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
