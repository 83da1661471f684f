"""Axes of a small diagram on paper: round steps, ticks with numbers, curves clipped at the edges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.figure import Item, Line, Point, Polyline, Rect, Text
from geom.units import decimal, without_zero

_TICK = 1.2
_LETTERING = 2.5
# Room for the numbers beside and under the axes [mm].
LEFT, BELOW = 11.0, 5.0


@dataclass(frozen=True)
class Axis:
    """An axis from zero to `maximum` with a number at every `step`, in its own unit; inches without a leading zero."""

    maximum: float
    step: float
    unit: str = ""

    @property
    def ticks(self) -> tuple[float, ...]:
        """The values with numbers."""
        return tuple(self.step * index for index in range(round(self.maximum / self.step) + 1))

    @property
    def decimals(self) -> int:
        """Number of decimals of its numbers."""
        return max(-math.floor(math.log10(self.step) + 1e-9), 0)

    def number(self, value: float) -> str:
        """Return the number at a tick.

        Args:
            value: of the tick [unit of the axis].
        """
        return without_zero(decimal(value, self.decimals if value else 0), self.unit)


def axis(reach: float, steps: int, unit: str = "") -> Axis:
    """Return an axis from zero to at least a value, in steps of 1, 2 or 5 times a power of ten.

    Args:
        reach: max value to show, greater than zero [unit of the axis].
        steps: max number of steps.
        unit: of the axis.
    """
    power = 10.0 ** math.floor(math.log10(reach / steps))
    step = next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times * steps >= reach * (1.0 - 1e-9))
    return Axis(step * math.ceil(reach / step - 1e-9), step, unit)


@dataclass(frozen=True)
class Diagram:
    """Two axes on paper: their rectangle [mm], x to the right, y up."""

    field: Rect
    x: Axis
    y: Axis

    def at(self, x: float, y: float) -> Point:
        """Return the point on paper [mm] of two values, each in the unit of its axis."""
        return (
            self.field.left + self.field.width * x / self.x.maximum,
            self.field.bottom + self.field.height * y / self.y.maximum,
        )

    def axes(self) -> tuple[Item, ...]:
        """Return both axes with their ticks and numbers."""
        field = self.field
        items: list[Item] = [
            Line((field.left, field.bottom), (field.right, field.bottom), "THIN"),
            Line((field.left, field.bottom), (field.left, field.top), "THIN"),
        ]
        for value in self.x.ticks:
            x, y = self.at(value, 0.0)
            items.append(Line((x, y), (x, y - _TICK), "THIN"))
            number = self.x.number(value)
            items.append(Text((x, y - _TICK - 0.7), number, _LETTERING, "NOTE", "centre", "top"))
        for value in self.y.ticks:
            x, y = self.at(0.0, value)
            items.append(Line((x, y), (x - _TICK, y), "THIN"))
            number = self.y.number(value)
            items.append(Text((x - _TICK - 0.7, y), number, _LETTERING, "NOTE", "right", "middle"))
        return tuple(items)

    def curve(self, points: Sequence[Point], layer: str, tag: str) -> tuple[Item, ...]:
        """Return a curve through points, clipped to the axes.

        Args:
            points: in order, each in the units of the axes.
            layer: of the stroke.
            tag: of the curve.
        """
        strokes: list[list[Point]] = []
        for a, b in pairwise(points):
            cut = self._inside(a, b)
            if cut is None:
                continue
            first, last = (self.at(*end) for end in cut)
            if strokes and math.dist(strokes[-1][-1], first) < 1e-9:
                strokes[-1].append(last)
            else:
                strokes.append([first, last])
        return tuple(Polyline(tuple(stroke), layer, tag=tag) for stroke in strokes)

    def _inside(self, a: Point, b: Point) -> tuple[Point, Point] | None:
        """Return the part of a stroke within the axes, None where there is none."""
        low, high = 0.0, 1.0
        for start, end, maximum in ((a[0], b[0], self.x.maximum), (a[1], b[1], self.y.maximum)):
            run = end - start
            if run == 0.0:
                if not 0.0 <= start <= maximum:
                    return None
                continue
            enter, leave = sorted((-start / run, (maximum - start) / run))
            low, high = max(low, enter), min(high, leave)
        if low >= high:
            return None

        def along(share: float) -> Point:
            return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)

        return along(low), along(high)
