"""The flags of open items on the plan: beside the post, the span or the pin that an item is about."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geom.boat.model import Side
from geom.drafting.boat_view import OTHER_SIDES, SIDES
from geom.drafting.placing import Drawn
from geom.drafting.symbols import FLAG_RADIUS, flag
from geom.figure import Item, Line, Point, Rect
from geom.open_items import OpenItem
from geom.placement.place import side_sign
from geom.refit import Refit

# An item that concerns more places than these is listed, not flagged: it is about the boat.
MAX_FLAGGED = 4
_REACHES = (12.0, 16.0, 9.0, 20.0, 25.0, 30.0, 36.0, 42.0)
_TURNS = tuple(math.radians(angle) for angle in (0, 20, -20, 40, -40, 60, -60, 80, -80, 110, -110, 140, -140, 180))
_CLEAR = 0.6


def anchors(refit: Refit, item: OpenItem, along: float = 0.3) -> Iterator[tuple[Side, Point]]:
    """Yield the points in plan at which an item is flagged with their side, none where it concerns many places.

    Args:
        refit: the boat as calculated.
        item: the open item.
        along: share of a run's first span at which the run is flagged.
    """
    if len(item.places) > MAX_FLAGGED:
        return
    found: dict[tuple[Side, int, int], Point] = {}
    holes = {hole.id: post.id for post, hole in refit.placed.holes()}
    pair = [place for place in item.places if place in holes]
    if item.cause.code == "item.tape" and len(pair) == len(item.places) == 2 and holes[pair[0]] != holes[pair[1]]:
        a, b = (refit.placed.posts[holes[place]] for place in pair)
        yield a.side, (a.foot[0] * 0.35 + b.foot[0] * 0.65, a.foot[1] * 0.35 + b.foot[1] * 0.65)
        return
    for place in item.places:
        name = holes.get(place, place)
        if name in refit.placed.posts:
            post = refit.placed.posts[name]
            side, at = post.side, (post.foot[0], post.foot[1])
        elif name in refit.placed.runs:
            run = refit.placed.runs[name]
            first, last = run.points[0], run.points[1]
            side = run.side
            at = (first[0] + along * (last[0] - first[0]), first[1] + along * (last[1] - first[1]))
        else:
            eye = next((eye for eye in refit.boat.eyes if eye.id == name), None)
            if eye is None:
                continue
            side, at = eye.side, (eye.at[0], eye.at[1])
        # Upper and lower lines lie over each other in plan: one flag for both.
        found.setdefault((side, round(at[0] / 200.0), round(at[1] / 200.0)), at)
    for (side, _, _), at in found.items():
        yield side, at


def flag_items(refit: Refit, listed: Sequence[OpenItem], drawn: Drawn, mm: float, origin: Point) -> tuple[Item, ...]:
    """Return all flags, each at the first place that covers nothing, with a line to what it is about.

    Args:
        refit: the boat as calculated.
        listed: the open items.
        drawn: what is on paper already; the flags are added.
        mm: boat millimetres to one paper millimetre.
        origin: the paper point of the view's (0, 0) [mm].
    """
    items: list[Item] = []
    for side in (*SIDES, *OTHER_SIDES):
        for one in listed:
            for own_side, at in anchors(refit, one):
                if own_side == side:
                    placed = _placed(one.number, at, side_sign(side), drawn, mm, origin)
                    drawn.add(placed, None)
                    items += placed
    return tuple(items)


def _placed(number: int, at: Point, outward: float, drawn: Drawn, mm: float, origin: Point) -> tuple[Item, ...]:
    """Return a flag in paper millimetres at the place that covers least, nearest first, outboard first."""
    x, y = origin[0] + at[0] / mm, origin[1] + at[1] / mm
    best: tuple[int, Point] | None = None
    r = FLAG_RADIUS + _CLEAR
    for reach in _REACHES:
        for turn in _TURNS:
            way = outward * math.pi / 2.0 + turn
            centre = (x + reach * math.cos(way), y + reach * math.sin(way))
            end = (centre[0] - FLAG_RADIUS * math.cos(way), centre[1] - FLAG_RADIUS * math.sin(way))
            box = Rect(centre[0] - r, centre[1] - r, centre[0] + r, centre[1] + r)
            cost = 3 * drawn.covered(box) + 5 * drawn.crossed((x, y), end)
            if best is None or cost < best[0]:
                best = (cost, centre)
            if cost == 0:
                return _drawn(number, (x, y), centre)
    assert best is not None
    return _drawn(number, (x, y), best[1])


def _drawn(number: int, at: Point, centre: Point) -> tuple[Item, ...]:
    size = math.dist(at, centre)
    edge = FLAG_RADIUS * 0.95 / size
    end = (centre[0] + (at[0] - centre[0]) * edge, centre[1] + (at[1] - centre[1]) * edge)
    return (*flag(centre, number, tag=f"item:{number}"), Line(at, end, "OPEN-ITEM"))
