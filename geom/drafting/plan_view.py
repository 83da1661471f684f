"""The deck from above: X to the right, Y up, so that the bow is at the left and starboard on top."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, dist, tan

from geom.boat.model import Side
from geom.drafting import plan_text as plan_words
from geom.drafting import text as words
from geom.drafting.plan_labels import GATE_BRACKET, label_items, label_places
from geom.drafting.plan_labels import SIDES as SIDES
from geom.drafting.post_text import length
from geom.drafting.rail_lines import plan_rails, rail_axis
from geom.drafting.symbols import axes_sign, bow_arrow
from geom.drafting.tape_discrepancies import tapes_apart
from geom.figure import Block, Circle, Dimension, Item, Line, Point, Polyline, Polyline3, Text
from geom.lettering import width as text_width
from geom.placement.holes import edge_y
from geom.placement.place import PlacedPost, PlacedRun, side_sign
from geom.refit import Refit
from geom.tables import numbers
from geom.units import decimal, degrees
from geom.vec import Vec

# Paper millimetres beyond the deck edge: to the dimension line, and to the limit of lettering outside it.
DIMENSION_OFF = 10.0
ROOM_OUTSIDE = 16.5
_ID_HEIGHT = 2.5
_MARK = 0.9
# From the X arrow to items over its letter [paper mm].
_OVER_ARROW = 4.8


def plan_items(refit: Refit, mm: float, low: float, high: float) -> tuple[Item, ...]:
    """Return all items of the plan.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    items: list[Item] = [*_hull(refit, mm), *_mast(refit, mm)]
    for run in refit.placed.runs.values():
        items.append(Polyline3(run.points, f"GUARD-LINE-{run.level}", tag=f"run:{run.id}"))
    items += plan_rails(refit)
    for post in refit.placed.posts.values():
        items.append(_post(refit, post, mm))
    for eye in refit.boat.eyes:
        items.append(Circle((eye.at[0], eye.at[1]), _MARK * mm, "FITTING", tag=f"eye:{eye.id}"))
    for side in SIDES:
        items += label_items(refit, side, mm, low, high)
        items += _spans(refit, side, mm)
    return (*items, *_gates(refit, mm, low, high), *_signs(refit, mm, low))


def extent(refit: Refit) -> tuple[float, float, float, float]:
    """Return smallest and largest X, smallest and largest Y of the deck edge and everything on deck [mm]."""
    points = [point for side in SIDES for point in refit.boat.edge(side)]
    points += [point for run in refit.placed.runs.values() for point in run.points]
    points += [post.foot for post in refit.placed.posts.values()]
    points += [point for rail in refit.boat.rails.values() for point in rail_axis(rail)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), max(xs), min(ys), max(ys)


def _hull(refit: Refit, mm: float) -> list[Item]:
    starboard, port = refit.boat.edge("S"), refit.boat.edge("P")
    items: list[Item] = [
        Polyline(tuple((x, y) for x, y, _ in edge), "DECK-EDGE", tag=f"edge:{side}")
        for side, edge in zip(SIDES, (starboard, port), strict=True)
    ]
    for a, b in ((starboard[0], port[0]), (starboard[-1], port[-1])):
        if abs(a[1] - b[1]) > 1.0:
            items.append(Line((a[0], a[1]), (b[0], b[1]), "DECK-EDGE"))
    low, high, _, _ = extent(refit)
    items.append(Line((low - 4.0 * mm, 0.0), (high + 4.0 * mm, 0.0), "CENTRE", tag="centreline"))
    return items


def _mast(refit: Refit, mm: float) -> list[Item]:
    x = refit.boat.boat.mast_x
    if x is None:
        return []
    reach = 3.2 * mm
    return [
        Line((x, -reach), (x, reach), "CENTRE", tag="mast"),
        Circle((x, 0.0), 1.6 * mm, "THIN"),
        Text((x + 3.0 * mm, 2.0 * mm), "MAST", 2.5, "NOTE"),
    ]


def _post(refit: Refit, post: PlacedPost, mm: float) -> Block:
    """Return a post as a block: its tube at the foot and at the top at true size, a mark, and its data."""
    top = post.at(post.top)
    foot: Point = (post.foot[0], post.foot[1])
    x, y = top[0] - foot[0], top[1] - foot[1]
    tube = refit.boat.tubes[post.spec.tube]
    attributes = [
        ("ID", post.id),
        ("FOOT_MM", " ".join(decimal(value, 1) for value in post.foot)),
        ("LEAN_OUT_DEG", decimal(degrees(post.lean), 2)),
        ("RAKE_AFT_DEG", decimal(degrees(post.rake), 2)),
        ("TUBE_MM", f"{tube.od:g} x {tube.wall:g}"),
        ("GRADE", tube.grade),
    ]
    for hole in post.holes:
        attributes.append((f"HOLE_{hole.level}_MM", f"{hole.diameter:g} at {hole.along:g}"))
        attributes.append((f"HEIGHT_{hole.level}_MM", decimal(refit.placed.hole_heights[hole.id].above_foot, 1)))
    radius = tube.od / 2.0
    return Block(
        name=f"POST-{post.id}",
        at=foot,
        items=(
            Circle((0.0, 0.0), radius, "POST"),
            Circle((x, y), radius, "POST"),
            Line((0.0, 0.0), (x, y), "THIN"),
            Circle((x, y), _MARK * mm, "FITTING"),
        ),
        attributes=tuple(attributes),
        tag=f"post:{post.id}",
    )


def spans_clear(refit: Refit, mm: float) -> bool:
    """Return whether every span of a side's highest line has room for its number at a scale.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
    """
    fmt, apart = numbers(refit.boat), _taped_apart(refit)
    for side in SIDES:
        spans = _highest_spans(refit, side)
        high = max((_beyond(refit, side, a, b) for _, _, a, b in spans), default=0.0) / mm + DIMENSION_OFF + 3.5
        # Where the line turns outward, extension lines of a neighbour slope across the number.
        lean = [max(0.0, _outward_bend(side, p[2:], q[2:])) for p, q in pairwise(spans)]
        for (run, index, a, b), before, after in zip(spans, [0.0, *lean], [*lean, 0.0], strict=False):
            star = "*" if _stations(run, index) in apart else ""
            wide = text_width(f"{decimal(dist(a, b) / fmt.mm, fmt.decimals)}{star}", _ID_HEIGHT) + 1.6
            if wide + 2.0 * high * tan(max(before, after)) > dist(a[:2], b[:2]) / mm:
                return False
    return True


def _outward_bend(side: Side, first: tuple[Vec, Vec], second: tuple[Vec, Vec]) -> float:
    """Return the outward turn of a span from the one before it in plan [rad], 0 where they do not meet."""
    if dist(first[1], second[0]) > 1.0:
        return 0.0
    angles = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in (first, second)]
    return side_sign(side) * (angles[1] - angles[0])


def _highest_spans(refit: Refit, side: Side) -> list[tuple[PlacedRun, int, Vec, Vec]]:
    """Return the spans of the highest line of a side with their runs, counted from 0 in each."""
    runs = [run for run in refit.placed.runs.values() if run.side == side]
    highest = next((level for level in ("U", "M", "L") if any(run.level == level for run in runs)), None)
    return [
        (run, index, a, b) for run in runs if run.level == highest for index, (a, b) in enumerate(pairwise(run.points))
    ]


def _spans(refit: Refit, side: Side, mm: float) -> list[Item]:
    """Return the spans of the highest line of a side, dimensioned clear outside the deck edge."""
    spans = _highest_spans(refit, side)
    beyond = max((_beyond(refit, side, a, b) for _, _, a, b in spans), default=0.0)
    offset = side_sign(side) * (beyond / mm + DIMENSION_OFF)
    apart = _taped_apart(refit)
    return [
        Dimension(
            (a[0], a[1]),
            (b[0], b[1]),
            offset,
            text=plan_words.STARRED if _stations(run, index) in apart else "<>",
            levels=(a[2], b[2]),
            tag=f"span:{run.id}:{index + 1}",
        )
        for run, index, a, b in spans
    ]


def _taped_apart(refit: Refit) -> set[frozenset[str]]:
    """Return the pairs of named points whose tape disagrees with their coordinates."""
    return {frozenset((row.start, row.end)) for row in tapes_apart(refit)}


def _stations(run: PlacedRun, index: int) -> frozenset[str]:
    """Return the names of a span's ends as used for tapes: a rail eye or a hole, the level's for an eye on a post."""
    ends = {0: run.spec.start, len(run.names) - 1: run.spec.finish}
    return frozenset(
        f"{run.names[k]}-{run.level}" if k in ends and ends[k].post else run.names[k] for k in (index, index + 1)
    )


def _beyond(refit: Refit, side: Side, a: Vec, b: Vec) -> float:
    """Return the largest distance of the deck edge outside the chord of a span in plan [mm], 0 or more."""
    outward = side_sign(side)
    chord = (b[0] - a[0], b[1] - a[1])
    length = (chord[0] ** 2 + chord[1] ** 2) ** 0.5
    normal = (-chord[1] / length, chord[0] / length)
    distances = [0.0]
    for x, y, _ in refit.boat.edge(side):
        if min(a[0], b[0]) <= x <= max(a[0], b[0]):
            distances.append(outward * ((x - a[0]) * normal[0] + (y - a[1]) * normal[1]))
    return max(distances)


def _gates(refit: Refit, mm: float, low: float, high: float) -> list[Item]:
    """Return a bracket inboard of each gate from post to post, with the clear opening between their tubes."""
    items: list[Item] = []
    fmt = numbers(refit.boat)
    for gate in refit.placed.gates.values():
        a, b = (refit.placed.posts[name].at(refit.placed.posts[name].top)[0] for name in gate.posts)
        outward = side_sign(gate.side)
        places = label_places(refit, gate.side, mm, low, high)
        inner = min(face for label, _, face in places if label.name in gate.posts)
        y, tick = outward * (inner - GATE_BRACKET * mm), outward * 1.4 * mm
        items.append(Polyline(((a, y + tick), (a, y), (b, y), (b, y + tick)), "DIM"))
        clear = gate.levels[0].clear if gate.levels else None
        text = plan_words.GATE if clear is None else plan_words.GATE_CLEAR.format(value=length(clear, fmt))
        at = ((a + b) / 2.0, outward * (inner - (GATE_BRACKET + 1.1) * mm) - (_ID_HEIGHT * mm if outward > 0 else 0.0))
        items.append(Text(at, text, _ID_HEIGHT, "NOTE", "centre", tag=f"gate:{gate.id}"))
    return items


def _signs(refit: Refit, mm: float, low: float) -> list[Item]:
    _, _, minimum, maximum = extent(refit)
    left = low + 6.0 * mm
    return [
        Text((left, maximum + 12.0 * mm), words.SIDE["S"], 3.5, "TEXT", tag="side:S"),
        Text((left, minimum - 9.5 * mm), words.SIDE["P"], 3.5, "TEXT", tag="side:P"),
        *bow_arrow((left + 14.0 * mm, maximum + 7.0 * mm), -1.0, mm),
        *axes_sign((0.0, 0.0), mm, over=_arrow_along(refit, mm)),
    ]


def _arrow_along(refit: Refit, mm: float) -> float:
    """Return the length of the X arrow from the stem at which the deck edge is clear of its letter [paper mm]."""
    for reach in (9.0, 11.0, 13.0, 15.0, 18.0, 22.0):
        ends = [edge_y(refit.boat.edge("S"), (reach + past) * mm) for past in (-2.6, 0.4)]
        if all(y is None or y > _OVER_ARROW * mm for y in ends):
            return reach
    return 26.0
