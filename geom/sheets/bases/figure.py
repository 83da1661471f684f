"""Views of a base plate: from above with holes and tube, and on edge with deck or pad."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.model import BasePlate
from geom.drafting import post_text as post_words
from geom.drafting.post_text import across_of, length
from geom.drafting.profile_view import facing
from geom.drafting.shop_text import as_bought, tube_size
from geom.drafting.straight_line import spread
from geom.drafting.symbols import weld_symbol
from geom.drafting.views import LETTERING, arrow_to, roomy, ways
from geom.figure import Circle, Dimension, Hatch, Item, Leader, LengthFormat, Line, Ordinate, Polyline, Text
from geom.placement.pads import Corner, pad, plate_edge
from geom.placement.place import PlacedPost, side_sign
from geom.sheets.bases import text as base_words
from geom.units import decimal

# Margins of a view round its plate [paper mm].
ABOVE, BELOW, BESIDE = 15.5, 13.5, 34.0
STUB, UNDER = 12.0, 14.0
_ORDINATES = 7.0
_ARROW, _BOW, _NUMBER = 15.5, 22.0, 1.5
# The AFT mark on the after edge: half its length and its width [paper mm].
_AFT_MARK = (4.0, 1.2)
# A tube of this slope has its notes on the other side.
_LEANS = 0.3
# Smallest thickness of a pad that is labelled [paper mm].
_MIN_PAD = 0.6


def suits(base: BasePlate) -> bool:
    """Return whether a plate is made to each post's own angles, on the deck."""
    return base.tube == "to suit the post"


def plan_items(base: BasePlate, posts: list[PlacedPost], hand: float, mm: float, fmt: LengthFormat) -> tuple[Item, ...]:
    """Return the plate from above, forward up: its edge, its holes and the tubes on it.

    Args:
        base: the plate.
        posts: every post on it, all of one side.
        hand: direction of outboard on paper, +1 to the right for starboard, -1 to the left for port.
        mm: model millimetres to a paper millimetre.
        fmt: format of lengths.
    """
    x, y = 0.5 * base.width, 0.5 * base.length
    items: list[Item] = [
        Polyline(plate_edge(base), "OUTLINE", closed=True, tag="plate"),
        Line((-x - 5.0 * mm, 0.0), (x + 5.0 * mm, 0.0), "CENTRE"),
        Line((0.0, -y - 5.0 * mm), (0.0, y + 5.0 * mm), "CENTRE"),
    ]
    for number, (aft, out) in enumerate(base.bolts, 1):
        radius, reach = 0.5 * base.bolt_hole, 0.5 * base.bolt_hole + 2.0 * mm
        items += [
            Circle((hand * out, -aft), radius, "OUTLINE", f"bolt:{number}"),
            Line((hand * out - reach, -aft), (hand * out + reach, -aft), "CENTRE"),
            Line((hand * out, -aft - reach), (hand * out, -aft + reach), "CENTRE"),
        ]
    sizes = sorted({post.tube_od for post in posts})
    items += [Circle((0.0, 0.0), 0.5 * od, "HIDDEN", f"tube:{decimal(od, 3)}") for od in sizes]
    items += _dimensions(base, hand, mm)
    items += _leaders(base, hand, mm, fmt)
    bow = -hand * (x + _BOW * mm)
    items += arrow_to((bow, -5.0 * mm), (bow, 5.0 * mm), mm)
    # The number of a dimension stands left of its line.
    arrow = x + (_ARROW + (0.0 if hand > 0.0 else _NUMBER)) * mm
    items += arrow_to((hand * arrow, 0.0), (hand * (arrow + 10.0 * mm), 0.0), mm)
    half, deep = (size * mm for size in _AFT_MARK)
    mark = ((-half, -y), (half, -y), (half, deep - y), (-half, deep - y))
    items.append(Hatch(mark, "HOLD", tag="aft-mark"))
    return (
        *items,
        Text((bow, 6.5 * mm), base_words.BOW, 3.5, "TEXT", "centre"),
        Text((hand * arrow, 1.8 * mm), post_words.OUTBOARD, LETTERING, "TEXT", across_of(hand)),
    )


def _leaders(base: BasePlate, hand: float, mm: float, fmt: LengthFormat) -> Iterator[Leader]:
    """Yield the leaders to the holes and to a corner's radius."""
    x, y, diagonal = 0.5 * base.width, 0.5 * base.length, math.sqrt(0.5)
    aft, out = max(base.bolts, key=lambda place: (-place[1], -place[0]))
    edge = 0.5 * base.bolt_hole * diagonal
    knee = (-hand * (x + 6.0 * mm), y + 10.0 * mm)
    points = ((hand * (out - edge), -aft + edge), knee, (knee[0] - hand * 2.0 * mm, knee[1]))
    note = base_words.HOLES.format(count=len(base.bolts), hole=as_bought(base.bolt_hole, fmt))
    yield Leader(points, note, tag="bolt-holes")
    if base.corner_radius > 0.0:
        inset = base.corner_radius * (1.0 - diagonal)
        knee = (hand * (x + 6.0 * mm), y + 10.0 * mm)
        points = ((hand * (x - inset), y - inset), knee, (knee[0] + hand * 2.0 * mm, knee[1]))
        yield Leader(points, base_words.CORNERS.format(radius=as_bought(base.corner_radius, fmt)), tag="corners")


def _dimensions(base: BasePlate, hand: float, mm: float) -> list[Item]:
    """Return the plate's sizes inboard and below, hole positions as ordinates from the centre above and outboard."""
    x, y = 0.5 * base.width, 0.5 * base.length
    items: list[Item] = [
        Dimension((-x, -y), (x, -y), -12.0, along=0.0, tag="size:width"),
        Dimension((-hand * x, -y), (-hand * x, y), hand * 12.0, along=0.5 * math.pi, tag="size:length"),
    ]
    return [*items, *_holes_across(base, hand, mm), *_holes_along(base, hand, mm)]


def _centres(values: list[float]) -> tuple[float, float] | None:
    """Return two positions that are alike on both sides of the centre, None for any other pattern."""
    return (values[0], values[1]) if len(values) == 2 and abs(values[0] + values[1]) < 1e-6 else None


def _holes_across(base: BasePlate, hand: float, mm: float) -> list[Item]:
    """Return the places of holes athwartships over the plate: their centres, or ordinates from the plate's centre."""
    x, y = 0.5 * base.width, 0.5 * base.length
    columns = sorted({round(hand * out, 6) for _, out in base.bolts})
    pair = _centres(columns)
    if pair is not None:
        top = max(-aft for aft, _ in base.bolts)
        return [Dimension((pair[0], top), (pair[1], top), (y - top) / mm + 6.0, along=0.0, tag="centres:out")]
    items: list[Item] = []
    columns = sorted({*columns, 0.0})
    places = spread([v / mm for v in columns], [LETTERING] * len(columns), 1.6, -x / mm - 20.0, x / mm + 20.0)
    for value, place in zip(columns, places, strict=True):
        top = max((-aft for aft, out in base.bolts if round(hand * out, 6) == value), default=y)
        end, tag = (place * mm, y + _ORDINATES * mm), f"bolt-out:{decimal(hand * value, 3)}"
        items.append(Ordinate((0.0, 0.0), (value, top), end, "x", "<>" if value else base_words.ZERO, tag=tag))
    return items


def _holes_along(base: BasePlate, hand: float, mm: float) -> list[Item]:
    """Return the places of holes fore and aft outboard of the plate, as those athwartships."""
    x, y = 0.5 * base.width, 0.5 * base.length
    rows = sorted({round(-aft, 6) for aft, _ in base.bolts})
    pair = _centres(rows)
    if pair is not None:
        outer = hand * max(out for _, out in base.bolts)
        off = (x - abs(outer)) / mm + 11.0
        return [Dimension((outer, pair[0]), (outer, pair[1]), -hand * off, along=0.5 * math.pi, tag="centres:aft")]
    items: list[Item] = []
    rows = sorted({*rows, 0.0})
    places = spread([v / mm for v in rows], [LETTERING] * len(rows), 1.6, -y / mm - 20.0, y / mm + 20.0)
    for value, place in zip(rows, places, strict=True):
        outermost = max((out for aft, out in base.bolts if round(-aft, 6) == value), default=x)
        end, tag = (hand * (x + _ORDINATES * mm), place * mm), f"bolt-aft:{decimal(-value, 3)}"
        text = "<>" if value else base_words.ZERO
        items.append(Ordinate((0.0, 0.0), (hand * outermost, value), end, "y", text, tag=tag))
    return items


def under_plate(base: BasePlate, post: PlacedPost, from_aft: bool) -> tuple[tuple[Corner, float], tuple[Corner, float]]:
    """Return the corners in an edge view with the pad under each [mm]: outboard and inboard, or forward and aft.

    Args:
        base: the plate.
        post: the post on it.
        from_aft: True for the after edge, False for the outboard one.
    """
    names: tuple[Corner, Corner] = ("aft outboard", "aft inboard") if from_aft else ("forward outboard", "aft outboard")
    if suits(base):
        return (names[0], 0.0), (names[1], 0.0)
    under = pad(post, base)
    return (names[0], under.corners[names[0]]), (names[1], under.corners[names[1]])


def edge_items(base: BasePlate, post: PlacedPost, from_aft: bool, mm: float, fmt: LengthFormat) -> tuple[Item, ...]:
    """Return the plate on edge on its deck or pad, holes hidden, with the foot of one tube.

    Args:
        base: the plate.
        post: the post whose tube and pad are drawn.
        from_aft: True seen from aft, False seen from outboard.
        mm: model millimetres to a paper millimetre.
        fmt: format of lengths.
    """
    half, t = 0.5 * (base.width if from_aft else base.length), base.thickness
    # Position of the view's first corner on paper: outboard, or forward.
    first = side_sign(post.side) if from_aft else -facing(post.side)
    corners = under_plate(base, post, from_aft)
    low = [-t - thickness for _, thickness in corners]
    items: list[Item] = [
        Polyline(((-half, -t), (half, -t), (half, 0.0), (-half, 0.0)), "OUTLINE", closed=True, tag="edge:plate"),
        *_hidden_holes(base, from_aft, first, (low[0], low[1]), mm),
    ]
    if not suits(base):
        wedge = ((first * half, -t), (first * half, low[0]), (-first * half, low[1]), (-first * half, -t))
        items += [Polyline(wedge, "OUTLINE", closed=True, tag="edge:pad"), *_pad_word(half, t, first, corners, mm)]
    slope = (low[0] - low[1]) / (2.0 * half)
    inner, outer = (
        (sign * (half + reach), level + sign * first * reach * slope)
        for sign, level, reach in (
            (-first, low[1], _deck_beyond(low[1], -slope, mm)),
            (first, low[0], _deck_beyond(low[0], slope, mm)),
        )
    )
    items.append(Line(inner, outer, "THIN", tag="edge:deck"))
    items.append(Text((0.0, min(low) - 6.5 * mm), base_words.DECK, LETTERING, "NOTE", "centre"))
    # The thickness is dimensioned where the pad is thinner, pad and tube are labelled where it is thicker.
    thin = -first if corners[0][1] >= corners[1][1] else first
    slope_of_axis = first * math.tan(post.plate.out) if from_aft else -first * math.tan(post.plate.aft)
    lean = slope_of_axis if suits(base) else 0.0
    if -thin * lean > _LEANS:
        # There is room on the side that the tube leans away from.
        thin = -thin
    items += _tube(base, post, -thin, lean, mm, fmt)
    start, end = (thin * half, -t), (thin * half, 0.0)
    size = Dimension(start, end, -thin * 8.0, along=0.5 * math.pi, tag=f"size:thickness:{'aft' if from_aft else 'out'}")
    items.append(roomy(size, 1.0 / mm, fmt))
    directions = post_words.ways_from_aft(post.side) if from_aft else post_words.ways_from_outboard(post.side)
    return (*items, *ways((0.0, min(low) - 11.0 * mm), *directions, mm))


def _deck_beyond(level: float, slope: float, mm: float) -> float:
    """Return how far the deck is drawn beyond a plate: a steep one no higher than the plate's upper face [mm]."""
    longest = 9.0 * mm
    return longest if level + longest * slope <= 0.0 else max(2.5 * mm, -level / slope)


def _pad_word(
    half: float, t: float, first: float, corners: tuple[tuple[Corner, float], tuple[Corner, float]], mm: float
) -> Iterator[Leader]:
    """Yield the label of the pad at its thicker end, nothing where it is too thin for a leader."""
    thick, side = max((corners[0][1], first), (corners[1][1], -first), key=lambda end: end[0])
    if thick >= _MIN_PAD * mm:
        knee = (side * (half + 4.0 * mm), 2.5 * mm - t)
        points = ((side * half, -t - 0.5 * thick), knee, (knee[0] + side * 2.0 * mm, knee[1]))
        yield Leader(points, base_words.PAD_DRAWN, tag="edge:pad-name")


def _hidden_holes(base: BasePlate, from_aft: bool, first: float, low: tuple[float, float], mm: float) -> Iterator[Line]:
    """Yield the bolt holes and their axes from the plate's upper face to the deck, through a pad where there is one.

    `low` are the levels of the deck under the view's first and second corner [mm].
    """
    half = 0.5 * (base.width if from_aft else base.length)
    places = {round(first * (out if from_aft else -aft), 6) for aft, out in base.bolts}
    for place in sorted(places):
        for edge in (place - 0.5 * base.bolt_hole, place + 0.5 * base.bolt_hole):
            yield Line((edge, _between(low, first * edge / half)), (edge, 0.0), "HIDDEN")
        yield Line((place, _between(low, first * place / half) - 1.5 * mm), (place, 1.5 * mm), "CENTRE")


def _between(low: tuple[float, float], share: float) -> float:
    """Return the level between two ends, from the second at -1 to the first at +1."""
    return 0.5 * (low[0] + low[1]) + 0.5 * share * (low[0] - low[1])


def _tube(base: BasePlate, post: PlacedPost, hand: float, lean: float, mm: float, fmt: LengthFormat) -> Iterator[Item]:
    """Yield the foot of the tube, broken off, with its wall, and the note on the joint.

    `lean` is the slope of its axis along paper, a ratio; it starts at the middle of the lower face.
    """
    radius, top = 0.5 * post.tube_od, STUB * mm

    def at(off: float, up: float) -> tuple[float, float]:
        return (off * math.hypot(1.0, lean) + (up + base.thickness) * lean, up)

    for off in (-radius, radius):
        yield Line(at(off, 0.0), at(off, top), "OUTLINE", tag=f"edge:tube:{post.id}")
    for off in (post.tube_wall - radius, radius - post.tube_wall):
        yield Line(at(off, 0.0), at(off, top), "HIDDEN")
    yield Line(at(0.0, -base.thickness - 3.0 * mm), at(0.0, top + 3.0 * mm), "CENTRE", tag=f"edge:axis:{post.id}")
    across = ((-1.0, 0.0), (-0.12, 0.0), (-0.06, 1.0), (0.06, -1.0), (0.12, 0.0), (1.0, 0.0))
    middle = at(0.0, top)[0]
    yield Polyline(tuple((middle + x * (radius + 2.0 * mm), top + y * mm) for x, y in across), "THIN")
    size = tube_size(post.tube_od, post.tube_wall, fmt)
    # Clear of the tube and its break where it leans.
    outside = max(hand * middle + radius + 2.0 * mm, hand * at(hand * radius, top)[0])
    knee = (hand * (outside + 3.0 * mm), 0.55 * top + 7.0 * mm)
    points = (at(hand * radius, 0.55 * top), knee, (knee[0] + hand * 1.5 * mm, knee[1]))
    yield Leader(points, size, tag="edge:size")
    leg = base.weld_leg
    if base.socket is not None:
        return
    weld = "" if leg is None else base_words.WELD_LEG.format(leg=length(leg, fmt))
    yield from weld_symbol(at(hand * radius, 0.0), hand, weld, mm, tag="edge:joint")
