"""The deck from above: X to the right, Y up, so that the bow lies at the left and starboard on top."""

from __future__ import annotations

from itertools import pairwise
from math import dist

from geom.boat.model import Level, Side
from geom.figure import Block, Circle, Dimension, Item, Line, Point, Polyline, Polyline3, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.heights import edge_y
from geom.runs.place import PlacedPost, PlacedRun, side_sign
from geom.schedules import leading_verdict, numbers
from geom.sheets import words
from geom.sheets.placing import spread
from geom.sheets.symbols import axes_sign, bow_arrow, eye_symbol
from geom.units import decimal, degrees
from geom.vec import Vec

SIDES: tuple[Side, Side] = ("S", "P")
# Paper millimetres beyond the deck edge: to the dimension line, and to what may still stand outside it.
DIMENSION_OFF = 10.0
ROOM_OUTSIDE = 18.0
_LABEL_GAP = 3.2
_ID_HEIGHT = 2.5
_MARK = 0.9


def plan_items(refit: Refit, mm: float, low: float, high: float) -> tuple[Item, ...]:
    """Return all items of the plan.

    Args:
        refit: the boat worked out.
        mm: boat millimetres to one paper millimetre.
        low: least X that labels may reach [boat mm].
        high: greatest X that labels may reach [boat mm].
    """
    items: list[Item] = [*_hull(refit, mm), *_mast(refit, mm)]
    for run in refit.placed.runs.values():
        items.append(Polyline3(run.points, f"GUARD-LINE-{run.level}", tag=f"run:{run.id}"))
    for post in refit.placed.posts.values():
        items.append(_post(refit, post, mm))
    for eye in refit.boat.eyes:
        items.append(Circle((eye.at[0], eye.at[1]), 0.5 * mm, "FITTING", tag=f"eye:{eye.id}"))
    for side in SIDES:
        items += _labels(refit, side, mm, low, high)
        items += _spans(refit, side, mm)
    return (*items, *_gates(refit, mm, low, high), *_signs(refit, mm, low))


def extent(refit: Refit) -> tuple[float, float, float, float]:
    """Return least and greatest X and Y of the deck edge and everything that stands on deck [mm]."""
    points = [point for side in SIDES for point in refit.boat.edge(side)]
    points += [point for run in refit.placed.runs.values() for point in run.points]
    points += [post.foot for post in refit.placed.posts.values()]
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
    tube = refit.boat.tubes[post.told.tube]
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


def _labels(refit: Refit, side: Side, mm: float, low: float, high: float) -> list[Item]:
    """Return ids and eye signs in a row inboard of each post, moved along where they would touch."""
    items: list[Item] = []
    inward = -side_sign(side)
    for post, centre, inner in _label_places(refit, side, mm, low, high):
        y = side_sign(side) * inner + inward * _LABEL_GAP * mm
        signs = _signs_of(refit, post)
        second = y - 6.6 * mm if inward < 0 else y + 1.3 * mm
        first = y - _ID_HEIGHT * mm if inward < 0 else y + (4.1 * mm if signs else 0.0)
        x = centre * mm
        items.append(Text((x, first), post.id, _ID_HEIGHT, "TEXT", "centre", tag=f"label:{post.id}"))
        left = x - len(signs) * 4.1 * mm + 0.2 * mm
        for index, (level, hole_id, run_id) in enumerate(signs):
            at = (left + index * 8.2 * mm, second)
            items.append(Text(at, level, 2.5, "NOTE", upright="middle"))
            verdict = leading_verdict(refit, run_id, hole_id).verdict
            items += eye_symbol((at[0] + 4.6 * mm, at[1]), verdict, mm, tag=f"sign:{hole_id}")
    return items


def _inner(refit: Refit, post: PlacedPost, at: float, half: float) -> float:
    """Return how near the centreline the lines, the edge and the post come along a label."""
    found = [abs(post.foot[1]), abs(post.at(post.top)[1])]
    chains = [run.points for run in refit.placed.runs.values() if run.side == post.side]
    for chain in (*chains, refit.boat.edge(post.side)):
        found += [abs(y) for x, y, _ in chain if at - half <= x <= at + half]
        found += [abs(y) for y in (edge_y(chain, x) for x in (at - half, at + half)) if y is not None]
    return min(found)


def _label_places(
    refit: Refit, side: Side, mm: float, low: float, high: float
) -> list[tuple[PlacedPost, float, float]]:
    """Return each post of a side with its label's centre along X [paper mm] and where its inner face is [mm]."""
    posts = sorted((post for post in refit.placed.posts.values() if post.side == side), key=lambda post: post.foot[0])
    widths = [_label_width(refit, post) for post in posts]
    centres = spread([post.at(post.top)[0] / mm for post in posts], widths, 1.5, low / mm, high / mm)
    return [
        (post, centre, _inner(refit, post, centre * mm, (0.5 * wide + 1.0) * mm))
        for post, centre, wide in zip(posts, centres, widths, strict=True)
    ]


def labels_clear(refit: Refit, mm: float, low: float, high: float) -> bool:
    """Return whether the labels of both sides stay off the centreline at a scale.

    Args:
        refit: the boat worked out.
        mm: boat millimetres to one paper millimetre.
        low: least X that labels may reach [boat mm].
        high: greatest X that labels may reach [boat mm].
    """
    for side in SIDES:
        for post, _, inner in _label_places(refit, side, mm, low, high):
            tall = _LABEL_GAP + (7.9 if _signs_of(refit, post) else _ID_HEIGHT) + 0.8
            if inner < tall * mm:
                return False
    return True


def spans_clear(refit: Refit, mm: float) -> bool:
    """Return whether every span of a side's highest line holds its own number at a scale.

    Args:
        refit: the boat worked out.
        mm: boat millimetres to one paper millimetre.
    """
    how = numbers(refit.boat)
    for side in SIDES:
        for _, _, a, b in _highest_spans(refit, side):
            wide = text_width(decimal(dist(a, b) / how.mm, how.decimals), _ID_HEIGHT) + 3.0
            if wide > dist(a[:2], b[:2]) / mm:
                return False
    return True


def _highest_spans(refit: Refit, side: Side) -> list[tuple[PlacedRun, int, Vec, Vec]]:
    """Return the spans of the highest line of a side with their runs, counted from 0 in each."""
    runs = [run for run in refit.placed.runs.values() if run.side == side]
    highest = next((level for level in ("U", "M", "L") if any(run.level == level for run in runs)), None)
    return [
        (run, index, a, b) for run in runs if run.level == highest for index, (a, b) in enumerate(pairwise(run.points))
    ]


def _label_width(refit: Refit, post: PlacedPost) -> float:
    return max(text_width(post.id, _ID_HEIGHT), len(_signs_of(refit, post)) * 8.2)


def _signs_of(refit: Refit, post: PlacedPost) -> list[tuple[Level, str, str]]:
    resting = refit.placed.restings
    return [(hole.level, hole.id, resting[hole.id].run) for hole in post.holes if hole.id in resting]


def _spans(refit: Refit, side: Side, mm: float) -> list[Item]:
    """Return the spans of the highest line of a side, dimensioned clear outside the deck edge."""
    return [_span(refit, run, index, a, b, mm) for run, index, a, b in _highest_spans(refit, side)]


def _span(refit: Refit, run: PlacedRun, index: int, a: Vec, b: Vec, mm: float) -> Dimension:
    """Return one span's dimension: its true length from hole to hole, seen from above."""
    outward = side_sign(run.side)
    chord = (b[0] - a[0], b[1] - a[1])
    length = (chord[0] ** 2 + chord[1] ** 2) ** 0.5
    normal = (-chord[1] / length, chord[0] / length)
    beyond = [0.0]
    for x, y, _ in refit.boat.edge(run.side):
        if min(a[0], b[0]) <= x <= max(a[0], b[0]):
            beyond.append(outward * ((x - a[0]) * normal[0] + (y - a[1]) * normal[1]))
    offset = outward * (max(beyond) / mm + DIMENSION_OFF)
    return Dimension((a[0], a[1]), (b[0], b[1]), offset, levels=(a[2], b[2]), tag=f"span:{run.id}:{index + 1}")


def _gates(refit: Refit, mm: float, low: float, high: float) -> list[Item]:
    """Return the word GATE inboard of each gate, below the posts' own rows."""
    items: list[Item] = []
    for gate in refit.placed.gates.values():
        tops = [refit.placed.posts[name].at(refit.placed.posts[name].top) for name in gate.posts]
        outward = side_sign(gate.side)
        places = _label_places(refit, gate.side, mm, low, high)
        inner = min(face for post, _, face in places if post.id in gate.posts)
        y = outward * (inner - 14.5 * mm)
        at = ((tops[0][0] + tops[1][0]) / 2.0, y)
        items.append(Text(at, words.GATE, 2.5, "NOTE", "centre", tag=f"gate:{gate.id}"))
    return items


def _signs(refit: Refit, mm: float, low: float) -> list[Item]:
    least_x, most_x, least, most = extent(refit)
    left = low + 2.0 * mm
    return [
        Text((left, most + 6.0 * mm), words.SIDE["S"], 3.5, "TEXT", tag="side:S"),
        Text((left, least - 9.5 * mm), words.SIDE["P"], 3.5, "TEXT", tag="side:P"),
        *bow_arrow((left + 14.0 * mm, most - 3.0 * mm), -1.0, mm),
        *axes_sign((most_x - 0.12 * (most_x - least_x), 4.0 * mm), mm),
    ]
