"""A post on its plate and deck, from outboard and from aft, with offsets and angles."""

from __future__ import annotations

import math

from geom import vec
from geom.boat.model import BasePlate
from geom.drafting import post_text as post_words
from geom.drafting.views import LETTERING, angle_arc, roomy
from geom.figure import Dimension, Hatch, Item, Leader, LengthFormat, Line, Polyline, Text
from geom.parts.shape.view import Sight
from geom.placement.place import UP, PlacedPost
from geom.refit import Refit
from geom.sheets.stanchions.brace_figure import brace_items
from geom.sheets.stanchions.post_views import (
    ANGLE_END,
    ANGLE_KNEE,
    ARC_AT,
    PAD_END,
    PAD_HIGH,
    PAD_KNEE,
    PLUMB_HIGH,
    Places,
    Standing,
    places,
    plate_corners,
    thick_corner,
)
from geom.sheets.stanchions.tube_figure import base_of, foot_of, tube_items
from geom.units import Mm, decimal

# An offset narrower than this is given as text [paper mm].
_MIN_DRAWN = 0.3
# A square line closer than this to the tube's axis is left out over the tube [paper mm].
_MIN_APART = 0.6


def standing(refit: Refit, post: PlacedPost, view: Standing, height: Mm, mm: float) -> list[Item]:
    """Return the post on its plate and the deck, with its brace and a plumb line beside it.

    Args:
        refit: the boat as calculated.
        post: the post.
        view: from outboard or from aft.
        height: at which offsets are given [mm].
        mm: model millimetres to a paper millimetre.
    """
    base, sight = base_of(refit, post), view.sight
    top = max(height, post.top)
    reach = top + 6.0 * mm
    place = places(refit, post, view, height, mm)
    left, right = place.left - 2.5, place.right - 2.5
    begin = -3.0 * mm if height * math.tan(abs(view.angle)) >= _MIN_APART * mm else post.top + 1.5 * mm
    cut, start, torn = foot_of(post, base, mm)
    items: list[Item] = [
        Line((-left * mm, 0.0), (right * mm, 0.0), "OUTLINE"),
        Line((0.0, begin), (0.0, reach), "CENTRE"),
        *_base_items(post, base, sight, mm),
        *tube_items(refit, post, sight, cut, start, torn, mm),
        *brace_items(post, sight, mm),
        *_deck_text(post, view, place, mm),
    ]
    tip = sight.point(vec.scale(post.axis, reach / math.cos(post.plate.total)))
    low = (-3.0 * mm * math.tan(view.angle), -3.0 * mm)
    return [*items, Line(low, tip, "CENTRE")]


def _deck_text(post: PlacedPost, view: Standing, place: Places, mm: float) -> list[Item]:
    """Return the fall of the deck and the plumb line, on the side where the height is not dimensioned."""
    up = view.sight.point(UP)
    away = -place.aside
    x = away * place.plumb * mm
    top = (x + PLUMB_HIGH * mm * up[0] / up[1], PLUMB_HIGH * mm)
    tag, falls = f"falls:{post.id}:{view.key}", f"falls {view.falls}"
    return [
        Text((away * 1.5 * mm, -1.6 * mm), post_words.DECK, LETTERING, "NOTE", post_words.across_of(away), "top"),
        Text((0.0, -5.4 * mm), falls, LETTERING, "NOTE", "centre", "top", tag=tag),
        Line((x, 0.0), top, "THIN", tag=f"plumb-line:{post.id}:{view.key}"),
        Text((top[0], top[1] + 1.2 * mm), post_words.PLUMB, LETTERING, "NOTE", "centre"),
    ]


def offset_items(
    refit: Refit, post: PlacedPost, view: Standing, height: Mm, mm: float, fmt: LengthFormat
) -> list[Item]:
    """Return the dimensioned offset at a height over the deck, that height, and the angle off square.

    Args:
        refit: the boat as calculated.
        post: the post.
        view: from outboard or from aft.
        height: at which the offset is given [mm].
        mm: model millimetres to a paper millimetre.
        fmt: format of lengths.
    """
    off = height * math.tan(view.angle)
    away, place = view.lean, places(refit, post, view, height, mm)
    clear = max(0.0, post.top - height) / mm + 11.0
    aside = place.aside
    items: list[Item] = []
    text = decimal(abs(off) / fmt.mm, fmt.decimals)
    if abs(off) / mm >= _MIN_DRAWN:
        low, high = sorted(((0.0, height), (off, height)))
        dimension = Dimension(low, high, clear, along=0.0, tag=f"offset:{post.id}:{view.key}")
        items.append(roomy(dimension, 1.0 / mm, fmt, away))
    else:
        at = (0.0, max(height, post.top) + 7.5 * mm)
        offset_text = f"{text} {view.direction}" if not float(text) else text
        items.append(Text(at, offset_text, LETTERING, "DIM", "centre", tag=f"offset:{post.id}:{view.key}"))
    foot = (aside * (place.upright - 1.0) * mm, 0.0)
    items.append(Dimension(foot, (foot[0], height), -aside, along=math.pi / 2.0, tag=f"rule:{post.id}:{view.key}"))
    items.append(Line((aside * 4.0 * mm, height), (foot[0], height), "DIM"))
    radius = ARC_AT * height
    tip = (radius * math.sin(0.5 * view.angle), radius * math.cos(0.5 * view.angle))
    items += angle_arc((0.0, 0.0), radius, 0.5 * math.pi, 0.5 * math.pi - view.angle, f"angle-arc:{post.id}:{view.key}")
    edge = abs(off) * ARC_AT + 0.5 * post.tube_od
    knee = (away * (edge + ANGLE_KNEE * mm), tip[1] - 4.0 * mm)
    end = (knee[0] + away * ANGLE_END * mm, knee[1])
    items.append(Leader((tip, knee, end), "\n".join(view.angle_lines), tag=f"angle:{post.id}:{view.key}"))
    return items


def _base_items(post: PlacedPost, base: BasePlate | None, sight: Sight, mm: float) -> list[Item]:
    """Return the plate edge-on, and the pad under it where it is not on the deck."""
    if base is None:
        return []
    corners = plate_corners(post, base, sight)
    if base.tube == "to suit the post":
        return [Polyline(corners, "OUTLINE", closed=True)]
    under = ((corners[0][0], 0.0), (corners[1][0], 0.0), corners[1], corners[0])
    thick = thick_corner(corners)
    away = 1.0 if thick[0] > 0.0 else -1.0
    tip = (0.8 * thick[0], 0.4 * thick[1])
    knee = (thick[0] + away * PAD_KNEE * mm, PAD_HIGH * mm)
    end = (knee[0] + away * PAD_END * mm, knee[1])
    return [
        Polyline(corners, "OUTLINE", closed=True),
        Hatch(under, "HATCH", 1.2),
        Polyline(under, "THIN", closed=True),
        Leader((tip, knee, end), post_words.PAD, tag=f"pad:{post.id}"),
    ]
