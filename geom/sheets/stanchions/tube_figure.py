"""A post's tube in views: edges, foot, rim and holes; and the tube upright by itself."""

from __future__ import annotations

import math

from geom import vec
from geom.boat.model import BasePlate
from geom.drafting import post_text as post_words
from geom.drafting.label_places import spread
from geom.drafting.sight import from_outboard_square
from geom.drafting.views import LETTERING, arrow_to, break_line, ways
from geom.figure import Dimension, Item, Leader, LengthFormat, Line, Ordinate, Polyline, Text
from geom.parts.families.post import hole_edges
from geom.parts.shape.view import Sight
from geom.placement.pads import deck_frame, tube_length
from geom.placement.place import PlacedHole, PlacedPost, side_sign
from geom.refit import Refit
from geom.sheets.stanchions.brace_figure import brace_stub
from geom.units import decimal, degrees
from geom.vec import Vec

_STEPS = 32
# A closed curve narrower than this in a view is drawn as one stroke [paper mm].
_EDGE_ON = 0.8
_DECK_HALF = 8.0
_CUT_OFF = 11.0
_TORN_OFF = 3.0


def upright_tube(
    refit: Refit, post: PlacedPost, mm: float, fmt: LengthFormat, sections: dict[str, str]
) -> tuple[Item, ...]:
    """Return the tube by itself, its cut length, and ordinates along it from the deck at its axis.

    Args:
        refit: the boat as calculated.
        post: the post.
        mm: model millimetres to a paper millimetre.
        fmt: format of lengths.
        sections: the letter of the section through each hole, by hole id.
    """
    sight = from_outboard_square(post)
    base = base_of(refit, post)
    edge = 0.5 * post.tube_od
    slope = deck_slope(post, sight)
    items: list[Item] = [
        *tube_items(refit, post, sight, *foot_of(post, base, mm), mm),
        Line((0.0, -5.0 * mm), (0.0, post.top + 5.0 * mm), "CENTRE"),
        Line((-_DECK_HALF * mm, -_DECK_HALF * mm * slope), (_DECK_HALF * mm, _DECK_HALF * mm * slope), "ADJACENT"),
        *brace_stub(post, sight, mm),
    ]
    marks = [(0.0, "deck", "foot")]
    marks += [(hole.along, f"hole {hole.level}", hole.level) for hole in post.holes]
    marks.append((post.top, "top", "top"))
    brace = post.spec.brace
    if brace is not None:
        marks.append((brace.along, "brace", "brace"))
    marks.sort()
    heights = spread([along / mm for along, _, _ in marks], [LETTERING] * len(marks), 1.5, -3.0, post.top / mm + 12.0)
    start = edge + 8.0 * mm
    for (along, word, key), height in zip(marks, heights, strict=True):
        end = (edge + 11.0 * mm, height * mm)
        value = decimal(along / fmt.mm, fmt.decimals)
        items.append(Ordinate((0.0, 0.0), (start, along), end, "y", f"{value}  {word}", tag=f"along:{post.id}:{key}"))
    for hole in post.holes:
        for side in (-1.0, 1.0):
            near, far = side * (edge + 1.2 * mm), side * (edge + 4.0 * mm)
            beyond, across = (far + side * 0.8 * mm, hole.along), post_words.across_of(side)
            items += [
                Line((far, hole.along), (near, hole.along), "OUTLINE", tag=f"cutting:{hole.id}"),
                *arrow_to((far, hole.along), (far, hole.along - 5.0 * mm), mm),
                Text(beyond, sections[hole.id], LETTERING, "TEXT", across, "middle"),
            ]
    left, right = post_words.ways_from_outboard(post.side)
    items += [*_cut(post, base, mm), *ways((7.0 * mm, -11.0 * mm), left, right, mm)]
    return tuple(items)


def _cut(post: PlacedPost, base: BasePlate | None, mm: float) -> list[Item]:
    """Return the tube's length over its plate at the left, and the cut of its foot at the right."""
    edge = 0.5 * post.tube_od
    if base is None:
        note, start = post_words.BASE_NOT_STATED, 0.0
    else:
        start = post.top - tube_length(post, base)
        off = decimal(degrees(post.plate.total), 2)
        square = base.tube == "square to the plate" or not float(off)
        first, last = post_words.FOOT_SQUARE if square else post_words.FOOT_OFF
        note = first.format(angle=f"{off}°"), last
    knee = (edge + 6.5 * mm, 17.0 * mm)
    tip = (0.9 * edge, start + (_TORN_OFF * mm if base is None else 0.0))
    items: list[Item] = [Leader((tip, knee, (knee[0] + 1.0 * mm, knee[1])), "\n".join(note), tag=f"foot-cut:{post.id}")]
    if base is not None:
        aside = edge + _CUT_OFF * mm
        low, high, tag = (0.0, start), (0.0, post.top), f"cut:{post.id}"
        items.append(Dimension(low, high, aside / mm, 0.5 * math.pi, post_words.CUT_LENGTH, tag=tag))
    return items


def base_of(refit: Refit, post: PlacedPost) -> BasePlate | None:
    """Return the base of a post, None where it has none."""
    return None if post.spec.base is None else refit.boat.bases[post.spec.base]


def foot_of(post: PlacedPost, base: BasePlate | None, mm: float) -> tuple[Vec, float, bool]:
    """Return the normal of the foot's cut, its position on the axis [mm], and whether a break line replaces it.

    Args:
        post: the post.
        base: its plate, None where not known.
        mm: model millimetres to a paper millimetre.
    """
    if base is None:
        return post.axis, _TORN_OFF * mm, True
    square = base.tube == "square to the plate"
    return post.axis if square else deck_frame(post).normal, post.top - tube_length(post, base), False


def deck_slope(post: PlacedPost, sight: Sight) -> float:
    """Return the slope of the deck in a view, a ratio, up to paper right."""
    normal = sight.point(deck_frame(post).normal)
    return -normal[0] / normal[1]


def tube_items(
    refit: Refit, post: PlacedPost, sight: Sight, cut: Vec, start: float, torn: bool, mm: float
) -> list[Item]:
    """Return the tube's outline and its holes, its foot cut by a plane or broken off, its top square.

    Args:
        refit: the boat as calculated.
        post: the post.
        sight: the view.
        cut: normal of the plane that cuts the foot.
        start: position of that plane on the axis, along the tube [mm].
        torn: whether a break line replaces the foot.
        mm: model millimetres to a paper millimetre.
    """
    radius = 0.5 * post.tube_od
    run = _unit(sight.point(post.axis))
    rim, foot = _ring(post, post.axis, post.top), _ring(post, cut, start)
    items: list[Item] = []
    feet = []
    for sign in (1.0, -1.0):
        # The tube's outline in a view is where its surface turns away from the viewer.
        across = vec.unit(vec.cross(post.axis, sight.viewer))
        side = vec.scale(across, sign * radius)
        slip = -vec.dot(side, cut) / vec.dot(post.axis, cut)
        low = sight.point(vec.add(side, vec.scale(post.axis, start + slip)))
        high = sight.point(vec.add(side, vec.scale(post.axis, post.top)))
        feet.append(low)
        items.append(Line(low, high, "POST"))
    if torn:
        items.append(break_line(feet[0], feet[1], mm, 1.0))
    else:
        items.append(_closed([sight.point(p) for p in foot], run, "POST", mm))
    items.append(_closed([sight.point(p) for p in rim], run, "POST", mm))
    for hole in post.holes:
        items += _hole_items(refit, post, hole, sight, mm)
    return items


def _ring(post: PlacedPost, cut: Vec, along: float) -> list[Vec]:
    """Return the intersection of the tube's surface with a plane at a distance along the axis from the foot [mm]."""
    radius, points = 0.5 * post.tube_od, []
    for k in range(_STEPS):
        t = math.tau * k / _STEPS
        side = vec.add(
            vec.scale(post.fore_and_aft, radius * math.cos(t)), vec.scale(post.outboard, radius * math.sin(t))
        )
        slip = -vec.dot(side, cut) / vec.dot(post.axis, cut)
        points.append(vec.add(side, vec.scale(post.axis, along + slip)))
    return points


def _hole_items(refit: Refit, post: PlacedPost, hole: PlacedHole, sight: Sight, mm: float) -> list[Item]:
    axis = refit.placed.drillings[hole.id].axis
    starboard = vec.scale(post.outboard, side_sign(post.side))
    own = (vec.dot(axis, post.fore_and_aft), vec.dot(axis, starboard), vec.dot(axis, post.axis))
    centre = vec.scale(post.axis, hole.along)
    across = sight.point(vec.cross(post.axis, sight.viewer))
    items: list[Item] = []
    for edge in hole_edges(0.5 * post.tube_od, 0.5 * hole.diameter, own):
        curve = [
            vec.add(vec.add(vec.scale(post.fore_and_aft, p[0]), vec.scale(starboard, p[1])), vec.scale(post.axis, p[2]))
            for p in edge
        ]
        if math.fsum(vec.dot(p, sight.viewer) for p in curve) > 0.0:
            items.append(_closed([sight.point(vec.add(centre, p)) for p in curve], _unit(across), "FITTING", mm))
    half = 0.5 * post.tube_od + 8.0
    low, high = (sight.point(vec.along(centre, axis, s * half)) for s in (-1.0, 1.0))
    if math.dist(low, high) > half:
        items.append(Line(low, high, "THIN", tag=f"bore:{hole.id}"))
    return items


def _closed(points: list[tuple[float, float]], narrow: tuple[float, float], layer: str, mm: float) -> Item:
    """Return a closed curve, or one stroke where it is edge-on, narrow in a known direction."""
    depth = [p[0] * narrow[0] + p[1] * narrow[1] for p in points]
    if max(depth) - min(depth) >= _EDGE_ON * mm:
        return Polyline(tuple(points), layer, closed=True)
    long = [p[1] * narrow[0] - p[0] * narrow[1] for p in points]
    first, last = long.index(min(long)), long.index(max(long))
    return Line(points[first], points[last], layer)


def _unit(p: tuple[float, float]) -> tuple[float, float]:
    length = math.hypot(*p)
    return (p[0] / length, p[1] / length)
