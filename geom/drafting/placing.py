"""Free places for labels: what is already drawn, and the first of several places of a label that touches none of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product

from geom.drafting.symbols import FLAG_HIGH, flag, flag_reach, flag_wide
from geom.figure import UNDER, Dimension, Hatch, Item, LengthFormat, Line, Point, Rect, Sheet, Text, View
from geom.lettering import width as text_width
from geom.render.annotate import dimension_line, dimension_number, measured, number
from geom.render.explode import pieces
from geom.render.grid import Grid, box_hits_box, box_hits_segment, inside
from geom.render.pieces import Place
from geom.render.plane import extent, flatten, text_box

_CELL = 12.0
# Round lettering: half the widest pen and the clearance of the layout check [paper mm].
CLEAR = 0.6
# Lettering in the way is worse than a stroke, a leader through lettering worse than both, and worst is outside.
_ON_TEXT, _ON_STROKE, _THROUGH_TEXT, _OUTSIDE = 4, 1, 5, 100


# So many labels of several that find no free place go before the others.
_MOST_AHEAD = 4


@dataclass(frozen=True)
class Label:
    """A label at one of its possible places.

    `items` are drawn, in any units; `box` is the corners of what they fill and `leader` the line to what they are about
    [paper mm]. Strokes with the tag `own` may be touched: a name stands in its own line.
    """

    items: tuple[Item, ...]
    box: Sequence[Point]
    leader: tuple[Point, Point] | None = None
    own: str = ""


class Drawn:
    """Lettering and strokes that are drawn already, and the room for labels.

    Items are in view units: `mm` of them are a paper millimetre, and (0, 0) is at the paper point `origin` [mm].
    """

    def __init__(
        self, items: Iterable[Item] = (), mm: float = 1.0, origin: Point = (0.0, 0.0), room: Rect | None = None,
        numbers: LengthFormat | None = None,
    ) -> None:  # fmt: skip
        self._mm, self._origin, self._room, self._numbers = mm, origin, room, numbers or LengthFormat()
        self._boxes: list[Sequence[Point]] = []
        self._box_grid = Grid(_CELL)
        self._strokes: list[tuple[Point, Point, str]] = []
        self._stroke_grid = Grid(_CELL)
        self.add(items)

    def add(self, items: Iterable[Item]) -> None:
        """Add items, in view units."""
        for piece in pieces(Sheet("s", "", 1.0, 1.0, (), (self._view(items),))):
            shape = piece.shape
            if shape.layer in UNDER:
                continue
            if isinstance(shape, Text):
                self._add_box(text_box(shape))
                continue
            chain = flatten(shape, 0.2)
            for a, b in pairwise(chain):
                self._add_stroke(a, b, shape.tag)
            if isinstance(shape, Hatch):
                self._add_box(corners(extent(chain)))

    def label(self, text: Text, leader: tuple[Point, Point] | None = None, own: str = "") -> Label:
        """Return a text in view units as a label at one of its places.

        Args:
            text: there.
            leader: from what it is about to it, in view units.
            own: tag of the strokes that it may touch.
        """
        box = text_box(replace(text, at=self.on_paper(text.at)), CLEAR)
        if leader is None:
            return Label((text,), box, own=own)
        led = (self.on_paper(leader[0]), self.on_paper(leader[1]))
        return Label((text, Line(*leader, "DIM", text.tag)), box, led, own)

    def group(self, items: Iterable[Item], leader: tuple[Point, Point] | None = None) -> Label:
        """Return items in view units that stand together as a label.

        Args:
            items: that stand together.
            leader: from what they are about to them, in view units.
        """
        together = tuple(items)
        box = _round(self._view(together))
        if leader is None:
            return Label(together, box)
        return Label((*together, Line(*leader, "DIM")), box, (self.on_paper(leader[0]), self.on_paper(leader[1])))

    def _view(self, items: Iterable[Item]) -> View:
        window = Rect(0.0, 0.0, 0.0, 0.0)
        return View("v", "", 1.0 / self._mm, self._origin, window, tuple(items), numbers=self._numbers)

    def numbered(self, item: Dimension) -> Label:
        """Return a dimension in view units as a label: its number, with its line as far as that goes for the leader."""
        place = Place(1.0 / self._mm, self._origin, self._numbers)
        text = item.text.replace("<>", number(measured(item), self._numbers))
        first, last, run = dimension_line(item, place)
        written = dimension_number(item, place, text)
        span, half = math.dist(first, last), 0.5 * text_width(text, written.height, written.weight)
        centre = 0.5 * span + item.shift
        low = min(0.0, centre - half) if centre < 0.0 else 0.0
        high = max(span, centre + half) if centre > span else span
        ends = [(first[0] + run[0] * at, first[1] + run[1] * at) for at in (low, high)]
        return Label((item,), text_box(written, CLEAR), (ends[0], ends[1]))

    def on_paper(self, at: Point) -> Point:
        """Return a point in view units on paper [mm]."""
        return (self._origin[0] + at[0] / self._mm, self._origin[1] + at[1] / self._mm)

    def put(self, places: Iterable[Label]) -> Label:
        """Return a label at its first place that touches nothing, else at the one that touches least, and add it.

        Args:
            places: the label at each of its places, the best first; at least one.
        """
        least, found = math.inf, None
        for label in places:
            touched = self._touched(label)
            if touched < least:
                least, found = touched, label
            if not touched:
                break
        if found is None:
            raise ValueError("a label needs a place")
        self._add_box(found.box)
        if found.leader is not None:
            self._add_stroke(*found.leader, "")
        return found

    def put_all(self, rows: Sequence[Callable[[], Iterable[Label]]]) -> list[Label]:
        """Return several labels, each at its first place that touches nothing, and add them.

        One that finds no such place goes before the others, and all are placed anew; so do the next few. Where even
        that does not help, all stand in their order, each where it touches least.

        Args:
            rows: the places of each label, as for `put`.
        """
        boxes, strokes, ahead, may_move = len(self._boxes), len(self._strokes), list[int](), True
        while True:
            found: dict[int, Label] = {}
            for row in (*ahead, *(row for row in range(len(rows)) if row not in ahead)):
                free = next((label for label in rows[row]() if self.free(label)), None)
                if free is None and may_move:
                    may_move = row not in ahead and len(ahead) < _MOST_AHEAD
                    ahead = [row, *ahead] if may_move else []
                    self._forget(boxes, strokes)
                    break
                found[row] = self.put(rows[row]() if free is None else (free,))
            else:
                return [found[row] for row in range(len(rows))]

    def put_if_free(self, places: Iterable[Label]) -> tuple[Item, ...]:
        """Return the items of a label at its first place that touches nothing, and add it; none where there is none."""
        found = next((label for label in places if self.free(label)), None)
        return () if found is None else self.put((found,)).items

    def free(self, label: Label) -> bool:
        """Return whether a label touches nothing at its place."""
        return not self._touched(label)

    def _touched(self, label: Label) -> int:
        near = extent(label.box)
        texts = [box_hits_box(label.box, self._boxes[k]) for k in self._box_grid.near_box(near)].count(True)
        strokes = 0
        for k in self._stroke_grid.near_box(near):
            a, b, tag = self._strokes[k]
            if not (label.own and tag == label.own):
                strokes += box_hits_segment(label.box, a, b)
        through = 0
        if label.leader is not None:
            edges, start = _edges(*label.leader), label.leader[0]
            # A leader may begin within what it is about.
            crossed = (self._boxes[k] for k in self._box_grid.near_segment(*label.leader))
            through = [
                any(box_hits_segment(box, *edge) for edge in edges) for box in crossed if not inside(start, box)
            ].count(True)
        beyond = self._room is not None and not _within(near, self._room)
        return _ON_TEXT * texts + _ON_STROKE * strokes + _THROUGH_TEXT * through + _OUTSIDE * beyond

    def _add_box(self, box: Sequence[Point]) -> None:
        self._box_grid.put(len(self._boxes), extent(box))
        self._boxes.append(box)

    def _forget(self, boxes: int, strokes: int) -> None:
        """Take out the boxes and strokes from a number on."""
        del self._boxes[boxes:], self._strokes[strokes:]
        self._box_grid.forget(boxes)
        self._stroke_grid.forget(strokes)

    def _add_stroke(self, start: Point, end: Point, tag: str) -> None:
        self._stroke_grid.put(len(self._strokes), extent((start, end)))
        self._strokes.append((start, end, tag))


def _edges(start: Point, end: Point) -> tuple[tuple[Point, Point], ...]:
    """Return a leader with its clearance on either side [paper mm]."""
    long = math.dist(start, end) or 1.0
    off = ((start[1] - end[1]) * CLEAR / long, (end[0] - start[0]) * CLEAR / long)
    return tuple(
        ((start[0] + k * off[0], start[1] + k * off[1]), (end[0] + k * off[0], end[1] + k * off[1]))
        for k in (-1.0, 0.0, 1.0)
    )


def _round(view: View) -> Sequence[Point]:
    """Return the corners round all items of a view, with their clearance."""
    shapes = [piece.shape for piece in pieces(Sheet("s", "", 1.0, 1.0, (), (view,)))]
    around = extent([at for one in shapes for at in (text_box(one) if isinstance(one, Text) else flatten(one))])
    return corners(Rect(around.left - CLEAR, around.bottom - CLEAR, around.right + CLEAR, around.top + CLEAR))


def _within(inner: Rect, outer: Rect) -> bool:
    return (
        inner.left >= outer.left
        and inner.bottom >= outer.bottom
        and inner.right <= outer.right
        and inner.top <= outer.top
    )


def corners(place: Rect) -> tuple[Point, Point, Point, Point]:
    """Return the corners of a rectangle, counter-clockwise from its lower left."""
    return (
        (place.left, place.bottom),
        (place.right, place.bottom),
        (place.right, place.top),
        (place.left, place.top),
    )


# Turns from the direction wanted, nearest first, and distances of a flag from what it is about [paper mm].
_TURNS = tuple(math.radians(angle) for angle in (0, 20, -20, 40, -40, 60, -60, 80, -80, 110, -110, 140, -140, 180))
# Between them where none of those is free.
_FINE_TURNS = tuple(math.radians(angle) for angle in range(-175, 180, 5) if angle % 20)
_REACHES = (12.0, 16.0, 9.0, 20.0, 25.0, 30.0, 36.0, 42.0, 50.0, 60.0)
_NAME_REACHES = (5.0, 8.0, 12.0, 16.0, 21.0, 27.0, 34.0)


def named(text: Text, at: Point, way: float, off: float) -> Iterator[Label]:
    """Yield a text at its places round a point, each with a line to the point that points to its middle.

    Args:
        text: the text, in paper millimetres.
        at: what it names [paper mm].
        way: direction of the first place [rad].
        off: distance from the point at which the line ends [paper mm].
    """
    # A comma reaches below the base line.
    half, tall = (0.5 * size + 1.0 for size in (text_width(text.text, text.height, text.weight), text.height))
    for reach in _NAME_REACHES:
        for turn in _TURNS:
            x, y = math.cos(way + turn), math.sin(way + turn)
            near, end = (at[0] + off * x, at[1] + off * y), (at[0] + reach * x, at[1] + reach * y)
            beyond = min(half / max(abs(x), 1e-9), tall / max(abs(y), 1e-9))
            centre = (end[0] + beyond * x, end[1] + beyond * y)
            box = Rect(centre[0] - half, centre[1] - tall, centre[0] + half, centre[1] + tall)
            there = replace(text, at=centre, across="centre", upright="middle")
            yield Label((Line(near, end, "THIN"), there), corners(box), (near, end))


def flagged(numbers: Sequence[int], at: Point, way: float) -> Iterator[Label]:
    """Yield the flags of open items in a row at their places round a point, each with a line to the point.

    Args:
        numbers: of the open items.
        at: what they are about [paper mm].
        way: direction of the first place [rad].
    """
    wides = [flag_wide(one) for one in numbers]
    for turns, reach in product((_TURNS, _FINE_TURNS), _REACHES):
        for turn in turns:
            x, y = math.cos(way + turn), math.sin(way + turn)
            # The row goes on outwards from the flag at which the line ends.
            ends = 0 if x > -1e-6 else len(numbers) - 1
            centre = (at[0] + reach * x, at[1] + reach * y)
            left = centre[0] - wides[0] if ends == 0 else centre[0] + wides[-1] - 2.0 * math.fsum(wides)
            edge = reach - flag_reach(numbers[ends], way + turn)
            end = (at[0] + edge * x, at[1] + edge * y)
            items: list[Item] = [Line(at, end, "OPEN-ITEM")]
            right = left
            for one, wide in zip(numbers, wides, strict=True):
                items += flag((right + wide, centre[1]), one, tag=f"item:{one}")
                right += 2.0 * wide
            high = FLAG_HIGH + CLEAR
            box = Rect(left - CLEAR, centre[1] - high, right + CLEAR, centre[1] + high)
            yield Label(tuple(items), corners(box), (at, end))
