"""The spans on the deck plan: dimensions outboard of each line, their numbers clear, the letter of each level."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from geom.boat.model import LEVELS, Side
from geom.drafting.boat_view import INBOARD, SIDES
from geom.drafting.placing import Drawn, Label
from geom.figure import Dimension, Item, LengthFormat, Line, Point, Text
from geom.lettering import width as text_width
from geom.placement.place import PlacedRun, hull_sign
from geom.refit import Refit
from geom.render.grid import box_hits_segment
from geom.sheets.deck_plan import text as own
from geom.sheets.deck_plan.plan import beside

# Least distance between the dimensions of two lines [paper mm].
_ROWS = 7.0
# A line that turns more at a post has its dimensions abreast of the feet, as else their witness lines would cross.
_SHARP = math.radians(25.0)


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

# Off the middle of its span a number stands by the first of these shares of it that is clear.
_SHARES = (0.0, 0.12, -0.12, 0.25, -0.25, 0.18, -0.18, 0.06, -0.06, 0.3, -0.3)
# How much further out than just beyond the ends of its span a number stands [paper mm], the first that is clear.
_FURTHER = (0.0, 4.0, 8.0, 14.0)


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


def witnesses_beside(witnesses: Iterable[Item], spans: Sequence[Item], drawn: Drawn) -> Iterator[Item]:
    """Yield witness lines broken where the number of a span stands on them, for want of a clear place.

    Args:
        witnesses: lines in view units.
        spans: the dimensions with their numbers as placed.
        drawn: the view in which they are.
    """
    boxes = [drawn.numbered(item).box for item in spans if isinstance(item, Dimension)]
    for item in witnesses:
        lines = [item] if isinstance(item, Line) else []
        for box in boxes:
            lines = [part for line in lines for part in _beside_box(line, drawn, box)]
        yield from lines if isinstance(item, Line) else (item,)


def _beside_box(line: Line, drawn: Drawn, box: Sequence[Point]) -> list[Line]:
    """Return the parts of a line outside a box, whose corners go round counter-clockwise."""
    start, end = drawn.on_paper(line.start), drawn.on_paper(line.end)
    if not box_hits_segment(box, start, end):
        return [line]
    enters, leaves = 0.0, 1.0
    for corner, after in zip(box, (*box[1:], box[0]), strict=True):
        run = (after[0] - corner[0], after[1] - corner[1])
        at_start, at_end = (run[0] * (at[1] - corner[1]) - run[1] * (at[0] - corner[0]) for at in (start, end))
        if at_start < 0.0 <= at_end:
            enters = max(enters, at_start / (at_start - at_end))
        elif at_end < 0.0 <= at_start:
            leaves = min(leaves, at_start / (at_start - at_end))

    def at(share: float) -> Point:
        (x, y), (u, v) = line.start, line.end
        return (x + share * (u - x), y + share * (v - y))

    parts = [(0.0, enters), (leaves, 1.0)]
    return [replace(line, start=at(low), end=at(high)) for low, high in parts if high - low > 1e-6]


def _within(drawn: Drawn, span: Dimension, mm: float) -> Iterator[Label]:
    """Yield a dimension with its number in the middle, moved along its line, and smaller."""
    room = math.dist(span.start, span.end) / mm
    small = replace(span, height=2.5)
    for one in (span, small):
        for share in _SHARES:
            # A fraction reaches down to its own line.
            yield replace(drawn.numbered(replace(one, shift=share * room)), own=span.tag)


def _beside(drawn: Drawn, span: Dimension, mm: float) -> Iterator[Label]:
    """Yield a dimension with its number beyond its ends."""
    beyond = 0.5 * (math.dist(span.start, span.end) / mm + text_width(span.text, 2.5, span.weight)) + 3.0
    for further in _FURTHER:
        for shift in (beyond + further, -beyond - further):
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
