"""Parts of views: positions in model space, captions, direction arrows, dimensions with room for their numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from geom.drafting.sheet import scale_words
from geom.figure import Arc, Dimension, Hatch, Item, LengthFormat, Line, Point, Polyline, Rect, Text, View
from geom.lettering import width as text_width

LETTERING = 2.5
TITLE = 3.5
# Height of the two lines of a view's caption [mm].
TITLE_ROOM = 11.0
_APART = 100.0


def apart(views: Sequence[View]) -> tuple[View, ...]:
    """Return views placed side by side in model space."""
    placed: list[View] = []
    right = 0.0
    for view in views:
        low = (view.window.left - view.origin[0]) / view.scale
        high = (view.window.right - view.origin[0]) / view.scale
        x = 0.0 if not placed else right + _APART - low
        placed.append(replace(view, model_at=(x, 0.0)))
        right = x + high
    return tuple(placed)


def caption(window: Rect, name: str, line: str, scale: float | None, tag: str) -> tuple[Item, ...]:
    """Return a view's caption at the upper edge of its window: name with scale, and a second line.

    Args:
        window: of the view [mm].
        name: of the view.
        line: second line, on what is shown.
        scale: of the view, a factor; None for none.
        tag: id of the name.
    """
    head = name if scale is None else f"{name}  {scale_words(scale)}"
    return (
        Text((window.left + 1.0, window.top - TITLE - 0.5), head, TITLE, "TEXT", tag=tag),
        Text((window.left + 1.0, window.top - TITLE - 5.0), line, LETTERING, "NOTE"),
    )


def ways(at: Point, left: str, right: str, mm: float) -> tuple[Item, ...]:
    """Return a double arrow with a word at either end.

    Args:
        at: its middle, in view units.
        left: word at the left end.
        right: word at the right end.
        mm: view units to a paper millimetre.
    """
    x, y = at
    half, barb, wide = 5.0 * mm, 2.0 * mm, 0.6 * mm
    return (
        Line((x - half + barb, y), (x + half - barb, y), "THIN"),
        Hatch(((x - half, y), (x - half + barb, y + wide), (x - half + barb, y - wide)), "THIN"),
        Hatch(((x + half, y), (x + half - barb, y + wide), (x + half - barb, y - wide)), "THIN"),
        Text((x - half - 1.2 * mm, y), left, LETTERING, "NOTE", "right", "middle"),
        Text((x + half + 1.2 * mm, y), right, LETTERING, "NOTE", "left", "middle"),
    )


def arrow_to(start: Point, end: Point, mm: float) -> tuple[Item, ...]:
    """Return a thin line with a filled head at its end.

    Args:
        start: of the line, in view units.
        end: of the line, with the head.
        mm: view units to a paper millimetre.
    """
    length = math.dist(start, end)
    run = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    foot = (end[0] - run[0] * 2.2 * mm, end[1] - run[1] * 2.2 * mm)
    side = (-run[1] * 0.65 * mm, run[0] * 0.65 * mm)
    head = (end, (foot[0] + side[0], foot[1] + side[1]), (foot[0] - side[0], foot[1] - side[1]))
    return (Line(start, foot, "THIN"), Hatch(head, "THIN"))


def roomy(item: Dimension, scale: float, fmt: LengthFormat, beyond: float = 1.0) -> Dimension:
    """Return a dimension, its number moved outside where there is no room between the extension lines.

    Args:
        item: an aligned or directed dimension.
        scale: of its view, a factor.
        fmt: format of lengths in the view.
        beyond: +1 for a number beyond the end, -1 before the start.
    """
    dx, dy = item.end[0] - item.start[0], item.end[1] - item.start[1]
    if item.along is None:
        true = math.hypot(dx, dy, item.levels[1] - item.levels[0])
        span = math.hypot(dx, dy) * scale
    else:
        true = abs(dx * math.cos(item.along) + dy * math.sin(item.along))
        span = true * scale
    text = item.text.replace("<>", fmt.figure(true))
    wide = text_width(text, LETTERING)
    if wide + 1.6 <= span:
        return item
    return replace(item, shift=beyond * (0.5 * span + 0.5 * wide + 3.4))


def angle_arc(centre: Point, radius: float, start: float, end: float, tag: str) -> tuple[Item, ...]:
    """Return the arc of an angle dimension, none where the angle is too small to be drawn.

    Args:
        centre: of the arc, in view units.
        radius: in view units [mm].
        start: one angle [rad].
        end: the other angle [rad].
        tag: id of the arc.
    """
    low, high = min(start, end), max(start, end)
    if high - low < math.radians(0.2):
        return ()
    return (Arc(centre, radius, low, high, "DIM", tag),)


def break_line(start: Point, end: Point, mm: float, size: float = 2.0) -> Polyline:
    """Return a thin break line with one zigzag in its middle.

    Args:
        start: one end.
        end: the other end.
        mm: view units to a paper millimetre.
        size: amplitude of the zigzag to either side [paper mm].
    """
    length = math.dist(start, end)
    run = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    side = (-run[1], run[0])
    steps = ((-0.75, 0.0), (-0.25, 1.0), (0.25, -1.0), (0.75, 0.0))
    middle = 0.5 * length
    along = [0.0, *(middle + mm * size * step for step, _ in steps), length]
    off = [0.0, *(mm * size * high for _, high in steps), 0.0]
    points = tuple(
        (start[0] + s * run[0] + t * side[0], start[1] + s * run[1] + t * side[1])
        for s, t in zip(along, off, strict=True)
    )
    return Polyline(points, "THIN")
