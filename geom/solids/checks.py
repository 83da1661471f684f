"""3D checks: independent verification on the solids, with distances measured by the kernel.

Every measurement is taken on the shapes that are written to files, without the formulas of placement.
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
# Solids farther than this from a line are not measured [mm].
_NEAR = 60.0
# Angle of the lever from which the pull can draw the gate eye out of the bight [rad].
RELEASE = math.pi / 2.0
_SWING_STEP = math.radians(10.0)
_SWING_STEPS = 17
# Samples along an edge of a hole before the nearest point is refined.
_SAMPLES = 180


@dataclass(frozen=True)
class SolidCheck:
    """One check: kind, subject, measured value and limit in `unit` (mm or deg), and whether it passes."""

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
        refit: the boat as calculated.
        assembly: its assembly.
        make: returns the shape of the kernel for a specification.

    Raises:
        CannotFinishError: the kernel is missing.
    """
    placed = {p.instance: make(p.part).Moved(location(p.frame)) for p in assembly.pieces if p.part is not None}
    checks: list[SolidCheck] = []
    for run in refit.placed.runs.values():
        checks += line_in_holes(refit, run, make)
        checks += line_past_solids(run, assembly, placed)
    checks += gate_widths(refit, make)
    checks += hook_swings(refit, assembly, placed, make)
    checks += turnbuckle_ranges(assembly)
    return tuple(checks)


def distance(a: Any, b: Any) -> float:
    """Return the shortest distance between two shapes by the kernel [mm]; 0 where they touch or intersect."""
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape

    return float(BRepExtrema_DistShapeShape(a, b).Value())


def free_diameter(solid: Any, walls: Any, through: Vec, direction: Vec) -> float:
    """Return the largest diameter of a straight rod through a hole [mm]; 0 where its axis meets metal.

    A rod in a hole is nearest to it at the hole's edges: these are sampled, and the nearest point is
    refined. (The kernel's own distance to such an edge gives the same, but takes a second each.)

    Args:
        solid: the drilled solid.
        walls: the faces of the hole.
        through: a point of the rod's axis [mm].
        direction: unit direction of the axis.
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
    """Return the shortest distance of a curve from a straight line [mm], by ternary search about the best sample."""

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
    """Yield, for each hole of a run, the free diameter along both legs of the line and along the hole's axis.

    Args:
        refit: the boat as calculated.
        run: the run.
        make: returns the shape of the kernel for a specification.
    """
    line = refit.placed.line(run).diameter
    for passage in run.passages:
        hole = passage.hole
        post = refit.placed.posts[hole.post]
        solid = make(standing_spec(refit, post)).Moved(location(post_frame(post)))
        axis = refit.placed.drillings[hole.id].axis
        walls = bored_walls(solid, Cylinder(hole.id, 0.5 * hole.diameter, hole.centre, axis))
        clear = min(free_diameter(solid, walls, hole.centre, leg) for leg in (passage.incoming, passage.outgoing))
        note = "liner not counted" if hole.edge.bush is not None else ""
        yield SolidCheck("line in hole", f"{run.id} in {hole.id}", clear, line, "mm", clear >= line, note)
        bore = free_diameter(solid, walls, hole.centre, axis)
        yield SolidCheck("bore on axis", hole.id, bore, hole.diameter, "mm", abs(bore - hole.diameter) < 0.001)


def bored_walls(solid: Any, hole: Cylinder) -> Any:
    """Return the faces of a drilled hole with their edges, which a line in the hole touches first.

    Raises:
        GeometryError: the solid has no such faces.
    """
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    walls = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(walls)
    faces = [face for face, cylinder in cylinder_faces(solid) if same_axis(cylinder, hole)]
    if not faces:
        raise GeometryError(f"the solid has no hole {hole.name}")
    for face in faces:
        builder.Add(walls, face)
    return walls


def line_past_solids(run: PlacedRun, assembly: Assembly, placed: dict[str, Any]) -> Iterator[SolidCheck]:
    """Yield the shortest distance of a run's line from parts that it neither passes through nor ends on.

    Args:
        run: the run.
        assembly: the boat's assembly.
        placed: placed shape of each instance.
    """
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
    """Yield the shortest distance between the two tubes of each gate that has two posts."""
    for gate in refit.placed.gates.values():
        if len(gate.posts) == 2:
            width = distance(*(_plain_tube(refit, post.id, make) for post in gate.posts))
            yield SolidCheck("gate clear width", gate.id, width, None, "mm", width > 0.0, " to ".join(gate.names))


def _plain_tube(refit: Refit, post_id: str, make: Maker) -> Any:
    """Return a post's tube without its holes, which do not affect distances outside it and are slow to measure."""
    post = refit.placed.posts[post_id]
    spec = replace(standing_spec(refit, post), drilled=())
    return make(spec).Moved(location(post_frame(post)))


def hook_swings(refit: Refit, assembly: Assembly, placed: dict[str, Any], make: Maker) -> Iterator[SolidCheck]:
    """Yield the angle at which each gate hook's lever, opening, first meets a post, a line or another fitting.

    Args:
        refit: the boat as calculated.
        assembly: its assembly.
        placed: placed shape of each instance.
        make: returns the shape of the kernel for a specification.
    """
    for piece in assembly.pieces:
        lever = piece.part
        if not isinstance(lever, HookLeverSpec):
            continue
        stem = piece.instance.removesuffix(" lever")
        sweep = math.hypot(2.0 * lever.offset + lever.width, lever.rise + lever.opening + lever.width) + lever.tail
        pivot = piece.frame.origin
        swing_box = Box(vec.sub(pivot, (sweep, sweep, sweep)), vec.add(pivot, (sweep, sweep, sweep)))
        others = []
        for other in assembly.pieces:
            # The eye that the hook closes on lies in its bight from the start.
            closes_on = other.instance.endswith((" gate eye", " rail eye"))
            if other.part is None or other.instance.startswith(stem) or closes_on:
                continue
            if _apart(_box(other), swing_box) <= 0.0:
                is_post = other.instance in refit.placed.posts
                others.append(_plain_tube(refit, other.instance, make) if is_post else placed[other.instance])
        shape, angle = make(lever), 0.0
        for step in range(_SWING_STEPS + 1):
            angle = step * _SWING_STEP
            c, s = math.cos(angle), math.sin(angle)
            frame = piece.frame.of(Frame((0.0, 0.0, 0.0), (c, 0.0, s), (-s, 0.0, c)))
            swung = shape.Moved(location(frame))
            if any(distance(swung, other) <= 0.0 for other in others):
                break
        open_angle, limit = math.degrees(angle), math.degrees(RELEASE)
        yield SolidCheck("hook swing", stem, open_angle, limit, "deg", angle >= RELEASE)


def turnbuckle_ranges(assembly: Assembly) -> Iterator[SolidCheck]:
    """Yield whether each turnbuckle is possible at both its limits: screws in their bosses and not meeting inside."""
    for piece in assembly.pieces:
        spec = piece.part
        if not isinstance(spec, TurnbuckleSpec):
            continue
        for word, opening in (("minimum", spec.minimum), ("maximum", spec.maximum)):
            note, holds = word, True
            try:
                spec.at_limit(opening)
            except GeometryError as fault:
                note, holds = f"{word}: {fault}", False
            yield SolidCheck("turnbuckle range", piece.instance, opening, None, "mm", holds, note)


def _box(piece: Piece) -> Box:
    """Return a bounding box of a placed part, along boat axes."""
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
    """Return a lower bound of the distance between the contents of two boxes [mm]."""
    gaps = [max(0.0, a.low[k] - b.high[k], b.low[k] - a.high[k]) for k in range(3)]
    return math.hypot(*gaps)
