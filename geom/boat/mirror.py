"""The other side of a boat whose file has `mirror: true`, as the mirror image of the side given."""

from __future__ import annotations

from typing import TypeVar

from geom.boat.model import Boat, DeckEdge, Gate, Post, RailEye, Run, RunEnd, Side
from geom.boat.quantity import Point

_Part = TypeVar("_Part")

SIDE_WORDS: dict[Side, str] = {"S": "starboard", "P": "port"}


def sides_given(boat: Boat) -> dict[str, set[Side]]:
    """Return the sides that each part of the file gives."""
    edges: list[tuple[Side, object]] = [("S", boat.deck_edge.starboard), ("P", boat.deck_edge.port)]
    return {
        "deck_edge": {side for side, edge in edges if edge is not None},
        "posts": {post.side for post in boat.posts},
        "eyes": {_side(eye.id) for eye in boat.eyes},
        "gates": {_side(gate.id) for gate in boat.gates},
        "runs": {run.side for run in boat.runs},
    }


def mirrored(boat: Boat, given: Side) -> Boat:
    """Return the boat with both sides, starboard first.

    Tapes and trials are not mirrored: they were taken on one side only. Rails are given whole.

    Args:
        boat: with one side only, in boat axes.
        given: the side that the file gives.
    """
    edge = boat.edge(given)
    image = tuple(_flip(point) for point in edge)
    starboard, port = (edge, image) if given == "S" else (image, edge)
    return boat.model_copy(
        update={
            "deck_edge": DeckEdge(starboard=starboard, port=port),
            "posts": _both(given, boat.posts, [_post(post) for post in boat.posts]),
            "eyes": _both(given, boat.eyes, [_eye(eye) for eye in boat.eyes]),
            "gates": _both(given, boat.gates, [_gate(gate) for gate in boat.gates]),
            "runs": _both(given, boat.runs, [_run(run) for run in boat.runs]),
        }
    )


def other_name(name: str) -> str:
    """Return the id of the same thing on the other side: S-S2 for P-S2."""
    return ("P" if name.startswith("S") else "S") + name[1:]


def _side(name: str) -> Side:
    return "P" if name.startswith("P") else "S"


def _both(given: Side, own: tuple[_Part, ...], image: list[_Part]) -> tuple[_Part, ...]:
    return own + tuple(image) if given == "S" else tuple(image) + own


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
    forward, aft = gate.posts
    return gate.model_copy(update={"id": other_name(gate.id), "posts": (other_name(forward), other_name(aft))})


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


def _end(end: RunEnd) -> RunEnd:
    eye = None if end.eye is None else other_name(end.eye)
    post = None if end.post is None else other_name(end.post)
    return end.model_copy(update={"eye": eye, "post": post})
