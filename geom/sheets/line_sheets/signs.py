"""Signs along a straightened line: eyes, terminals, fittings, holes, breaks; across the line they are not to scale."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.figure import Circle, Hatch, Item, Line, Point, Polyline

# Half widths across the line on paper: plain line, line with a tail in it; a hole's blocks from and to [mm].
PLAIN, BURIED, HOLE_FROM, HOLE_TO = 0.8, 1.5, 2.4, 4.2
# A tube is never drawn thinner than this half width, so that its blocks are seen [mm].
_TUBE_HALF = 0.8


def break_sign(at: float, mm: float) -> Polyline:
    """Return a thin break line with one zigzag across the line."""
    steps = ((0.0, -3.4), (0.0, -0.9), (-0.8, -0.4), (0.8, 0.4), (0.0, 0.9), (0.0, 3.4))
    return Polyline(tuple((at + x * mm, y * mm) for x, y in steps), "THIN")


def hole(at: float, outside: float, mm: float, tag: str) -> Iterator[Item]:
    """Return the tube that the line goes through as a block over and one under the line, to scale along it.

    Args:
        at: the hole's station [mm].
        outside: the tube's outside diameter [mm].
        mm: mm along the line to a paper mm.
        tag: its id.
    """
    half = max(outside / 2.0, _TUBE_HALF * mm)
    for sign in (1.0, -1.0):
        low, high = sign * HOLE_FROM * mm, sign * HOLE_TO * mm
        corners = ((at - half, low), (at + half, low), (at + half, high), (at - half, high))
        yield Hatch(corners, "SYMBOL", tag=tag)


def eye(throat: float, layer: str) -> Iterator[Polyline]:
    """Return an eye with its bearing point at zero, the line to the left, in paper mm."""
    r = min(1.3, throat / 4.0)
    for radius, tip in ((r + 1.6 * PLAIN, BURIED), (r, 0.0)):
        arc = [math.pi / 2.0 - math.pi * k / 12.0 for k in range(13)]
        bow = tuple((-r + radius * math.cos(a), radius * math.sin(a)) for a in arc)
        yield Polyline(((-throat, tip), *bow, (-throat, -tip)), layer)


def terminal(inner: float, taken: float | None, layer: str) -> Iterator[Item]:
    """Return a terminal with its bearing point at zero, the wire to the left, its end hidden inside, in paper mm.

    Args:
        inner: how far the body is drawn inward of its bearing point.
        taken: where the wire ends inside, None where it is not stated.
        layer: of its outline.
    """
    high = 1.7
    yield Polyline(((0.0, high), (0.0, -high), (-inner, -high), (-inner, high)), layer, True)
    if taken is None:
        return
    for y in (-PLAIN, PLAIN):
        yield Line((-taken, y), (-inner, y), "HIDDEN")
    yield Line((-taken, -PLAIN), (-taken, PLAIN), "FITTING")


def fitting(reach: float, gap: bool, first: float = 0.0) -> Iterator[Item]:
    """Return what is between the line's bearing point and the pin on the boat, in paper mm.

    Args:
        reach: from the bearing point to the pin.
        gap: whether it is a lashing.
        first: how much of it the line's own end hides.
    """
    pin = 1.2
    if gap:
        for y in (-0.7, 0.0, 0.7):
            yield Line((0.0, y), (reach, y), "THIN")
    else:
        first = min(first, reach / 2.0)
        yield Polyline(((first, 1.2), (reach, 1.2), (reach, -1.2), (first, -1.2)), "FITTING", True)
    yield Circle((reach + pin, 0.0), pin, "OUTLINE")


def turned(item: Item, at: float, out: float, mm: float) -> Item:
    """Return a sign drawn to the right in paper mm where it belongs on the line."""

    def put(p: Point) -> Point:
        return (at + out * p[0] * mm, p[1] * mm)

    if isinstance(item, Line):
        return Line(put(item.start), put(item.end), item.layer)
    if isinstance(item, Circle):
        return Circle(put(item.centre), item.radius * mm, item.layer)
    assert isinstance(item, Polyline)
    return Polyline(tuple(put(p) for p in item.points), item.layer, item.closed)


def zero_sign(at: Point) -> Hatch:
    """Return the black triangle of a zero, its tip up, on paper.

    Args:
        at: its tip [mm].
    """
    x, y = at
    return Hatch((at, (x - 1.5, y - 2.7), (x + 1.5, y - 2.7)), "SYMBOL")


def way_arrow(left: float, right: float, y: float, forward: bool) -> tuple[Item, ...]:
    """Return the arrow in which direction a line is threaded, on paper.

    Args:
        left: end of the arrow [mm].
        right: end of the arrow [mm].
        y: its height [mm].
        forward: whether it points to the bow, at the left.
    """
    tip, tail = (left, right) if forward else (right, left)
    back = 4.0 if forward else -4.0
    head = ((tip, y), (tip + back, y + 1.3), (tip + back, y - 1.3))
    return (Line((tail, y), (tip + back, y), "OUTLINE"), Hatch(head, "OUTLINE"))
