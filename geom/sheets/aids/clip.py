"""Clipping of a piece to one tile: strokes cut at the tile's edge, lettering only where it is whole."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from geom.errors import GeometryError
from geom.figure import Circle, Hatch, Item, Line, Point, Polyline, Rect, Text
from geom.render.plane import extent, flatten, text_box

_ROUNDING = 1e-9


def clip(items: Iterable[Item], window: Rect) -> tuple[Item, ...]:
    """Return the items of a piece clipped to a window.

    Lettering and fills are whole or left out.

    Raises:
        GeometryError: an item of a kind that full-size pieces do not contain.
    """
    clipped: list[Item] = []
    for item in items:
        if isinstance(item, Text):
            clipped += [item] if _holds(window, extent(text_box(item))) else []
        elif isinstance(item, Hatch):
            clipped += [item] if _holds(window, extent(item.outline)) else []
        elif isinstance(item, Line | Polyline | Circle):
            clipped += _strokes(item, window)
        else:
            raise GeometryError(f"a {type(item).__name__} cannot be cut off at the edge of a tile")
    return tuple(clipped)


def _holds(window: Rect, inner: Rect) -> bool:
    return (
        inner.left >= window.left - _ROUNDING
        and inner.right <= window.right + _ROUNDING
        and inner.bottom >= window.bottom - _ROUNDING
        and inner.top <= window.top + _ROUNDING
    )


def _strokes(item: Line | Polyline | Circle, window: Rect) -> list[Item]:
    chain = flatten(item, 0.002)
    if _holds(window, extent(chain)):
        return [item]
    runs: list[list[Point]] = []
    for start, end in pairwise(chain):
        part = clip_stroke(start, end, window)
        if part is None:
            continue
        if runs and runs[-1][-1] == part[0]:
            runs[-1].append(part[1])
        else:
            runs.append(list(part))
    if len(runs) > 1 and math.dist(chain[0], chain[-1]) < _ROUNDING and math.dist(runs[-1][-1], runs[0][0]) < _ROUNDING:
        # A closed outline that starts inside the window is one stroke across its start.
        runs[0] = runs.pop() + runs[0][1:]
    # A stroke that only touches the window's corner has no length.
    kept = [run for run in runs if any(a != b for a, b in pairwise(run))]
    if isinstance(item, Line):
        return [Line(run[0], run[-1], item.layer, item.tag) for run in kept]
    return [Polyline(tuple(run), item.layer, tag=item.tag) for run in kept]


def clip_stroke(start: Point, end: Point, window: Rect) -> tuple[Point, Point] | None:
    """Return the part of a straight stroke inside a window [mm], None where there is none (Liang and Barsky, 1984).

    Args:
        start: of the stroke [mm].
        end: of the stroke [mm].
        window: the window [mm].
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    low, high = 0.0, 1.0
    for step, room in (
        (-dx, start[0] - window.left),
        (dx, window.right - start[0]),
        (-dy, start[1] - window.bottom),
        (dy, window.top - start[1]),
    ):
        if step == 0.0:
            if room < -_ROUNDING:
                return None
        elif step < 0.0:
            low = max(low, room / step)
        else:
            high = min(high, room / step)
    if low > high:
        return None

    def at(share: float) -> Point:
        # End points stay exact, so that neighbouring strokes still meet.
        if share in (0.0, 1.0):
            return start if share == 0.0 else end
        x, y = start[0] + share * dx, start[1] + share * dy
        return (min(max(x, window.left), window.right), min(max(y, window.bottom), window.top))

    return at(low), at(high)
