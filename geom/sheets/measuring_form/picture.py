"""The first sheet of the measuring form: numbered points on a generic deck, and the points to touch with the tape."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from geom.boat.model import Side
from geom.drafting import text as words
from geom.drafting.ruling import broken
from geom.drafting.symbols import axes_sign
from geom.figure import Circle, Hatch, Item, Line, Point, Polyline, Rect, Text
from geom.intake.survey.form import post_name
from geom.sheets.measuring_form.boxes import head_boxes
from geom.units import LengthFormat

_HALF = 21.0
_DECK = 74.0
# With more posts than this each is labelled with its number alone.
_NAMED_IN_FULL = 8
_SKETCH = 46.0
_PITCH = 4.4


def picture_page(posts: int, fmt: LengthFormat, area: Rect) -> tuple[Item, ...]:
    """Return the sheet: boxes for boat and date, the deck, the points to touch, and the rules of measuring.

    Args:
        posts: number of posts on each side.
        fmt: format of lengths.
        area: of the page [mm].
    """
    items, y = head_boxes(area)
    y -= 6.5
    items.append(Text((area.left, y), words.FORM_PLAN, 3.5, "TEXT"))
    items.append(Text((area.right, y), words.FORM_UNIT[fmt.unit], 3.5, "TEXT", "right", tag="form:unit"))
    items += _deck(posts, Rect(area.left, y - _DECK, area.right, y - 2.0))
    y -= _DECK + 4.0
    items.append(Text((area.left, y), words.FORM_TOUCH, 3.5, "TEXT"))
    y -= 2.5
    wide = area.width / len(words.FORM_SKETCHES)
    for index, ((head, line), draw) in enumerate(zip(words.FORM_SKETCHES, _SKETCHES, strict=True)):
        left = area.left + index * wide
        items += _sketch(Rect(left, y - _SKETCH, left + wide, y), head, line, draw)
    y -= _SKETCH + 5.0
    for number, rule in enumerate(words.FORM_RULES, start=1):
        items.append(Text((area.left, y), str(number), 2.5, "TEXT"))
        for line in broken(rule, area.width - 5.0):
            items.append(Text((area.left + 5.0, y), line, 2.5, "TEXT"))
            y -= _PITCH
    return tuple(items)


def _breadth(share: float) -> float:
    """Return the half-breadth of a generic deck at a share of its length, as a share of the largest."""
    widest = 0.62
    if share <= widest:
        return 1.0 - math.pow(1.0 - share / widest, 2.1)
    return 1.0 - 0.2 * math.pow((share - widest) / (1.0 - widest), 2.0)


def _deck(posts: int, place: Rect) -> list[Item]:
    """Return the deck, bow at the left and starboard on top, with posts, eyes, marks and check tapes."""
    left, right = place.left + 10.0, place.right - 6.0
    middle = (place.bottom + place.top) / 2.0
    long = right - left

    def at(share: float, side: float, inboard: float = 0.0) -> Point:
        return (left + share * long, middle + side * max(_breadth(share) * _HALF - inboard, 0.0))

    shares = [step / 40.0 for step in range(41)]
    edge = [at(share, 1.0) for share in shares] + [at(share, -1.0) for share in reversed(shares)]
    items: list[Item] = [
        Polyline(tuple(edge), "DECK-EDGE", closed=True),
        Line((left - 4.0, middle), (right + 4.0, middle), "CENTRE"),
        Text((left + 4.0, place.top - 6.0), words.SIDE["S"], 3.5, "TEXT"),
        Text((left + 4.0, place.bottom + 5.0), words.SIDE["P"], 3.5, "TEXT"),
        *axes_sign((left + 0.865 * long, middle + 3.5), 1.0),
        *_bow((left - 8.0, middle + 9.5)),
    ]
    stations = [0.26 + 0.58 * (k + 0.5) / posts for k in range(posts)]
    for letter, sign in _SIGNS:
        points = [at(0.13, sign, 1.0), *(at(share, sign, 2.2) for share in stations), at(0.92, sign, 2.2)]
        items += _points(letter, sign, points, posts)
    for a, b in list(pairwise(stations))[-1:]:
        items += [
            Line(at(a, 1.0, 2.2), at(b, -1.0, 2.2), "HIDDEN"),
            Line(at(a, -1.0, 2.2), at(b, 1.0, 2.2), "HIDDEN"),
        ]
    for share in stations[-2:]:
        items.append(Line(at(share, 1.0, 2.2), at(share, -1.0, 2.2), "HIDDEN"))
    for share, word in zip((0.0, 0.36, 0.97), words.FORM_MARKS, strict=True):
        items += _mark((left + share * long, middle), word)
    return items


_SIGNS: tuple[tuple[Side, float], ...] = (("S", 1.0), ("P", -1.0))


def _points(side: Side, sign: float, points: list[Point], posts: int) -> list[Item]:
    """Return dots and names of a side's posts, circles and names of its eyes, and the tapes along its line."""
    items: list[Item] = [Polyline(tuple(points), "HIDDEN")]
    for number, (x, y) in enumerate(points[1:-1], start=1):
        name = post_name(side, number) if posts <= _NAMED_IN_FULL else str(number)
        items.append(Hatch(_disc((x, y), 0.9), "POST", tag=f"form-post:{post_name(side, number)}"))
        items.append(Text((x, y + sign * 6.3), name, 2.5, "TEXT", "centre", "middle", tag=f"form-name:{side}:{number}"))
    for (x, y), rail in ((points[0], "PULPIT"), (points[-1], "PUSHPIT")):
        items.append(Circle((x, y), 0.9, "FITTING"))
        items.append(Text((x, y + sign * 9.8), f"{side}-{rail}", 2.5, "TEXT", "centre", "middle"))
    return items


def _disc(at: Point, radius: float) -> tuple[Point, ...]:
    turns = [2.0 * math.pi * k / 16 for k in range(16)]
    return tuple((at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)) for turn in turns)


def _bow(at: Point) -> tuple[Item, ...]:
    x, y = at
    return (
        Line((x + 4.0, y), (x + 12.0, y), "THIN"),
        Hatch(((x, y), (x + 4.0, y + 1.3), (x + 4.0, y - 1.3)), "THIN"),
        Text((x + 13.5, y), "BOW", 2.5, "TEXT", "left", "middle"),
    )


def _mark(at: Point, word: str) -> list[Item]:
    """Return a cross on the centreline with its name under it."""
    x, y = at
    return [
        Line((x - 1.6, y - 1.6), (x + 1.6, y + 1.6), "OUTLINE"),
        Line((x - 1.6, y + 1.6), (x + 1.6, y - 1.6), "OUTLINE"),
        Text((x - 1.6, y - 4.6), word, 1.8, "NOTE", "right"),
    ]


def _sketch(place: Rect, head: str, line: str, draw: Callable[[Point], list[Item]]) -> list[Item]:
    corners = (
        (place.left, place.bottom), (place.right, place.bottom), (place.right, place.top), (place.left, place.top)
    )  # fmt: skip
    items: list[Item] = [Polyline(corners, "TABLE", closed=True)]
    items.append(Text((place.left + 2.0, place.top - 4.6), head, 2.5, "TEXT"))
    y = place.bottom + 6.0
    for part in broken(line, place.width - 4.0):
        items.append(Text((place.left + 2.0, y), part, 2.5, "NOTE"))
        y -= 3.8
    items += draw(((place.left + place.right) / 2.0, place.bottom + 24.0))
    return items


def _tape(at: Point, away: Point) -> list[Item]:
    """Return the tape's end as an arrow to the point touched."""
    x, y = at
    reach = math.hypot(*away)
    ux, uy = away[0] / reach, away[1] / reach
    head = ((x, y), (x + 3.4 * ux - uy, y + 3.4 * uy + ux), (x + 3.4 * ux + uy, y + 3.4 * uy - ux))
    return [Hatch(head, "OUTLINE"), Line((x + 3.0 * ux, y + 3.0 * uy), (x + away[0], y + away[1]), "OUTLINE")]


def _tube(foot: Point, top: float, lean: float) -> list[Item]:
    x, y = foot
    return [
        *(Line((x + side, y), (x + side + lean, y + top), "OUTLINE") for side in (-2.5, 2.5)),
        Line((x - lean * 4.0 / top, y - 4.0), (x + lean * (top + 3.0) / top, y + top + 3.0), "CENTRE"),
    ]


def _foot(at: Point) -> list[Item]:
    x, y = at
    foot = (x, y - 6.0)
    deck = Line((x - 14.0, y - 4.6), (x + 14.0, y - 7.4), "DECK-EDGE")
    return [*_tube(foot, 16.0, 1.2), deck, *_tape(foot, (-11.0, 8.0))]


def _hole(at: Point) -> list[Item]:
    x, y = at
    return [
        *_tube((x, y - 11.0), 22.0, 0.0), Circle((x, y + 3.0), 1.5, "OUTLINE"),
        Line((x - 4.0, y + 3.0), (x + 4.0, y + 3.0), "CENTRE"), *_tape((x, y + 3.0), (-13.0, -7.0)),
    ]  # fmt: skip


def _eye(at: Point) -> list[Item]:
    x, y = at
    return [
        Circle((x + 4.0, y), 6.0, "OUTLINE"),
        Circle((x + 4.0, y), 3.6, "OUTLINE"),
        Line((x + 10.0, y - 3.0), (x + 16.0, y - 3.0), "OUTLINE"),
        Line((x + 10.0, y + 3.0), (x + 16.0, y + 3.0), "OUTLINE"),
        *_tape((x + 0.4, y), (-14.0, 0.0)),
    ]


def _lean(at: Point) -> list[Item]:
    x, y = at
    foot = (x - 3.0, y - 9.0)
    level = ((x - 0.3, y - 4.0), (x + 3.2, y - 4.6), (x + 5.2, y + 6.8), (x + 1.7, y + 7.4))
    return [
        Line((x - 15.0, y - 9.0), (x + 13.0, y - 9.0), "DECK-EDGE"),
        *_tube(foot, 20.0, 3.5),
        Polyline(level, "OUTLINE", closed=True),
        Line((x - 3.0, y - 9.0), (x - 3.0, y + 13.0), "HIDDEN"),
    ]


_SKETCHES = (_foot, _hole, _eye, _lean)
