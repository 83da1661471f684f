"""Edges behind another body: cut where they become hidden, hidden parts on the hidden layer."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

from geom.figure import Arc, Circle, Item, Line, Point

Covers = Callable[[Point], bool]
_SAMPLES = 96
# Sideways step off an edge [mm]: an edge is hidden where both its sides are covered.
_ASIDE = 1e-4


def hide(item: Item, covers: Covers) -> tuple[Item, ...]:
    """Return an item cut into visible and hidden parts.

    Args:
        item: a line, an arc or a circle; any other item is returned unchanged.
        covers: returns whether a point on paper is behind a nearer body.
    """
    if not isinstance(item, Line | Arc | Circle) or item.layer != "OUTLINE":
        return (item,)

    def hidden(share: float) -> bool:
        (x, y), (dx, dy) = _at(item, share)
        return covers((x - dy * _ASIDE, y + dx * _ASIDE)) and covers((x + dy * _ASIDE, y - dx * _ASIDE))

    # Samples avoid the ends, where an edge meets its neighbours.
    shares = [(k + 0.5) / _SAMPLES for k in range(_SAMPLES)]
    states = [hidden(share) for share in shares]
    if not any(states):
        return (item,)
    if all(states):
        return (replace(item, layer="HIDDEN"),)
    cuts = [0.0]
    for k in range(1, _SAMPLES):
        if states[k] != states[k - 1]:
            cuts.append(_edge_between(shares[k - 1], shares[k], hidden))
    cuts.append(1.0)
    pieces: list[Item] = []
    state = states[0]
    for low, high in itertools.pairwise(cuts):
        pieces.append(_piece(item, low, high, "HIDDEN" if state else "OUTLINE"))
        state = not state
    return tuple(pieces)


def _edge_between(low: float, high: float, hidden: Callable[[float], bool]) -> float:
    at_low = hidden(low)
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if hidden(middle) == at_low else (low, middle)
    return 0.5 * (low + high)


def _at(item: Line | Arc | Circle, share: float) -> tuple[Point, Point]:
    """Return the point at a share of an item, and its unit direction there."""
    if isinstance(item, Line):
        (x0, y0), (x1, y1) = item.start, item.end
        length = math.dist(item.start, item.end) or 1.0
        return (x0 + share * (x1 - x0), y0 + share * (y1 - y0)), ((x1 - x0) / length, (y1 - y0) / length)
    start, sweep = (item.start, _sweep(item)) if isinstance(item, Arc) else (0.0, math.tau)
    angle = start + share * sweep
    c, s = math.cos(angle), math.sin(angle)
    return (item.centre[0] + item.radius * c, item.centre[1] + item.radius * s), (-s, c)


def _sweep(arc: Arc) -> float:
    return (arc.end - arc.start) % math.tau or math.tau


def _piece(item: Line | Arc | Circle, low: float, high: float, layer: str) -> Item:
    if isinstance(item, Line):
        return Line(_at(item, low)[0], _at(item, high)[0], layer, item.tag)
    start, sweep = (item.start, _sweep(item)) if isinstance(item, Arc) else (0.0, math.tau)
    return Arc(item.centre, item.radius, start + low * sweep, start + high * sweep, layer, item.tag)
