"""A coarse grid for finding neighbours, and exact tests of oriented boxes by separating axes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geom.figure import Point, Rect
from geom.render.plane import left_of, towards


class Grid:
    """An index of numbers by the grid cells that their rectangles touch; `cell` is the size of a cell [mm]."""

    def __init__(self, cell: float) -> None:
        self.cell = cell
        self.cells: dict[tuple[int, int], list[int]] = {}

    def _index(self, value: float) -> int:
        return math.floor(value / self.cell)

    def _cells(self, box: Rect) -> Iterator[tuple[int, int]]:
        for column in range(self._index(box.left), self._index(box.right) + 1):
            for row in range(self._index(box.bottom), self._index(box.top) + 1):
                yield column, row

    def put(self, number: int, box: Rect) -> None:
        """Add a number at a rectangle."""
        for cell in self._cells(box):
            self.cells.setdefault(cell, []).append(number)

    def forget(self, first: int) -> None:
        """Take out the numbers from one on."""
        for cell, numbers in self.cells.items():
            self.cells[cell] = [number for number in numbers if number < first]

    def near_box(self, box: Rect) -> list[int]:
        """Return the numbers that may touch a rectangle, in ascending order."""
        return sorted({number for cell in self._cells(box) for number in self.cells.get(cell, ())})

    def near_segment(self, a: Point, b: Point) -> list[int]:
        """Return the numbers that may touch a segment, in ascending order."""
        count = max(1, math.ceil(math.dist(a, b) / self.cell))
        numbers: set[int] = set()
        for index in range(count):
            p, q = ((a[0] + (b[0] - a[0]) * t / count, a[1] + (b[1] - a[1]) * t / count) for t in (index, index + 1))
            box = Rect(min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1]))
            for cell in self._cells(box):
                numbers.update(self.cells.get(cell, ()))
        return sorted(numbers)


def _apart(a: Sequence[Point], b: Sequence[Point], axis: Point) -> bool:
    on_a = [point[0] * axis[0] + point[1] * axis[1] for point in a]
    on_b = [point[0] * axis[0] + point[1] * axis[1] for point in b]
    return max(on_a) <= min(on_b) + 1e-9 or max(on_b) <= min(on_a) + 1e-9


def _axes(box: Sequence[Point]) -> tuple[Point, Point]:
    run = towards(box[0], box[1])
    return run, left_of(run)


def box_hits_box(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Return whether two oriented boxes overlap; touching does not count."""
    return not any(_apart(a, b, axis) for axis in (*_axes(a), *_axes(b)))


def box_hits_segment(box: Sequence[Point], start: Point, end: Point) -> bool:
    """Return whether a segment runs through an oriented box; touching does not count.

    Args:
        box: corners of the box.
        start: of the segment.
        end: of the segment.
    """
    segment = (start, end)
    return not any(_apart(box, segment, axis) for axis in (*_axes(box), left_of(towards(start, end))))


def inside(point: Point, outline: Sequence[Point]) -> bool:
    """Return whether a point lies in a closed outline, by the even-odd rule."""
    x, y = point
    odd = False
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            odd = not odd
    return odd
