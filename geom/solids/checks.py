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
from geom.parts.families.gate_hook import HookLeverSpec
from geom.parts.families.turnbuckle import TurnbuckleSpec
from geom.parts.part import Box, Cylinder
from geom.parts.shape.frame import Frame
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.solids.assembly import Assembly, Maker, Piece
from geom.solids.posts import post_frame, standing_spec
from geom.solids.proof import cylinder_faces, same_axis
from geom.solids.step import location
from geom.vec import Vec

Kind = Literal["line in hole", "line past solids", "bore on axis", "gate clear width", "hook swing", "turnbuckle range"]
# Solids farther from a line than this are not measured one by one [mm].
_NEAR = 60.0
# The pull can draw the gate eye out of the bight once the bight has turned past square to it.
RELEASE = math.pi / 2.0
_SWING_STEP = math.radians(10.0)
_SWING_STEPS = 17
# Steps along an edge of a hole before the nearest place is closed in on.
_SAMPLES = 180


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
    found += gate_widths(refit, make)
    found += hook_swings(refit, assembly, placed, make)
    found += turnbuckle_ranges(assembly)
    return tuple(found)


def distance(a: Any, b: Any) -> float:
    """Return the kernel's least distance of two shapes [mm]; 0 where they touch or share room."""
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape

    return float(BRepExtrema_DistShapeShape(a, b).Value())


def room_round(solid: Any, walls: Any, through: Vec, direction: Vec) -> float:
    """Return the diameter that a straight line through a hole has to itself [mm]; 0 where its axis meets metal.

    A line inside a hole comes nearest to it at the hole's edges: those of the kernel are gone along in
    steps, and the nearest place is closed in on. (The kernel's own distance to such an edge gives the
    same, at a second each.)

    Args:
        solid: the drilled solid.
        walls: the faces that the drill left in it.
        through: a point of the line [mm].
        direction: unit direction of the line.
    """
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepIntCurveSurface import BRepIntCurveSurface_Inter
    from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    hits = BRepIntCurveSurface_Inter()
    hits.Init(solid, gp_Lin(gp_Pnt(*through), gp_Dir(*direction)), 1e-7)
    if hits.More():
        return 0.0
    explorer = TopExp_Explorer(walls, TopAbs_ShapeEnum.TopAbs_EDGE)
    minimum = math.inf
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
        explorer.Next()
        minimum = min(minimum, _nearest(curve, through, direction))
    return 2.0 * minimum


def _nearest(curve: Any, through: Vec, direction: Vec) -> float:
    """Return the least distance of a curve of the kernel from a straight line [mm], by thirds about the best sample."""

    def away(parameter: float) -> float:
        point = curve.Value(parameter)
        place = (point.X() - through[0], point.Y() - through[1], point.Z() - through[2])
        return vec.norm(vec.cross(place, direction))

    first, last = curve.FirstParameter(), curve.LastParameter()
    step = (last - first) / _SAMPLES
    best = min(range(_SAMPLES + 1), key=lambda k: away(first + k * step))
    low, high = max(first, first + (best - 1) * step), min(last, first + (best + 1) * step)
    while high - low > 1e-7 * (last - first):
        a, b = low + (high - low) / 3.0, high - (high - low) / 3.0
        low, high = (low, b) if away(a) < away(b) else (a, high)
    return away(0.5 * (low + high))


def line_in_holes(refit: Refit, run: PlacedRun, make: Maker) -> Iterator[SolidCheck]:
    """Yield, for each hole of a run, the room along both legs of the line and along the hole's own axis."""
    line = refit.placed.line(run).diameter
    for passage in run.passages:
        hole = passage.hole
        post = refit.placed.posts[hole.post]
        solid = make(standing_spec(refit, post)).Moved(location(post_frame(post)))
        axis = refit.placed.drillings[hole.id].axis
        walls = bored_walls(solid, Cylinder(hole.id, 0.5 * hole.diameter, hole.centre, axis))
        clear = min(room_round(solid, walls, hole.centre, leg) for leg in (passage.incoming, passage.outgoing))
        note = "liner not counted" if hole.spec.liner is not None else ""
        yield SolidCheck("line in hole", f"{run.id} in {hole.id}", clear, line, "mm", clear >= line, note)
        bore = room_round(solid, walls, hole.centre, axis)
        yield SolidCheck("bore on axis", hole.id, bore, hole.diameter, "mm", abs(bore - hole.diameter) < 0.001)


def bored_walls(solid: Any, hole: Cylinder) -> Any:
    """Return the faces that a drill left, with their edges: what a line in the hole can touch first.

    Raises:
        GeometryError: the solid has no such faces.
    """
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    walls = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(walls)
    faces = [face for face, found in cylinder_faces(solid) if same_axis(found, hole)]
    if not faces:
        raise GeometryError(f"the solid has no hole {hole.name}")
    for face in faces:
        builder.Add(walls, face)
    return walls


def line_past_solids(run: PlacedRun, assembly: Assembly, placed: dict[str, Any]) -> Iterator[SolidCheck]:
    """Yield the least distance of a run's line from what it is not led through and not made on."""
    line = next(piece for piece in assembly.pieces if piece.instance == run.id)
    own = {name for name in placed if name == run.id or name.startswith(f"{run.id} ")}
    own |= {passage.hole.post for passage in run.passages}
    own |= {name for name in placed if name in run.names or name.removesuffix(f"-{run.level} gate eye") in run.names}
    own |= {f"{name} rail eye" for name in run.names}
    box, minimum, nearest = _box(line), _NEAR, ""
    for piece in assembly.pieces:
        if piece.part is None or piece.instance in own or _apart(box, _box(piece)) > minimum:
            continue
        away = distance(placed[run.id], placed[piece.instance])
        if away < minimum:
            minimum, nearest = away, piece.instance
    note = f"nearest is {nearest}" if nearest else f"nothing within {_NEAR:g} mm"
    yield SolidCheck("line past solids", run.id, minimum, 0.0, "mm", minimum > 0.0, note)


def gate_widths(refit: Refit, make: Maker) -> Iterator[SolidCheck]:
    """Yield the least distance between the two tubes of each gate."""
    for gate in refit.boat.gates:
        tubes = [_plain_tube(refit, post_id, make) for post_id in gate.posts]
        width = distance(*tubes)
        yield SolidCheck("gate clear width", gate.id, width, None, "mm", width > 0.0, " to ".join(gate.posts))


def _plain_tube(refit: Refit, post_id: str, make: Maker) -> Any:
    """Return a post's tube without its holes, which matter little to what stands outside it and cost much."""
    post = refit.placed.posts[post_id]
    spec = replace(standing_spec(refit, post), drilled=())
    return make(spec).Moved(location(post_frame(post)))


def hook_swings(refit: Refit, assembly: Assembly, placed: dict[str, Any], make: Maker) -> Iterator[SolidCheck]:
    """Yield the angle at which each gate hook's lever, swung open, first meets a post, a line or another fitting."""
    for piece in assembly.pieces:
        lever = piece.part
        if not isinstance(lever, HookLeverSpec):
            continue
        stem = piece.instance.removesuffix(" lever")
        sweep = math.hypot(2.0 * lever.offset + lever.width, lever.rise + lever.opening + lever.width) + lever.tail
        pivot = piece.frame.origin
        room = Box(vec.sub(pivot, (sweep, sweep, sweep)), vec.add(pivot, (sweep, sweep, sweep)))
        others = []
        for other in assembly.pieces:
            # The eye that the hook closes on lies in its bight from the start.
            closes_on = other.instance.endswith((" gate eye", " rail eye"))
            if other.part is None or other.instance.startswith(stem) or closes_on:
                continue
            if _apart(_box(other), room) <= 0.0:
                is_post = other.instance in refit.placed.posts
                others.append(_plain_tube(refit, other.instance, make) if is_post else placed[other.instance])
        shape, angle = make(lever), 0.0
        for step in range(_SWING_STEPS + 1):
            angle = step * _SWING_STEP
            c, s = math.cos(angle), math.sin(angle)
            frame = piece.frame.of(Frame((0.0, 0.0, 0.0), (c, 0.0, s), (-s, 0.0, c)))
            turned = shape.Moved(location(frame))
            if any(distance(turned, other) <= 0.0 for other in others):
                break
        free, limit = math.degrees(angle), math.degrees(RELEASE)
        yield SolidCheck("hook swing", stem, free, limit, "deg", angle >= RELEASE)


def turnbuckle_ranges(assembly: Assembly) -> Iterator[SolidCheck]:
    """Yield whether each turnbuckle can be made at both its limits: screws in their bosses, not meeting inside."""
    for piece in assembly.pieces:
        spec = piece.part
        if not isinstance(spec, TurnbuckleSpec):
            continue
        for word, opening in (("minimum", spec.minimum), ("maximum", spec.maximum)):
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
