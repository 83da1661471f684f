"""Signs along a straightened line: eyes, fittings, tubes, breaks; across the line they are not to scale."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.figure import Circle, Item, Line, Point, Polyline

# Half widths across the line on paper: plain line, line with a tail in it, tube, and the tube's reach [mm].
PLAIN, BURIED, _TUBE, TUBE_HIGH = 0.8, 1.3, 2.4, 5.5


def break_sign(at: float, mm: float) -> Polyline:
    """Return a thin break line with one zigzag across the line."""
    steps = ((0.0, -3.4), (0.0, -0.9), (-0.8, -0.4), (0.8, 0.4), (0.0, 0.9), (0.0, 3.4))
    return Polyline(tuple((at + x * mm, y * mm) for x, y in steps), "THIN")


def tube(at: float, mm: float, tag: str) -> Iterator[Item]:
    """Return the tube that the line goes through, cut at its hole; not to scale across the line."""
    half, gap, high = _TUBE * mm, 1.9 * mm, TUBE_HIGH * mm
    for sign in (1.0, -1.0):
        for side in (-half, half):
            yield Line((at + side, sign * gap), (at + side, sign * high), "POST", tag)
        yield Line((at - half, sign * gap), (at + half, sign * gap), "THIN")
    yield Line((at, -high - 0.8 * mm), (at, high + 0.8 * mm), "CENTRE")


def eye(throat: float) -> Iterator[Polyline]:
    """Return an eye with its bearing point at zero, the line to the left, in paper mm."""
    r = min(1.1, throat / 4.0)
    for radius, tip in ((r + 1.6 * PLAIN, BURIED), (r, 0.0)):
        arc = [math.pi / 2.0 - math.pi * k / 12.0 for k in range(13)]
        bow = tuple((-r + radius * math.cos(a), radius * math.sin(a)) for a in arc)
        yield Polyline(((-throat, tip), *bow, (-throat, -tip)), "FITTING")


def fitting(reach: float, gap: bool) -> Iterator[Item]:
    """Return what stands between the line's bearing point and the pin on the boat, in paper mm."""
    pin = 1.2
    if gap:
        for y in (-0.7, 0.0, 0.7):
            yield Line((0.0, y), (reach, y), "THIN")
    else:
        yield Polyline(((0.0, 1.2), (reach, 1.2), (reach, -1.2), (0.0, -1.2)), "FITTING", True)
    yield Circle((reach + pin, 0.0), pin, "OUTLINE")


def turned(item: Item, at: float, out: float, mm: float) -> Item:
    """Return a sign drawn to the right in paper mm where it stands on the line."""

    def put(p: Point) -> Point:
        return (at + out * p[0] * mm, p[1] * mm)

    if isinstance(item, Line):
        return Line(put(item.start), put(item.end), item.layer)
    if isinstance(item, Circle):
        return Circle(put(item.centre), item.radius * mm, item.layer)
    assert isinstance(item, Polyline)
    return Polyline(tuple(put(p) for p in item.points), item.layer, item.closed)
