"""Lines of a plan put together: single lines joined, an edge round the boat cut in two, outlines."""

from __future__ import annotations

import math
from dataclasses import replace

from geom.intake.deck_plan.drawing import Chain
from geom.intake.deck_plan.result import Frame
from geom.vec import Vec

# Points nearer than this are on the centreline [mm].
ON_CENTRELINE = 1.0
# Points nearer than this are the same, drawn twice, and ends of lines nearer than this are joined [mm].
SAME_PLACE = 0.5


def joined(chains: list[Chain], within: float) -> list[Chain]:
    """Return chains with those that meet end to end made one.

    Args:
        chains: lines, polylines and curves.
        within: ends nearer than this meet [drawing units].
    """
    left, joined = list(chains), []
    while left:
        one = left.pop(0)
        while not (one.closed or (len(one.points) > 2 and math.dist(one.points[0], one.points[-1]) <= within)):
            found = next(((other, points) for other in left if (points := _continued(one, other, within))), None)
            if found is None:
                break
            other, points = found
            left.remove(other)
            one = replace(one, points=points, curved=one.curved or other.curved)
        joined.append(one)
    return joined


def size(chain: Chain) -> float:
    """Return the extent of a chain in X or Y, the larger [drawing units]."""
    return max(max(values) - min(values) for values in ([point[axis] for point in chain.points] for axis in (0, 1)))


def middle(chain: Chain) -> Vec:
    """Return the middle of a chain's extents [drawing units]."""
    low = [min(point[axis] for point in chain.points) for axis in range(3)]
    high = [max(point[axis] for point in chain.points) for axis in range(3)]
    return (0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]), 0.5 * (low[2] + high[2]))


def _continued(one: Chain, other: Chain, within: float) -> tuple[Vec, ...]:
    """Return the points of two chains that meet at an end, in order; empty where they do not."""
    if other.closed:
        return ()
    if math.dist(one.points[-1], other.points[0]) <= within:
        return (*one.points, *other.points[1:])
    if math.dist(one.points[-1], other.points[-1]) <= within:
        return (*one.points, *other.points[-2::-1])
    if math.dist(one.points[0], other.points[-1]) <= within:
        return (*other.points[:-1], *one.points)
    if math.dist(one.points[0], other.points[0]) <= within:
        return (*other.points[:0:-1], *one.points)
    return ()


def halves(chain: Chain, frame: Frame) -> list[Chain]:
    """Return the two sides of an edge that is drawn round the whole boat; another edge as it is.

    Each side runs from the foremost point to the aftmost one, where the line turns across the stern.

    Args:
        chain: the edge.
        frame: where the boat lies in the drawing.
    """
    points = list(chain.points)
    across = [frame.place(point)[1] for point in points]
    if not (max(across) > ON_CENTRELINE and min(across) < -ON_CENTRELINE):
        return [chain]
    if math.dist(points[0], points[-1]) < SAME_PLACE:
        points.pop()
    foremost = min(range(len(points)), key=lambda index: frame.place(points[index])[0])
    ring = points[foremost:] + points[:foremost] if chain.closed else points
    if not chain.closed and 0 < foremost < len(points) - 1:
        halves = [points[foremost:], points[foremost::-1]]
    else:
        halves = [ring, [ring[0], *ring[:0:-1]]]
    return [replace(chain, points=tuple(_one_side(half, frame)), closed=False) for half in halves]


def _one_side(points: list[Vec], frame: Frame) -> list[Vec]:
    """Return the points of a side, from the foremost one to the aftmost before the line crosses over."""
    sign = 0.0
    own = [points[0]]
    for point in points[1:]:
        y = frame.place(point)[1]
        if abs(y) > ON_CENTRELINE:
            sign = sign or math.copysign(1.0, y)
        if sign and y * sign < -ON_CENTRELINE:
            break
        own.append(point)
    aftmost = max(range(len(own)), key=lambda index: frame.place(own[index])[0])
    return own[: aftmost + 1]
