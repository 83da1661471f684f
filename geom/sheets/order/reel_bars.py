"""Reels drawn as bars to scale: the pieces cut from each, and what is left over."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from geom.drafting.line_text import diameter, length
from geom.drafting.sheet import view_title
from geom.errors import GeometryError
from geom.figure import Hatch, Item, Point, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.purchasing.order import LineOrder
from geom.purchasing.reels import Piece
from geom.refit import Refit
from geom.sheets.order import text as words
from geom.tables import numbers
from geom.units import LengthFormat, decimal, feet_and_inches, raised

_SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)
_LETTERING = 2.5
_HEAD, _CAPTION, _BAR, _BETWEEN = 10.5, 5.0, 11.0, 3.5
_TITLE = 7.0


@dataclass(frozen=True)
class Bar:
    """A length that pieces are cut from [mm]: caption, stock length (None: the sum of its pieces), id."""

    caption: str
    stock: float | None
    pieces: tuple[Piece, ...]
    tag: str

    @property
    def length(self) -> float:
        """Length of the bar [mm]."""
        used = math.fsum(piece.length for piece in self.pieces)
        return used if self.stock is None else self.stock


def bars_of(order: LineOrder, fmt: LengthFormat) -> tuple[Bar, ...]:
    """Return the bars of one kind of line; none where nothing is ordered."""
    if order.plan is None:
        if not order.pieces:
            return ()
        caption = words.NO_STOCK.format(count=counted(len(order.pieces), words.PIECE_WORDS))
        return (Bar(caption, None, order.pieces, f"reel:{order.line}:0"),)
    count = len(order.plan.reels)
    return tuple(
        Bar(
            words.REEL_OF.format(
                number=number, count=count, stock=length(reel.stock, fmt), left=length(reel.left, fmt)
            ),
            reel.stock,
            reel.pieces,
            f"reel:{order.line}:{number}",
        )
        for number, reel in enumerate(order.plan.reels, start=1)
    )


def height(refit: Refit) -> float:
    """Return the height of the bars of all kinds of line [mm]."""
    fmt = numbers(refit.boat)
    return _TITLE + math.fsum(
        _HEAD + len(bars_of(order, fmt)) * (_CAPTION + _BAR + _BETWEEN) for order in refit.order.lines
    )


def reel_view(refit: Refit, place: Rect) -> tuple[View, tuple[Item, ...]]:
    """Return the bars with their text.

    Args:
        refit: the calculated boat.
        place: rectangle of the bars, of the height from `height` [mm].

    Raises:
        GeometryError: the longest bar fits at no scale.
    """
    fmt, orders = numbers(refit.boat), refit.order.lines
    longest = max((bar.length for order in orders for bar in bars_of(order, fmt)), default=1.0)
    mm = next((mm for mm in _SCALES if longest / mm <= place.width), None)
    if mm is None:
        raise GeometryError(f"a reel of {longest:.0f} mm does not go into {place.width:.0f} mm")
    drawn: list[Item] = []
    items: list[Item] = [
        *view_title((place.left, place.top - 4.0), words.REEL_CAPTION, words.REEL_SCALE.format(mm=mm), "reels")
    ]
    y = place.top - _TITLE
    for order in orders:
        items += _head(order, place, y, fmt)
        y -= _HEAD
        for bar in bars_of(order, fmt):
            items.append(Text((place.left, y - 3.0), bar.caption, _LETTERING, "NOTE", tag=bar.tag))
            y -= _CAPTION
            drawn += _bar_items(bar, y - place.bottom, float(mm))
            items += _labels(bar, Rect(place.left, y - _BAR, place.right, y), mm, fmt)
            y -= _BAR + _BETWEEN
    window = Rect(place.left - 0.5, place.bottom, place.right + 0.5, place.top)
    view = View(
        "reels", "", 1.0 / mm, (place.left, place.bottom), window, tuple(drawn), numbers=fmt,
        description="Reels with the pieces cut from each, to scale along; what is left over is hatched.",
    )  # fmt: skip
    return view, tuple(items)


def counted(count: int, forms: tuple[str, str]) -> str:
    """Return a count with its word in the singular or the plural."""
    return f"{count} {forms[0] if count == 1 else forms[1]}"


def as_ordered(value: float, fmt: LengthFormat) -> float:
    """Return a piece of line as it is ordered [mm]: whole millimetres, on inch boats whole inches, rounded up."""
    return math.ceil(value / fmt.mm - 1e-6) * fmt.mm


def piece_length(value: float, fmt: LengthFormat) -> str:
    """Return a piece of line as it is ordered [mm], as text without its unit."""
    return decimal(as_ordered(value, fmt) / fmt.mm, 0)


def long_length(value: float, fmt: LengthFormat) -> str:
    """Return a length of line to buy [mm] as text, rounded up: metres to two decimals, or feet and inches."""
    return feet_and_inches(value) if fmt.unit == "in" else words.METRES.format(length=raised(value / 1000.0, 2))


def _head(order: LineOrder, place: Rect, y: float, fmt: LengthFormat) -> Iterator[Item]:
    """Return a kind of line with the length to buy, in large lettering."""
    bought = order.total if order.plan is None else order.plan.bought
    total = long_length(bought, fmt)
    yield Text((place.left, y - 7.0), total, 7.0, "TEXT", tag=f"order:{order.line}:bought", weight="semibold")
    stated = words.REEL_LINE.format(
        line=order.line, construction=order.construction, diameter=diameter(order.diameter, fmt)
    )
    x = place.left + max(text_width(total, 7.0, "semibold") + 5.0, 40.0)
    yield Text((x, y - 7.0), stated, 3.5, "TEXT", tag=f"order:{order.line}:line")
    note = words.WITHOUT.format(count=counted(len(order.on_hold), words.LINE_WORDS)) if order.on_hold else words.ROUNDED
    if order.plan is not None and order.plan.too_long:
        note = words.TOO_LONG.format(names=", ".join(piece.name for piece in order.plan.too_long))
    elif not order.pieces:
        note = words.NOTHING_TO_CUT
    if note:
        yield Text(
            (x + text_width(stated, 3.5) + 6.0, y - 7.0), note, _LETTERING, "NOTE", tag=f"order:{order.line}:note"
        )


def _bar_items(bar: Bar, top: float, mm: float) -> Iterator[Item]:
    """Return the outline of each piece and of the remainder, in millimetres of the view."""
    x = 0.0
    for piece in bar.pieces:
        yield Polyline(_box(x, x + piece.length, top, mm), "OUTLINE", True, f"{bar.tag}:{piece.name}")
        x += piece.length
    if bar.length - x > 0.5 * mm:
        yield Hatch(_box(x, bar.length, top, mm), "HATCH", 1.6)
        yield Polyline(_box(x, bar.length, top, mm), "THIN", True, f"{bar.tag}:left")


def _box(left: float, right: float, top: float, mm: float) -> tuple[Point, ...]:
    low, high = (top - _BAR) * mm, top * mm
    return ((left, low), (right, low), (right, high), (left, high))


def _labels(bar: Bar, place: Rect, mm: int, fmt: LengthFormat) -> Iterator[Item]:
    """Return the run and length of each piece inside its part of the bar; narrow: in two lines, or upright."""
    x = place.left
    middle = (place.top + place.bottom) / 2.0
    for piece in bar.pieces:
        wide = piece.length / mm
        centre = x + wide / 2.0
        size, parts = decimal(piece.length / fmt.mm, 0), piece.name.split()
        tag = f"{bar.tag}:{piece.name}:label"
        if max(text_width(piece.name, _LETTERING), text_width(size, _LETTERING)) + 2.0 <= wide:
            yield Text((centre, middle + 0.8), piece.name, _LETTERING, "TEXT", "centre", tag=tag)
            yield Text((centre, middle - 3.6), size, _LETTERING, "NOTE", "centre", tag=f"{tag}:length")
        elif len(parts) == 2 and max(text_width(part, _LETTERING) for part in parts) + 1.0 <= wide:
            for part, up in zip(parts, (0.8, -3.6), strict=True):
                yield Text((centre, middle + up), part, _LETTERING, "TEXT", "centre", tag=tag)
        elif wide >= 4.2 and text_width(piece.name, _LETTERING) + 1.0 <= _BAR:
            at = (centre, middle)
            yield Text(at, piece.name, _LETTERING, "TEXT", "centre", "middle", math.pi / 2.0, tag=tag)
        x += wide
