"""The ways to finish the edges of holes where the boat file chooses none: bore left, radius, and what it turns round.

Source: geometry and common practice, no source; radius in data/shop_limits.csv, makers in data/hole_edges.csv.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import EdgeChoice
from geom.frozen import frozen
from geom.placement.edges import full_round, made_by, min_edge_radius
from geom.placement.eyes import run_eyes
from geom.placement.place import PlacedHole, PlacedPost
from geom.placement.placed import Placed
from geom.units import Mm


@frozen
class EdgeOption:
    """One way to finish the edges of the holes of one size that rope passes [mm].

    `wall` is that of tube or bush, None without one. `hole_needed` is the hole that would pass the finished end which
    the bare hole is checked for, None where that is not known. `turned` are the runs that would have an end made on
    board, and have none with the bare holes.
    """

    choice: EdgeChoice
    hole: Mm
    holes: tuple[str, ...]
    wall: Mm | None
    bore: Mm
    radius: Mm
    min_radius: Mm
    hole_needed: Mm | None
    made_by: str
    turned: tuple[str, ...]


@dataclass(frozen=True)
class _Way:
    choice: EdgeChoice
    wall: Mm | None


def open_holes(placed: Placed) -> tuple[tuple[PlacedPost, PlacedHole], ...]:
    """Return the holes that rope passes and whose edges are not chosen, with their posts."""
    return tuple((post, hole) for post, hole in placed.holes() if hole.edge.edge == "not chosen")


def edge_options(placed: Placed) -> tuple[EdgeOption, ...]:
    """Return the choices for the edges that are not chosen, for each size of hole and tube; none where all are.

    A tube or bush is rounded by its whole wall, so it takes a wall of that radius to reach it. The bush of the
    thickest wall that leaves every plan as it is comes besides. What leaves a line no bore to enter is no choice.
    """
    groups: dict[tuple[Mm, Mm], list[PlacedHole]] = {}
    for post, hole in open_holes(placed):
        groups.setdefault((hole.diameter, post.tube_wall), []).append(hole)
    ways = _ways(placed)
    # Whether an end passes depends on the bore, and so on the wall alone, not on what it is the wall of.
    walls = {way.wall: way for way in ways} if groups else {}
    turned = {wall: _turned(placed, way) for wall, way in walls.items()}
    return tuple(
        EdgeOption(
            choice=way.choice,
            hole=diameter,
            holes=tuple(hole.id for hole in holes),
            wall=way.wall,
            bore=diameter - 2.0 * (way.wall or 0.0),
            radius=full_round(wall) if way.wall is None else way.wall,
            min_radius=min_edge_radius(),
            hole_needed=_hole_needed(placed, holes, way),
            made_by=made_by(way.choice),
            turned=turned[way.wall],
        )
        for (diameter, wall), holes in groups.items()
        for way in ways
        if way.wall is None or _enters(placed, holes, diameter - 2.0 * way.wall)
    )


def _enters(placed: Placed, holes: list[PlacedHole], bore: Mm) -> bool:
    """Return whether the lines of some holes enter a bore."""
    return bore > max(placed.lines_in_holes[hole.id].diameter for hole in holes)


def _ways(placed: Placed) -> tuple[_Way, ...]:
    min_radius, thin = min_edge_radius(), _thickest_that_turns_nothing(placed)
    bushes = [] if thin is None or thin >= min_radius else [_Way("plastic bush", thin)]
    return (
        _Way("polished edge", None),
        _Way("welded through-tube", min_radius),
        _Way("plastic bush", min_radius),
        *bushes,
        _Way("sleeve on the line", None),
    )


def _thickest_that_turns_nothing(placed: Placed) -> Mm | None:
    """Return the thickest wall with which every end that goes through its hole bare still does; None where none does.

    A wall that leaves the ends nothing to spare is none.
    """
    eyes = [placed.eye(hole.id) for _, hole in open_holes(placed)]
    spare = [0.5 * (eye.has - eye.needs) for eye in eyes if eye.goes_through and eye.needs is not None]
    thickest = min(spare, default=0.0)
    return thickest if thickest > 0.0 else None


def _hole_needed(placed: Placed, holes: list[PlacedHole], way: _Way) -> Mm | None:
    needs = [need for hole in holes if (need := placed.eye(hole.id).needs) is not None]
    return max(needs) + 2.0 * (way.wall or 0.0) if needs else None


def _turned(placed: Placed, way: _Way) -> tuple[str, ...]:
    """Return the runs that have an end made on board with this choice, and none with the bare holes."""
    if way.wall is None:
        return ()
    # A hole that is too narrow for the wall stays as it is.
    left = ((hole, hole.diameter - 2.0 * way.wall) for _, hole in open_holes(placed))
    bores = {hole.id: bore for hole, bore in left if _enters(placed, [hole], bore)}
    return tuple(
        run.id
        for run in placed.runs.values()
        if placed.eyes[run.id].in_place is None and run_eyes(placed.boat, run, bores).in_place is not None
    )
