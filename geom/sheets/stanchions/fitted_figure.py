"""Stanchions as fitted, side by side, from aft or from outboard: lean or rake from plumb, slope of the deck."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from geom import vec
from geom.drafting.profile_view import facing
from geom.drafting.shop_text import turned
from geom.drafting.views import LETTERING
from geom.figure import Item, Line, Point, Text
from geom.lettering import Weight
from geom.lettering import width as text_width
from geom.placement.place import PlacedPost, side_sign
from geom.sheets.stanchions import text as words
from geom.sheets.stanchions.family import Row
from geom.vec import Vec

# Under the deck at the foot: three lines of lettering; over the top of the tube [paper mm].
UNDER, OVER = 17.0, 4.0
_LINE, _GAP = 4.0, 2.5


def slot(rows: Sequence[Row]) -> float:
    """Return the width of one stanchion in the strip [paper mm]."""
    texts = [text for row in rows for outboard in (False, True) for text in _texts(row, outboard)]
    return max(text_width(text, LETTERING, "semibold") for text in texts) + _GAP


def fitted(rows: Sequence[Row], outboard: bool, wide: float, mm: float) -> tuple[Item, ...]:
    """Return the strip of stanchions in one direction, the first at zero, feet on one level.

    Args:
        rows: of the sheet.
        outboard: seen from outboard, else from aft.
        wide: width of one stanchion [paper mm].
        mm: model millimetres to a paper millimetre.
    """
    items: list[Item] = []
    for number, row in enumerate(rows):
        items += _one(row, outboard, (number + 0.5) * wide * mm, wide, mm)
    return tuple(items)


def _one(row: Row, outboard: bool, x: float, wide: float, mm: float) -> list[Item]:
    post = row.post
    turn = facing(post.side) if outboard else side_sign(post.side)
    falls = post.spec.deck_falls.aft if outboard else post.spec.deck_falls.outboard
    key = "aft" if outboard else "out"

    def flat(at: Vec) -> Point:
        across = turn * at[0] if outboard else at[1]
        return (x + across, at[2])

    reach = 0.38 * wide * mm
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
    low = -(reach * abs(slope)) / mm - 4.0
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
        tilt, deck, names = post.rake, falls.aft, ("aft", "fwd")
    else:
        tilt, deck, names = post.lean, falls.outboard, ("out", "in")
    head = words.RAKE if outboard else words.LEAN
    return row.label, head.format(value=turned(tilt, *names)), words.DECK.format(value=turned(deck, *names))
