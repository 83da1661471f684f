"""Plane geometry of drawn shapes: points, extents, boxes round lettering, strokes of a hatch."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom import lettering
from geom.figure import Arc, Circle, Hatch, Line, Point, Polyline, Rect, Text

Shape = Line | Circle | Arc | Polyline | Hatch | Text


def add(a: Point, direction: Point, distance: float) -> Point:
    """Return the point at a distance from a along a direction.

    Args:
        a: the point [mm].
        direction: unit direction.
        distance: along it [mm].
    """
    return (a[0] + direction[0] * distance, a[1] + direction[1] * distance)


def towards(a: Point, b: Point) -> Point:
    """Return the unit vector from a to b, along x where they coincide."""
    length = math.dist(a, b)
    return (1.0, 0.0) if length == 0.0 else ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def left_of(direction: Point) -> Point:
    """Return a direction rotated by 90 degrees counter-clockwise."""
    return (-direction[1], direction[0])


def dot(a: Point, b: Point) -> float:
    """Return the scalar product [mm2; a unit direction gives mm]."""
    return a[0] * b[0] + a[1] * b[1]


def middle(a: Point, b: Point) -> Point:
    """Return the point half way."""
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def readable(direction: Point) -> float:
    """Return the angle of lettering along a direction [rad], over -90 to 90 deg, read from below or the right."""
    angle = math.atan2(direction[1], direction[0])
    if angle > math.pi / 2.0 + 1e-9:
        angle -= math.pi
    elif angle <= -math.pi / 2.0 + 1e-9:
        angle += math.pi
    return angle


def baseline(text: Text) -> Point:
    """Return the point on the base line at which a text is anchored left, centre or right [mm]."""
    drop = {"base": 0.0, "middle": 0.5, "top": 1.0}[text.upright] * text.height
    up = (-math.sin(text.rotation), math.cos(text.rotation))
    return add(text.at, up, -drop)


def text_box(text: Text, margin: float = 0.0) -> tuple[Point, Point, Point, Point]:
    """Return the corners of the box round a text, counter-clockwise from its lower left [mm]."""
    width = lettering.width(text.text, text.height, text.weight)
    left = {"left": 0.0, "centre": -0.5, "right": -1.0}[text.across] * width
    low, high = (reach * text.height for reach in lettering.reach(text.text, text.weight))
    run = (math.cos(text.rotation), math.sin(text.rotation))
    up = left_of(run)
    base = baseline(text)

    def corner(across: float, above: float) -> Point:
        return add(add(base, run, across), up, above)

    right = left + width
    return (
        corner(left - margin, low - margin),
        corner(right + margin, low - margin),
        corner(right + margin, high + margin),
        corner(left - margin, high + margin),
    )


def flatten(shape: Shape, tolerance: float = 0.02) -> list[Point]:
    """Return a shape as a chain of points, curves within a tolerance [mm]; a text as its closed box."""
    if isinstance(shape, Line):
        return [shape.start, shape.end]
    if isinstance(shape, Polyline):
        return [*shape.points, shape.points[0]] if shape.closed else list(shape.points)
    if isinstance(shape, Hatch):
        return [*shape.outline, shape.outline[0]]
    if isinstance(shape, Text):
        box = text_box(shape)
        return [*box, box[0]]
    start, sweep = (0.0, math.tau) if isinstance(shape, Circle) else (shape.start, arc_sweep(shape))
    step = 2.0 * math.acos(max(0.0, 1.0 - tolerance / shape.radius)) if shape.radius > tolerance else math.pi / 4.0
    count = max(4, math.ceil(sweep / step))
    angles = [start + sweep * index / count for index in range(count + 1)]
    return [
        (shape.centre[0] + shape.radius * math.cos(a), shape.centre[1] + shape.radius * math.sin(a)) for a in angles
    ]


def arc_sweep(arc: Arc) -> float:
    """Return the counter-clockwise angle of an arc [rad], over 0 up to a full turn."""
    sweep = (arc.end - arc.start) % math.tau
    return math.tau if sweep < 1e-9 else sweep


def extent(points: Sequence[Point]) -> Rect:
    """Return the bounding rectangle of points."""
    xs = [point[0] for point in points]
    ys = [point[1] for point in points]
    return Rect(min(xs), min(ys), max(xs), max(ys))


def hatch_strokes(outline: Sequence[Point], pitch: float, angle: float) -> list[tuple[Point, Point]]:
    """Return parallel strokes that fill an outline, by the even-odd rule.

    Args:
        outline: corners of a closed outline [mm].
        pitch: distance between strokes [mm].
        angle: direction of the strokes [rad].

    Raises:
        ValueError: the pitch is not above zero.
    """
    if not pitch > 0.0:
        raise ValueError(f"a hatch needs a pitch above zero, not {pitch}")
    run = (math.cos(angle), math.sin(angle))
    across = left_of(run)
    rotated = [(dot(point, run), dot(point, across)) for point in outline]
    low, high = min(v for _, v in rotated), max(v for _, v in rotated)
    strokes: list[tuple[Point, Point]] = []
    for index in range(math.ceil(low / pitch), math.floor(high / pitch) + 1):
        level = index * pitch
        crossings = []
        for (u0, v0), (u1, v1) in zip(rotated, [*rotated[1:], rotated[0]], strict=True):
            if (v0 <= level) != (v1 <= level):
                crossings.append(u0 + (level - v0) / (v1 - v0) * (u1 - u0))
        crossings.sort()
        for start, end in zip(crossings[::2], crossings[1::2], strict=True):
            if end - start > 1e-6:
                strokes.append(
                    (
                        (run[0] * start + across[0] * level, run[1] * start + across[1] * level),
                        (run[0] * end + across[0] * level, run[1] * end + across[1] * level),
                    )
                )
    return strokes


def arrow(tip: Point, direction: Point, length: float, half_width: float) -> tuple[Point, Point, Point]:
    """Return the corners of an arrow head.

    Args:
        tip: its point [mm].
        direction: unit direction in which it points.
        length: from foot to tip [mm].
        half_width: half the width at the foot [mm].
    """
    foot = add(tip, direction, -length)
    side = left_of(direction)
    return (tip, add(foot, side, half_width), add(foot, side, -half_width))


def disc(centre: Point, radius: float, corners: int = 24) -> tuple[Point, ...]:
    """Return a disc as a regular polygon.

    Args:
        centre: of the disc [mm].
        radius: of the disc [mm].
        corners: number of corners.
    """
    angles = [math.tau * index / corners for index in range(corners)]
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)
