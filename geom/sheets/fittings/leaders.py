"""Sizes of a small part at leaders: radii, round holes, bars between wider parts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geom.drafting.views import LETTERING
from geom.errors import GeometryError
from geom.figure import Arc, Circle, Dimension, Item, Leader, LengthFormat, Point, Rect
from geom.lettering import width as text_width
from geom.units import decimal

# Bars whose extension lines would cross the wider parts above and below them.
_BARS = frozenset({"dim:bolt", "dim:buried", "dim:bar", "dim:boss", "dim:thread"})
_OUT, _STEP, _FAR, _LANDING = 4.0, 3.0, 12, 2.0
# Detour of a leader that is preferred to crossing an extension line [mm].
_CROSSING = 10.0
# Half height of a number, gap between landing and number, clearance round both [mm].
_HALF, _GAP, _CLEAR = 1.9, 1.0, 1.0


def stands_at_leader(item: Dimension, edges: Sequence[Item]) -> bool:
    """Return whether a size goes to a leader: a radius, a hole seen as a circle, a bar between wider parts."""
    if item.text.startswith("R") or item.tag in _BARS:
        return True
    middle = (0.5 * (item.start[0] + item.end[0]), 0.5 * (item.start[1] + item.end[1]))
    span = math.dist(item.start, item.end)
    return any(
        isinstance(edge, Circle) and math.dist(edge.centre, middle) < 1e-6 and abs(2.0 * edge.radius - span) < 1e-6
        for edge in edges
    )


def leader_words(item: Dimension, fmt: LengthFormat) -> str:
    """Return the text at the leader of a size."""
    return item.text.replace("<>", decimal(math.dist(item.start, item.end) / fmt.mm, fmt.decimals))


def leaders(
    items: Sequence[Dimension],
    edges: Sequence[Item],
    reach: Rect,
    solid: Sequence[Rect],
    strokes: Sequence[Rect],
    scale: float,
    fmt: LengthFormat,
) -> tuple[tuple[Leader, ...], tuple[Rect, ...]]:
    """Return a leader for each size, its number clear of the view and of other items, and the rectangles they take.

    Args:
        items: sizes as dimensions [view mm]; a radius runs from its centre to its arc.
        edges: of the view; a leader to a radius points at one of its arcs.
        reach: rectangle of the edges about the origin of the view [paper mm].
        solid: numbers and lines of the dimensions round the view.
        strokes: their extension lines, which a leader crosses only where necessary.
        scale: of the view (ratio).
        fmt: length format.

    Raises:
        GeometryError: there is no room round the view.
    """
    made: list[Leader] = []
    rooms: list[Rect] = []
    lines: list[tuple[Point, Point]] = []
    for item in sorted(items, key=lambda one: (-max(one.start[1], one.end[1]), one.tag)):
        text = leader_words(item, fmt)
        free = [
            points
            for points in _tries(item, edges, reach, scale)
            if _is_free(points, _room(points, text), reach, [*solid, *strokes, *rooms], [*solid, *rooms], lines)
        ]
        if not free:
            raise GeometryError(f"the size {item.tag!r} of a fitting finds no room for its leader")
        best = min(free, key=lambda points: _cost(points[:2], strokes))
        made.append(Leader(tuple((x / scale, y / scale) for x, y in best), text, tag=item.tag))
        rooms.append(_room(best, text))
        lines.append(best[:2])
    return tuple(made), tuple(rooms)


def _is_free(
    points: tuple[Point, Point, Point],
    room: Rect,
    reach: Rect,
    beside: Sequence[Rect],
    across: Sequence[Rect],
    lines: Sequence[tuple[Point, Point]],
) -> bool:
    """Return whether a number is clear of its neighbours and its line crosses no number or line."""
    line = points[:2]
    if _meet(room, reach) or any(_meet(room, other) for other in beside):
        return False
    if any(_cuts(line, other) for other in across):
        return False
    return not any(_cross(line, other) or _cuts(other, room) for other in lines)


def _cost(line: tuple[Point, Point], strokes: Sequence[Rect]) -> float:
    """Return the cost of a leader: its length, and a penalty for each extension line it crosses [mm]."""
    return math.dist(*line) + _CROSSING * sum(_cuts(line, other) for other in strokes)


def _tries(item: Dimension, edges: Sequence[Item], reach: Rect, scale: float) -> Iterator[tuple[Point, Point, Point]]:
    """Yield arrow tip, bend and end of the landing [paper mm], the nearest to the feature first."""
    for away in range(_FAR):
        for tip, side in _tips(item, edges, scale):
            x = reach.right + _OUT if side > 0.0 else reach.left - _OUT
            for rise in dict.fromkeys((away * _STEP, -away * _STEP)):
                bend = (x, tip[1] + rise + (1.5 if rise >= 0.0 else -1.5))
                yield tip, bend, (x + side * _LANDING, bend[1])


def _tips(item: Dimension, edges: Sequence[Item], scale: float) -> Iterator[tuple[Point, float]]:
    """Yield the points where a leader may touch a feature [paper mm], with the side on which it leaves."""
    (x0, y0), (x1, y1) = ((x * scale, y * scale) for x, y in (item.start, item.end))
    if item.text.startswith("R"):
        radius = math.hypot(x1 - x0, y1 - y0)
        sides = (1.0, -1.0) if item.tag != "dim:corner" else (-1.0,)
        slant = radius * math.sqrt(0.5)
        up = 1.0 if y0 > 0.0 else -1.0
        tips = [((x0 + side * slant, y0 + way * slant), side) for way in (up, -up) for side in sides]
        on_arc = [one for one in tips if any(_on_arc((one[0][0] / scale, one[0][1] / scale), edge) for edge in edges)]
        yield from on_arc or tips[: len(sides)]
        return
    if item.tag in _BARS:
        (low, level), (high, _) = sorted(((x0, y0), (x1, y1)))
        yield (high, level), 1.0
        yield (low, level), -1.0
        return
    centre, slant = ((x0 + x1) / 2.0, (y0 + y1) / 2.0), math.dist((x0, y0), (x1, y1)) / 2.0 * math.sqrt(0.5)
    for up in (1.0, -1.0):
        for side in (1.0, -1.0):
            yield (centre[0] + side * slant, centre[1] + up * slant), side


def _on_arc(point: Point, edge: Item) -> bool:
    """Return whether a point lies on a round edge."""
    if not isinstance(edge, (Arc, Circle)) or abs(math.dist(point, edge.centre) - edge.radius) > 1e-6:
        return False
    if isinstance(edge, Circle):
        return True
    turn = math.atan2(point[1] - edge.centre[1], point[0] - edge.centre[0])
    return (turn - edge.start) % math.tau <= (edge.end - edge.start) % math.tau


def _room(points: tuple[Point, Point, Point], text: str) -> Rect:
    (x0, _), (x1, y) = points[1], points[2]
    wide = text_width(text, LETTERING) + _GAP
    if x1 >= x0:
        return Rect(x0, y - _HALF, x1 + wide, y + _HALF)
    return Rect(x1 - wide, y - _HALF, x0, y + _HALF)


def _meet(a: Rect, b: Rect) -> bool:
    return (
        a.left < b.right + _CLEAR
        and b.left < a.right + _CLEAR
        and a.bottom < b.top + _CLEAR
        and b.bottom < a.top + _CLEAR
    )


def _cuts(line: tuple[Point, Point], rect: Rect) -> bool:
    """Return whether a stroke passes through a rectangle, by sampling."""
    (x0, y0), (x1, y1) = line
    steps = max(2, int(math.dist(*line) / 0.4))
    for k in range(steps + 1):
        x, y = x0 + (x1 - x0) * k / steps, y0 + (y1 - y0) * k / steps
        if rect.left - 0.4 < x < rect.right + 0.4 and rect.bottom - 0.4 < y < rect.top + 0.4:
            return True
    return False


def _cross(a: tuple[Point, Point], b: tuple[Point, Point]) -> bool:
    """Return whether two strokes cross."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    first = turn(*a, b[0]) * turn(*a, b[1])
    second = turn(*b, a[0]) * turn(*b, a[1])
    return first < 0.0 and second < 0.0
