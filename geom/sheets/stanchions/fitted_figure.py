"""Stanchions as fitted, side by side, from aft or from outboard: lean or rake from plumb, slope of the deck."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from geom import vec
from geom.drafting.profile_view import facing
from geom.drafting.shop_text import FORE_AND_AFT, turned
from geom.drafting.views import LETTERING
from geom.figure import Item, Line, Point, Text
from geom.lettering import Weight
from geom.lettering import width as text_width
from geom.placement.place import PlacedPost, side_sign
from geom.sheets.stanchions import text as words
from geom.sheets.stanchions.family import Row
from geom.vec import Vec

# Under the deck at the foot: three lines of lettering, at least so much; over the top of the tube [paper mm].
_LETTERED, _UNDER, OVER = 13.0, 17.0, 4.0
# Half of the deck that is drawn under a stanchion, a share of its slot.
_DECK = 0.38
# So far the corner of a leaning tube may reach under the deck before the lettering gives way [paper mm].
_CORNER = 0.9
_LINE, _GAP = 4.0, 2.5
# Between the tops of two tubes that lean to each other [paper mm].
_CLEAR = 0.6


def slot(rows: Sequence[Row]) -> float:
    """Return the width of one stanchion's lettering in the strip [paper mm]."""
    lines = [_texts(row, outboard) for row in rows for outboard in (False, True)]
    names = (text_width(name, LETTERING, "semibold") for name, _, _ in lines)
    angles = (text_width(text, LETTERING) for _, *texts in lines for text in texts)
    return max(*names, *angles) + _GAP


def feet(rows: Sequence[Row], mm: float) -> tuple[tuple[float, ...], float]:
    """Return the place of each foot along the strip, and the strip's width [paper mm].

    Feet stand a slot apart, further where their tubes would cross in one of the two directions.

    Args:
        rows: of the sheet.
        mm: model millimetres to a paper millimetre.
    """
    half = 0.5 * slot(rows)
    tops = [[_reach(row, outboard, mm) for outboard in (False, True)] for row in rows]
    places = [0.0]
    for one, other in pairwise(tops):
        apart = max(high - low for (_, high), (low, _) in zip(one, other, strict=True))
        places.append(places[-1] + max(2.0 * half, apart + _CLEAR))
    left = min(at + min(-half, *(low for low, _ in reach)) for at, reach in zip(places, tops, strict=True))
    right = max(at + max(half, *(high for _, high in reach)) for at, reach in zip(places, tops, strict=True))
    return tuple(at - left for at in places), right - left


def under(rows: Sequence[Row], mm: float) -> float:
    """Return the room of the strip under its feet [paper mm].

    Args:
        rows: of the sheet.
        mm: model millimetres to a paper millimetre.
    """
    wide = slot(rows)
    return max(_UNDER, *(_LETTERED + _sunk(row, outboard, wide, mm) for row in rows for outboard in (False, True)))


def _sunk(row: Row, outboard: bool, wide: float, mm: float) -> float:
    """Return how far the deck or the tube's corner reaches under the foot in a direction [paper mm]."""
    falls = row.post.spec.deck_falls.aft if outboard else row.post.spec.deck_falls.outboard
    low, high = _reach(row, outboard, mm)
    top = row.post.at(row.post.top)[2] - row.post.foot[2]
    tilt = math.atan2(0.5 * abs(low + high) * mm, top)
    corner = 0.5 * row.post.tube_od / mm * math.sin(tilt) - _CORNER
    return max(_DECK * wide * abs(math.tan(falls)), corner)


def _reach(row: Row, outboard: bool, mm: float) -> tuple[float, float]:
    """Return how far the top of a tube lies to the left and to the right of its foot in a direction [paper mm]."""
    post = row.post
    top = vec.scale(post.axis, post.top)
    across = (facing(post.side) * top[0] if outboard else top[1]) / mm
    radius = 0.5 * post.tube_od / mm
    return across - radius, across + radius


def fitted(rows: Sequence[Row], outboard: bool, mm: float) -> tuple[Item, ...]:
    """Return the strip of stanchions in one direction, its left edge at zero, feet on one level.

    Args:
        rows: of the sheet.
        outboard: seen from outboard, else from aft.
        mm: model millimetres to a paper millimetre.
    """
    wide = slot(rows)
    items: list[Item] = []
    for row, place in zip(rows, feet(rows, mm)[0], strict=True):
        items += _one(row, outboard, place * mm, wide, mm)
    return tuple(items)


def _one(row: Row, outboard: bool, x: float, wide: float, mm: float) -> list[Item]:
    post = row.post
    turn = facing(post.side) if outboard else side_sign(post.side)
    falls = post.spec.deck_falls.aft if outboard else post.spec.deck_falls.outboard
    key = "aft" if outboard else "out"

    def flat(at: Vec) -> Point:
        across = turn * at[0] if outboard else at[1]
        return (x + across, at[2])

    reach = _DECK * wide * mm
    slope = -turn * math.tan(falls)
    items: list[Item] = [
        Line((x - reach, -reach * slope), (x + reach, reach * slope), "EDGE", tag=f"deck:{post.id}:{key}"),
        Line((x, 0.0), (x, post.top + 3.0 * mm), "CENTRE"),
        *_sides(post, flat),
    ]
    if post.spec.brace is not None:
        foot = flat(vec.sub(post.spec.brace.foot, post.foot))
        joint = flat(vec.scale(post.axis, post.spec.brace.along))
        if abs(foot[0] - x) > 1.5 * mm:
            # Only the part that its own slot holds.
            share = min(1.0, 0.42 * wide * mm / abs(foot[0] - x))
            end = (joint[0] + share * (foot[0] - joint[0]), joint[1] + share * (foot[1] - joint[1]))
            items.append(Line(joint, end, "ADJACENT", tag=f"brace:{post.id}:{key}"))
    low = -_sunk(row, outboard, wide, mm) - 4.0
    for number, (text, tag) in enumerate(zip(_texts(row, outboard), ("name", "tilt", "deck"), strict=True)):
        weight: Weight = "semibold" if tag == "name" else "regular"
        at = (x, (low - number * _LINE) * mm)
        items.append(Text(at, text, LETTERING, "TEXT", "centre", tag=f"fitted:{post.id}:{key}:{tag}", weight=weight))
    return items


def _sides(post: PlacedPost, flat: Callable[[Vec], Point]) -> list[Item]:
    radius = 0.5 * post.tube_od
    foot, top = flat((0.0, 0.0, 0.0)), flat(vec.scale(post.axis, post.top))
    length = math.dist(foot, top)
    side = (radius * (top[1] - foot[1]) / length, -radius * (top[0] - foot[0]) / length)
    ends = [((foot[0] + s * side[0], foot[1] + s * side[1]), (top[0] + s * side[0], top[1] + s * side[1]))
            for s in (-1.0, 1.0)]  # fmt: skip
    return [*(Line(low, high, "EDGE", tag=f"fitted:{post.id}") for low, high in ends),
            Line(ends[0][1], ends[1][1], "EDGE")]  # fmt: skip


def _texts(row: Row, outboard: bool) -> tuple[str, str, str]:
    post = row.post
    falls = post.spec.deck_falls
    if outboard:
        tilt, deck, names = post.rake, falls.aft, FORE_AND_AFT
    else:
        tilt, deck, names = post.lean, falls.outboard, ("out", "in")
    head = words.RAKE if outboard else words.LEAN
    return row.label, head.format(value=turned(tilt, *names, "°")), words.DECK.format(value=turned(deck, *names, "°"))
