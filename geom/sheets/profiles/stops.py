"""Stations of heights along a side: posts, and rails where lines end; and heights below the minimum of a rule."""

from __future__ import annotations

from dataclasses import dataclass, field

from geom.boat.model import LEVELS, Level, Side
from geom.drafting.profile_view import facing
from geom.placement.heights import edge_z, openings
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.rules.measures.heights import LINE_HEIGHTS


@dataclass(frozen=True)
class StopHeight:
    """Heights of one line at a stop [mm], None where there is none; the id that they are checked by."""

    tag: str
    above_foot: float | None
    above_edge: float | None


@dataclass(frozen=True)
class Stop:
    """A post or a rail: name, station X and deck height [mm], heights by level, openings [mm]."""

    name: str
    tag: str
    x: float
    deck: float
    heights: dict[Level, StopHeight] = field(default_factory=dict)
    openings: tuple[float, ...] = ()


def stops_of(refit: Refit, side: Side) -> list[Stop]:
    """Return the stops of a side in their order on paper from left to right."""
    turn = facing(side)
    stops = [_post_stop(refit, post) for post in refit.placed.posts.values() if post.side == side]
    stops += [
        stop for rail in dict.fromkeys(eye.on for eye in refit.boat.eyes) for stop in _rail_stops(refit, side, rail)
    ]
    return sorted(stops, key=lambda stop: turn * stop.x)


def _post_stop(refit: Refit, post: PlacedPost) -> Stop:
    heights = {}
    for hole in post.holes:
        height = refit.placed.hole_heights[hole.id]
        heights[hole.level] = StopHeight(hole.id, height.above_foot, height.above_edge)
    return Stop(post.id, post.id, post.foot[0], post.foot[2], heights, openings(post))


def _rail_stops(refit: Refit, side: Side, rail: str) -> list[Stop]:
    """Return the stop of a rail's eyes where lines end, another one for each further eye of a level."""
    edge = refit.boat.edge(side)
    columns: list[dict[Level, str]] = []
    for run in refit.placed.runs.values():
        for end in (run.spec.start, run.spec.finish):
            if run.side != side or end.eye is None or refit.boat.eye(end.eye).on != rail:
                continue
            if any(end.eye in column.values() for column in columns):
                continue
            free = next((column for column in columns if run.level not in column), None)
            if free is None:
                free = {}
                columns.append(free)
            free[run.level] = end.eye
    stops = []
    for column in columns:
        heights: dict[Level, StopHeight] = {}
        for level, name in column.items():
            x, _, z = refit.boat.eye(name).at
            deck = edge_z(edge, x)
            heights[level] = StopHeight(name, None, None if deck is None else z - deck)
        at = refit.boat.eye(column[min(column, key=list(LEVELS).index)]).at
        under = edge_z(edge, at[0])
        if under is None:
            under = min(z for *_, z in edge)
        stops.append(Stop(rail.upper(), f"{side}-{rail}", at[0], under, heights))
    return stops


def failing_limits(refit: Refit) -> dict[tuple[Side, Level], float]:
    """Return the minimum height of a rule that a line fails, by side and level [mm]."""
    limits: dict[tuple[Side, Level], float] = {}
    for finding in refit.findings:
        limit, measured = finding.limit, finding.measured
        if finding.verdict != "fail" or not finding.binding or finding.quantity.code not in LINE_HEIGHTS:
            continue
        if limit is None or measured is None or finding.unit != "mm" or measured >= limit:
            continue
        for key in _lines_of(refit, finding.run, finding.post, measured):
            limits[key] = max(limit, limits.get(key, 0.0))
    return limits


def _lines_of(refit: Refit, run: str | None, post: str | None, measured: float) -> list[tuple[Side, Level]]:
    """Return side and level of the line of a finding: its run's, or that of the post's hole at that height."""
    if run is not None and run in refit.placed.runs:
        placed = refit.placed.runs[run]
        return [(placed.side, placed.level)]
    if post is None or post not in refit.placed.posts:
        return []
    holder = refit.placed.posts[post]
    heights = refit.placed.hole_heights
    return [(holder.side, hole.level) for hole in holder.holes if abs(heights[hole.id].lower - measured) < 1e-6]
