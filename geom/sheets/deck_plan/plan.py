"""The deck from above: X to the right, Y up, so that the bow is at the left and starboard on top."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from geom.boat.model import LEVELS, Side
from geom.drafting.boat_view import INBOARD, SIDES, extent, meshes
from geom.drafting.placing import Drawn, Label
from geom.drafting.rail_lines import plan_rails
from geom.drafting.shop_text import as_bought
from geom.figure import (
    Block,
    Circle,
    Dimension,
    Hatch,
    Item,
    LengthFormat,
    Line,
    Point,
    Polyline,
    Polyline3,
    Text,
)
from geom.lettering import width as text_width
from geom.placement.place import PlacedPost, PlacedRun, hull_sign
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
# Least distance between the dimensions of two lines [paper mm].
_ROWS = 7.0
# A line that turns more at a post has its dimensions abreast of the feet, as else their witness lines would cross.
_SHARP = math.radians(25.0)
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


def span_items(refit: Refit, side: Side, mm: float, fmt: LengthFormat) -> tuple[Item, ...]:
    """Return the spans of each line of a side, dimensioned outboard, the highest outermost.

    Each line's dimensions run parallel to it, so that those of neighbouring spans meet on one witness line, or to the
    feet of its posts where a leaning one turns the line out of its way; the number is the true length in space.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        mm: boat millimetres to one paper millimetre.
        fmt: format of lengths.
    """
    # Those of an inboard edge stand over the deck of its hull, as its posts have their names on the other side.
    outward = hull_sign(side)
    items: list[Item] = []
    outside, below = _outside(refit, side), list[Point]()
    for level, off in arcs(refit, side).items():
        runs = [run for run in refit.runs if run.run.side == side and run.run.level == level]
        stations = [_stations(refit, run.run) for run in runs]
        high = max(_beyond(outside, side, chain) for chain in stations) / mm + off
        # Outside the dimensions of lower lines, which stand further out where an upper line lies outside the deck edge.
        high = max([high, *(_beyond(below, side, chain) / mm + _ROWS for chain in stations if below)])
        outermost = level == max(arcs(refit, side), key=arcs(refit, side).__getitem__)
        rows: list[Point] = []
        for run, chain in zip(runs, stations, strict=True):
            points = tuple((x, y) for x, y, _ in run.run.points)
            # A run goes from forward to aft, so that starboard, which is up, lies to its left.
            shifted = beside(chain, outward * high * mm)
            layer = "HOLD" if run.work.refused else "DIM"
            for k, (a, b) in enumerate(itertools.pairwise(shifted)):
                items.append(
                    Dimension(
                        a, b, 0.0,
                        text=own.rounded(run.run.spans[k], fmt),
                        layer=layer,
                        tag=f"span:{run.run.id}:{k + 1}",
                        height=3.5 if outermost else 2.5,
                        weight="semibold" if outermost else "regular",
                    )
                )  # fmt: skip
            for point, end in zip(points, shifted, strict=True):
                items.append(_witness(point, end, mm, from_post=outermost))
            rows += shifted
        below += rows
    return tuple(items)


def _stations(refit: Refit, run: PlacedRun) -> tuple[Point, ...]:
    """Return the points in plan that the dimensions of a run stand abreast of: its own, or the feet of its posts."""
    line = tuple((x, y) for x, y, _ in run.points)
    if _sharpest(line) <= _SHARP:
        return line
    feet = {hole.id: post.foot for post, hole in refit.placed.holes()}
    feet |= {post.id: post.foot for post in refit.placed.posts.values()}
    return tuple(feet.get(name, at)[:2] for name, at in zip(run.names, run.points, strict=True))


def _sharpest(points: Sequence[Point]) -> float:
    """Return the sharpest turn of a chain [rad]."""
    ways = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in itertools.pairwise(points)]
    return max((abs(math.remainder(b - a, math.tau)) for a, b in itertools.pairwise(ways)), default=0.0)


# From the first span of a line to the letter of its level [paper mm], the first that is clear.
_LEVEL_OFFS = (4.0, 5.5, 3.2, 7.0, 9.0, 11.5, 14.0, 18.0, 22.0, 27.0)


def placed_spans(refit: Refit, items: Sequence[Item], drawn: Drawn, mm: float) -> Iterator[Item]:
    """Yield the dimensions of spans with their numbers clear, and the letter of each level before its first span.

    Args:
        refit: the boat as calculated.
        items: the dimensions of all sides.
        drawn: what is in the view already, without them; they are added.
        mm: boat millimetres to one paper millimetre.
    """
    spans = {item.tag: item for item in items if isinstance(item, Dimension)}
    drawn.add(Line(item.start, item.end, "DIM", item.tag) for item in spans.values())
    narrow = []
    for item in spans.values():
        found = drawn.put_if_free(_within(drawn, item, mm))
        drawn.add(found)
        yield from found
        narrow += [] if found else [item]
    # Those beyond their span stand where the others leave room.
    for item in narrow:
        found = drawn.put((*_within(drawn, item, mm), *_beside(drawn, item, mm))).items
        drawn.add(found)
        yield from found
    for side in (*SIDES, *INBOARD):
        for level in arcs(refit, side):
            run = next(run for run in refit.runs if run.run.side == side and run.run.level == level)
            yield from drawn.put(_letters(drawn, side, level, spans[f"span:{run.run.id}:1"], mm)).items


def _within(drawn: Drawn, span: Dimension, mm: float) -> Iterator[Label]:
    """Yield a dimension with its number in the middle, moved along its line, and smaller."""
    room = math.dist(span.start, span.end) / mm
    small = replace(span, height=2.5)
    for one, shares in ((span, (0.0, 0.12, -0.12, 0.25, -0.25)), (small, (0.0, 0.12, -0.12))):
        for share in shares:
            # A fraction reaches down to its own line.
            yield replace(drawn.numbered(replace(one, shift=share * room)), own=span.tag)


def _beside(drawn: Drawn, span: Dimension, mm: float) -> Iterator[Label]:
    """Yield a dimension with its number beyond its ends."""
    beyond = 0.5 * (math.dist(span.start, span.end) / mm + text_width(span.text, 2.5, span.weight)) + 3.0
    for shift in (beyond, -beyond):
        yield replace(drawn.numbered(replace(span, height=2.5, shift=shift)), own=span.tag)


def _letters(drawn: Drawn, side: Side, level: str, span: Dimension, mm: float) -> Iterator[Label]:
    """Yield the letter of a level at its places before the first span of its line."""
    size = math.dist(span.start, span.end)
    ahead = ((span.start[0] - span.end[0]) / size, (span.start[1] - span.end[1]) / size)
    text = Text((0.0, 0.0), level, span.height or 2.5, "TEXT", "centre", "middle", tag=f"level:{side}:{level}",
                weight=span.weight)  # fmt: skip
    for aside in (0.0, 2.5, -2.5):
        for off in _LEVEL_OFFS:
            x = span.start[0] + (ahead[0] * off - ahead[1] * aside) * mm
            y = span.start[1] + (ahead[1] * off + ahead[0] * aside) * mm
            yield drawn.label(replace(text, at=(x, y)))


# Beside the number of a span, to its witness lines [paper mm].
_BESIDE_NUMBER = 1.2


def spans_clear(refit: Refit, mm: float, fmt: LengthFormat) -> bool:
    """Return whether the number of every span stands between its witness lines at a scale.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        fmt: format of lengths.
    """
    for item in (item for side in (*SIDES, *INBOARD) for item in span_items(refit, side, mm, fmt)):
        if isinstance(item, Dimension):
            assert item.height is not None
            wide = text_width(item.text, item.height, item.weight)
            if math.dist(item.start, item.end) / mm < wide + _BESIDE_NUMBER:
                return False
    return True


def _witness(point: Point, end: Point, mm: float, from_post: bool) -> Line:
    """Return the witness line of a station: from beside the line to a little beyond the dimension, or a stub there."""
    length = math.dist(point, end)
    way = ((end[0] - point[0]) / length, (end[1] - point[1]) / length)
    start = 2.5 * mm if from_post else length - 1.44 * mm
    return Line(
        (point[0] + way[0] * start, point[1] + way[1] * start),
        (end[0] + way[0] * 1.44 * mm, end[1] + way[1] * 1.44 * mm),
        "DIM",
    )


def arcs(refit: Refit, side: Side) -> dict[str, float]:
    """Return the distance outside the deck edge of each line's dimensions [paper mm], the highest outermost."""
    levels = [level for level in reversed(LEVELS) if any(run.side == side and run.level == level
              for run in refit.placed.runs.values())]  # fmt: skip
    return {level: 13.5 + 8.5 * k for k, level in enumerate(levels)}


def _outside(refit: Refit, side: Side) -> list[Point]:
    """Return the points of the deck edge and of all lines of a side in plan."""
    chains = [refit.boat.edge(side), *(run.points for run in refit.placed.runs.values() if run.side == side)]
    return [(x, y) for chain in chains for x, y, _ in chain]


def _beyond(points: Sequence[Point], side: Side, stations: Sequence[Point]) -> float:
    """Return the largest distance of points outside the chords of a chain in plan [mm], 0 or more."""
    outward = hull_sign(side)
    distances = [0.0]
    for a, b in itertools.pairwise(stations):
        chord = (b[0] - a[0], b[1] - a[1])
        size = math.hypot(*chord)
        for x, y in points:
            if min(a[0], b[0]) <= x <= max(a[0], b[0]):
                distances.append(outward * ((x - a[0]) * -chord[1] + (y - a[1]) * chord[0]) / size)
    return max(distances)
