"""One hole of a post: the section looking down the tube with its clocking, and the cut along the hole enlarged."""

from __future__ import annotations

import math

from geom import vec
from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.hole_text import is_computed
from geom.drafting.profile_view import facing
from geom.drafting.views import LETTERING, angle_arc, arrow_to, break_line, roomy, ways
from geom.figure import Circle, Dimension, Hatch, Item, Leader, LengthFormat, Line, Point, Polyline, Text
from geom.parts.families.post import hole_edges
from geom.placement.holes import Drilling
from geom.placement.pads import deck_frame
from geom.placement.place import PlacedHole, PlacedPost, side_sign
from geom.refit import Refit
from geom.sheets.stanchions.tube_figure import base_of
from geom.vec import Vec

_ARC_STEPS = 24
# Distances off the tube: angle arc, end of the deck mark, ends of a cutting stroke, its letter, captions [paper mm].
_ARC_OFF, _MARK_END, _STROKE, _LETTER_OFF, _CAPTION_OFF = 2.4, 3.4, (1.2, 5.8), 5.0, 8.0
# The deck mark ends at the tube where a cutting stroke, or its letter, is closer to it than this [paper mm].
_STROKE_APART, _LETTER_APART = 1.5, 4.5


def clocking_from_plate(post: PlacedPost, drilling: Drilling) -> float:
    """Return a hole's clocking from the plate's fore-and-aft mark, looking down the tube [rad].

    The mark is in the plane of the deck; seen along a leaning tube it is slightly off the tube's own
    fore-and-aft, from which clocking is measured elsewhere.
    """
    mark = deck_frame(post).aft
    return drilling.clocking - math.atan2(vec.dot(mark, post.outboard), vec.dot(mark, post.fore_and_aft))


def looking_down(refit: Refit, post: PlacedPost, hole: PlacedHole, mm: float, cut: str) -> tuple[Item, ...]:
    """Return the tube cut square at a hole's centre, forward up, the deck's fore-and-aft line vertical.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
        mm: model millimetres to a paper millimetre.
        cut: the letter of the section along the hole, at both ends of its axis.
    """
    drilling = refit.placed.drillings[hole.id]
    turn = clocking_from_plate(post, drilling)
    out = side_sign(post.side)
    radius, bore = 0.5 * post.tube_od, 0.5 * post.tube_od - post.tube_wall
    # Paper angle of the hole's aft end: aft is down, outboard at the post's own side.
    aft_end = -0.5 * math.pi + out * turn
    items: list[Item] = []
    items += _ring(radius, bore, aft_end, hole.diameter, drilling.tilt)
    towards = out if turn >= 0.0 else -out
    base = base_of(refit, post)
    on_plate = base is not None and base.tube == "to suit the post"
    mark = post_words.ON_PLATE if on_plate else post_words.ALONG_DECK
    arc = radius + _ARC_OFF * mm
    drawn_apart = arc * abs(math.sin(turn)) >= (_STROKE_APART if turn >= 0.0 else _LETTER_APART) * mm
    aft_mark = radius + (_MARK_END if drawn_apart else 0.6) * mm
    items += [
        Line((0.0, -aft_mark), (0.0, radius + 0.6 * mm), "CENTRE"),
        *(angle_arc((0.0, 0.0), arc, -0.5 * math.pi, aft_end, f"arc:{hole.id}") if drawn_apart else ()),
        Text((0.0, radius + _CAPTION_OFF * mm), post_words.FORWARD, LETTERING, "TEXT", "centre"),
        Text((0.0, -radius - _CAPTION_OFF * mm), mark, LETTERING, "TEXT", "centre", "top"),
    ]
    for angle in (aft_end, aft_end + math.pi):
        items += _cutting_stroke(radius, angle, -out, cut, mm, f"axis:{hole.id}")
    items += arrow_to((out * (radius + 3.0 * mm), 0.0), (out * (radius + 13.0 * mm), 0.0), mm)
    word_at = out * (radius + 3.0 * mm)
    across = post_words.across_of(out)
    items += [
        Text((word_at, 1.6 * mm), post_words.OUTBOARD, LETTERING, "TEXT", across),
        Text((word_at, -1.6 * mm), words.SIDE[post.side], LETTERING, "NOTE", across, "top"),
    ]
    clocking = clocking_text(hole, turn)
    # Beyond the letter, which is outboard of its stroke.
    beside = (radius + _LETTER_OFF * mm) * abs(math.sin(turn)) + (4.5 if towards == out else 2.0) * mm
    at = (towards * beside, arc * math.sin(aft_end) - 0.5 * mm)
    items.append(Text(at, clocking, LETTERING, "TEXT", post_words.across_of(towards), tag=f"clock:{hole.id}"))
    return tuple(items)


def _cutting_stroke(radius: float, angle: float, looks: float, cut: str, mm: float, tag: str) -> list[Item]:
    """Return one end of a cutting line, off the tube, with its letter behind the arrow.

    Args:
        radius: of the tube [mm].
        angle: of the stroke about the tube's axis on paper [rad].
        looks: viewing direction of the section on paper, +1 to the right.
        cut: the section's letter.
        mm: model millimetres to a paper millimetre.
        tag: id of the stroke.
    """
    near, far = (_polar(radius + off * mm, angle) for off in _STROKE)
    head = (far[0] + looks * 5.0 * mm, far[1])
    behind = _polar(radius + _LETTER_OFF * mm, angle)
    at = (behind[0] - looks * 1.3 * mm, behind[1])
    return [
        Line(near, far, "OUTLINE", tag=tag),
        *arrow_to(far, head, mm),
        Text(at, cut, LETTERING, "TEXT", post_words.across_of(-looks), "middle"),
    ]


def clocking_text(hole: PlacedHole, turn: float) -> str:
    """Return a hole's clocking from the deck's fore-and-aft line [rad] as text."""
    return post_words.bracketed(post_words.angle(turn, "outboard", "inboard", 1), is_computed(hole))


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
    refit: Refit, post: PlacedPost, hole: PlacedHole, high: float, mm: float, fmt: LengthFormat
) -> tuple[Item, ...]:
    """Return the section through the axes of tube and hole, the tube upright, aft as in the views from outboard.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
        high: half-height of tube shown about the hole's centre [mm].
        mm: model millimetres to a paper millimetre.
        fmt: format of lengths.
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
                Hatch(corners, "HATCH", 1.0),
                Polyline((corners[2], corners[1], corners[0], corners[3]), "OUTLINE"),
            ]
    for face in (radius, bore):
        for edge in hole_edges(face, 0.5 * hole.diameter, (math.cos(tilt), 0.0, math.sin(tilt))):
            items.append(Polyline(tuple((hand * x, z) for x, _, z in _far_half(edge)), "FITTING"))
    for up in (1.0, -1.0):
        items.append(break_line((-radius - 2.0 * mm, up * high), (radius + 2.0 * mm, up * high), mm))
    left, right = -radius - 2.5 * mm, radius + 5.0 * mm
    items += [
        Line((0.0, -high - 2.5 * mm), (0.0, high + 2.5 * mm), "CENTRE"),
        Line((left, left * rise), (right, right * rise), "CENTRE", tag=f"hole-axis:{hole.id}"),
        *_liner(hole, hand * tilt),
    ]
    # Vertical and true size, as in the other views: the mouth itself is larger by 1 / cos tilt.
    gap = [(-radius, -radius * rise + up * 0.5 * hole.diameter) for up in (-1.0, 1.0)]
    size = Dimension(gap[0], gap[1], 7.0, along=0.5 * math.pi, text="Ø<>", tag=f"hole:{hole.id}")
    items.append(roomy(size, 1.0 / mm, fmt))
    return (*items, *_tilt_items(hole, tilt, hand, radius, mm), *ways((0.0, -high - 5.0 * mm), *_ends(post), mm))


def _ends(post: PlacedPost) -> tuple[str, str]:
    return post_words.ways_from_outboard(post.side)


def _tilt_items(hole: PlacedHole, tilt: float, hand: float, radius: float, mm: float) -> list[Item]:
    """Return the angle between the hole's axis and square to the tube, at paper right, with its text above it."""
    rise, arc = hand * math.tan(tilt), radius + 3.5 * mm
    tilt_text = post_words.bracketed(post_words.tilted(hand * tilt), is_computed(hole))
    items: list[Item] = [*angle_arc((0.0, 0.0), arc, 0.0, hand * tilt, f"tilt-arc:{hole.id}")]
    if abs(tilt) >= math.radians(0.2):
        items.append(Line((radius + 1.0 * mm, 0.0), (radius + 5.0 * mm, 0.0), "THIN"))
    tip = (arc * math.cos(0.5 * tilt), max(0.0, 0.5 * arc * rise))
    knee = (radius + 4.5 * mm, 8.0 * mm)
    end = (knee[0] + 0.5 * mm, knee[1])
    note = f"{post_words.ENDS_OF_HOLE[hand > 0.0]}\n{tilt_text}"
    return [*items, Leader((tip, knee, end), note, tag=f"tilt:{hole.id}")]


def _far_half(edge: list[Vec]) -> list[Vec]:
    """Return the half of a hole's edge behind the section, in order, both ends in the section."""
    count, tolerance = len(edge), 1e-9
    begin = next(k for k in range(count) if edge[k][1] >= -tolerance and edge[k - 1][1] < -tolerance)
    rotated = [edge[(begin + k) % count] for k in range(count)]
    return [p for p in rotated if p[1] >= -tolerance]


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
