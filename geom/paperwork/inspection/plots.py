"""Small plots of readings over the years: the days along, stretch or lean upwards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from geom.figure import Across, Circle, Item, LengthFormat, Line, Point, Polyline, Rect, Text
from geom.paperwork.inspection import text as words
from geom.paperwork.inspection.history import Trend
from geom.paperwork.lists import made_to
from geom.units import decimal

WIDE, TALL, GAP = 78.0, 40.0, 6.0
_LEFT, _BELOW, _ABOVE, _RIGHT = 14.0, 7.0, 8.0, 12.0
_HEIGHT, _DOT = 2.5, 0.8
# Between a point and its figure, and from the axis to the first point, with the room of a figure [mm].
_CLEAR, _FIRST = 1.6, 11.0
# Least range of an axis of values: a line that has not changed is not shown as if it had [mm or deg].
_LEAST = {"stretch": 5.0, "lean": 1.0}


def plot_items(trend: Trend, place: Rect, fmt: LengthFormat) -> Iterator[Item]:
    """Yield one plot with its title, axes, readings and the figure of each.

    Args:
        trend: the readings.
        place: of the plot on the page [mm].
        fmt: format of lengths.
    """
    box = Rect(place.left + _LEFT, place.bottom + _BELOW, place.right - _RIGHT, place.top - _ABOVE)
    form = words.STRETCH if trend.kind == "stretch" else words.LEAN
    tag = f"trend:{trend.name}"
    title = form.format(name=trend.name, unit=fmt.unit)
    yield Text((place.left, place.top - 3.0), title, _HEIGHT, "TEXT", tag=tag, weight="semibold")
    low, high = _range(trend)
    yield Line((box.left, box.bottom), (box.right, box.bottom), "DIM")
    yield Line((box.left, box.bottom), (box.left, box.top), "DIM")
    points = _points(trend, box, low, high)
    yield Polyline(points, "OUTLINE", tag=tag)
    for number, (reading, at) in enumerate(zip(trend.readings, points, strict=True), start=1):
        yield Circle(at, _DOT, "OUTLINE", tag)
        value = value_words(trend, reading.value, fmt)
        x, y, across = _beside(points, number - 1)
        yield Text((at[0] + x, at[1] + y), value, _HEIGHT, "TEXT", across, tag=f"{tag}:{number}")
    for number in sorted({0, len(points) - 1}):
        day = trend.readings[number].day
        yield Line((points[number][0], box.bottom), (points[number][0], box.bottom - 1.0), "DIM")
        yield Text(
            (points[number][0], box.bottom - 4.2), day, _HEIGHT, "SECOND", "centre", tag=f"{tag}:day:{number + 1}"
        )


def _beside(points: Sequence[Point], number: int) -> tuple[float, float, Across]:
    """Return where the figure of a reading stands from its point, clear of the lines to its neighbours [mm]."""
    before = points[number][1] - points[number - 1][1] if number else 0.0
    after = points[number + 1][1] - points[number][1] if number + 1 < len(points) else 0.0
    if before < 0.0 < after:
        return 0.0, -_CLEAR - _HEIGHT, "centre"
    if after > 0.0:
        return -_CLEAR, 0.4, "right"
    if before < 0.0:
        return _CLEAR, 0.4, "left"
    return 0.0, _CLEAR, "centre"


def value_words(trend: Trend, value: float, fmt: LengthFormat) -> str:
    """Return a reading of a trend as text.

    Args:
        trend: the trend.
        value: the reading [mm or deg].
        fmt: format of lengths.
    """
    return made_to(value, fmt) if trend.kind == "stretch" else decimal(value, 1)


def trend_words(trend: Trend, fmt: LengthFormat) -> str:
    """Return a trend as one line of text."""
    first, last = trend.readings[0].day, trend.readings[-1].day
    form = words.STRETCHED if trend.kind == "stretch" else words.LEANS
    value = value_words(trend, trend.change, fmt)
    return form.format(name=trend.name, value=value, unit=fmt.unit, first=first, last=last)


def _range(trend: Trend) -> tuple[float, float]:
    values = [reading.value for reading in trend.readings]
    low, high = min(values), max(values)
    spare = max(_LEAST[trend.kind] - (high - low), 0.0) / 2.0
    return low - spare, high + spare


def _points(trend: Trend, box: Rect, low: float, high: float) -> tuple[tuple[float, float], ...]:
    days = [date.fromisoformat(reading.day).toordinal() for reading in trend.readings]
    span = max(days[-1] - days[0], 1)
    # Room for the figures over the highest reading.
    tall = box.height - 5.0
    return tuple(
        (
            box.left + _FIRST + (box.width - _FIRST) * (day - days[0]) / span,
            box.bottom + 1.5 + tall * (reading.value - low) / (high - low),
        )
        for day, reading in zip(days, trend.readings, strict=True)
    )


def in_grid(found: Sequence[Trend], area: Rect, fmt: LengthFormat) -> Iterator[tuple[Any, ...]]:
    """Yield the plots of each page, in columns.

    Args:
        found: the trends.
        area: of the plots on a page [mm].
        fmt: format of lengths.
    """
    columns, rows = int((area.width + GAP) / (WIDE + GAP)), int((area.height + GAP) / (TALL + GAP))
    wide = (area.width + GAP) / columns - GAP
    for begin in range(0, len(found), columns * rows):
        items: list[Item] = []
        for number, trend in enumerate(found[begin : begin + columns * rows]):
            row, column = divmod(number, columns)
            left, top = area.left + column * (wide + GAP), area.top - row * (TALL + GAP)
            items += plot_items(trend, Rect(left, top - TALL, left + wide, top), fmt)
        yield tuple(items)
