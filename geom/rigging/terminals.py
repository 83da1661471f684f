"""Terminals of wire against the holes: rigid lengths in holes, swages that would have to be made on board.

A rigid body of width w and length L lies in a tube of diameter T at an angle a to the hole's axis only where the bore
is at least w cos a + L sin a, or w / cos a + T tan a where the body is longer than the tube.
Source: geometry; what a swage needs is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.model import Boat, LineEnd
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, family, line_end, run_end
from geom.placement.place import PlacedRun
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


def rigid_bore(width: float, length: float, tube: float, angle: float) -> float:
    """Return the bore that a rigid body needs across a tube at an angle to the hole's axis [mm].

    Args:
        width: of the body [mm].
        length: of the body [mm].
        tube: outside diameter of the tube [mm].
        angle: between the body and the axis of the hole [rad].
    """
    if length * math.cos(angle) >= tube:
        return width / math.cos(angle) + tube * math.tan(angle)
    return width * math.cos(angle) + length * math.sin(angle)


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
        if family(end)["kind"] != "terminal":
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
    if end.family not in _STUDS:
        return
    if end.bears_on is None:
        yield LineRemark("stud", "notice", run.id, Remark("stud.bearing_not_stated", end=where), end=where)
    elif end.bears_on == "thread" and end.thread_engaged is None:
        yield LineRemark("stud", "cannot tell", run.id, Remark("stud.engaged_not_stated", end=where), end=where)


def _in_hole(placed: Placed, run: PlacedRun, end: LineEnd, where: Where, fit: BuryFit) -> Iterator[LineRemark]:
    """Yield a notice for each hole that the rigid part of a terminal reaches into on the finished line."""
    if end.rigid_length is None:
        return
    for hole, passage in zip(fit.holes, run.passages, strict=True):
        away = hole.at if where == "start" else fit.finished - hole.at
        clear = away - 0.5 * placed.posts[passage.hole.post].tube_od
        if clear < end.rigid_length:
            says = Remark(
                "terminal.in_hole", end=where, name=run_end(run, where).end, hole=hole.hole, rigid_mm=end.rigid_length
            )
            yield LineRemark(
                "terminal-hole", "notice", run.id, says, clear, end.rigid_length, "mm", _SOURCE, end=where
            )  # fmt: skip


def _drawn_through(placed: Placed, run: PlacedRun, end: LineEnd, where: Where) -> Iterator[LineRemark]:
    """Yield a notice for each hole that a finished terminal passes only in line with the hole's axis."""
    name = run_end(run, where).end
    for passage in run.passages:
        hole = passage.hole
        if end.width is None:
            continue
        if end.rigid_length is None:
            says = Remark("terminal.rigid_not_stated", end=where, name=name, hole=hole.id)
            yield LineRemark("terminal-rigid", "notice", run.id, says, end=where)
            return
        needs = rigid_bore(end.width, end.rigid_length, placed.posts[hole.post].tube_od, 0.5 * passage.turn)
        if needs > hole.bore:
            says = Remark(
                "terminal.rigid_at_angle", end=where, name=name, hole=hole.id, rigid_mm=end.rigid_length,
                needs_mm=needs, has_mm=hole.bore,
            )  # fmt: skip
            yield LineRemark("terminal-rigid", "notice", run.id, says, hole.bore, needs, "mm", _SOURCE, end=where)


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
