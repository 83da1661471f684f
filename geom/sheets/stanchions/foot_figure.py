"""The foot of a stanchion on its plate: the mitre and its long point, or the square foot over a pad; weld, AFT mark."""

from __future__ import annotations

import math

from geom import vec
from geom.boat.model import BasePlate
from geom.drafting import post_text as post_words
from geom.drafting.profile_view import facing
from geom.drafting.sight import Sight, from_aft, from_outboard
from geom.drafting.symbols import weld_symbol
from geom.drafting.views import break_line, ways
from geom.figure import Hatch, Item, Leader, Line, Point, Polyline
from geom.placement.pads import deck_frame
from geom.placement.place import PlacedPost
from geom.placement.tube_cut import TubeCut
from geom.render.plane import flatten
from geom.sheets.stanchions import text as words
from geom.sheets.stanchions.tube_figure import long_point_at

# Stub of the tube over its plate, the room of a foot over and under it, and the deck beyond its plate [paper mm].
STUB, ABOVE, BELOW, DECK = 24.0, 4.0, 14.0, 5.0
# Least slope of a deck that is drawn apart from a pad, and its hatch [paper mm].
_DECK_HATCH = 2.2


def seen_from_outboard(post: PlacedPost, cut: TubeCut) -> bool:
    """Return whether a foot is drawn from outboard, where its long point or the slope of its pad shows, or from aft."""
    if cut.long_point is None:
        return abs(post.plate.aft) >= abs(post.plate.out)
    return cut.long_point in ("aft", "forward")


def foot_sight(post: PlacedPost, cut: TubeCut) -> Sight:
    """Return the view in which the long point of a foot is at one side, along the deck."""
    return from_outboard(post) if seen_from_outboard(post, cut) else from_aft(post)


def foot_items(post: PlacedPost, cut: TubeCut, base: BasePlate, weld: str, mm: float) -> tuple[Item, ...]:
    """Return the foot of a tube on its plate, deck or pad below, from the side of the long point.

    Args:
        post: the placed post.
        cut: of its tube.
        base: its base.
        weld: the size beside the weld symbol.
        mm: model millimetres to a paper millimetre.
    """
    sight = foot_sight(post, cut)
    plate = plate_corners(post, base, sight)
    tube = _tube(post, cut, sight, mm)
    left, right = _directions(post, cut)
    floor = -reach_down(post, cut, base)
    items: list[Item] = [
        *tube,
        Polyline(plate, "OUTLINE", closed=True, tag=f"plate:{post.id}"),
        *_pad(post, base, sight),
        *_deck(base, sight, post, mm),
        *(_weld(post, cut, sight, weld, mm) if base.socket is None else ()),
        *ways((0.0, floor - 8.5 * mm), left, right, mm),
    ]
    if cut.long_point is not None:
        items.append(_long_point(post, cut, sight, mm))
    if seen_from_outboard(post, cut):
        items += _aft_mark(post, sight, mm)
    return tuple(items)


def reach_down(post: PlacedPost, cut: TubeCut, base: BasePlate) -> float:
    """Return how far the deck is under the tube's foot in its view at most [mm].

    Args:
        post: the placed post.
        cut: of its tube.
        base: its base.
    """
    sight = foot_sight(post, cut)
    return -min(y for _, y in (*plate_corners(post, base, sight)[:2], *_on_deck(post, base, sight)))


def reach_over(post: PlacedPost, cut: TubeCut, base: BasePlate, mm: float) -> float:
    """Return how far tube and plate reach over the tube's foot in its view [mm].

    Args:
        post: the placed post.
        cut: of its tube.
        base: its base.
        mm: model millimetres to a paper millimetre.
    """
    sight = foot_sight(post, cut)
    drawn = (at for item in _tube(post, cut, sight, mm) for at in flatten(item))
    return max(y for _, y in (*plate_corners(post, base, sight), *drawn))


def reach_beside(post: PlacedPost, cut: TubeCut, base: BasePlate) -> float:
    """Return how far plate and pad reach to either side of the tube's foot in its view at most [mm].

    Args:
        post: the placed post.
        cut: of its tube.
        base: its base.
    """
    sight = foot_sight(post, cut)
    return max(abs(x) for x, _ in (*plate_corners(post, base, sight), *_on_deck(post, base, sight)))


def _on_deck(post: PlacedPost, base: BasePlate, sight: Sight) -> tuple[Point, ...]:
    """Return the points on deck under both ends of a plate's lower face in a view, left first [mm]."""
    up = _unit(sight.point(post.axis)) if base.tube != "to suit the post" else (0.0, 1.0)
    lower, drops = plate_corners(post, base, sight)[:2], _drops(post, base, sight)
    return tuple((x - drop * up[0], y - drop * up[1]) for (x, y), drop in zip(lower, drops, strict=True))


def _directions(post: PlacedPost, cut: TubeCut) -> tuple[str, str]:
    outboard = seen_from_outboard(post, cut)
    return post_words.ways_from_outboard(post.side) if outboard else post_words.ways_from_aft(post.side)


def plate_corners(post: PlacedPost, base: BasePlate, sight: Sight) -> tuple[Point, Point, Point, Point]:
    """Return the corners of a plate on edge from the tube's foot [mm]: lower face from the left, upper from the right.

    Args:
        post: the placed post.
        base: its plate.
        sight: the view along the deck.
    """
    fore = abs(vec.dot(sight.right, post.fore_and_aft)) > 0.5
    half = 0.5 * (base.length if fore else base.width)
    if base.tube == "to suit the post":
        # The axis goes through the middle of the lower face.
        shift = -sight.point(vec.scale(post.axis, base.thickness / math.cos(post.plate.total)))[0]
        t = base.thickness
        return ((shift - half, -t), (shift + half, -t), (shift + half, 0.0), (shift - half, 0.0))
    run = _unit(sight.point(post.fore_and_aft if fore else post.outboard))
    run = run if run[0] > 0.0 else (-run[0], -run[1])
    up = _unit(sight.point(post.axis))

    def corner(along: float, over: float) -> Point:
        return (along * run[0] + over * up[0], along * run[1] + over * up[1])

    t = base.thickness
    return (corner(-half, -t), corner(half, -t), corner(half, 0.0), corner(-half, 0.0))


def _tube(post: PlacedPost, cut: TubeCut, sight: Sight, mm: float) -> list[Line | Polyline]:
    """Return the tube's sides from the foot up to a break line, its foot and its axis."""
    radius, top = 0.5 * post.tube_od, STUB * mm
    normal = post.axis if cut.long_point is None else deck_frame(post).normal
    across = vec.unit(vec.cross(post.axis, sight.viewer))
    lows: list[Point] = []
    highs: list[Point] = []
    for sign in (1.0, -1.0):
        side = vec.scale(across, sign * radius)
        slip = -vec.dot(side, normal) / vec.dot(post.axis, normal)
        low, high = (sight.point(vec.add(side, vec.scale(post.axis, at))) for at in (slip, top))
        lows.append(low)
        highs.append(high)
    tag = f"foot-side:{post.id}"
    far, near = (sight.point(vec.scale(post.axis, at)) for at in (top + 3.0 * mm, -10.0 * mm))
    return [
        *(Line(low, high, "OUTLINE", tag=tag) for low, high in zip(lows, highs, strict=True)),
        Line(lows[0], lows[1], "OUTLINE", tag=f"foot-cut:{post.id}"),
        break_line(min(highs), max(highs), mm, 1.2),
        Line(near, far, "CENTRE"),
    ]


def _long_point(post: PlacedPost, cut: TubeCut, sight: Sight, mm: float) -> Leader:
    """Return the leader to the long point, at the side of the tube where it is."""
    at = long_point_at(post, cut, sight)
    side = 1.0 if at[0] > 0.0 else -1.0
    edge = side * 0.5 * post.tube_od
    assert cut.long_point is not None
    knee = (edge + side * 5.0 * mm, 9.0 * mm)
    lines = words.LONG_POINT[cut.long_point].rsplit(" ", 1)[0]
    return Leader(((edge, at[1]), knee, (knee[0] + side * 1.5 * mm, knee[1])), lines, tag=f"long-point:{post.id}")


def _aft_mark(post: PlacedPost, sight: Sight, mm: float) -> list[Item]:
    """Return the AFT mark on the tube over its foot, and on the edge of the plate."""
    side = facing(post.side)
    edge, low, high = 0.5 * post.tube_od, 13.0 * mm, 19.0 * mm
    lean = _unit(sight.point(post.axis))
    x = [lean[0] / lean[1] * level + side * edge for level in (low, high)]
    half = 0.6 * mm
    corners = ((x[0] - half, low), (x[0] + half, low), (x[1] + half, high), (x[1] - half, high))
    knee = (x[1] + side * 5.0 * mm, 17.5 * mm)
    tip = (x[1], 0.5 * (low + high))
    return [
        Hatch(corners, "HOLD", tag="aft-mark"),
        Leader((tip, knee, (knee[0] + side * 1.5 * mm, knee[1])), words.AFT, layer="HOLD", tag="aft-mark"),
    ]


def _drops(post: PlacedPost, base: BasePlate, sight: Sight) -> tuple[float, float]:
    """Return how far the deck is under the plate's lower face at both its edges in a view, left first [mm]."""
    if base.tube == "to suit the post":
        return (0.0, 0.0)
    fore = abs(vec.dot(sight.right, post.fore_and_aft)) > 0.5
    half = 0.5 * (base.length if fore else base.width)
    along = post.fore_and_aft if fore else post.outboard
    direction = 1.0 if sight.point(along)[0] > 0.0 else -1.0
    normal = deck_frame(post).normal
    slope = vec.dot(along, normal) / vec.dot(post.axis, normal) * direction
    middle = half * abs(slope)
    return (middle - half * slope, middle + half * slope)


def _pad(post: PlacedPost, base: BasePlate, sight: Sight) -> list[Item]:
    """Return the pad under a plate that is square to its tube, thinnest at one edge of the view."""
    if base.tube == "to suit the post":
        return []
    plate, lower = plate_corners(post, base, sight), _on_deck(post, base, sight)
    corners = (plate[0], plate[1], lower[1], lower[0])
    return [Hatch(corners, "HATCH", 1.3), Polyline(corners, "EDGE", closed=True, tag=f"pad:{post.id}")]


def _deck(base: BasePlate, sight: Sight, post: PlacedPost, mm: float) -> list[Item]:
    """Return the deck under plate or pad, with short strokes below it."""
    ends = _on_deck(post, base, sight)
    run = _unit((ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]))
    reach = DECK * mm
    begin = (ends[0][0] - reach * run[0], ends[0][1] - reach * run[1])
    finish = (ends[1][0] + reach * run[0], ends[1][1] + reach * run[1])
    items: list[Item] = [Line(begin, finish, "EDGE", tag=f"deck:{post.id}")]
    length = math.dist(begin, finish)
    step, stroke = 4.0 * mm, _DECK_HATCH * mm
    for k in range(int(length / step)):
        at = (begin[0] + (k + 0.5) * step * run[0], begin[1] + (k + 0.5) * step * run[1])
        items.append(Line(at, (at[0] - 0.7 * stroke, at[1] - stroke), "HATCH"))
    return items


def _weld(post: PlacedPost, cut: TubeCut, sight: Sight, weld: str, mm: float) -> tuple[Item, ...]:
    """Return the weld symbol, all round, at the side of the foot away from its long point."""
    at = (0.0, 0.0) if cut.long_point is None else long_point_at(post, cut, sight)
    side = -1.0 if at[0] > 0.0 else 1.0
    if cut.long_point is None:
        side = -facing(post.side)
    return weld_symbol((side * 0.5 * post.tube_od, 0.0), side, weld, mm, tag=f"weld:{post.id}")


def _unit(p: Point) -> Point:
    length = math.hypot(*p)
    return (p[0] / length, p[1] / length)
