"""The deck from above: X to the right, Y up, so that the bow is at the left and starboard on top."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from geom.drafting.boat_view import SIDES, extent, meshes
from geom.drafting.rail_lines import plan_rails
from geom.drafting.shop_text import as_bought
from geom.figure import (
    Block,
    Circle,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Polyline3,
    Text,
)
from geom.lettering import width as text_width
from geom.placement.place import PlacedPost, PlacedRun
from geom.refit import Refit
from geom.sheets.deck_plan import text as own
from geom.tables import numbers
from geom.units import decimal, degrees

_PIN = 0.8
# Ends of the two edges of a hull this near fore and aft are joined [mm]; else the edge goes on into the bridge deck.
_ABREAST = 300.0
# Half the width of a line on hold, which is drawn hollow [paper mm].
_HOLLOW = 0.65
# Beyond the ends of the boat: the centre line, the grid [paper mm].
_BEYOND_ENDS = 5.0
# Between a word and a line of the grid [paper mm].
_WORD_CLEAR = 1.2
_GRID_STEPS = {"mm": (1000.0, 500.0), "in": (48.0 * 25.4, 24.0 * 25.4)}


def plan_items(refit: Refit, mm: float, low: float, high: float) -> tuple[Item, ...]:
    """Return hull, rails, lines, posts and the grid of coordinates, without their names.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        low: lower end of the grid, towards port [boat mm].
        high: its upper end, towards starboard [boat mm].
    """
    return (
        *_grid(refit, mm, low, high),
        *_hull(refit, mm),
        *(item for net in refit.nets if net.spec.corners is not None for item in meshes(net, 0, 1)),
        *plan_rails(refit),
        *_mast(refit, mm),
        *(item for run in refit.runs for item in _line(run.run, bool(run.work.refused), mm)),
        *(_post(refit, post, mm) for post in refit.placed.posts.values()),
        *(Circle((eye.at[0], eye.at[1]), _PIN * mm, "FITTING", tag=f"eye:{eye.id}") for eye in refit.boat.eyes),
    )


def _hull(refit: Refit, mm: float) -> Iterator[Item]:
    starboard, port = refit.boat.edge("S"), refit.boat.edge("P")
    for side, edge in zip(SIDES, (starboard, port), strict=True):
        yield Polyline(tuple((x, y) for x, y, _ in edge), "DECK-EDGE", tag=f"edge:{side}")
    edges = refit.boat.deck_edge
    inner = [edge for edge in (edges.starboard_inner, edges.port_inner) if edge is not None]
    for edge in (*inner, *(edge for edge in (edges.bow, edges.stern) if edge is not None)):
        yield Polyline(tuple((x, y) for x, y, _ in edge), "DECK-EDGE")
    closing = [(starboard[0], port[0]), (starboard[-1], port[-1])]
    if inner:
        # Each hull has its own stem and stern.
        outer = (
            edge for edge, own in ((starboard, edges.starboard_inner), (port, edges.port_inner)) if own is not None
        )
        ends = [(a[end], b[end]) for a, b in zip(outer, inner, strict=True) for end in (0, -1)]
        closing = [(a, b) for a, b in ends if abs(a[0] - b[0]) < _ABREAST]
    elif refit.boat.boat.hulls == "multi":
        closing = []
    for a, b in closing:
        if abs(a[1] - b[1]) > 1.0:
            yield Line((a[0], a[1]), (b[0], b[1]), "DECK-EDGE")
    low, high, _, _ = extent(refit)
    yield Line((low - _BEYOND_ENDS * mm, 0.0), (high + _BEYOND_ENDS * mm, 0.0), "CENTRE", tag="centreline")


def _mast(refit: Refit, mm: float) -> Iterator[Item]:
    x = refit.boat.boat.mast_x
    if x is not None:
        yield Line((x, -4.0 * mm), (x, 4.0 * mm), "CENTRE", tag="mast")
        yield Circle((x, 0.0), 2.5 * mm, "RAIL")


def _line(run: PlacedRun, on_hold: bool, mm: float) -> Iterator[Item]:
    """Yield a run from above: its line, or one drawn hollow where it is on hold; pins at ends on posts."""
    if not on_hold:
        yield Polyline3(run.points, f"GUARD-LINE-{run.level}", tag=f"run:{run.id}")
    else:
        for sign in (-1.0, 1.0):
            chain = beside(tuple((x, y) for x, y, _ in run.points), sign * _HOLLOW * mm)
            yield Polyline(chain, "HOLD", tag=f"run:{run.id}")
    for name, point in ((run.names[0], run.points[0]), (run.names[-1], run.points[-1])):
        yield Circle((point[0], point[1]), 0.5 * mm, "FITTING", tag=f"pin:{run.id}:{name}")


def beside(points: tuple[Point, ...], distance: float) -> tuple[Point, ...]:
    """Return a chain parallel to another one, to the left of its direction where the distance is positive.

    Args:
        points: of the chain, two or more, none equal to its neighbour [mm].
        distance: between the chains [mm].
    """
    ways = [(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points)]
    normals = [(-y / math.hypot(x, y), x / math.hypot(x, y)) for x, y in ways]
    corners = [normals[0], *(_mitre(a, b) for a, b in itertools.pairwise(normals)), normals[-1]]
    return tuple((x + u * distance, y + v * distance) for (x, y), (u, v) in zip(points, corners, strict=True))


def _mitre(a: Point, b: Point) -> Point:
    """Return the vector to the corner between two sides shifted by one along their unit normals."""
    share = 1.0 + a[0] * b[0] + a[1] * b[1]
    return ((a[0] + b[0]) / share, (a[1] + b[1]) / share)


def _post(refit: Refit, post: PlacedPost, mm: float) -> Block:
    """Return a post as a block: its plate, its tube from foot to top at true size, and its data for CAD readers."""
    top = post.at(post.top)
    foot: Point = (post.foot[0], post.foot[1])
    x, y = top[0] - foot[0], top[1] - foot[1]
    tube, fmt = refit.boat.tubes[post.spec.tube], numbers(refit.boat)
    unit = fmt.unit.upper()

    def written(value: float) -> str:
        return fmt.figure(value)

    attributes = [
        ("ID", post.id),
        (f"FOOT_{unit}", " ".join(written(value) for value in post.foot)),
        ("LEAN_OUT_DEG", decimal(degrees(post.lean), 2)),
        ("RAKE_AFT_DEG", decimal(degrees(post.rake), 2)),
        ("TUBE", own.TUBE_SIZE.format(od=as_bought(tube.od, fmt), wall=as_bought(tube.wall, fmt))),
        ("GRADE", tube.grade),
    ]
    for hole in post.holes:
        attributes.append((f"HOLE_{hole.level}_{unit}", f"{written(hole.diameter)} at {written(hole.along)}"))
        attributes.append((f"HEIGHT_{hole.level}_{unit}", written(refit.placed.hole_heights[hole.id].above_foot)))
    base = refit.boat.bases.get(post.spec.base) if post.spec.base else None
    plate = () if base is None else (_rectangle(base.length, base.width),)
    return Block(
        name=f"POST-{post.id}",
        at=foot,
        items=(*plate, Hatch(_slot((x, y), max(tube.od / 2.0, 0.6 * mm)), "POST")),
        attributes=tuple(attributes),
        tag=f"post:{post.id}",
    )


def _rectangle(length: float, width: float) -> Polyline:
    x, y = length / 2.0, width / 2.0
    return Polyline(((-x, -y), (x, -y), (x, y), (-x, y)), "EDGE", closed=True)


def _slot(end: Point, radius: float) -> tuple[Point, ...]:
    """Return the outline round a tube seen from above, from its foot at (0, 0) to its top."""
    way = math.atan2(end[1], end[0])
    half = [math.pi * k / 8.0 for k in range(9)]
    near = [(radius * math.cos(way + math.pi / 2.0 + a), radius * math.sin(way + math.pi / 2.0 + a)) for a in half]
    far = [
        (end[0] + radius * math.cos(way - math.pi / 2.0 + a), end[1] + radius * math.sin(way - math.pi / 2.0 + a))
        for a in half
    ]
    return (*near, *far)


def _grid(refit: Refit, mm: float, low: float, high: float) -> Iterator[Item]:
    """Yield the grid of coordinates under the drawing, its figures beside it."""
    step_x, step_y = _GRID_STEPS["in" if refit.boat.units.length in ("in", "ft") else "mm"]
    unit = 25.4 if refit.boat.units.length in ("in", "ft") else 1.0
    first, last, _, _ = extent(refit)
    left, right = first - 2.0 * mm, last + _BEYOND_ENDS * mm
    for k in range(math.ceil(left / step_x), math.floor(right / step_x) + 1):
        yield Line((k * step_x, low), (k * step_x, high), "UNDERLAY")
        yield Text((k * step_x, low - 3.7 * mm), _figure("X", k * step_x / unit), 2.5, "SECOND", "centre")
    half = math.floor(min(high, -low) / step_y)
    for k in range(-half, half + 1):
        if k:
            yield Line((left, k * step_y), (right, k * step_y), "UNDERLAY")
        at = (right + 1.5 * mm, k * step_y)
        yield Text(at, _figure("Y", k * step_y / unit), 2.5, "SECOND", "left", "middle")


def grid_beside(items: Sequence[Item], signs: Sequence[Item], mm: float) -> Iterator[Item]:
    """Yield the items of a plan with the lines of the grid across it broken where a word stands on them.

    Args:
        items: of the plan.
        signs: the words, with their arrows.
        mm: boat millimetres to one paper millimetre.
    """
    texts = sorted((one for one in signs if isinstance(one, Text)), key=lambda one: one.at[1])
    for item in items:
        if not isinstance(item, Line) or item.layer != "UNDERLAY" or item.start[0] != item.end[0]:
            yield item
            continue
        x, low = item.start
        for text in texts:
            wide = text_width(text.text, text.height, text.weight)
            foot = text.at[1] - (0.5 * text.height * mm if text.upright == "middle" else 0.0)
            if text.at[0] - _WORD_CLEAR * mm < x < text.at[0] + (wide + _WORD_CLEAR) * mm:
                if foot - _WORD_CLEAR * mm > low:
                    yield Line((x, low), (x, foot - _WORD_CLEAR * mm), item.layer)
                low = foot + (text.height + _WORD_CLEAR) * mm
        if low < item.end[1]:
            yield Line((x, low), item.end, item.layer)


def _figure(axis: str, value: float) -> str:
    """Return a figure of the grid, the axis named at its zero."""
    return f"{value:g}" if value else f"{axis} 0"
