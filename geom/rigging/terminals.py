"""Terminals of wire against the holes: rigid lengths in holes, swages that would have to be made on board.

A rigid body that is long enough to lie in both walls of a tube at once passes where it clears the edges of the whole
hole; a shorter one passes one wall after the other; in a bush it turns as far as its length lets it.
Source: geometry; what a swage needs is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.model import Boat, LineEnd
from geom.placement.eyes import Where
from geom.placement.holes import Clearance
from geom.placement.line_ends import BOTH, family, line_end, run_end
from geom.placement.place import PlacedHole, PlacedPost, PlacedRun
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rigging.alternatives import Alternative
from geom.rigging.fit import BuryFit
from geom.rigging.line_remark import LineRemark
from geom.rigging.threading_plan import ThreadingPlan

_STUDS = ("swaged stud", "compression terminal")
_SOURCE = "geometry"


def is_swage(end: LineEnd) -> bool:
    """Return whether an end is made with a swaging machine."""
    return "swaging machine" in family(end)["tools"]


def is_stud(end: LineEnd) -> bool:
    """Return whether an end is a terminal with a threaded stud."""
    return end.family in _STUDS


def is_terminal(end: LineEnd) -> bool:
    """Return whether an end is a terminal, swaged or fitted by hand."""
    return family(end)["kind"] == "terminal"


def clear_of_wall(tube: float, wall: float, hole: float, angle: float) -> float:
    """Return the width of the widest rigid body that passes one wall of a tube at an angle to the hole's axis [mm].

    The two edges of the hole in a wall lie apart by the wall along the tube, by more at the sides, which is taken here.

    Args:
        tube: outside diameter of the tube [mm].
        wall: of the tube [mm].
        hole: diameter of the hole [mm].
        angle: between the body and the axis of the hole [rad].
    """
    outside, inside = (math.sqrt(max(across**2 - hole**2, 0.0)) for across in (tube, tube - 2.0 * wall))
    return hole * math.cos(angle) - 0.5 * (outside - inside) * math.sin(angle)


def lies_in_both_walls(tube: float, wall: float, hole: float, body: tuple[float, float], angle: float) -> bool:
    """Return whether a rigid body reaches both walls of a tube at once at an angle to the hole's axis.

    Args:
        tube: outside diameter of the tube [mm].
        wall: of the tube [mm].
        hole: diameter of the hole [mm].
        body: its length and width [mm].
        angle: between the body and the axis of the hole [rad].
    """
    length, width = body
    inside = math.sqrt(max((tube - 2.0 * wall) ** 2 - hole**2, 0.0))
    return length * math.cos(angle) + width * math.sin(angle) > inside


def clear_within_bush(bore: float, length: float, angle: float) -> float:
    """Return the width of the widest rigid body, shorter than a bush, that lies in it at an angle to its axis [mm].

    Args:
        bore: of the bush [mm].
        length: of the body [mm].
        angle: between the body and the axis of the bush [rad].
    """
    return (bore - length * math.sin(angle)) / math.cos(angle)


def rigid_clear(post: PlacedPost, hole: PlacedHole, rest: Clearance, length: float, width: float) -> float:
    """Return the width of the widest rigid body of a length that passes a hole in the direction of its line [mm].

    Args:
        post: the drilled post.
        hole: its hole.
        rest: the line at rest in it, with the clear diameter of the whole hole.
        length: of the body [mm].
        width: of the body [mm].
    """
    bush, angle = hole.edge.bush, rest.line_angle
    if bush is not None:
        return max(rest.clear, clear_within_bush(bush.bore, length, angle))
    if lies_in_both_walls(post.tube_od, post.tube_wall, hole.bore, (length, width), angle):
        return rest.clear
    return max(rest.clear, clear_of_wall(post.tube_od, post.tube_wall, hole.bore, angle))


def terminal_remarks(placed: Placed, run: PlacedRun, fit: BuryFit, plan: ThreadingPlan) -> tuple[LineRemark, ...]:
    """Return what is to be said of the terminals of a run: their bearing, their rigid length, swages on board.

    Args:
        placed: the boat in space.
        run: the placed run.
        fit: the stations of its holes.
        plan: its threading plan.
    """
    boat = placed.boat
    found: list[LineRemark] = []
    for where in BOTH:
        end = line_end(boat, run, where)
        if not is_terminal(end):
            continue
        found += _bearing(run, end, where)
        found += _in_hole(placed, run, end, where, fit)
        if plan.in_place is None and where == plan.order.leading:
            found += _drawn_through(placed, run, end, where)
        if plan.in_place == where and is_swage(end):
            hole = _stopped_at(plan, where)
            says = Remark("swage.on_board", end=where, hole=hole)
            source = Remark("source.common_practice")
            found.append(LineRemark("swage", "refused", run.id, says, source=source, end=where))
    return tuple(found)


def _bearing(run: PlacedRun, end: LineEnd, where: Where) -> Iterator[LineRemark]:
    if not is_stud(end):
        return
    if end.bears_on is None:
        yield LineRemark("stud", "notice", run.id, Remark("stud.bearing_not_stated", end=where), end=where)
    elif end.bears_on == "thread" and end.thread_engaged is None:
        yield LineRemark("stud", "cannot tell", run.id, Remark("stud.engaged_not_stated", end=where), end=where)


def _in_hole(placed: Placed, run: PlacedRun, end: LineEnd, where: Where, fit: BuryFit) -> Iterator[LineRemark]:
    """Yield a notice for each hole that the rigid part of a terminal reaches into on the finished line."""
    if end.rigid is None:
        return
    for hole, passage in zip(fit.holes, run.passages, strict=True):
        away = hole.at if where == "start" else fit.finished - hole.at
        clear = away - 0.5 * placed.posts[passage.hole.post].tube_od
        if clear < end.rigid:
            says = Remark(
                "terminal.in_hole", end=where, name=run_end(run, where).end, hole=hole.hole, rigid_mm=end.rigid
            )
            yield LineRemark(
                "terminal-hole", "notice", run.id, says, clear, end.rigid, "mm", _SOURCE, end=where
            )  # fmt: skip


def _drawn_through(placed: Placed, run: PlacedRun, end: LineEnd, where: Where) -> Iterator[LineRemark]:
    """Yield a notice for each hole that a finished terminal passes only in line with the hole's axis."""
    name = run_end(run, where).end
    for passage in run.passages:
        hole = passage.hole
        if end.width is None:
            continue
        if end.rigid is None:
            says = Remark("terminal.rigid_not_stated", end=where, name=name, hole=hole.id)
            yield LineRemark("terminal-rigid", "notice", run.id, says, end=where)
            return
        known = hole.measured is not None or hole.spec.planned is not None
        lying = placed.lines_in_holes[hole.id]
        rest = lying.on_axis if known else lying.if_square
        clear = None if rest is None else rigid_clear(
            placed.posts[hole.post], hole, rest, end.rigid, end.width
        )  # fmt: skip
        if rest is not None and clear is not None and clear < end.width:
            code = "terminal.rigid_at_angle" if known else "terminal.rigid_if_square"
            says = Remark(
                code, end=where, name=name, hole=hole.id, rigid_mm=end.rigid, angle_rad=rest.line_angle,
                width_mm=end.width, clear_mm=clear,
            )  # fmt: skip
            yield LineRemark("terminal-rigid", "notice", run.id, says, clear, end.width, "mm", _SOURCE, end=where)


def _stopped_at(plan: ThreadingPlan, where: Where) -> str:
    attempt = next(one for one in plan.tried if one.leading == where)
    return plan.to_point if attempt.stopped is None else attempt.stopped[0]


def swage_choices(boat: Boat, run: PlacedRun, plan: ThreadingPlan) -> tuple[Alternative, ...]:
    """Return the choices where a swage would have to be made on board: open the holes by so much, another terminal.

    Args:
        boat: the boat file.
        run: the placed run.
        plan: its threading plan.
    """
    where = plan.in_place
    if where is None or not is_swage(line_end(boat, run, where)):
        return ()
    width = line_end(boat, run, where).width
    found = []
    for passage in run.passages:
        bore = passage.hole.bore
        if width is not None and bore < width:
            by = Remark("instead.open_hole_by", has_mm=bore, needs_mm=width, more_mm=width - bore)
            to_check = Remark("instead.open_hole_to_check")
            found.append(Alternative(Remark("instead.open_hole", hole=passage.hole.id), by, to_check))
    other = (Remark("instead.terminal"), Remark("instead.terminal_by"), Remark("instead.terminal_to_check"))
    return (*found, Alternative(*other))
