"""A deck plan written into a boat file: feet, eyes and deck edge, and nothing that the plan does not give."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from geom.boat.file import read_boat
from geom.boat.model import Boat
from geom.boat.tree import read_tree
from geom.errors import Fault, InputError
from geom.intake.boat_edit import EditedBoat, Place, write_places
from geom.intake.deck_plan.result import PlanPoint, PlanReading
from geom.intake.tables.files import into_boat_file
from geom.intake.tables.read import Row, Tables

# A post without a name in the plan is that of the boat file within this distance [mm].
_NEAR = 300.0


def write_plan(data: bytes, source: str, plan: PlanReading) -> EditedBoat:
    """Write a plan's positions into a boat file with the same posts and eyes.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        plan: the reading, checked by the user.

    Raises:
        InputError: a point without a height, a post or an eye that is not in the boat file, or a file that
            fails its own checks.
    """
    faults = [
        Fault(f"no height of {point.id}", key=point.place, valid="an attribute, a side view, or `heights`")
        for point in plan.points
        if point.z is None
    ]
    faults += [
        Fault("a deck edge without heights", key=edge.place, valid="a polyline in three dimensions")
        for edge in plan.edges
        if any(point[2] is None for point in edge.points)
    ]
    if faults:
        raise InputError(plan.source, faults)
    points = _by_place(plan, read_boat(data, source).boat) if plan.numbered else plan.points
    edited = write_places(data, source, tuple(_place(point) for point in points))
    if not plan.edges:
        return edited
    with_edge = into_boat_file(edited.data, source, Tables(rows={"deck edge": _edge_rows(edited.data, source, plan)}))
    return EditedBoat(with_edge, edited.changes, edited.notes)


def _by_place(plan: PlanReading, boat: Boat) -> tuple[PlanPoint, ...]:
    """Return a plan's points, those of posts without names named after the nearest post of the boat.

    Raises:
        InputError: a point that is near no post or near one that has a point already, or a plan that fits the boat
            better with port and starboard exchanged.
    """
    named, faults = [], []
    taken: dict[str, PlanPoint] = {}
    apart = {+1.0: 0.0, -1.0: 0.0}
    for point in plan.points:
        if point.kind != "post":
            named.append(point)
            continue
        for sign in apart:
            apart[sign] += min(math.hypot(post.foot[0] - point.x, post.foot[1] - sign * point.y) for post in boat.posts)
        nearest = min(boat.posts, key=lambda post: math.hypot(post.foot[0] - point.x, post.foot[1] - point.y))
        off = math.hypot(nearest.foot[0] - point.x, nearest.foot[1] - point.y)
        if off > _NEAR or nearest.id in taken:
            why = f"already that of {taken[nearest.id].place}" if nearest.id in taken else f"{off:.0f} mm away"
            message = f"a post at X {point.x:.0f}, Y {point.y:.0f} mm; the nearest of the boat is {nearest.id}, {why}"
            faults.append(Fault(message, key=point.place, valid="names in the plan: `name`, the tag of an attribute"))
        taken[nearest.id] = point
        named.append(replace(point, id=nearest.id))
    if apart[-1.0] < 0.5 * apart[1.0]:
        message = "the posts fit the boat better with port and starboard exchanged"
        faults = [Fault(message, valid="`mirrored: true`, or stem and aft exchanged, or names in the plan")]
    if faults:
        raise InputError(plan.source, faults)
    return tuple(named)


def _place(point: PlanPoint) -> Place:
    assert point.z is not None
    return Place(point.id, (point.x, point.y, point.z), point.lean, point.rake)


def _edge_rows(data: bytes, source: str, plan: PlanReading) -> list[Row]:
    """Return the rows of the deck edge, to 0.1 mm; a side without an edge in the plan must have none in the file."""
    in_file: Any = read_tree(data, source).root.get("deck_edge") or {}
    sides = {edge.side for edge in plan.edges}
    missing = [word for word, side in (("starboard", "S"), ("port", "P")) if word in in_file and side not in sides]
    if missing:
        fault = Fault(f"the plan shows no deck edge to {' and '.join(missing)}, the boat file does", key="deck_edge")
        raise InputError(plan.source, [fault])
    return [
        {"cell": edge.place, "side": edge.side, "x": round(x, 1), "y": round(y, 1), "z": round(z or 0.0, 1)}
        for edge in plan.edges
        for x, y, z in edge.points
    ]
