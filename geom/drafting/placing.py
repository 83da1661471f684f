"""Free places for labels and flags: what is already drawn, and the first of several places that touches none of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from geom.figure import UNDER, Hatch, Item, Point, Rect, Sheet, Text, View
from geom.render.explode import pieces
from geom.render.grid import Grid, box_hits_box, box_hits_segment
from geom.render.plane import extent, flatten, text_box

_CELL = 12.0


class Drawn:
    """Lettering and strokes that are on paper already [paper mm]."""

    def __init__(self) -> None:
        self._boxes: list[Sequence[Point]] = []
        self._box_grid = Grid(_CELL)
        self._strokes: list[tuple[Point, Point]] = []
        self._stroke_grid = Grid(_CELL)

    def add(self, items: Iterable[Item], view: View | None = None) -> None:
        """Add items.

        Args:
            items: in the millimetres of the view, or of the sheet.
            view: that they stand in; its own items are not added.
        """
        own = () if view is None else (View("v", "", view.scale, view.origin, view.window, tuple(items)),)
        sheet = Sheet("s", "", 1.0, 1.0, tuple(items) if view is None else (), own)
        for piece in pieces(sheet):
            shape = piece.shape
            if shape.layer in UNDER:
                continue
            if isinstance(shape, Text):
                self._add_box(text_box(shape))
                continue
            chain = flatten(shape, 0.2)
            for a, b in pairwise(chain):
                self._stroke_grid.put(len(self._strokes), extent((a, b)))
                self._strokes.append((a, b))
            if isinstance(shape, Hatch):
                self._add_box(_corners(extent(chain)))

    def _add_box(self, box: Sequence[Point]) -> None:
        self._box_grid.put(len(self._boxes), extent(box))
        self._boxes.append(box)

    def covered(self, place: Rect, strokes_too: bool = True) -> int:
        """Return how many letterings, and strokes, a rectangle touches.

        Args:
            place: the rectangle [paper mm].
            strokes_too: whether strokes count.
        """
        box = _corners(place)
        count = sum(box_hits_box(box, self._boxes[k]) for k in self._box_grid.near_box(place))
        if strokes_too:
            count += sum(box_hits_segment(box, *self._strokes[k]) for k in self._stroke_grid.near_box(place))
        return count

    def crossed(self, start: Point, end: Point) -> int:
        """Return how many letterings a stroke runs through."""
        return sum(box_hits_segment(self._boxes[k], start, end) for k in self._box_grid.near_segment(start, end))


def _corners(place: Rect) -> tuple[Point, Point, Point, Point]:
    return (
        (place.left, place.bottom),
        (place.right, place.bottom),
        (place.right, place.top),
        (place.left, place.top),
    )
