"""A post standing on its plate and deck, from outboard and from aft, with its offsets and angles."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.boat.model import BasePlate
from geom.figure import Dimension, Hatch, Item, Leader, Line, Numbers, Point, Polyline, Text
from geom.refit import Refit
from geom.runs.base_fit import pad
from geom.runs.place import UP, PlacedPost, side_sign
from geom.sheets import post_words
from geom.sheets.brace_figure import brace_items, brace_of
from geom.sheets.profile_view import facing
from geom.sheets.sight import Sight, from_aft, from_outboard
from geom.sheets.tube_figure import base_of, foot_of, tube_items
from geom.sheets.views import LETTERING, angle_arc, roomy
from geom.units import Mm, Rad, decimal

# Beside the axis, to the dimension of the height, and to the far end of the deck [paper mm].
_UPRIGHT_OFF = 24.0
_HALF = 27.0
_ROOM = 29.5
_PLUMB_HIGH, _PLUMB_OFF = 18.0, 22.0
# An offset narrower than this is told in a line of text [paper mm].
_LEAST_DRAWN = 0.3
# A square line that would run into the tube's axis is left out over the tube [paper mm].
_LEAST_APART = 1.0
_ARC_AT = 0.8


@dataclass(frozen=True)
class Standing:
    """One view of a post on deck: the look, the angle off square + to paper right [rad], its words and keys."""

    sight: Sight
    angle: Rad
    told: str
    key: str
    ways: tuple[str, str]
    direction: str
    falls: str

    def aside(self, post: PlacedPost, mm: float) -> float:
        """Return on which side the height is dimensioned, +1 at the right: away from lean and brace."""
        found = brace_of(post)
        reach = 0.0 if found is None else self.sight.flat(found.foot)[0] / mm
        if abs(reach) > 10.0:
            return -1.0 if reach > 0.0 else 1.0
        return -1.0 if self.angle >= 0.0 else 1.0

    def room(self, post: PlacedPost, mm: float) -> tuple[float, float]:
        """Return how far the view reaches to the left and to the right of the tube's foot [paper mm]."""
        found = brace_of(post)
        reach = 0.0 if found is None else self.sight.flat(found.foot)[0] / mm
        return max(_ROOM, -reach + 7.0), max(_ROOM, reach + 7.0)


def seen_from_outboard(post: PlacedPost) -> Standing:
    """Return the view of a post on deck from outboard."""
    return Standing(
        sight=from_outboard(post),
        angle=facing(post.side) * post.plate.aft,
        told=post_words.angle(post.plate.aft, "aft", "forward"),
        key="aft",
        ways=post_words.ways_from_outboard(post.side),
        direction="fore-and-aft",
        falls=post_words.angle(post.told.deck_falls.aft, "aft", "forward", 1),
    )


def seen_from_aft(post: PlacedPost) -> Standing:
    """Return the view of a post on deck from aft."""
    return Standing(
        sight=from_aft(post),
        angle=side_sign(post.side) * post.plate.out,
        told=post_words.angle(post.plate.out, "outboard", "inboard"),
        key="out",
        ways=post_words.ways_from_aft(post.side),
        direction="athwart",
        falls=post_words.angle(post.told.deck_falls.outboard, "outboard", "inboard", 1),
    )


def standing(refit: Refit, post: PlacedPost, view: Standing, height: Mm, mm: float) -> list[Item]:
    """Return the post on its plate and the deck, with its brace and a plumb line beside it.

    Args:
        refit: the boat worked out.
        post: which post.
        view: from outboard or from aft.
        height: at which offsets are given [mm].
        mm: model millimetres to a paper millimetre.
    """
    base, sight = base_of(refit, post), view.sight
    top = max(height, post.top)
    reach = top + 6.0 * mm
    left, right = (side - 2.5 for side in view.room(post, mm))
    begin = -3.0 * mm if height * math.tan(abs(view.angle)) >= _LEAST_APART * mm else post.top + 1.5 * mm
    cut, start, torn = foot_of(post, base, mm)
    items: list[Item] = [
        Line((-left * mm, 0.0), (right * mm, 0.0), "OUTLINE"),
        Line((0.0, begin), (0.0, reach), "CENTRE"),
        *_base_items(post, base, sight, mm),
        *tube_items(refit, post, sight, cut, start, torn, mm),
        *brace_items(post, sight, mm),
        *_deck_words(post, view, mm),
    ]
    tip = sight.flat(vec.scale(post.axis, reach / math.cos(post.plate.total)))
    low = (-3.0 * mm * math.tan(view.angle), -3.0 * mm)
    return [*items, Line(low, tip, "CENTRE")]


def _deck_words(post: PlacedPost, view: Standing, mm: float) -> list[Item]:
    """Return how the deck falls, and which way is plumb, on the side where the height is not dimensioned."""
    up = view.sight.flat(UP)
    x = -view.aside(post, mm) * _PLUMB_OFF * mm
    top = (x + _PLUMB_HIGH * mm * up[0] / up[1], _PLUMB_HIGH * mm)
    away = -view.aside(post, mm)
    tag, falls = f"falls:{post.id}:{view.key}", f"falls {view.falls}"
    return [
        Text((away * 1.5 * mm, -1.6 * mm), post_words.DECK, LETTERING, "NOTE", post_words.across_of(away), "top"),
        Text((0.0, -5.4 * mm), falls, LETTERING, "NOTE", "centre", "top", tag=tag),
        Line((x, 0.0), top, "THIN", tag=f"plumb-line:{post.id}:{view.key}"),
        Text((top[0], top[1] + 1.2 * mm), post_words.PLUMB, LETTERING, "NOTE", "centre"),
    ]


def offset_items(post: PlacedPost, view: Standing, height: Mm, mm: float, how: Numbers) -> list[Item]:
    """Return the offset at a height over the deck with that height, dimensioned, and the angle off square.

    Args:
        post: which post.
        view: from outboard or from aft.
        height: at which the offset is given [mm].
        mm: model millimetres to a paper millimetre.
        how: how lengths are written.
    """
    off = height * math.tan(view.angle)
    away = 1.0 if off >= 0.0 else -1.0
    clear = max(0.0, post.top - height) / mm + 11.0
    aside = view.aside(post, mm)
    items: list[Item] = []
    text = decimal(abs(off) / how.mm, how.decimals)
    if abs(off) / mm >= _LEAST_DRAWN:
        low, high = sorted(((0.0, height), (off, height)))
        one = Dimension(low, high, clear, along=0.0, tag=f"offset:{post.id}:{view.key}")
        items.append(roomy(one, 1.0 / mm, how, away))
    else:
        at = (0.0, max(height, post.top) + 7.5 * mm)
        told = f"{text} {view.direction}" if not float(text) else text
        items.append(Text(at, told, LETTERING, "DIM", "centre", tag=f"offset:{post.id}:{view.key}"))
    foot = (aside * (_UPRIGHT_OFF - 1.0) * mm, 0.0)
    items.append(Dimension(foot, (foot[0], height), -aside, along=math.pi / 2.0, tag=f"rule:{post.id}:{view.key}"))
    items.append(Line((aside * 4.0 * mm, height), (foot[0], height), "DIM"))
    radius = _ARC_AT * height
    tip = (radius * math.sin(0.5 * view.angle), radius * math.cos(0.5 * view.angle))
    items += angle_arc((0.0, 0.0), radius, 0.5 * math.pi, 0.5 * math.pi - view.angle, f"angle-arc:{post.id}:{view.key}")
    edge = abs(off) * _ARC_AT + 0.5 * post.tube_od
    knee = (away * (edge + 2.5 * mm), tip[1] - 4.0 * mm)
    words = view.told if " " in view.told else f"{view.told} {view.direction}"
    end = (knee[0] + away * 1.0 * mm, knee[1])
    items.append(
        Leader((tip, knee, end), words.replace(" ", "\n", 1), tag=f"angle:{post.id}:{view.key}"),
    )
    return items


def _base_items(post: PlacedPost, base: BasePlate | None, sight: Sight, mm: float) -> list[Item]:
    """Return the plate edge-on, and the pad under it where it does not lie on the deck."""
    if base is None:
        return []
    fore = abs(vec.dot(sight.right, post.fore_and_aft)) > 0.5
    half = 0.5 * (base.length if fore else base.width)
    if base.tube == "to suit the post":
        box = ((-half, 0.0), (half, 0.0), (half, base.thickness), (-half, base.thickness))
        return [Polyline(box, "OUTLINE", closed=True)]
    run = _unit(sight.flat(post.fore_and_aft if fore else post.outboard))
    up = _unit(sight.flat(post.axis))
    low = pad(post, base).on_axis
    corners = [
        (s * half * run[0] + t * up[0], s * half * run[1] + t * up[1])
        for s, t in ((-1.0, low), (1.0, low), (1.0, low + base.thickness), (-1.0, low + base.thickness))
    ]
    under = ((corners[0][0], 0.0), (corners[1][0], 0.0), corners[1], corners[0])
    thick = max(corners[:2], key=lambda corner: corner[1])
    away = 1.0 if thick[0] > 0.0 else -1.0
    tip = (0.8 * thick[0], 0.4 * thick[1])
    knee = (thick[0] + away * 0.5 * mm, 7.0 * mm)
    return [
        Polyline(tuple(corners), "OUTLINE", closed=True),
        Hatch(under, "HATCH", 1.2),
        Polyline(under, "THIN", closed=True),
        Leader((tip, knee, (knee[0] + away * 0.5 * mm, knee[1])), post_words.PAD, tag=f"pad:{post.id}"),
    ]


def _unit(p: Point) -> Point:
    length = math.hypot(*p)
    return (p[0] / length, p[1] / length)
