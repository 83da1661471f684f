"""The tube of a stanchion by itself, upright, its sizes as letters of the table."""

from __future__ import annotations

import math

from geom import vec
from geom.drafting import post_text as post_words
from geom.drafting.profile_view import facing
from geom.drafting.sight import Sight, from_outboard_square
from geom.drafting.straight_line import spread
from geom.drafting.views import LETTERING, arrow_to, ways
from geom.figure import Dimension, Hatch, Item, Leader, Line, Point, Polyline, Text
from geom.parts.families.post import hole_edges
from geom.placement.pads import deck_frame
from geom.placement.place import PlacedHole, PlacedPost, side_sign
from geom.placement.tube_cut import TubeCut
from geom.refit import Refit
from geom.sheets.stanchions import text as words
from geom.sheets.stanchions.family import Row
from geom.vec import Vec

# From the tube's edge to the first dimension, between dimensions, and to the notes at the right [paper mm].
FIRST, STEP, NOTES = 10.0, 7.0, 9.0
# Under the foot: the directions; over the top [paper mm].
BELOW, ABOVE = 13.0, 4.9
_STEPS = 32
# A closed curve narrower than this in a view is drawn as one stroke [paper mm].
_EDGE_ON = 0.8
_STROKE = (1.2, 4.4)
# The AFT mark: its ends up the tube and its width [paper mm].
AFT_MARK = (9.0, 17.0, 1.2)


def upright_tube(refit: Refit, row: Row, letters: dict[str, str], notes: dict[str, str], mm: float) -> tuple[Item, ...]:
    """Return a tube by itself from its foot up, with the letters of its lengths and short notes.

    Args:
        refit: the boat as calculated.
        row: the stanchion's row.
        letters: of the columns by their keys.
        notes: what is written beside the tube, by key: cap, size, brace.
        mm: model millimetres to a paper millimetre.
    """
    post, cut = row.post, row.cut
    sight, edge = from_outboard_square(post), 0.5 * post.tube_od
    items: list[Item] = [
        *tube_items(refit, post, cut, sight, mm, torn=row.base is None),
        Line((0.0, -4.0 * mm), (0.0, cut.length + 4.0 * mm), "CENTRE"),
        *_lengths(post, cut, letters, sight, mm),
        *_notes(post, cut, notes, mm),
        *aft_mark(edge, facing(post.side), 0.0, mm),
        *_zero(row, mm),
    ]
    top = max(post.holes, key=lambda hole: hole.along)
    at = cut.from_foot(top.along)
    for side in (-1.0, 1.0):
        near, far = (side * (edge + off * mm) for off in _STROKE)
        items += [
            Line((far, at), (near, at), "OUTLINE", tag=f"cutting:{top.id}"),
            *arrow_to((far, at), (far, at - 5.0 * mm), mm),
            Text((far, at - 6.2 * mm), words.SECTION_ACROSS, 3.5, "TEXT", "centre", "top", weight="semibold"),
        ]
    return (*items, *ways((0.0, -BELOW * mm + 4.0 * mm), *post_words.ways_from_outboard(post.side), mm))


def _lengths(post: PlacedPost, cut: TubeCut, letters: dict[str, str], sight: Sight, mm: float) -> list[Item]:
    """Return the lengths at the left: holes from the lowest up, the length on the axis, that over the long point."""
    edge, up = 0.5 * post.tube_od, 0.5 * math.pi
    marks = [
        (cut.from_foot(hole.along), f"hole:{hole.level}") for hole in sorted(post.holes, key=lambda one: one.along)
    ]
    items: list[Item] = []
    off = FIRST
    for along, key in marks:
        items.append(_length((0.0, 0.0), (-edge, along), off + edge / mm, letters[key], (True, False), post, key))
        off += STEP
    if cut.long_point is not None:
        low = long_point_at(post, cut, sight)
        items.append(_length((0.0, 0.0), (0.0, cut.length), off + edge / mm, letters["length"], (True, True), post,
                             "length"))  # fmt: skip
        off += STEP
        side = (min(low[0], 0.0) - edge, low[1])
        tops = (-edge, cut.length)
        first = Dimension(side, tops, off + edge / mm + side[0] / mm, up, letters["long"],
                          tag=f"letter:{post.id}:long", height=3.5, weight="semibold")  # fmt: skip
        return [*items, first]
    items.append(_length((0.0, 0.0), (-edge, cut.length), off + edge / mm, letters["length"], (False, False), post,
                         "length"))  # fmt: skip
    return items


def _length(
    low: Point, high: Point, off: float, letter: str, bare: tuple[bool, bool], post: PlacedPost, key: str
) -> Dimension:
    return Dimension(low, high, off, 0.5 * math.pi, letter, bare=bare, tag=f"letter:{post.id}:{key}", height=3.5,
                     weight="semibold")  # fmt: skip


def _notes(post: PlacedPost, cut: TubeCut, notes: dict[str, str], mm: float) -> list[Item]:
    """Return the notes at the right, each led to its place on the tube."""
    edge = 0.5 * post.tube_od
    holes = sorted(post.holes, key=lambda hole: hole.along)
    wanted = [(0.5 * (AFT_MARK[0] + AFT_MARK[1]) * mm, words.AFT_MARK, "aft-mark", "HOLD"),
              (24.0 * mm, words.SCRIBE, "scribe", "TEXT")]  # fmt: skip
    wanted += [(cut.from_foot(hole.along), words.HOLE.format(level=hole.level), f"hole:{hole.level}", "TEXT")
               for hole in holes]  # fmt: skip
    wanted.append((0.64 * cut.length, notes["size"], "size", "TEXT"))
    if post.spec.brace is not None:
        wanted.append((cut.from_foot(post.spec.brace.along), notes["brace"], "brace", "TEXT"))
    wanted.append((cut.length, notes["cap"], "cap", "TEXT"))
    wanted.sort(key=lambda one: one[0])
    # A hole's note is over its axis, where the cutting stroke is not.
    high = [at / mm + (6.5 if key.startswith(("hole", "cap")) else 2.0) for at, _, key, _ in wanted]
    sizes = [LETTERING * 1.6 * len(text.split("\n")) for _, text, _, _ in wanted]
    places = spread(high, sizes, 1.0, 4.0, cut.length / mm + ABOVE)
    items: list[Item] = []
    for (at, text, key, layer), place in zip(wanted, places, strict=True):
        tip = (edge, at) if key != "aft-mark" else (_mark_x(post, edge), at)
        # Of two lines the leader meets the first.
        knee = (edge + NOTES * mm, (place + 0.8 * LETTERING * text.count("\n")) * mm)
        shown = "DIM" if layer == "TEXT" else "HOLD"
        items.append(Leader((tip, knee, (knee[0] + 1.5 * mm, knee[1])), text, layer=shown, tag=f"note:{post.id}:{key}"))
    return items


def _mark_x(post: PlacedPost, edge: float) -> float:
    """Return the paper x of the AFT mark: at the left from starboard."""
    return facing(post.side) * edge


def aft_mark(edge: float, side: float, foot: float, mm: float) -> tuple[Item, ...]:
    """Return the AFT mark on the edge of a tube: a red bar.

    Args:
        edge: half the tube's width in the view [mm].
        side: of the view on which aft is, +1 at the right.
        foot: level of the foot [mm].
        mm: model millimetres to a paper millimetre.
    """
    low, high, wide = AFT_MARK
    x = (side * (edge - 0.5 * wide * mm), side * (edge + 0.5 * wide * mm))
    corners = ((x[0], foot + low * mm), (x[1], foot + low * mm), (x[1], foot + high * mm), (x[0], foot + high * mm))
    return (Hatch(corners, "HOLD", tag="aft-mark"),)


def _zero(row: Row, mm: float) -> list[Item]:
    """Return the zero of the lengths: a black triangle on the axis' level, with its words."""
    edge = 0.5 * row.post.tube_od
    tip = (edge + 1.0 * mm, 0.0)
    x = tip[0] + 3.4 * mm
    word = words.ZERO_AT if row.base is not None else words.ZERO_DECK
    return [
        Hatch((tip, (x, 1.7 * mm), (x, -1.7 * mm)), "TEXT", tag="zero"),
        Text((x + 1.5 * mm, 0.0), words.ZERO, LETTERING, "TEXT", upright="middle", tag="zero", weight="semibold"),
        Text((x + 1.5 * mm, -4.2 * mm), word, LETTERING, "NOTE", upright="middle", tag="zero"),
    ]


def long_point_at(post: PlacedPost, cut: TubeCut, sight: Sight) -> Point:
    """Return the long point of a mitred foot in a view, from the foot on the axis [mm].

    Args:
        post: the placed post.
        cut: of its tube, mitred.
        sight: the view.
    """
    down = vec.unit(vec.square_to(deck_frame(post).normal, post.axis))
    low = vec.add(vec.scale(down, 0.5 * post.tube_od), vec.scale(post.axis, cut.length - cut.over_long_point))
    return sight.point(low)


def tube_items(refit: Refit, post: PlacedPost, cut: TubeCut, sight: Sight, mm: float, torn: bool) -> list[Item]:
    """Return a tube's outline from its foot up, with the holes towards the viewer.

    Args:
        refit: the boat as calculated.
        post: the placed post.
        cut: of its tube.
        sight: the view.
        mm: model millimetres to a paper millimetre.
        torn: whether the foot is not known.
    """
    radius = 0.5 * post.tube_od
    normal = post.axis if cut.long_point is None else deck_frame(post).normal
    run = _unit(sight.point(post.axis))
    rim, foot = _ring(post, post.axis, cut.length), _ring(post, normal, 0.0)
    across = vec.unit(vec.cross(post.axis, sight.viewer))
    items: list[Item] = []
    for sign in (1.0, -1.0):
        side = vec.scale(across, sign * radius)
        slip = -vec.dot(side, normal) / vec.dot(post.axis, normal)
        low, high = (sight.point(vec.add(side, vec.scale(post.axis, at))) for at in (slip, cut.length))
        items.append(Line(low, high, "POST", tag=f"side:{post.id}"))
    if not torn:
        items.append(_closed([sight.point(p) for p in foot], run, mm, f"foot:{post.id}"))
    items.append(_closed([sight.point(p) for p in rim], run, mm, f"top:{post.id}"))
    for hole in post.holes:
        items += _hole(refit, post, hole, cut.from_foot(hole.along), sight, mm)
    return items


def _ring(post: PlacedPost, normal: Vec, along: float) -> list[Vec]:
    """Return the intersection of the tube's surface with a plane at a distance along the axis from the foot [mm]."""
    radius, points = 0.5 * post.tube_od, []
    for k in range(_STEPS):
        t = math.tau * k / _STEPS
        side = vec.add(
            vec.scale(post.fore_and_aft, radius * math.cos(t)), vec.scale(post.outboard, radius * math.sin(t))
        )
        slip = -vec.dot(side, normal) / vec.dot(post.axis, normal)
        points.append(vec.add(side, vec.scale(post.axis, along + slip)))
    return points


def _hole(refit: Refit, post: PlacedPost, hole: PlacedHole, along: float, sight: Sight, mm: float) -> list[Item]:
    axis = refit.placed.drillings[hole.id].axis
    starboard = vec.scale(post.outboard, side_sign(post.side))
    own = (vec.dot(axis, post.fore_and_aft), vec.dot(axis, starboard), vec.dot(axis, post.axis))
    centre = vec.scale(post.axis, along)
    across = _unit(sight.point(vec.cross(post.axis, sight.viewer)))
    items: list[Item] = []
    for edge in hole_edges(0.5 * post.tube_od, 0.5 * hole.diameter, own):
        curve = [
            vec.add(vec.add(vec.scale(post.fore_and_aft, p[0]), vec.scale(starboard, p[1])), vec.scale(post.axis, p[2]))
            for p in edge
        ]
        if math.fsum(vec.dot(p, sight.viewer) for p in curve) > 0.0:
            points = [sight.point(vec.add(centre, p)) for p in curve]
            items.append(_closed(points, across, mm, f"hole:{hole.id}", "FITTING"))
    return items


def _closed(points: list[Point], narrow: Point, mm: float, tag: str, layer: str = "POST") -> Item:
    """Return a closed curve, or one stroke where it is edge-on, narrow in a known direction."""
    depth = [p[0] * narrow[0] + p[1] * narrow[1] for p in points]
    if max(depth) - min(depth) >= _EDGE_ON * mm:
        return Polyline(tuple(points), layer, closed=True, tag=tag)
    long = [p[1] * narrow[0] - p[0] * narrow[1] for p in points]
    return Line(points[long.index(min(long))], points[long.index(max(long))], layer, tag)


def _unit(p: Point) -> Point:
    length = math.hypot(*p)
    return (p[0] / length, p[1] / length)
