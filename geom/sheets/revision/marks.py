"""Marks of changed figures: a triangle with the letter of the revision beside each.

Source: ASME Y14.35 (revision symbol beside what changed, its letter inside; a drawing changed throughout says so), from
memory, verify.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from geom.drafting.placing import CLEAR, Drawn, Label, corners
from geom.figure import Item, Line, Point, Polyline, Rect, Sheet, Text
from geom.lettering import width as text_width
from geom.render.explode import pieces
from geom.render.pieces import Piece
from geom.render.plane import extent, text_box
from geom.sheets.revision import text as own

# More changed figures than this on one sheet are marked as one.
MAX_MARKS = 30
# The triangle: height, half its width, and that of its letter [mm].
_HIGH, _HALF, _LETTER = 4.8, 2.9, 1.8
# The letter over the foot of the triangle [mm].
_OVER_FOOT = 0.65
_BESIDE = 0.5
# Distances from a figure at which a place is looked for; beyond the first a line leads to it [mm].
_REACHES = (0.0, 3.0, 6.0, 10.0, 15.0, 21.0, 28.0, 36.0, 45.0)
_WAYS = tuple(
    math.radians(angle)
    for angle in (0, 180, 90, 270, 45, 135, 225, 315, 20, 160, 200, 340, 70, 110, 250, 290, 10, 170, 190, 350, 30, 150)
)
_TAGS = "revision"


def marked(before: Sheet, after: Sheet, letter: str, room: Rect) -> tuple[Item, ...]:
    """Return the marks of a sheet that is issued again, in paper millimetres.

    Args:
        before: the sheet of the old set.
        after: the same sheet of the new set.
        letter: of the revision.
        room: where marks may stand [mm].
    """
    found = changed(before, after)
    drawn = pieces(after)
    if len(found) <= MAX_MARKS:
        places = _Places(drawn, room)
        marks = [places.mark(piece, letter) for piece in found]
        if all(marks):
            # Figures of one row may share the mark in the margin.
            return tuple(dict.fromkeys(item for items in marks for item in items))
    # Too many, or one without a place beside it.
    head = max(_lettering(after), key=lambda piece: piece.shape.height if isinstance(piece.shape, Text) else 0.0)
    return _Places(drawn, room).throughout(head, letter)


def changed(before: Sheet, after: Sheet) -> tuple[Piece, ...]:
    """Return the lettering of a sheet that another issue of it has not: other words or figures, or under another tag.

    Args:
        before: the other issue.
        after: the sheet.
    """
    known = Counter(_said(piece) for piece in _lettering(before))
    found = []
    for piece in _lettering(after):
        said = _said(piece)
        if known[said]:
            known[said] -= 1
        elif any(letter.isalnum() for letter in said[2]):
            found.append(piece)
    return tuple(found)


def _lettering(sheet: Sheet) -> Iterator[Piece]:
    """Yield the lettering of a sheet without its frame and title block."""
    bordered = sheet.border.items if sheet.border is not None else 0
    of_views = sum(len(view.items) for view in sheet.views)
    for piece in pieces(sheet):
        if isinstance(piece.shape, Text) and not of_views < piece.source <= of_views + bordered:
            yield piece


def _said(piece: Piece) -> tuple[str, str, str]:
    assert isinstance(piece.shape, Text)
    return (piece.view, piece.shape.tag, piece.shape.text)


class _Places:
    """What is on a sheet, and the room for marks."""

    def __init__(self, drawn: Sequence[Piece], room: Rect) -> None:
        self._strokes = Drawn(piece.shape for piece in drawn)
        self._texts = Drawn(piece.shape for piece in drawn if isinstance(piece.shape, Text))
        self._room = room
        self._margin: list[tuple[float, tuple[Item, ...]]] = []

    def throughout(self, head: Piece, letter: str) -> tuple[Item, ...]:
        """Return the mark of a sheet that is revised throughout, beside its heading."""
        items = self.mark(head, letter)
        if not items:
            return ()
        triangle = items[0]
        assert isinstance(triangle, Polyline)
        place = extent(triangle.points)
        wide = text_width(own.THROUGHOUT, 2.5)
        for x in (place.right + 1.5, place.left - 1.5 - wide):
            text = Text((x, place.bottom + 0.8), own.THROUGHOUT, 2.5, "OPEN-ITEM", tag=f"{_TAGS}:{letter}")
            if self._strokes.free(self._texts.label(text)) and self._room.left <= x and x + wide <= self._room.right:
                return (*items, text)
        return items

    def mark(self, piece: Piece, letter: str) -> tuple[Item, ...]:
        """Return the mark of one figure at the nearest place that covers no lettering; empty where there is none.

        Where it is closed in by others, the mark stands in the margin of the sheet, level with it.
        """
        assert isinstance(piece.shape, Text)
        tag = f"{_TAGS}:{letter}:{piece.shape.tag or piece.shape.text}"
        box = extent(text_box(piece.shape))
        level = 0.5 * (box.bottom + box.top)
        for centre, leader in (*_places(box), *((at, None) for at in self._beside(level))):
            in_margin = leader is None and centre[0] in self._edges()
            shared = next((items for y, items in self._margin if in_margin and abs(y - level) < 1.0), None)
            if shared is not None:
                return shared
            triangle = _triangle(centre)
            around = extent(triangle)
            if not _within(around, self._room):
                continue
            inner = Text((centre[0], around.bottom + _OVER_FOOT), letter, _LETTER, "OPEN-ITEM", "centre", tag=tag)
            body = Label((), corners(_grown(around, _BESIDE)), leader)
            clear = leader is None or self._texts.free(Label((), _along(*leader)))
            if clear and self._texts.free(body) and self._strokes.free(self._strokes.label(inner)):
                items: list[Item] = [Polyline(triangle, "OPEN-ITEM", closed=True, tag=tag), inner]
                if leader is not None:
                    items.append(Line(*leader, "OPEN-ITEM", tag=tag))
                self._texts.add(items)
                self._strokes.add(items)
                if in_margin:
                    self._margin.append((level, tuple(items)))
                return tuple(items)
        return ()

    def _edges(self) -> tuple[float, float]:
        """Return X of marks in the right and in the left margin [mm]."""
        return (self._room.right - _HALF, self._room.left + _HALF)

    def _beside(self, level: float) -> tuple[Point, ...]:
        return tuple((x, level) for x in self._edges())


def _places(box: Rect) -> Iterator[tuple[Point, tuple[Point, Point] | None]]:
    """Yield the middle of a triangle beside lettering, the nearest first, with its line where it stands off."""
    middle = (0.5 * (box.left + box.right), 0.5 * (box.bottom + box.top))
    for reach in _REACHES:
        for way in _WAYS:
            x, y = math.cos(way), math.sin(way)
            side = 0.0 if abs(x) < 1e-9 else math.copysign(1.0, x)
            up = 0.0 if abs(y) < 1e-9 else math.copysign(1.0, y)
            edge = (middle[0] + side * 0.5 * box.width, middle[1] + up * 0.5 * box.height)
            off = (side * (_HALF + _BESIDE + 0.4) + reach * x, up * (0.5 * _HIGH + _BESIDE + 0.4) + reach * y)
            centre = (edge[0] + off[0], edge[1] + off[1])
            if not reach:
                yield centre, None
                continue
            near = (edge[0] + side * 0.8, edge[1] + up * 0.8)
            far = (centre[0] - side * (_HALF if not up else 0.5 * _HALF), centre[1] - up * 0.5 * _HIGH)
            yield centre, (near, far)


def _triangle(centre: Point) -> tuple[Point, Point, Point]:
    x, y = centre
    return ((x - _HALF, y - 0.5 * _HIGH), (x + _HALF, y - 0.5 * _HIGH), (x, y + 0.5 * _HIGH))


def _grown(box: Rect, by: float) -> Rect:
    return Rect(box.left - by, box.bottom - by, box.right + by, box.top + by)


def _along(start: Point, end: Point) -> tuple[Point, ...]:
    """Return the corners of a strip about a line, as wide as the clearance of lettering on both sides."""
    angle = math.atan2(end[1] - start[1], end[0] - start[0])
    off = (-CLEAR * math.sin(angle), CLEAR * math.cos(angle))
    (a, b), (c, d) = start, end
    return (
        (a + off[0], b + off[1]),
        (a - off[0], b - off[1]),
        (c - off[0], d - off[1]),
        (c + off[0], d + off[1]),
    )


def _within(inner: Rect, outer: Rect) -> bool:
    across = outer.left <= inner.left <= inner.right <= outer.right
    return across and outer.bottom <= inner.bottom <= inner.top <= outer.top
