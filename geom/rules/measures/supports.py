"""Posts and spans: spacing, tilt, displacement, distance from the deck edge, gates, continuity."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from geom import vec
from geom.placement.heights import edge_y
from geom.placement.place import PlacedRun, end_name, side_sign
from geom.placement.placed import Placed, once, support_points
from geom.remark import Remark
from geom.rules.finding import Condition, Measure
from geom.rules.measures.heights import levels, runs_at, sides
from geom.rules.measures.uncertainty import displacement_known, edge_distance_known, span_known, tilt_known, top_known
from geom.units import degrees


@once
def spacing(placed: Placed) -> tuple[Measure, ...]:
    """Return the widest span of each run between supports (tube axis or rail eye) at the line [mm]."""
    found = []
    for run in placed.runs.values():
        points, lengths = support_points(placed, run), span_lengths(placed, run)
        widest, index = max((length, index) for index, length in enumerate(lengths))
        note = Remark("place.between", places=(run.names[index], run.names[index + 1]))
        known = span_known(placed, points[index], points[index + 1])
        quantity = Remark("quantity.widest_span")
        found.append(Measure(run.id, quantity, widest, run=run.id, notes=(note,), known=known))
    return tuple(found)


def span_lengths(placed: Placed, run: PlacedRun) -> tuple[float, ...]:
    """Return the length of each span of a run between supports (tube axis or rail eye) at the line [mm]."""
    return tuple(vec.distance(a, b) for a, b in pairwise(support_points(placed, run)))


def tilts(placed: Placed) -> Iterator[Measure]:
    """Yield the angle of each tube to the vertical [deg]; tubes are taken as straight."""
    for post in placed.posts.values():
        known = tilt_known(placed)
        yield Measure(post.id, Remark("quantity.tilt"), degrees(post.tilt), "deg", post=post.id, known=known)


def set_offs(placed: Placed, rise: float) -> Iterator[Measure]:
    """Yield the horizontal displacement of each tube within its first part above the deck [mm].

    Args:
        placed: the boat in space.
        rise: height of that part [mm].
    """
    for post in placed.posts.values():
        value = rise * math.tan(post.tilt)
        quantity, notes = Remark("quantity.displacement", rise_mm=rise), (Remark("tube.taken_as_straight"),)
        known = displacement_known(placed, rise)
        yield Measure(post.id, quantity, value, post=post.id, notes=notes, known=known)


def base_distances(placed: Placed) -> Iterator[Measure]:
    """Yield the distance of the outer face of each tube inboard of the deck edge, athwartships at the foot [mm].

    Square to the edge the distance is slightly less.
    """
    for post in placed.posts.values():
        edge = edge_y(placed.boat.edge(post.side), post.foot[0])
        sign = side_sign(post.side)
        value = None if edge is None else sign * (edge - post.foot[1]) - post.tube_od / 2.0
        notes = (Remark("edge.not_taken"),) if edge is None else ()
        known = edge_distance_known(placed)
        yield Measure(post.id, Remark("quantity.inboard_of_edge"), value, post=post.id, notes=notes, known=known)


def heads(placed: Placed) -> Iterator[Measure]:
    """Yield the vertical height of the top of each tube above the deck at its foot [mm]."""
    for post in placed.posts.values():
        height, known = post.top * post.axis[2], top_known(placed, post)
        yield Measure(post.id, Remark("quantity.top_height"), height, post=post.id, known=known)


def gates(placed: Placed) -> Iterator[Measure]:
    """Yield the number of gates on each side; gates in lines across the boat are not counted."""
    for side in (side for side in sides(placed) if side != "C"):
        named = [gate.id for gate in placed.gates.values() if gate.side == side]
        number = float(len(named))
        notes = (Remark("gates.named", gates=tuple(named)),) if named else ()
        where = Remark("place.side", side=side)
        yield Measure(f"{side}-gates", Remark("quantity.gates"), number, "count", notes=notes, where=where)


def gates_across(placed: Placed) -> Iterator[Measure]:
    """Yield each gate in a line across the boat."""
    for gate in placed.gates.values():
        if gate.side == "C":
            yield Measure(gate.id, Remark("quantity.gate_across"), None, "", where=Remark("place.named", name=gate.id))


def courses(placed: Placed) -> Iterator[Measure]:
    """Yield the number of courses on each side."""
    for side in sides(placed):
        number = float(len(levels(placed, side)))
        where = Remark("place.side", side=side)
        yield Measure(f"{side}-courses", Remark("quantity.courses"), number, "count", where=where)


def continuity(placed: Placed) -> Iterator[tuple[Measure, Condition]]:
    """Yield for each line whether it is made fast only at pulpit, pushpit and gate."""
    for side in sides(placed):
        gate_supports = {name for gate in placed.gates.values() if gate.side == side for name in gate.names}
        for level in levels(placed, side):
            runs = sorted(runs_at(placed, side, level), key=lambda run: run.points[0][0])
            where = Remark("place.line", side=side, level=level)
            if side == "C":
                across = Condition(None, (Remark("continuity.across"),))
                yield Measure(f"{side}-{level}", Remark("quantity.line_across"), None, "", where=where), across
                continue
            fault = _breaks(placed, runs, gate_supports)
            yield Measure(f"{side}-{level}", Remark("quantity.made_fast"), None, "", where=where), fault


def _breaks(placed: Placed, runs: list[PlacedRun], gate_supports: set[str]) -> Condition:
    first, last = runs[0].spec.start, runs[-1].spec.finish
    inner = [end for run, after in pairwise(runs) for end in (run.spec.finish, after.spec.start)]
    for end in inner:
        if end.support not in gate_supports:
            return Condition(False, (Remark("continuity.fast_between", at=end_name(end)),))
    for run, after in pairwise(runs):
        if run.spec.finish.support != after.spec.start.support:
            between = (end_name(run.spec.finish), end_name(after.spec.start))
            return Condition(False, (Remark("continuity.no_line", places=between),))
    for end, rail in ((first, "pulpit"), (last, "pushpit")):
        if end.eye is None or placed.boat.eye(end.eye).on != rail:
            return Condition(None, (Remark("continuity.near_end_not_stated", at=end_name(end), rail=rail),))
    return Condition(True, (Remark("continuity.opened_at_gate" if inner else "continuity.in_one"),))
