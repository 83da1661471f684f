"""Dimensions placed round the view of a small part: short ones inside, long ones outside, no number on a line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from geom.drafting.views import LETTERING
from geom.errors import GeometryError
from geom.figure import Dimension, Item, Leader, LengthFormat, Rect
from geom.lettering import width as text_width
from geom.sheets.fittings.leaders import leaders
from geom.units import decimal

Edge = Literal["top", "bottom", "left", "right"]

_FIRST, _PITCH, _LEVELS = 8.0, 7.0, 9
# Height of a number above its line, length of strokes beyond an arrow, clearance round a number [mm].
_NUMBER, _STUB, _CLEAR = 4.3, 5.0, 0.6
_BEYOND = 2.0


@dataclass(frozen=True)
class _Try:
    """A trial position of a dimension: the rectangles of its number, its other strokes and its line."""

    item: Dimension
    number: Rect
    strokes: tuple[Rect, ...]
    line: Rect


def dimension_words(item: Dimension, fmt: LengthFormat) -> str:
    """Return the text of a dimension as written in its view."""
    return item.text.replace("<>", decimal(_span(item) / fmt.mm, fmt.decimals))


def placed(
    dims: Sequence[Dimension],
    noted: Sequence[Dimension],
    edges: Sequence[Item],
    reach: Rect,
    scale: float,
    fmt: LengthFormat,
) -> tuple[tuple[Dimension | Leader, ...], Rect]:
    """Return the dimensions with their offsets and shifts, the leaders, and the rectangle of view and dimensions.

    Each dimension stays at the edge of the view given by the outline of the part.

    Args:
        dims: horizontal and vertical dimensions [view mm].
        noted: sizes at leaders.
        edges: of the view [view mm].
        reach: rectangle of the edges about the origin of the view [paper mm].
        scale: of the view (ratio).
        fmt: length format.

    Raises:
        GeometryError: a dimension is neither horizontal nor vertical, or there is no room for all.
    """
    order = sorted((_upright_order(one) for one in dims), key=lambda one: (round(_span(one), 6), one.tag))
    found = _all_free(order, reach, scale, fmt)
    solid = [r for one in found for r in (one.number, one.line)]
    strokes = [r for one in found for r in one.strokes]
    taken = [*solid, *strokes]
    pointers, rooms = leaders(noted, edges, reach, solid, strokes, scale, fmt)
    rects = [reach, *taken, *rooms]
    whole = Rect(
        min(r.left for r in rects), min(r.bottom for r in rects), max(r.right for r in rects), max(r.top for r in rects)
    )
    tags = [one.tag for one in dims]
    return (*sorted((one.item for one in found), key=lambda one: tags.index(one.tag)), *pointers), whole


def _all_free(order: list[Dimension], reach: Rect, scale: float, fmt: LengthFormat) -> list[_Try]:
    """Return all dimensions placed; one without room goes first in the next trial.

    At last numbers go beside their arrows, so that a narrower dimension finds its way up between them.
    """
    rounds = 2 * len(order) + 1
    for number in range(2 * rounds):
        found: list[_Try] = []
        blocked = None
        for item in order:
            one = _first_free(item, _edge(item, reach, scale), reach, scale, fmt, found, number >= rounds)
            if one is None:
                blocked = item
                break
            found.append(one)
        if blocked is None:
            return found
        order = [blocked, *(item for item in order if item is not blocked)]
    raise GeometryError(f"the dimensions of a fitting find no room: {', '.join(item.tag for item in order)}")


def _span(item: Dimension) -> float:
    dx, dy = item.end[0] - item.start[0], item.end[1] - item.start[1]
    return abs(dx) if _level(item) else abs(dy)


def _level(item: Dimension) -> bool:
    if item.along is None or min(abs(item.along), abs(item.along - 0.5 * math.pi)) > 1e-9:
        raise GeometryError(f"dimension {item.tag!r} of a fitting is neither level nor upright")
    return abs(item.along) < 1e-9


def _upright_order(item: Dimension) -> Dimension:
    """Return the dimension from left to right or bottom to top; its line stays on its side."""
    axis = 0 if _level(item) else 1
    if item.end[axis] >= item.start[axis]:
        return item
    # Measured from the other end, the offset of the line includes the offset between the ends.
    return replace(item, start=item.end, end=item.start, offset=-item.offset)


def _edge(item: Dimension, reach: Rect, scale: float) -> Edge:
    """Return the edge of the view for a dimension, as given by the outline (its offsets are full size)."""
    if _level(item):
        middle = 0.5 * (reach.bottom + reach.top) / scale
        return "top" if item.start[1] + item.offset > middle else "bottom"
    middle = 0.5 * (reach.left + reach.right) / scale
    return "right" if item.start[0] - item.offset > middle else "left"


def _first_free(
    item: Dimension, edge: Edge, reach: Rect, scale: float, fmt: LengthFormat, found: Sequence[_Try], beside: bool
) -> _Try | None:
    """Return the first free trial position; `beside` is whether its number goes beside the arrows though it fits."""
    wide = text_width(dimension_words(item, fmt), LETTERING)
    span = _span(item) * scale
    aside = 0.5 * (span + wide) + 3.4
    spare = 0.5 * (span - wide) - 0.8
    between = (0.0, 0.6 * spare, -0.6 * spare) if spare >= 0.0 and not beside else ()
    shifts = between or (aside, -aside)
    for level in range(_LEVELS):
        for shift in shifts:
            one = _at(item, edge, level, shift, wide, reach, scale)
            if _is_free(one, found):
                return one
    return None


def _at(item: Dimension, edge: Edge, level: int, shift: float, wide: float, reach: Rect, scale: float) -> _Try:
    away = _FIRST + _PITCH * level
    k = 0 if edge in ("top", "bottom") else 1
    low, high = item.start[k] * scale, item.end[k] * scale
    feet = [p[1 - k] * scale for p in (item.start, item.end)]
    at = {
        "top": reach.top + away,
        "bottom": reach.bottom - away,
        "right": reach.right + away,
        "left": reach.left - away,
    }[edge]
    outer = at + _BEYOND if edge in ("top", "right") else at - _BEYOND
    middle = 0.5 * (low + high) + shift
    begin, stop = low, high
    if high - low < 7.5:
        begin, stop = low - _STUB, high + _STUB
    begin, stop = min(begin, middle - 0.5 * wide), max(stop, middle + 0.5 * wide)
    if k == 0:
        number = Rect(middle - 0.5 * wide, at + 0.4, middle + 0.5 * wide, at + _NUMBER)
        line = Rect(begin, at - 0.5, stop, at + 0.5)
        strokes = tuple(
            Rect(x, min(foot, outer), x, max(foot, outer)) for x, foot in zip((low, high), feet, strict=True)
        )
        offset = at - feet[0]
    else:
        number = Rect(at - _NUMBER, middle - 0.5 * wide, at - 0.4, middle + 0.5 * wide)
        line = Rect(at - 0.5, begin, at + 0.5, stop)
        strokes = tuple(
            Rect(min(foot, outer), y, max(foot, outer), y) for y, foot in zip((low, high), feet, strict=True)
        )
        offset = feet[0] - at
    return _Try(replace(item, offset=offset, shift=shift), number, strokes, line)


def _is_free(one: _Try, found: Sequence[_Try]) -> bool:
    for other in found:
        if any(_meet(one.number, r, _CLEAR) for r in (other.number, other.line, *other.strokes)):
            return False
        if any(_meet(r, other.number, _CLEAR) for r in (one.line, *one.strokes)):
            return False
        if _meet(one.line, other.line, 1.0):
            return False
    return True


def _meet(a: Rect, b: Rect, gap: float) -> bool:
    return a.left < b.right + gap and b.left < a.right + gap and a.bottom < b.top + gap and b.bottom < a.top + gap
