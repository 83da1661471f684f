"""Visible strokes of an outline in an edge-on view, and corners that show as lines."""

from __future__ import annotations

import math

from geom.figure import Item, Point
from geom.parts.shape.profile import Profile

_STEP = 1e-6


def sees_out(profile: Profile, point: Point, way: Point) -> bool:
    """Return whether a point of an outline is visible from outside along a direction.

    Args:
        profile: the outline.
        point: the point on it [mm].
        way: the direction.
    """
    chain = profile.flat()
    side = (-way[1] * _STEP, way[0] * _STEP)
    for sign in (1.0, -1.0):
        start = (point[0] + sign * side[0] + 1e-5 * way[0], point[1] + sign * side[1] + 1e-5 * way[1])
        if not meets_outline(chain, start, way):
            return True
    return False


def meets_outline(chain: list[Point], start: Point, way: Point) -> bool:
    """Return whether a ray meets a closed chain.

    Args:
        chain: points of the chain [mm].
        start: of the ray [mm].
        way: direction of the ray.
    """
    return any(_crosses(start, way, a, b) for a, b in zip(chain, [*chain[1:], chain[0]], strict=True))


def inside_outline(chain: list[Point], point: Point) -> bool:
    """Return whether a point is inside a closed chain, by the even-odd rule."""
    way = (1.0, 0.0)
    return sum(_crosses(point, way, a, b) for a, b in zip(chain, [*chain[1:], chain[0]], strict=True)) % 2 == 1


def _crosses(start: Point, way: Point, a: Point, b: Point) -> bool:
    """Return whether a ray meets the chord from a to b."""
    from_a = (a[0] - start[0]) * -way[1] + (a[1] - start[1]) * way[0]
    from_b = (b[0] - start[0]) * -way[1] + (b[1] - start[1]) * way[0]
    if (from_a > 0.0) == (from_b > 0.0):
        return False
    share = from_a / (from_a - from_b)
    x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
    return (x - start[0]) * way[0] + (y - start[1]) * way[1] > 0.0


def outline_items(profile: Profile, way: Point, *, skip_axis: bool) -> list[Item]:
    """Return the strokes as items: outlines where visible from outside along a direction, hidden elsewhere.

    Args:
        profile: the outline.
        way: the direction of the viewer.
        skip_axis: leave out strokes on x = 0, which are no edges of a turned body.
    """
    items: list[Item] = []
    for stroke in profile.strokes():
        if skip_axis and max(abs(stroke.start[0]), abs(stroke.end[0]), abs(stroke.at(0.5)[0])) < 1e-9:
            continue
        open_to = sees_out(profile, stroke.at(0.5), way)
        items.append(stroke.item("OUTLINE" if open_to else "HIDDEN"))
    return items


def edge_lines(profile: Profile, way: Point) -> list[tuple[Point, str]]:
    """Return the corners of an outline that show as lines in a view along a direction, with their layer."""
    strokes = profile.strokes()
    corners: list[tuple[Point, str]] = []
    for before, after in zip([strokes[-1], *strokes[:-1]], strokes, strict=True):
        a, b = before.heading(1.0), after.heading(0.0)
        if math.hypot(a[0] - b[0], a[1] - b[1]) > 1e-6:
            seen = sees_out(profile, after.start, way)
            corners.append((after.start, "OUTLINE" if seen else "HIDDEN"))
    return corners
