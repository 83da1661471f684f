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
from geom.render.explode import SHEET, pieces
from geom.render.pieces import Piece
from geom.render.plane import extent, flatten, text_box
from geom.sheets.revision import text as own

# More changed figures than this on one sheet are marked as one.
MAX_MARKS = 30
# The triangle: height, half its width, and that of its letter [mm].
_HIGH, _HALF, _LETTER = 4.8, 2.9, 1.8
# The letter over the foot of the triangle [mm].
_OVER_FOOT = 0.65
_BESIDE, _TOUCH = 0.5, 0.05
# Distances from a figure at which a place is looked for; beyond the first a line leads to it [mm].
_REACHES = (0.0, 3.0, 6.0, 10.0, 15.0, 21.0, 28.0, 36.0, 45.0)
_WAYS = tuple(
    math.radians(angle)
    for angle in (0, 180, 90, 270, 45, 135, 225, 315, 20, 160, 200, 340, 70, 110, 250, 290, 10, 170, 190, 350, 30, 150)
)
_TAGS = "revision"
# Between places that are tried for the words of a sheet that is revised throughout [mm].
_STEP = 2.5
# From the lettering of the title block to the lines of its cells [mm].
_OF_CELL = 2.0
# From a triangle in a row to the figure of the next column, which it might else be taken for [mm].
_NEXT = 3.0
# The lines of tables, and the height over which two of them are no row [mm].
_RULES, _TALLEST_ROW = ("RULE", "HEAD-RULE", "TABLE"), 40.0
# Frame and centring marks.
_FRAME = ("FRAME",)


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
    return _Places(drawn, room).throughout(_title_block(after, room), letter)


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
    for piece in pieces(sheet):
        if isinstance(piece.shape, Text) and not _of_border(sheet, piece):
            yield piece


def _of_border(sheet: Sheet, piece: Piece) -> bool:
    """Return whether a piece is of a sheet's frame or title block."""
    bordered = sheet.border.items if sheet.border is not None else 0
    of_views = sum(len(view.items) for view in sheet.views)
    return of_views < piece.source <= of_views + bordered


def _title_block(sheet: Sheet, room: Rect) -> Rect:
    """Return the box of the lettering in a sheet's title block; its lower right corner where it has none."""
    boxes = [
        extent(text_box(piece.shape))
        for piece in pieces(sheet)
        if isinstance(piece.shape, Text) and piece.shape.tag.startswith("title:") and _of_border(sheet, piece)
    ]
    if not boxes:
        return Rect(room.right, room.bottom, room.right, room.bottom)
    return Rect(
        min(box.left for box in boxes), min(box.bottom for box in boxes), max(box.right for box in boxes),
        max(box.top for box in boxes),
    )  # fmt: skip


def _said(piece: Piece) -> tuple[str, str, str]:
    assert isinstance(piece.shape, Text)
    return (piece.view, piece.shape.tag, piece.shape.text)


class _Places:
    """What is on a sheet, and the room for marks."""

    def __init__(self, drawn: Sequence[Piece], room: Rect) -> None:
        self._strokes = Drawn(piece.shape for piece in drawn)
        self._texts = Drawn(piece.shape for piece in drawn if isinstance(piece.shape, Text))
        self._marks = Drawn()
        self._border = Drawn(piece.shape for piece in drawn if piece.view == SHEET and piece.shape.layer in _FRAME)
        self._rules = [extent(flatten(piece.shape, 0.2)) for piece in drawn if _is_rule(piece)]
        self._room = room
        self._margin: list[tuple[float, tuple[Item, ...]]] = []

    def throughout(self, block: Rect, letter: str) -> tuple[Item, ...]:
        """Return the mark of a sheet that is revised throughout: triangle and words at the free place nearest to a box.

        Args:
            block: of the title block [mm].
            letter: of the revision.
        """
        wide, tag = 2.0 * _HALF + 1.5 + text_width(own.THROUGHOUT, 2.5), f"{_TAGS}:{letter}"
        last = Rect(self._room.left, self._room.bottom, self._room.right - wide, self._room.top - _HIGH)
        across = [last.left + _STEP * k for k in range(int(last.width / _STEP) + 1)]
        up = [last.bottom + _STEP * k for k in range(int(last.height / _STEP) + 1)]

        def off(at: Point) -> float:
            """Return how far a place lies from the title block, over it rather than beside it [mm]."""
            beside = max(block.left - at[0] - wide, at[0] - block.right, 0.0)
            return 2.0 * beside + max(block.bottom - at[1] - _HIGH, at[1] - block.top, 0.0)

        places = sorted(((x, y) for x in across for y in up), key=lambda at: (off(at), -at[0], at[1]))
        # The words are never left out: where nothing is free they stand over the title block all the same.
        left, top = block.left - _OF_CELL, block.top + _OF_CELL
        outside = [at for at in places if at[0] + wide < left or at[1] > top] or places
        x, y = next((at for at in outside if self._is_free(at, wide)), outside[0])
        triangle = _triangle((x + _HALF, y + 0.5 * _HIGH))
        return (
            Polyline(triangle, "OPEN-ITEM", closed=True, tag=f"{tag}:{own.THROUGHOUT}"),
            Text((x + _HALF, y + _OVER_FOOT), letter, _LETTER, "OPEN-ITEM", "centre", tag=tag),
            Text((x + 2.0 * _HALF + 1.5, y + 0.8), own.THROUGHOUT, 2.5, "OPEN-ITEM", tag=tag),
        )

    def _is_free(self, at: Point, wide: float) -> bool:
        box = Rect(at[0], at[1], at[0] + wide, at[1] + _HIGH)
        return self._strokes.free(Label((), corners(_grown(box, _BESIDE))))

    def mark(self, piece: Piece, letter: str) -> tuple[Item, ...]:
        """Return the mark of one figure at the nearest place that covers no lettering; empty where there is none.

        Where it is closed in by others, the mark stands in the margin of the sheet, level with it.
        """
        assert isinstance(piece.shape, Text)
        tag = f"{_TAGS}:{letter}:{piece.shape.tag or piece.shape.text}"
        box = extent(text_box(piece.shape))
        level = 0.5 * (box.bottom + box.top)
        row = self._row(box)
        # In a table a line across other cells would name them as well.
        places = _places(box) if row is None else _in_row(box, row, level)
        for centre, leader in (*places, *((at, None) for at in self._beside(level))):
            ends = () if row is None else _row_ends(row)
            in_margin = leader is None and centre[0] in (*self._edges(), *ends)
            shared = next((items for y, items in self._margin if in_margin and _same_row(y, level, row)), None)
            if shared is not None:
                return shared
            triangle = _triangle(centre)
            around = extent(triangle)
            if not _within(around, self._room):
                continue
            inner = Text((centre[0], around.bottom + _OVER_FOOT), letter, _LETTER, "OPEN-ITEM", "centre", tag=tag)
            body = Label((), corners(_grown(around, CLEAR)), leader)
            # Of marks in rows one over the other the triangles may nearly touch.
            others = Label((), corners(_grown(around, _BESIDE if row is None else _TOUCH)))
            if row is not None and not in_margin:
                body = Label((), corners(_away(around, box)))
            line = Label((), _along(*leader)) if leader is not None else others
            clear = leader is None or (self._texts.free(line) and self._marks.free(line))
            clear = clear and self._border.free(Label((), corners(around))) and self._marks.free(others)
            if clear and self._texts.free(body) and self._strokes.free(self._strokes.label(inner)):
                items: list[Item] = [Polyline(triangle, "OPEN-ITEM", closed=True, tag=tag), inner]
                if leader is not None:
                    items.append(Line(*leader, "OPEN-ITEM", tag=tag))
                self._marks.add(items)
                self._strokes.add(items)
                if in_margin:
                    self._margin.append((level, tuple(items)))
                return tuple(items)
        return ()

    def _row(self, box: Rect) -> Rect | None:
        """Return the row of a table that lettering stands in, between two of its rules; None elsewhere."""
        at, level = 0.5 * (box.left + box.right), 0.5 * (box.bottom + box.top)
        across = [rule for rule in self._rules if rule.left <= at <= rule.right]
        over = min((rule for rule in across if rule.bottom >= level), key=lambda rule: rule.bottom, default=None)
        under = max((rule for rule in across if rule.bottom < level), key=lambda rule: rule.bottom, default=None)
        if over is None or under is None or over.bottom - under.bottom > _TALLEST_ROW:
            return None
        return Rect(under.left, under.bottom, under.right, over.bottom)

    def _edges(self) -> tuple[float, float]:
        """Return X of marks in the right and in the left margin [mm]."""
        return (self._room.right - _HALF, self._room.left + _HALF)

    def _beside(self, level: float) -> tuple[Point, ...]:
        return tuple((x, level) for x in self._edges())


def _is_rule(piece: Piece) -> bool:
    """Return whether a piece is a line between the rows of a table, or over or under them."""
    shape = piece.shape
    return isinstance(shape, Line) and shape.layer in _RULES and abs(shape.start[1] - shape.end[1]) < 1e-6


def _in_row(box: Rect, row: Rect, level: float) -> Iterator[tuple[Point, None]]:
    """Yield the middle of a triangle in a row: directly beside lettering, else at the end of the row."""
    off = _HALF + _BESIDE + 0.4
    yield (box.right + off, level), None
    yield (box.left - off, level), None
    for x in _row_ends(row):
        yield (x, level), None


def _away(around: Rect, box: Rect) -> Rect:
    """Return the box of a triangle in a row with the room that it needs to what stands beyond it."""
    if around.left > box.left:
        return Rect(around.left - _BESIDE, around.bottom - CLEAR, around.right + _NEXT, around.top + CLEAR)
    return Rect(around.left - _NEXT, around.bottom - CLEAR, around.right + _BESIDE, around.top + CLEAR)


def _row_ends(row: Rect) -> tuple[float, float]:
    return (row.right + _HALF + 1.0, row.left - _HALF - 1.0)


def _same_row(level: float, other: float, row: Rect | None) -> bool:
    """Return whether a mark at one level is that of lettering at another: of its row, or level with it."""
    return abs(level - other) < 1.0 or (row is not None and row.bottom <= level <= row.top)


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
