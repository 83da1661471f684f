"""3D checks: the solids as the independent witness of the numbers, measured by the kernel's own distances.

Every measure is taken on the shapes that the files are written from, not on the formulas of `runs`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

from geom import vec
from geom.errors import GeometryError
from geom.parts.frame import Frame
from geom.parts.part import Box
from geom.parts.turnbuckle import TurnbuckleSpec
from geom.refit import Refit
from geom.runs.place import PlacedPost, PlacedRun
from geom.solids.assembly import Assembly, Maker, Piece
from geom.solids.posts import post_frame, post_spec
from geom.solids.step import location
from geom.vec import Vec

Kind = Literal["line in hole", "line past solids", "bore on axis", "gate clear width", "hook swing", "turnbuckle range"]
# Solids farther from a line than this are not measured one by one [mm].
_NEAR = 60.0
# The pull can draw the gate eye out of the bight once the bight has turned past square to it.
RELEASE = math.pi / 2.0
_SWING_STEP = math.radians(5.0)
_SWING_MOST = math.radians(170.0)


@dataclass(frozen=True)
class SolidCheck:
    """One measure: what was measured on what, the value, the limit that it is held against, and both in `unit`."""

    kind: Kind
    subject: str
    measured: float
    limit: float | None
    unit: str
    holds: bool
    note: str = ""


def solid_checks(refit: Refit, assembly: Assembly, make: Maker) -> tuple[SolidCheck, ...]:
    """Return all 3D checks of a boat.

    Args:
        refit: the boat worked out.
        assembly: its assembly.
        make: turns a specification into a shape of the kernel.

    Raises:
        CannotFinishError: the kernel is missing.
    """
    placed = {p.instance: make(p.part).Moved(location(p.frame)) for p in assembly.pieces if p.part is not None}
    found: list[SolidCheck] = []
    for run in refit.placed.runs.values():
        found += line_in_holes(refit, run, make)
        found += line_past_solids(run, assembly, placed)
    found += gate_widths(refit, placed)
    found += hook_swings(assembly, placed, make)
    found += turnbuckle_ranges(assembly)
    return tuple(found)


def distance(a: Any, b: Any) -> float:
    """Return the kernel's least distance of two shapes [mm]; 0 where they touch or share room."""
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape

    return float(BRepExtrema_DistShapeShape(a, b).Value())


def axis_edge(through: Vec, direction: Vec, reach: float) -> Any:
    """Return a straight edge through a point, reaching both ways [mm]."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.gp import gp_Pnt

    ends = (vec.along(through, direction, -reach), vec.along(through, direction, reach))
    return BRepBuilderAPI_MakeEdge(gp_Pnt(*ends[0]), gp_Pnt(*ends[1])).Edge()


def line_in_holes(refit: Refit, run: PlacedRun, make: Maker) -> Iterator[SolidCheck]:
    """Yield, for each hole of a run, the room along both legs of the line and along the hole's own axis."""
    line = refit.placed.line(run).diameter
    for passage in run.passages:
        hole = passage.hole
        post = refit.placed.posts[hole.post]
        solid = make(post_spec(post, refit.placed.drillings)).Moved(location(post_frame(post)))
        legs = [
            distance(axis_edge(hole.centre, leg, _reach(post)), solid) for leg in (passage.incoming, passage.outgoing)
        ]
        clear = 2.0 * min(legs)
        note = "liner not counted" if hole.told.liner is not None else ""
        yield SolidCheck("line in hole", f"{run.id} in {hole.id}", clear, line, "mm", clear >= line, note)
        axis = refit.placed.drillings[hole.id].axis
        bore = 2.0 * distance(axis_edge(hole.centre, axis, _reach(post)), solid)
        yield SolidCheck("bore on axis", hole.id, bore, hole.diameter, "mm", abs(bore - hole.diameter) < 0.001)


def _reach(post: PlacedPost) -> float:
    return 4.0 * post.tube_od


def line_past_solids(run: PlacedRun, assembly: Assembly, placed: dict[str, Any]) -> Iterator[SolidCheck]:
    """Yield the least distance of a run's line from what it is not led through and not made on."""
    line = next(piece for piece in assembly.pieces if piece.instance == run.id)
    own = {name for name in placed if name == run.id or name.startswith(f"{run.id} ")}
    own |= {passage.hole.post for passage in run.passages}
    at_ends = {name for name in run.names if name in placed}
    at_ends |= {name for name in placed if name.endswith("gate eye") and name[:4] in at_ends}
    box = _box(line)
    least, nearest = math.inf, ""
    for piece in assembly.pieces:
        if piece.part is None or piece.instance in own | at_ends or _apart(box, _box(piece)) > _NEAR:
            continue
        away = distance(placed[run.id], placed[piece.instance])
        if away < least:
            least, nearest = away, piece.instance
    if nearest:
        yield SolidCheck("line past solids", run.id, least, 0.0, "mm", least > 0.0, f"nearest is {nearest}")


def gate_widths(refit: Refit, placed: dict[str, Any]) -> Iterator[SolidCheck]:
    """Yield the least distance between the two tubes of each gate."""
    for gate in refit.boat.gates:
        first, second = gate.posts
        width = distance(placed[first], placed[second])
        yield SolidCheck("gate clear width", gate.id, width, None, "mm", width > 0.0, f"{first} to {second}")


def hook_swings(assembly: Assembly, placed: dict[str, Any], make: Maker) -> Iterator[SolidCheck]:
    """Yield how far each gate hook's lever swings open before it meets a post, a line or another fitting."""
    for piece in assembly.pieces:
        if piece.part is None or piece.part.family != "gate hook lever":
            continue
        stem = piece.instance.removesuffix(" lever")
        run = stem.split(" ")[0]
        eyes = {
            name
            for name in placed
            if name.endswith("gate eye") and distance(placed[name], placed[piece.instance]) < 5.0
        }
        near = [p for p in assembly.pieces if p.part is not None and _apart(_box(p), _box(piece)) < 2.0 * _NEAR]
        others = [placed[p.instance] for p in near if not p.instance.startswith(stem) and p.instance not in eyes]
        shape, angle = make(piece.part), 0.0
        while angle < _SWING_MOST:
            turned = Frame(
                (0.0, 0.0, 0.0), (math.cos(angle), 0.0, math.sin(angle)), (-math.sin(angle), 0.0, math.cos(angle))
            )
            lever = shape.Moved(location(piece.frame.of(turned)))
            if any(distance(lever, other) <= 0.0 for other in others):
                break
            angle += _SWING_STEP
        free = math.degrees(angle)
        limit = math.degrees(RELEASE)
        yield SolidCheck("hook swing", f"{run}: {stem.removeprefix(run).strip()}", free, limit, "deg", angle >= RELEASE)


def turnbuckle_ranges(assembly: Assembly) -> Iterator[SolidCheck]:
    """Yield whether each turnbuckle can be made at both its limits: screws in their bosses, not meeting inside."""
    for piece in assembly.pieces:
        spec = piece.part
        if not isinstance(spec, TurnbuckleSpec):
            continue
        for word, opening in (("least", spec.least), ("most", spec.most)):
            note, holds = word, True
            try:
                replace(spec, opening=opening)
            except GeometryError as fault:
                note, holds = f"{word}: {fault}", False
            yield SolidCheck("turnbuckle range", piece.instance, opening, None, "mm", holds, note)


def _box(piece: Piece) -> Box:
    """Return an upright box in boat axes that holds a placed part."""
    assert piece.part is not None
    box = piece.part.box()
    corners = [
        piece.frame.point((x, y, z))
        for x in (box.low[0], box.high[0])
        for y in (box.low[1], box.high[1])
        for z in (box.low[2], box.high[2])
    ]
    low = tuple(min(c[k] for c in corners) for k in range(3))
    high = tuple(max(c[k] for c in corners) for k in range(3))
    return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _apart(a: Box, b: Box) -> float:
    """Return a lower bound of the distance of what two boxes hold [mm]."""
    gaps = [max(0.0, a.low[k] - b.high[k], b.low[k] - a.high[k]) for k in range(3)]
    return math.hypot(*gaps)
