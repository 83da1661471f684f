"""Symbols: eye verdicts by shape, bow arrow, axes; all sizes in paper millimetres."""

from __future__ import annotations

import math
import re

from geom.drafting import text as words
from geom.figure import Circle, Hatch, Item, Leader, Line, Point, Polyline, Text
from geom.placement.eyes import ORDER, Verdict

RADIUS = 1.25
# Length of the arrow to the bow [paper mm].
BOW_ARROW = 12.0
# Half the width of the flag of an open item, and half its height [paper mm].
FLAG_RADIUS = 3.2
FLAG_HIGH = FLAG_RADIUS * math.sqrt(0.75)
# The tags of flags on pictures, in notes and in tables.
_FLAG_TAG = re.compile(r"^(?:flag:(?:[^:]+:)?(\d+)|flag:(\d+):[^:]+|item:(\d+))$")


def eye_symbol(at: Point, verdict: Verdict, mm: float = 1.0, tag: str = "") -> tuple[Item, ...]:
    """Return the symbol of an eye verdict, legible without colour.

    Open circle: passes. Circle with a bar: squeezed. Half filled: trial. Filled: made on board.
    Crossed out: the line does not pass. Square with a diagonal: not determined.

    Args:
        at: centre, in the units of the view.
        verdict: of the end at the hole.
        mm: view units to one paper millimetre.
        tag: id for checking.
    """
    x, y = at
    r = RADIUS * mm
    ring = Circle(at, r, "SYMBOL", tag)
    if verdict == "passes":
        return (ring,)
    if verdict == "squeeze":
        return (ring, Line((x - r, y), (x + r, y), "SYMBOL"))
    if verdict == "trial":
        return (ring, Hatch(_half_disc(at, r), "SYMBOL"))
    if verdict == "in place":
        return (ring, Hatch(_disc(at, r), "SYMBOL"))
    if verdict == "line does not pass":
        d = r * 1.3
        return (ring, Line((x - d, y - d), (x + d, y + d), "SYMBOL"), Line((x - d, y + d), (x + d, y - d), "SYMBOL"))
    corners = ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))
    return (Polyline(corners, "SYMBOL", closed=True, tag=tag), Line(corners[0], corners[2], "SYMBOL"))


def _disc(at: Point, r: float) -> tuple[Point, ...]:
    return _round(at, r, [2.0 * math.pi * k / 24 for k in range(24)])


def _half_disc(at: Point, r: float) -> tuple[Point, ...]:
    return _round(at, r, [math.pi / 2.0 + math.pi * k / 12 for k in range(13)])


def _round(at: Point, r: float, angles: list[float]) -> tuple[Point, ...]:
    return tuple((at[0] + r * math.cos(angle), at[1] + r * math.sin(angle)) for angle in angles)


def eye_legend(at: Point, width: float, source: str) -> tuple[tuple[Item, ...], float]:
    """Return the key to the eye symbols in two columns, and its height [mm].

    Args:
        at: upper left corner [mm].
        width: of the key [mm].
        source: of the limits.
    """
    x, y = at
    items: list[Item] = [Text((x, y - 3.5), words.LEGEND.format(source=source), 2.5, "TEXT")]
    half = (len(ORDER) + 1) // 2
    for index, verdict in enumerate(ORDER):
        column, row = divmod(index, half)
        left, level = x + column * width / 2.0, y - 8.2 - row * 4.8
        items += eye_symbol((left + 2.0, level), verdict)
        items.append(Text((left + 5.5, level), words.EYE_WORDS[verdict], 2.5, "NOTE", upright="middle"))
    return tuple(items), 8.2 + half * 4.8


def bow_arrow(at: Point, towards: float, mm: float, word: str = "BOW") -> tuple[Item, ...]:
    """Return an arrow to the bow, or to what the word names, with its label.

    Args:
        at: tail of the arrow, in the units of the view.
        towards: -1 for a bow at the left, +1 at the right.
        mm: view units to one paper millimetre.
        word: what is there.
    """
    x, y = at
    tip = x + towards * BOW_ARROW * mm
    head = ((tip, y), (tip - towards * 4.0 * mm, y + 1.3 * mm), (tip - towards * 4.0 * mm, y - 1.3 * mm))
    return (
        Line((x, y), (tip - towards * 4.0 * mm, y), "THIN"),
        Hatch(head, "THIN"),
        Text((x - towards * 1.5 * mm, y), word, 3.5, "TEXT", "left" if towards < 0 else "right", "middle"),
    )


def axes_sign(at: Point, mm: float, over: float | None = None) -> tuple[Item, ...]:
    """Return the boat axes in plan.

    Args:
        at: their origin, in the units of the view.
        mm: view units to one paper millimetre.
        over: length of an X arrow with its letter above it, for an arrow on a longer line [paper mm].
    """
    x, y = at
    reach, barb, half = 9.0 * mm, 2.4 * mm, 0.7 * mm
    far = reach if over is None else over * mm
    beside = (x + far + 1.2 * mm, y) if over is None else (x + far - 2.0 * mm, y + 1.4 * mm)
    return (
        Line((x, y), (x + far, y), "THIN"),
        Line((x, y), (x, y + reach), "THIN"),
        Hatch(((x + far, y), (x + far - barb, y + half), (x + far - barb, y - half)), "THIN"),
        Hatch(((x, y + reach), (x + half, y + reach - barb), (x - half, y + reach - barb)), "THIN"),
        Text(beside, "X", 2.5, "NOTE", upright="middle" if over is None else "base"),
        Text((x + 1.8 * mm, y + reach - 1.0 * mm), "Y", 2.5, "NOTE", upright="middle"),
    )


def flag(at: Point, number: int, mm: float = 1.0, tag: str = "") -> tuple[Item, ...]:
    """Return the flag of an open item: its number in a hexagon.

    Args:
        at: centre, in the units of the view.
        number: of the open item.
        mm: view units to one paper millimetre.
        tag: id for checking.
    """
    r, wide = FLAG_RADIUS * mm, flag_wide(number) * mm
    corners = tuple(
        (at[0] + wide * math.cos(math.pi * k / 3.0), at[1] + r * math.sin(math.pi * k / 3.0)) for k in range(6)
    )
    return (
        Polyline(corners, "OPEN-ITEM", closed=True, tag=tag),
        Text(at, str(number), 2.5, "OPEN-ITEM", "centre", "middle", tag=tag, weight="semibold"),
    )


def flagged_item(tag: str) -> int | None:
    """Return the number of the open item whose flag carries a tag; None for any other tag."""
    match = _FLAG_TAG.match(tag)
    return None if match is None else int(next(one for one in match.groups() if one))


def flag_wide(number: int) -> float:
    """Return half the width of a flag [paper mm]: two digits stand in a wider hexagon."""
    return FLAG_RADIUS if number < 10 else 1.45 * FLAG_RADIUS


def flag_reach(number: int, way: float) -> float:
    """Return the distance from the centre of a flag to its edge [paper mm].

    Args:
        number: of the open item.
        way: direction from the centre [rad].
    """
    along, up = abs(math.cos(way)) / flag_wide(number), abs(math.sin(way)) / FLAG_HIGH
    return 1.0 / max(up, along + 0.5 * up)


def weld_symbol(joint: Point, side: float, size: str, mm: float, tag: str = "") -> tuple[Item, ...]:
    """Return the symbol of a fillet weld all round, on the arrow side: arrow, circle at the knee, triangle and size.

    Source: ISO 2553:2013 (reference line, fillet triangle, circle for a peripheral weld), from memory, verify.

    Args:
        joint: where the weld is, in the units of the view.
        side: of the joint on which the symbol stands, +1 at the right.
        size: in front of the triangle at the right of the joint, behind it at the left; empty where it is not known.
        mm: view units to one paper millimetre.
        tag: id for checking.
    """
    x, y = joint
    knee = (x + side * 5.0 * mm, y + 9.0 * mm)
    end = (knee[0] + side * 15.0 * mm, knee[1])
    at = min(knee[0], end[0]) + 9.5 * mm
    triangle = ((at, knee[1]), (at + 2.6 * mm, knee[1]), (at, knee[1] - 2.6 * mm))
    drawn = (
        Leader((joint, knee, end), tag=tag),
        Circle(knee, 1.1 * mm, "DIM", tag),
        Polyline(triangle, "SYMBOL", closed=True, tag=tag),
    )
    if not size:
        return drawn
    return (*drawn, Text((at - 1.0 * mm, knee[1] - 0.8 * mm), size, 2.5, "TEXT", "right", "top", tag=tag))
