"""One hole of a post: the section looking down the tube with its clocking, and the cut along the hole enlarged."""

from __future__ import annotations

import math

from geom import vec
from geom.figure import Dimension, Hatch, Item, Line, Numbers, Point, Polyline, Text
from geom.parts.post import hole_edges
from geom.refit import Refit
from geom.runs.base_fit import deck_frame
from geom.runs.drilling import Drilling
from geom.runs.place import PlacedHole, PlacedPost, side_sign
from geom.sheets import post_words, words
from geom.sheets.views import LETTERING, angle_arc, arrow_to, roomy
from geom.units import decimal, degrees
from geom.vec import Vec

_ARC_STEPS = 24
# Between the marked angle's arc and the tube, and beyond the arc [paper mm].
_ARC_OFF = 4.0


def clocking_from_plate(post: PlacedPost, drilling: Drilling) -> float:
    """Return a hole's clocking against the plate's fore-and-aft mark as it is seen looking down the tube [rad].

    The mark lies in the deck's plane; seen along a leaning tube it stands a hair off the tube's own
    fore-and-aft, which clocking is counted from elsewhere.
    """
    mark = deck_frame(post).aft
    return drilling.clocking - math.atan2(vec.dot(mark, post.outboard), vec.dot(mark, post.fore_and_aft))


def looking_down(refit: Refit, post: PlacedPost, hole: PlacedHole, mm: float) -> tuple[Item, ...]:
    """Return the tube cut square at a hole's centre, forward up, the plate's mark vertical.

    Args:
        refit: the boat worked out.
        post: the hole's post.
        hole: which hole.
        mm: model millimetres to a paper millimetre.
    """
    drilling = refit.placed.drillings[hole.id]
    turn = clocking_from_plate(post, drilling)
    out = side_sign(post.side)
    radius, bore = 0.5 * post.tube_od, 0.5 * post.tube_od - post.tube_wall
    # Paper angle of the hole's aft end: aft is down, outboard at the post's own side.
    aft_end = -0.5 * math.pi + out * turn
    reach = radius + 6.0 * mm
    items: list[Item] = []
    for middle in (aft_end + 0.5 * math.pi, aft_end - 0.5 * math.pi):
        wall = _wall(radius, bore, middle, hole.diameter, drilling.tilt)
        items += [Hatch(wall.points, "HATCH", 0.9), wall]
    end = (reach * math.cos(aft_end), reach * math.sin(aft_end))
    items += [
        Line((0.0, -radius - 6.5 * mm), (0.0, radius + 6.5 * mm), "CENTRE"),
        Line((-end[0], -end[1]), end, "THIN", tag=f"axis:{hole.id}"),
        *angle_arc((0.0, 0.0), radius + _ARC_OFF * mm, -0.5 * math.pi, aft_end, f"arc:{hole.id}"),
        Text((0.0, radius + 7.5 * mm), post_words.FORWARD, LETTERING, "TEXT", "centre"),
        Text((0.0, -radius - 7.5 * mm), post_words.AFT, LETTERING, "TEXT", "centre", "top"),
    ]
    items += arrow_to((out * (radius + 3.0 * mm), 0.0), (out * (radius + 13.0 * mm), 0.0), mm)
    word_at = out * (radius + 3.0 * mm)
    across = post_words.across_of(out)
    items += [
        Text((word_at, 1.6 * mm), post_words.OUTBOARD, LETTERING, "TEXT", across),
        Text((word_at, -1.6 * mm), words.SIDE[post.side], LETTERING, "NOTE", across, "top"),
    ]
    return (*items, *_clocking_words(hole, turn, out, end, mm))


def _clocking_words(hole: PlacedHole, turn: float, out: float, end: Point, mm: float) -> list[Item]:
    """Return the angle and the way it is turned, beside the hole's aft end."""
    towards = out if turn >= 0.0 else -out
    x = towards * (max(abs(end[0]), 4.0 * mm) + 2.0 * mm)
    across = post_words.across_of(towards)
    value = f"{decimal(abs(degrees(turn)), 1)}°"
    return [
        Text((x, end[1] + 1.5 * mm), value, LETTERING, "TEXT", across, tag=f"clock:{hole.id}"),
        Text((x, end[1] - 2.3 * mm), post_words.turned(turn), LETTERING, "NOTE", across),
    ]


def _wall(radius: float, bore: float, middle: float, diameter: float, tilt: float) -> Polyline:
    """Return one side of the ring between the two ends of the hole that goes through it."""

    def half_gap(r: float) -> float:
        return math.asin(math.sqrt((0.5 * diameter / r) ** 2 - math.sin(tilt) ** 2) / math.cos(tilt))

    outer, inner = 0.5 * math.pi - half_gap(radius), 0.5 * math.pi - half_gap(bore)
    points = [_polar(radius, middle - outer + 2.0 * outer * k / _ARC_STEPS) for k in range(_ARC_STEPS + 1)]
    points += [_polar(bore, middle + inner - 2.0 * inner * k / _ARC_STEPS) for k in range(_ARC_STEPS + 1)]
    return Polyline(tuple(points), "OUTLINE", closed=True)


def _polar(radius: float, angle: float) -> Point:
    return (radius * math.cos(angle), radius * math.sin(angle))


def half_height(post: PlacedPost, hole: PlacedHole, tilt: float) -> float:
    """Return the least that the enlarged cut reaches up and down from the hole's centre [mm]."""
    return 0.5 * hole.diameter / math.cos(tilt) + 0.5 * post.tube_od * abs(math.tan(tilt)) + 4.0


def along_hole(
    refit: Refit, post: PlacedPost, hole: PlacedHole, high: float, mm: float, how: Numbers
) -> tuple[Item, ...]:
    """Return the cut that holds the tube's axis and the hole's, the hole level and its aft end at the right.

    Args:
        refit: the boat worked out.
        post: the hole's post.
        hole: which hole.
        high: how far the tube is shown up and down from the hole's centre [mm].
        mm: model millimetres to a paper millimetre.
        how: how lengths are written.
    """
    tilt = refit.placed.drillings[hole.id].tilt
    radius, bore = 0.5 * post.tube_od, 0.5 * post.tube_od - post.tube_wall
    rise, half = math.tan(tilt), 0.5 * hole.diameter / math.cos(tilt)

    def laid(x: float, z: float) -> Point:
        """Return a point of the tube turned so that the hole lies level."""
        return (x * math.cos(tilt) + z * math.sin(tilt), z * math.cos(tilt) - x * math.sin(tilt))

    items: list[Item] = []
    for inner, outer in ((bore, radius), (-bore, -radius)):
        for up in (1.0, -1.0):
            corners = tuple(
                laid(x, z)
                for x, z in (
                    (inner, inner * rise + up * half),
                    (outer, outer * rise + up * half),
                    (outer, up * high),
                    (inner, up * high),
                )
            )
            items += [
                Hatch(corners, "HATCH", 1.0),
                Polyline((corners[2], corners[1], corners[0], corners[3]), "OUTLINE"),
            ]
    for face in (radius, bore):
        for edge in hole_edges(face, 0.5 * hole.diameter, (math.cos(tilt), 0.0, math.sin(tilt))):
            items.append(Polyline(tuple(laid(x, z) for x, y, z in _far_half(edge)), "FITTING"))
    for up in (1.0, -1.0):
        items.append(_broken(laid(-radius - 2.0 * mm, up * high), laid(radius + 2.0 * mm, up * high), mm))
    items += [
        Line(laid(0.0, -high - 2.5 * mm), laid(0.0, high + 2.5 * mm), "CENTRE"),
        Line((-radius - 3.0 * mm, 0.0), (radius + 3.0 * mm, 0.0), "CENTRE"),
        *_liner(hole),
    ]
    gap = [laid(-radius, -radius * rise + up * half) for up in (-1.0, 1.0)]
    size = Dimension(gap[0], gap[1], 8.0, along=0.5 * math.pi, text="Ø<>", tag=f"hole:{hole.id}")
    items.append(roomy(size, 1.0 / mm, how))
    x = radius + 4.5 * mm
    items += [
        Text((x, 1.0 * mm), post_words.AFT_END, LETTERING, "TEXT"),
        Text((x, -1.0 * mm), post_words.tilted(tilt), LETTERING, "NOTE", upright="top", tag=f"tilt:{hole.id}"),
    ]
    return tuple(items)


def _far_half(edge: list[Vec]) -> list[Vec]:
    """Return the half of a hole's edge that lies behind the cut, in its order."""
    count = len(edge)
    begin = next(k for k in range(count) if edge[k][1] >= 0.0 and edge[k - 1][1] < 0.0)
    turned = [edge[(begin + k) % count] for k in range(count)]
    return [p for p in turned if p[1] >= -1e-9]


def _broken(start: Point, end: Point, mm: float) -> Polyline:
    """Return a thin break line with one zigzag in its middle."""
    length = math.dist(start, end)
    run = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    side = (-run[1], run[0])
    steps = ((0.0, 0.0), (-1.5, 0.0), (-0.5, 2.0), (0.5, -2.0), (1.5, 0.0), (0.0, 0.0))
    middle = 0.5 * length
    along = [0.0, *(middle + mm * step for step, _ in steps[1:5]), length]
    off = [0.0, *(mm * high for _, high in steps[1:5]), 0.0]
    points = tuple(
        (start[0] + s * run[0] + t * side[0], start[1] + s * run[1] + t * side[1])
        for s, t in zip(along, off, strict=True)
    )
    return Polyline(points, "THIN")


def _liner(hole: PlacedHole) -> list[Item]:
    """Return the bush cut along its axis."""
    liner = hole.told.liner
    if liner is None:
        return []
    half, outer, inner = 0.5 * liner.length, 0.5 * hole.diameter, 0.5 * liner.bore
    items: list[Item] = []
    for sign in (1.0, -1.0):
        corners = ((-half, sign * inner), (half, sign * inner), (half, sign * outer), (-half, sign * outer))
        items += [Hatch(corners, "HATCH", 1.0, -0.25 * math.pi), Polyline(corners, "FITTING", closed=True)]
    return items
