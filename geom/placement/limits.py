"""What cannot be made of a boat that reads well: ends too far off posts, fittings longer than spans, holes off tubes.

These follow from where posts and runs come to stand, and are found before anything is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise

from geom import vec
from geom.boat.faults import LocatedFault, in_file_unit
from geom.boat.model import Boat, Run
from geom.boat.tree import Location
from geom.parts.families.post import MAX_FOOT_SLOPE, MAX_HOLE_TILT, DrilledHole
from geom.placement.place import PlacedPost, PlacedRun, end_anchor, end_name
from geom.placement.standing import Standing
from geom.units import degrees
from geom.vec import Vec

# Points of a run closer than this are one point [mm].
SAME_POINT = 10.0


def placing_faults(given: Boat, standing: Standing) -> list[LocatedFault]:
    """Return what keeps a boat from being placed or its tubes from being drilled.

    Args:
        given: the boat as the file gives it, before a missing side is mirrored; locations are those of the file.
        standing: of the boat with both sides, as lines across it reach from one to the other.
    """
    # Without the distances from point to point there are no runs to drill for.
    return list(_run_faults(given, standing)) or list(_post_faults(given, standing))


def _run_faults(given: Boat, standing: Standing) -> Iterator[LocatedFault]:
    for index, run in enumerate(given.runs):
        stations = _stations(standing.boat, standing.posts, run, ("runs", index))
        close = False
        across = run.side == "C"
        way, order = (1, "to starboard") if across else (0, "aft")
        for (_, from_name, start), (place, name, end) in pairwise(stations):
            if vec.distance(start, end) < SAME_POINT or end[way] <= start[way]:
                close = True
                sequence = "from port to starboard" if across else "from forward to aft"
                valid = f"points of run {run.id} {sequence}, at least {SAME_POINT:g} mm apart"
                yield LocatedFault(place, f"{name} is not {order} of {from_name} at this level", name, valid)
        if close:
            continue
        ends = ((run.start, stations[0], stations[1]), (run.finish, stations[-1], stations[-2]))
        for end_of_run, (place, name, anchor), (_, next_name, next_point) in ends:
            offset, spacing = end_of_run.eye_offset, vec.distance(anchor, next_point)
            if offset is not None and offset >= 0.5 * spacing - SAME_POINT:
                close = True
                yield LocatedFault(
                    (*place[:3], "eye_offset"),
                    f"reaches half way from {name} to {next_name}, or further",
                    valid=f"less than {in_file_unit(round(0.5 * spacing - SAME_POINT, 1), given)}",
                )
        if not close:
            yield from _fitting_faults(standing.boat, standing.run(run), ("runs", index))


def _fitting_faults(boat: Boat, run: PlacedRun, place: Location) -> Iterator[LocatedFault]:
    """Yield the faults of fittings that take up the whole span beside their end."""
    start, finish = (
        math.fsum(boat.fittings[name].length.planned for name in end.fittings)
        for end in (run.spec.start, run.spec.finish)
    )
    ends = [("start", start, 0), ("finish", finish, len(run.spans) - 1)]
    if len(run.spans) == 1:
        ends = [("finish" if run.spec.finish.fittings else "start", start + finish, 0)]
    for end, taken, span in ends:
        room = run.spans[span] - SAME_POINT
        if taken > max(room, 0.0):
            yield LocatedFault(
                (*place, end, "fittings"),
                f"the fittings leave no line between {run.names[span]} and {run.names[span + 1]}",
                f"{in_file_unit(round(taken, 1), boat)}, as planned",
                f"less than {in_file_unit(round(room, 1), boat)}",
            )


def _stations(
    boat: Boat, posts: Mapping[str, PlacedPost], run: Run, place: Location
) -> list[tuple[Location, str, Vec]]:
    """Return the points of a run at its rail eyes and on the axes of its posts, each with location and name."""
    inner: list[tuple[Location, str, Vec]] = []
    for position, name in enumerate(run.through):
        hole = posts[name].hole(run.level)
        assert hole is not None
        inner.append(((*place, "through", position), hole.id, hole.centre))
    return [
        ((*place, "start"), end_name(run.start), end_anchor(boat, posts, run.start, run.level)),
        *inner,
        ((*place, "finish"), end_name(run.finish), end_anchor(boat, posts, run.finish, run.level)),
    ]


def _post_faults(given: Boat, standing: Standing) -> Iterator[LocatedFault]:
    for index, post in enumerate(standing.posts[stated.id] for stated in given.posts):
        place: Location = ("posts", index)
        if post.plate.total >= MAX_FOOT_SLOPE:
            read = f"{degrees(post.plate.total):.1f} deg"
            valid = f"less than {degrees(MAX_FOOT_SLOPE):g} deg"
            yield LocatedFault((*place, "lean"), "the tube lies too flat on its deck", read, valid)
            continue
        foot = 0.5 * post.tube_od * math.tan(post.plate.total)
        drilled = []
        for hole in post.holes:
            where: Location = (*place, "holes", hole.level)
            axis = standing.drillings[hole.id]
            if abs(axis.tilt) >= MAX_HOLE_TILT:
                read, valid = f"{degrees(axis.tilt):.1f} deg", f"a tilt under {degrees(MAX_HOLE_TILT):g} deg"
                yield LocatedFault(where, "the hole's axis runs along the tube", read, valid)
                continue
            one = DrilledHole(hole.level, hole.along, hole.diameter, axis.clocking, axis.tilt)
            reach = one.reach(post.tube_od)
            if not foot + reach < hole.along < post.top - reach:
                tilted = f" with its tilt of {degrees(axis.tilt):.1f} deg"
                low, high = (in_file_unit(round(one, 1), given) for one in (foot + reach, post.top - reach))
                valid = f"between {low} and {high}"
                yield LocatedFault((*where, "along"), f"the hole{tilted} runs off the tube", valid=valid)
            drilled.append((one, reach))
        drilled.sort(key=lambda pair: pair[0].along)
        for (lower, below), (upper, above) in pairwise(drilled):
            if upper.along - lower.along <= below + above:
                yield LocatedFault(
                    (*place, "holes", upper.name, "along"),
                    f"the hole touches hole {lower.name} on the face of the tube",
                    valid=f"more than {in_file_unit(round(below + above, 1), given)} apart",
                )
