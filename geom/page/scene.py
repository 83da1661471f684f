"""The boat in 3D for the page: tubes, lines and rails as axes with radii, swept to a mesh where they are shown."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from geom.drafting.rail_lines import rail_axis
from geom.open_items import OpenItem, open_items
from geom.placement.heights import edge_y, edge_z
from geom.refit import Refit
from geom.vec import Vec


def scene(refit: Refit) -> dict[str, Any]:
    """Return what is drawn in 3D, in millimetres and boat axes.

    Args:
        refit: the calculated boat.
    """
    return {
        "posts": [
            {"id": post.id, "points": _points(post.foot, post.at(post.top)), "radius": 0.5 * post.tube_od}
            for post in refit.placed.posts.values()
        ],
        "braces": [
            {"post": post.id, "points": _points(post.spec.brace.foot, post.at(post.spec.brace.along))}
            for post in refit.placed.posts.values()
            if post.spec.brace is not None
        ],
        "rails": [
            {"id": word, "points": _points(*rail_axis(rail)), "radius": 0.5 * refit.boat.tubes[rail.tube].od}
            for word, rail in refit.boat.rails.items()
        ],
        "runs": [
            {
                "id": work.run,
                "points": _points(*refit.placed.runs[work.run].points),
                "level": refit.placed.runs[work.run].level,
                "held": work.headline is None,
                "rope": work.rope,
            }
            for work in refit.work.runs.values()
        ],
        "holes": [
            {"id": one.hole.id, "post": one.post.id, "at": _point(one.hole.centre),
             "verdict": None if one.eye is None else one.eye.verdict}
            for one in refit.holes
        ],
        "nets": [{"id": net.id, "outlines": [_points(*corners, corners[0]) for corners in net.outlines]}
                 for net in refit.nets],
        "edges": [_points(*edge) for edge in _edges(refit)],
        "deck": [list(pair) for pair in _deck(refit)],
        "flags": [{"item": item.number, "at": _point(at)} for item in open_items(refit) for at in _places(refit, item)],
    }  # fmt: skip


def _point(at: Vec) -> list[float]:
    return [round(value, 1) + 0.0 for value in at]


def _points(*points: Vec) -> list[list[float]]:
    return [_point(at) for at in points]


def _edges(refit: Refit) -> list[tuple[Vec, ...]]:
    given = refit.boat.deck_edge
    edges = (given.starboard, given.port, given.starboard_inner, given.port_inner, given.bow, given.stern)
    return [one for one in edges if one is not None]


def _deck(refit: Refit) -> Iterator[tuple[list[float], list[float]]]:
    """Yield pairs of points across the deck of one hull, from forward aft, where both edges were surveyed."""
    given = refit.boat.deck_edge
    if given.starboard is None or given.port is None or refit.boat.boat.hulls == "multi":
        return
    edges = (given.starboard, given.port)
    for x in sorted({point[0] for edge in edges for point in edge}):
        pair = []
        for edge in edges:
            y, z = edge_y(edge, x), edge_z(edge, x)
            if y is not None and z is not None:
                pair.append(_point((x, y, z)))
        if len(pair) == len(edges):
            yield pair[0], pair[1]


def _places(refit: Refit, item: OpenItem) -> Iterator[Vec]:
    """Yield where an open item is flagged: over a post, at a hole or an eye, in the middle of a run or a gate."""
    placed = refit.placed
    holes = {hole.id: hole.centre for _, hole in placed.holes()}
    eyes = {eye.id: eye.at for eye in refit.boat.eyes}
    for place in item.places:
        if place in placed.posts:
            yield placed.posts[place].at(placed.posts[place].top)
        elif place in placed.runs:
            start, end = max(pairwise(placed.runs[place].points), key=lambda span: abs(span[1][0] - span[0][0]))
            yield (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]), 0.5 * (start[2] + end[2]))
        elif place in holes or place in eyes:
            yield holes.get(place) or eyes[place]
