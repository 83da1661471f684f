"""A post as the shop sees it: the tube upright by itself, and standing on its plate from outboard and from aft."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.boat.model import BasePlate
from geom.figure import Dimension, Hatch, Item, Line, Numbers, Ordinate, Point, Polyline, Text
from geom.parts.post import hole_edges
from geom.refit import Refit
from geom.runs.base_fit import deck_frame, pad
from geom.runs.place import PlacedPost, side_sign
from geom.schedules.placing import PLATE_RULE_LENGTH
from geom.sheets import post_words
from geom.sheets.placing import spread
from geom.sheets.profile_view import facing
from geom.sheets.views import LETTERING, roomy, ways
from geom.units import decimal
from geom.vec import Vec

_STEPS = 32


@dataclass(frozen=True)
class Sight:
    """How a view is looked at: paper right and up, and towards the viewer, in boat axes."""

    right: Vec
    up: Vec
    towards: Vec

    def flat(self, p: Vec) -> Point:
        """Return where a point counted from the foot stands in the view."""
        return (vec.dot(p, self.right), vec.dot(p, self.up))


def from_outboard_square(post: PlacedPost) -> Sight:
    """Return the look from outboard at the tube by itself, upright."""
    return Sight(vec.scale(post.fore_and_aft, facing(post.side)), post.axis, post.outboard)


def from_outboard(post: PlacedPost) -> Sight:
    """Return the look from outboard, square to the deck: the bow lies at the right seen from starboard."""
    deck = deck_frame(post)
    return Sight(vec.scale(deck.aft, facing(post.side)), deck.normal, deck.outboard)


def from_aft(post: PlacedPost) -> Sight:
    """Return the look from aft to forward, square to the deck: starboard lies at the right."""
    deck = deck_frame(post)
    return Sight(vec.scale(deck.outboard, side_sign(post.side)), deck.normal, deck.aft)


def upright_tube(refit: Refit, post: PlacedPost, mm: float, how: Numbers) -> tuple[Item, ...]:
    """Return the tube by itself, ordinates counted along it from the deck at its axis.

    Args:
        refit: the boat worked out.
        post: which post.
        mm: model millimetres to a paper millimetre.
        how: how lengths are written.
    """
    sight = from_outboard_square(post)
    items = [
        *tube_items(refit, post, sight, post.axis, 0.0),
        Line((0.0, -5.0 * mm), (0.0, post.top + 5.0 * mm), "CENTRE"),
    ]
    marks = [(0.0, "deck", "foot"), *((hole.along, f"hole {hole.level}", hole.level) for hole in post.holes)]
    marks.append((post.top, "top", "top"))
    brace = post.told.brace
    if brace is not None:
        marks.append((brace.along, "brace", "brace"))
    marks.sort()
    heights = spread([along / mm for along, _, _ in marks], [LETTERING] * len(marks), 1.5, -3.0, post.top / mm + 12.0)
    edge = 0.5 * post.tube_od
    for (along, word, key), height in zip(marks, heights, strict=True):
        end = (edge + 11.0 * mm, height * mm)
        value = decimal(along / how.mm, how.decimals + (how.unit == "in"))
        items.append(Ordinate((0.0, 0.0), (edge, along), end, "y", f"{value}  {word}", tag=f"along:{post.id}:{key}"))
    left, right = post_words.ways_from_outboard(post.side)
    items += ways((0.0, -9.5 * mm), left, right, mm)
    return tuple(items)


def standing(refit: Refit, post: PlacedPost, sight: Sight, mm: float) -> list[Item]:
    """Return the post on its plate and the deck.

    Args:
        refit: the boat worked out.
        post: which post.
        sight: from outboard or from aft.
        mm: model millimetres to a paper millimetre.
    """
    base = None if post.told.base is None else refit.boat.bases[post.told.base]
    reach = max(PLATE_RULE_LENGTH, post.top) + 6.0 * mm
    half = 26.0 * mm
    items: list[Item] = [
        Line((-half, 0.0), (half, 0.0), "OUTLINE"),
        Text((half, -1.2 * mm), post_words.DECK, LETTERING, "NOTE", "right", "top"),
        Line((0.0, -3.0 * mm), (0.0, reach), "CENTRE"),
        *_base_items(post, base, sight),
    ]
    start = 0.0 if base is None else _above(post, base)
    items += tube_items(refit, post, sight, deck_frame(post).normal, start)
    tip = sight.flat(vec.scale(post.axis, reach / math.cos(post.plate.total)))
    items.append(Line((0.0, 0.0), tip, "CENTRE"))
    return items


def offset_items(angle: float, words_of_angle: str, post: PlacedPost, key: str, mm: float, how: Numbers) -> list[Item]:
    """Return the offset at the rule's length with that length, dimensioned, and the angle in words beside the tube.

    Args:
        angle: how far the tube is off square in this view, + to paper right [rad].
        words_of_angle: the same in words.
        post: which post.
        key: of the tags, out or aft.
        mm: model millimetres to a paper millimetre.
        how: how lengths are written.
    """
    rule = PLATE_RULE_LENGTH
    off = rule * math.tan(angle)
    away = 1.0 if off >= 0.0 else -1.0
    clear = max(0.0, post.top - rule) / mm + 11.0
    aside = -away * 21.0
    items: list[Item] = []
    text = decimal(abs(off) / how.mm, how.decimals)
    if abs(off) / mm >= 0.3:
        low, high = sorted(((0.0, rule), (off, rule)))
        one = Dimension(low, high, clear, along=0.0, tag=f"offset:{post.id}:{key}")
        items.append(roomy(one, 1.0 / mm, how, away))
    else:
        at = (0.0, max(rule, post.top) + 7.5 * mm)
        items.append(Text(at, text, LETTERING, "DIM", "centre", tag=f"offset:{post.id}:{key}"))
    upright = Dimension((0.0, 0.0), (0.0, rule), -aside, along=math.pi / 2.0, tag=f"rule:{post.id}:{key}")
    if away * off > 0.0:
        beside = (0.45 * off + away * (0.5 * post.tube_od / math.cos(angle) + 3.0 * mm), 0.45 * rule)
        across = post_words.across_of(away)
        for row, line in enumerate(words_of_angle.split()):
            at = (beside[0], beside[1] - 3.9 * row * mm)
            items.append(Text(at, line, LETTERING, "NOTE", across, tag=f"angle:{post.id}:{key}:{row}"))
    return [*items, upright]


def tube_items(refit: Refit, post: PlacedPost, sight: Sight, cut: Vec, start: float) -> list[Item]:
    """Return the tube's outline and its holes: its foot cut by a plane edge-on to the view, its top square.

    Args:
        refit: the boat worked out.
        post: which post.
        sight: the look.
        cut: square to the plane that cuts the foot.
        start: where that plane meets the axis, along the tube [mm].
    """
    radius = 0.5 * post.tube_od
    top = vec.scale(post.axis, post.top)
    run = _unit(sight.flat(post.axis))
    side = (-run[1] * radius, run[0] * radius)
    normal = sight.flat(cut)
    begin = sight.flat(vec.scale(post.axis, start))
    ends = sight.flat(top)
    items: list[Item] = []
    feet = []
    for sign in (1.0, -1.0):
        edge = (sign * side[0], sign * side[1])
        slip = -(edge[0] * normal[0] + edge[1] * normal[1]) / (run[0] * normal[0] + run[1] * normal[1])
        foot = (begin[0] + edge[0] + slip * run[0], begin[1] + edge[1] + slip * run[1])
        feet.append(foot)
        items.append(Line(foot, (ends[0] + edge[0], ends[1] + edge[1]), "POST"))
    items.append(Line(feet[0], feet[1], "POST"))
    rim = tuple(
        sight.flat(
            vec.add(
                top,
                vec.add(
                    vec.scale(post.fore_and_aft, radius * math.cos(math.tau * k / _STEPS)),
                    vec.scale(post.outboard, radius * math.sin(math.tau * k / _STEPS)),
                ),
            )
        )
        for k in range(_STEPS)
    )
    items.append(Polyline(rim, "POST", closed=True))
    for hole in post.holes:
        items += _hole_items(refit, post, hole.id, hole.along, hole.diameter, sight)
    return items


def _hole_items(refit: Refit, post: PlacedPost, name: str, along: float, diameter: float, sight: Sight) -> list[Item]:
    axis = refit.placed.drillings[name].axis
    starboard = vec.scale(post.outboard, side_sign(post.side))
    own = (vec.dot(axis, post.fore_and_aft), vec.dot(axis, starboard), vec.dot(axis, post.axis))
    centre = vec.scale(post.axis, along)
    items: list[Item] = []
    for edge in hole_edges(0.5 * post.tube_od, 0.5 * diameter, own):
        found = [
            vec.add(vec.add(vec.scale(post.fore_and_aft, p[0]), vec.scale(starboard, p[1])), vec.scale(post.axis, p[2]))
            for p in edge
        ]
        if sum(vec.dot(p, sight.towards) for p in found) > 0.0:
            items.append(Polyline(tuple(sight.flat(vec.add(centre, p)) for p in found), "FITTING", closed=True))
    half = 0.5 * post.tube_od + 8.0
    low, high = (sight.flat(vec.along(centre, axis, s * half)) for s in (-1.0, 1.0))
    if math.dist(low, high) > half:
        items.append(Line(low, high, "THIN", tag=f"bore:{name}"))
    return items


def _above(post: PlacedPost, base: BasePlate) -> float:
    """Return where the plate's upper face meets the tube's axis, along the tube from the deck [mm]."""
    if base.tube == "square to the plate":
        return pad(post, base).on_axis + base.thickness
    return base.thickness / math.cos(post.plate.total)


def _base_items(post: PlacedPost, base: BasePlate | None, sight: Sight) -> list[Item]:
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
    return [
        Polyline(tuple(corners), "OUTLINE", closed=True),
        Hatch(under, "HATCH", 1.2),
        Polyline(under, "THIN", closed=True),
    ]


def _unit(p: Point) -> Point:
    length = math.hypot(*p)
    return (p[0] / length, p[1] / length)
