"""The other side of a boat whose file has `mirror: true`, as the mirror image of the side given."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from geom.boat.model import Boat, DeckEdge, Gate, Net, Post, RailEye, Run, RunEnd, Side, Spacing
from geom.boat.quantity import Point

_Part = TypeVar("_Part", bound=Post | RailEye | Gate | Run | Net)

SIDE_WORDS: dict[Side, str] = {"S": "starboard", "P": "port"}


def sides_given(boat: Boat) -> dict[str, set[Side]]:
    """Return the sides that each part of the file gives; what stands across the boat is of neither."""
    edge = boat.deck_edge
    edges: list[tuple[Side, object]] = [("S", edge.starboard), ("P", edge.port)]
    edges += [("S", edge.starboard_inner), ("P", edge.port_inner)]
    return {
        "deck_edge": {side for side, given in edges if given is not None},
        "posts": _sides(post.id for post in boat.posts),
        "eyes": _sides(eye.id for eye in boat.eyes),
        "gates": _sides(gate.id for gate in boat.gates),
        "runs": _sides(run.id for run in boat.runs),
        "nets": _sides(net.id for net in boat.nets),
        "spacing": _sides(_named_in(boat.spacing)),
    }


def mirrored(boat: Boat, given: Side) -> Boat:
    """Return the boat with both sides, starboard first, and what stands across it last.

    Tapes and trials are not mirrored: they were taken on one side only. Rails, runs, gates and edges across the boat
    are given whole.

    Args:
        boat: with one side only, in boat axes.
        given: the side that the file gives.
    """
    return boat.model_copy(
        update={
            "deck_edge": _edges(given, boat.deck_edge),
            "posts": _both(given, boat.posts, [_post(post) for post in boat.posts]),
            "eyes": _both(given, boat.eyes, [_eye(eye) for eye in boat.eyes]),
            "gates": _both(given, boat.gates, [_gate(gate) for gate in boat.gates]),
            "runs": _both(given, boat.runs, [_run(run) for run in boat.runs]),
            "nets": _both(given, boat.nets, [_net(net) for net in boat.nets]),
            "spacing": _spacing(boat.spacing),
        }
    )


def other_name(name: str) -> str:
    """Return the id of the same thing on the other side: S-S2 for P-S2; what stands across the boat keeps its own."""
    return name if name.startswith("C") else ("P" if name.startswith("S") else "S") + name[1:]


def with_both_sides(boat: Boat) -> Boat:
    """Return the boat with both sides: mirrored where its file says so and gives one side, else as it is."""
    given = set().union(*sides_given(boat).values())
    return mirrored(boat, given.pop()) if boat.mirror and len(given) == 1 else boat


def _sides(names: Iterable[str]) -> set[Side]:
    return {"P" if name.startswith("P") else "S" for name in names if not name.startswith("C")}


def _named_in(spacing: Spacing | None) -> tuple[str, ...]:
    return () if spacing is None else (*spacing.fixed, *(one.side for one in spacing.barred))


def _spacing(spacing: Spacing | None) -> Spacing | None:
    if spacing is None:
        return None
    image = tuple(one.model_copy(update={"side": other_name(one.side)}) for one in spacing.barred)
    fixed = (*spacing.fixed, *map(other_name, spacing.fixed))
    return spacing.model_copy(update={"fixed": fixed, "barred": (*spacing.barred, *image)})


def _edges(given: Side, edge: DeckEdge) -> DeckEdge:
    own, other = ("starboard", "port") if given == "S" else ("port", "starboard")
    both: dict[str, tuple[Point, ...]] = {}
    for inner in ("", "_inner"):
        points = getattr(edge, own + inner)
        if points is not None:
            both |= {own + inner: points, other + inner: tuple(_flip(point) for point in points)}
    return edge.model_copy(update=both)


def _both(given: Side, own: tuple[_Part, ...], image: list[_Part]) -> tuple[_Part, ...]:
    sided = tuple(part for part in own if not part.id.startswith("C"))
    flipped = tuple(part for part in image if not part.id.startswith("C"))
    across = tuple(part for part in own if part.id.startswith("C"))
    return (*sided, *flipped, *across) if given == "S" else (*flipped, *sided, *across)


def _flip(point: Point) -> Point:
    return (point[0], -point[1] if point[1] else 0.0, point[2])


def _post(post: Post) -> Post:
    brace = post.brace
    if brace is not None:
        brace = brace.model_copy(update={"foot": _flip(brace.foot)})
    return post.model_copy(update={"id": other_name(post.id), "foot": _flip(post.foot), "brace": brace})


def _eye(eye: RailEye) -> RailEye:
    return eye.model_copy(update={"id": other_name(eye.id), "at": _flip(eye.at)})


def _gate(gate: Gate) -> Gate:
    forward, aft = gate.supports
    key = "between" if gate.posts is None else "posts"
    return gate.model_copy(update={"id": other_name(gate.id), key: (other_name(forward), other_name(aft))})


def _run(run: Run) -> Run:
    return run.model_copy(
        update={
            "id": other_name(run.id),
            "start": _end(run.start),
            "through": tuple(other_name(post) for post in run.through),
            "finish": _end(run.finish),
            "slide_on": tuple(
                item if item.hole is None else item.model_copy(update={"hole": other_name(item.hole)})
                for item in run.slide_on
            ),
        }
    )


def _net(net: Net) -> Net:
    corners = net.corners
    return net.model_copy(
        update={
            "id": other_name(net.id),
            "along": None if net.along is None else other_name(net.along),
            "between": None if net.between is None else tuple(map(other_name, net.between)),
            "corners": None if corners is None else tuple(_flip(point) for point in corners),
        }
    )


def _end(end: RunEnd) -> RunEnd:
    eye = None if end.eye is None else other_name(end.eye)
    post = None if end.post is None else other_name(end.post)
    return end.model_copy(update={"eye": eye, "post": post})
