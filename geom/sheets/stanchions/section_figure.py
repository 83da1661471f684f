"""A hole of a stanchion: the section across the tube, looking down, and the section along tube and hole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from geom.drafting import post_text as post_words
from geom.drafting.placing import Drawn, Label
from geom.drafting.profile_view import facing
from geom.drafting.views import LETTERING, angle_arc, arrow_to, break_line, ways
from geom.figure import Circle, Dimension, Hatch, Item, Line, Point, Polyline, Text
from geom.parts.families.post import hole_edges
from geom.placement.place import PlacedHole, PlacedPost, side_sign
from geom.placement.tube_cut import clocking_from_mark
from geom.refit import Refit
from geom.sheets.stanchions import text as words
from geom.vec import Vec

_ARC_STEPS = 24
# Distances off the tube: angle arc, end of the deck mark, ends of a cutting stroke, its letter, captions [paper mm].
_ARC_OFF, _MARK_END, _STROKE, _LETTER_OFF, _CAPTION_OFF = 2.4, 3.4, (1.2, 5.8), 5.0, 8.0
# The deck mark ends at the tube where a cutting stroke, or its letter, is closer to it than this [paper mm].
_STROKE_APART, _LETTER_APART = 1.5, 4.5


def across_tube(
    refit: Refit, post: PlacedPost, hole: PlacedHole, letter: str, limit: str, mm: float
) -> tuple[Item, ...]:
    """Return the tube cut square at a hole's centre, looking down, forward up, the AFT mark at the bottom.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
        letter: of the clocking.
        limit: of the clocking, in degrees.
        mm: model millimetres to a paper millimetre.
    """
    drilling = refit.placed.drillings[hole.id]
    turn, out = clocking_from_mark(post, drilling), side_sign(post.side)
    radius, bore = 0.5 * post.tube_od, 0.5 * post.tube_od - post.tube_wall
    # Paper angle of the hole's aft end: aft is down, outboard at the post's own side.
    aft_end = -0.5 * math.pi + out * turn
    towards = out if turn >= 0.0 else -out
    arc = radius + _ARC_OFF * mm
    drawn_apart = arc * abs(math.sin(turn)) >= (_STROKE_APART if turn >= 0.0 else _LETTER_APART) * mm
    beyond = radius + (_MARK_END if drawn_apart else 0.6) * mm
    items: list[Item] = [
        # The wall below the cut, seen beyond it.
        Circle((0.0, 0.0), radius, "EDGE", f"beyond:{hole.id}"),
        Circle((0.0, 0.0), bore, "EDGE", f"beyond:{hole.id}"),
        *_ring(radius, bore, aft_end, hole.diameter, drilling.tilt),
        Line((0.0, -beyond), (0.0, radius + 2.0 * mm), "CENTRE"),
        Line((-radius - 2.0 * mm, 0.0), (radius + 2.0 * mm, 0.0), "CENTRE"),
        *(angle_arc((0.0, 0.0), arc, -0.5 * math.pi, aft_end, f"arc:{hole.id}") if drawn_apart else ()),
        *_mark(radius, mm),
        Text((0.0, radius + _CAPTION_OFF * mm), post_words.FORWARD, LETTERING, "TEXT", "centre"),
        Text((0.0, -radius - _CAPTION_OFF * mm), words.AFT_MARK, LETTERING, "HOLD", "centre", "top"),
    ]
    for angle in (aft_end, aft_end + math.pi):
        items += _cutting_stroke(radius, angle, -out, mm, f"axis:{hole.id}")
    word_at, across = out * (radius + 3.0 * mm), post_words.across_of(out)
    items += arrow_to((word_at, 3.5 * mm), (word_at + out * 10.0 * mm, 3.5 * mm), mm)
    items.append(Text((word_at, 5.0 * mm), post_words.OUTBOARD, LETTERING, "TEXT", across))
    drawn = Drawn(items, mm)
    for angle in (aft_end, aft_end + math.pi):
        items += drawn.put(_stroke_letters(drawn, radius, angle, -out, words.SECTION_ALONG, mm)).items
    clocking = Text((0.0, 0.0), f"{letter} ±{limit}°", 3.5, "TEXT", tag=f"letter:{post.id}:clocking", weight="semibold")
    beside = (radius + _LETTER_OFF * mm) * abs(math.sin(turn))
    places = (
        (side * beside + side * off * mm, arc * math.sin(aft_end) - down * mm, side)
        for side in (towards, -towards)
        for off in (2.5, 5.5, 8.5, 12.0)
        for down in (1.5, 4.5)
    )
    items += drawn.put(
        drawn.label(replace(clocking, at=(x, y), across=post_words.across_of(side))) for x, y, side in places
    ).items
    return tuple(items)


def _mark(radius: float, mm: float) -> tuple[Item, ...]:
    """Return the AFT mark on the tube's face, at the bottom."""
    half, low, high = 2.2 * mm, radius + 0.1 * mm, radius + 1.2 * mm
    return (Hatch(((-half, -low), (half, -low), (half, -high), (-half, -high)), "HOLD", tag="aft-mark"),)


def _cutting_stroke(radius: float, angle: float, looks: float, mm: float, tag: str) -> list[Item]:
    """Return one end of a cutting line, off the tube, without its letter.

    Args:
        radius: of the tube [mm].
        angle: of the stroke about the tube's axis on paper [rad].
        looks: viewing direction of the section on paper, +1 to the right.
        mm: model millimetres to a paper millimetre.
        tag: id of the stroke.
    """
    near, far = (_polar(radius + off * mm, angle) for off in _STROKE)
    return [Line(near, far, "OUTLINE", tag=tag), *arrow_to(far, (far[0] + looks * 5.0 * mm, far[1]), mm)]


def _stroke_letters(drawn: Drawn, radius: float, angle: float, looks: float, cut: str, mm: float) -> Iterator[Label]:
    """Yield the letter of a cutting stroke: behind its arrow, then further off the tube."""
    text = Text((0.0, 0.0), cut, 3.5, "TEXT", post_words.across_of(-looks), "middle", weight="semibold")
    # Further off a stroke that is not upright.
    aside = (1.3 + 3.0 * abs(math.cos(angle))) * mm
    for off in (0.0, 2.0, 4.0, 6.0):
        behind = _polar(radius + (_LETTER_OFF + off) * mm, angle)
        yield drawn.label(replace(text, at=(behind[0] - looks * aside, behind[1])))
        end = _polar(radius + (_STROKE[1] + 3.0 + off) * mm, angle)
        yield drawn.label(replace(text, at=end, across="centre"))


def _ring(radius: float, bore: float, aft_end: float, diameter: float, tilt: float) -> list[Item]:
    """Return the tube cut square at a hole's centre.

    The cut meets the hole in an ellipse about the centre. It parts the ring; where the hole is tilted so far that
    the ellipse ends within the wall, it notches the ring from inside, and where it ends within the bore, the ring
    is whole at this height.

    Args:
        radius: of the tube's face [mm].
        bore: radius of the bore [mm].
        aft_end: of the hole, its angle about the tube's axis on paper [rad].
        diameter: of the hole [mm].
        tilt: of the hole [rad].
    """
    outer_gap, inner_gap = (_half_gap(r, diameter, tilt) for r in (radius, bore))
    middles = (aft_end + 0.5 * math.pi, aft_end - 0.5 * math.pi)
    outer, inner = 0.5 * math.pi - outer_gap, 0.5 * math.pi - inner_gap
    outsides = [_arc(radius, middle - outer, middle + outer) for middle in middles]
    insides = [_arc(bore, middle + inner, middle - inner) for middle in middles]
    if outer_gap > 0.0:
        faces = zip(outsides, insides, strict=True)
        walls = [Polyline((*outside, *inside), "OUTLINE", closed=True) for outside, inside in faces]
        return [item for wall in walls for item in (Hatch(wall.points, "HATCH", 0.9), wall)]
    end = 0.5 * diameter / abs(math.sin(tilt)) if inner_gap > 0.0 else bore
    notched = [(_polar(end, middle + 0.5 * math.pi), *inside) for middle, inside in zip(middles, insides, strict=True)]
    hatches = [
        Hatch((*outside, *inside, _polar(end, middle - 0.5 * math.pi)), "HATCH", 0.9)
        for middle, outside, inside in zip(middles, outsides, notched, strict=True)
    ]
    # The second half goes on where the first ends, at the hole's other end.
    whole = Polyline((*notched[0], *notched[1]), "OUTLINE", closed=True)
    return [*hatches, Circle((0.0, 0.0), radius, "OUTLINE"), whole]


def _half_gap(r: float, diameter: float, tilt: float) -> float:
    """Return half the angle over which a hole opens a circle about the tube's axis, in the plane of its centre [rad].

    Zero where the hole leaves that plane within the circle.
    """
    opened = (0.5 * diameter / r) ** 2 - math.sin(tilt) ** 2
    return math.asin(math.sqrt(opened) / math.cos(tilt)) if opened > 0.0 else 0.0


def _arc(radius: float, begin: float, end: float) -> list[Point]:
    """Return points of an arc about the tube's axis, from one angle to another [rad]."""
    return [_polar(radius, begin + (end - begin) * k / _ARC_STEPS) for k in range(_ARC_STEPS + 1)]


def _polar(radius: float, angle: float) -> Point:
    return (radius * math.cos(angle), radius * math.sin(angle))


def half_height(post: PlacedPost, hole: PlacedHole, tilt: float) -> float:
    """Return the smallest half-height of the enlarged section about the hole's centre [mm].

    Args:
        post: the hole's post.
        hole: the hole.
        tilt: of the hole [rad].
    """
    return 0.5 * hole.diameter / math.cos(tilt) + 0.5 * post.tube_od * abs(math.tan(tilt)) + 4.0


def along_hole(
    refit: Refit, post: PlacedPost, hole: PlacedHole, high: float, letters: dict[str, str], mm: float
) -> tuple[Item, ...]:
    """Return the section through the axes of tube and hole, the tube upright, aft as in the views from outboard.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
        high: half-height of tube shown about the hole's centre [mm].
        letters: of the columns: size and tilt of the hole.
        mm: model millimetres to a paper millimetre.
    """
    tilt, hand = refit.placed.drillings[hole.id].tilt, facing(post.side)
    radius, bore = 0.5 * post.tube_od, 0.5 * post.tube_od - post.tube_wall
    # Slope of the hole's axis, up to paper right.
    rise, half = hand * math.tan(tilt), 0.5 * hole.diameter / math.cos(tilt)
    items: list[Item] = []
    for inner, outer in ((bore, radius), (-bore, -radius)):
        for up in (1.0, -1.0):
            corners = (
                (inner, inner * rise + up * half),
                (outer, outer * rise + up * half),
                (outer, up * high),
                (inner, up * high),
            )
            items += [
                Hatch(corners, "HATCH", 1.3),
                Polyline((corners[2], corners[1], corners[0], corners[3]), "OUTLINE"),
            ]
    # The wall behind the cut: the far halves of both edges of the hole.
    for face in (radius, bore):
        for edge in hole_edges(face, 0.5 * hole.diameter, (math.cos(tilt), 0.0, math.sin(tilt))):
            points = tuple((hand * x, z) for x, _, z in _far_half(edge))
            items.append(Polyline(points, "EDGE", tag=f"beyond:{hole.id}"))
    for up in (1.0, -1.0):
        items.append(break_line((-radius - 2.0 * mm, up * high), (radius + 2.0 * mm, up * high), mm))
    # Beyond the tube, and beyond a bush that stands out of it.
    left, right = -radius - 2.5 * mm, max(radius + 9.0 * mm, _bush_reach(hole, tilt) + 5.0 * mm)
    items += [
        Line((0.0, -high - 2.5 * mm), (0.0, high + 2.5 * mm), "CENTRE"),
        Line((left, left * rise), (right, right * rise), "CENTRE", tag=f"hole-axis:{hole.id}"),
        Line((radius + 1.0 * mm, 0.0), (right, 0.0), "DIM"),
        *_liner(hole, hand * tilt),
    ]
    # Vertical and true size, as in the other views: the mouth itself is larger by 1 / cos tilt.
    gap = [(-radius, -radius * rise + up * 0.5 * hole.diameter) for up in (-1.0, 1.0)]
    items.append(
        Dimension(gap[0], gap[1], 7.0, 0.5 * math.pi, letters["size"], tag=f"letter:{post.id}:size", height=3.5,
                  weight="semibold")
    )  # fmt: skip
    over = max(0.0, right * rise) + 1.6 * mm
    items.append(Text((right, over), letters["tilt"], 3.5, "TEXT", "right", tag=f"letter:{post.id}:tilt",
                      weight="semibold"))  # fmt: skip
    return (*items, *ways((0.0, -high - 5.0 * mm), *post_words.ways_from_outboard(post.side), mm))


def _far_half(edge: list[Vec]) -> list[Vec]:
    """Return the half of a hole's edge behind the section, in order, both ends in the section."""
    count, tolerance = len(edge), 1e-9
    begin = next(k for k in range(count) if edge[k][1] >= -tolerance and edge[k - 1][1] < -tolerance)
    rotated = [edge[(begin + k) % count] for k in range(count)]
    return [p for p in rotated if p[1] >= -tolerance]


def _bush_reach(hole: PlacedHole, tilt: float) -> float:
    """Return how far a bush reaches from the tube's axis to either side [mm], 0 without one."""
    bush = hole.edge.bush
    if bush is None:
        return 0.0
    return 0.5 * bush.length * math.cos(tilt) + 0.5 * hole.diameter * abs(math.sin(tilt))


def _liner(hole: PlacedHole, tilt: float) -> list[Item]:
    """Return the section of the bush along its axis, which rises to paper right by an angle [rad]."""
    liner = hole.edge.bush
    if liner is None:
        return []
    half, outer, inner = 0.5 * liner.length, 0.5 * hole.diameter, 0.5 * liner.bore
    cos, sin = math.cos(tilt), math.sin(tilt)
    items: list[Item] = []
    for sign in (1.0, -1.0):
        corners = ((-half, sign * inner), (half, sign * inner), (half, sign * outer), (-half, sign * outer))
        rotated = tuple((x * cos - y * sin, x * sin + y * cos) for x, y in corners)
        items += [Hatch(rotated, "HATCH", 1.0, -0.25 * math.pi), Polyline(rotated, "FITTING", closed=True)]
    return items
