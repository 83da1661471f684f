"""A straight line through a drilled tube or a bush: exact clear diameter and free angle.

The line passes through the centre of the hole, which lies on the tube axis. It bears on the edges of the hole
at the outer face of the tube; the inner edges of the wall never govern.
Source: geometry; the closed forms are checked against a solid kernel in the tests.
"""

from __future__ import annotations

import math

from geom import vec
from geom.errors import GeometryError
from geom.frozen import frozen
from geom.placement import exit_edge
from geom.placement.exit_edge import ExitEdge
from geom.placement.place import Passage, PlacedHole, PlacedPost, PlacedRun
from geom.remark import Remark
from geom.units import Mm, Rad
from geom.vec import Vec


@frozen
class Clearance:
    """A line at rest in one hole.

    `axis` is the hole axis considered and `basis` where it comes from. `line_angle` is the larger angle of the
    two legs to it, `free_angle` the angle across the tube at which a line in a square hole touches both lips
    [rad], `clear` the largest diameter that clears both lips on both legs [mm].
    """

    basis: Remark
    axis: Vec
    line_angle: Rad
    free_angle: Rad
    clear: Mm
    touches_both_lips: bool


def clear_across(tube: float, hole: float, angle: float) -> float:
    """Return the clear diameter of a square hole with the line turned across the tube [mm].

    Args:
        tube: outside diameter of the tube [mm].
        hole: diameter of the hole [mm].
        angle: between line and hole axis, in the plane square to the tube axis [rad].
    """
    return hole * math.cos(angle) - math.sqrt(tube * tube - hole * hole) * math.sin(angle)


def clear_along(tube: float, hole: float, angle: float) -> float:
    """Return the clear diameter of a square hole with the line tilted along the tube [mm].

    This is the minimum over all directions at that angle.

    Args:
        tube: outside diameter of the tube [mm].
        hole: diameter of the hole [mm].
        angle: between line and hole axis, in the plane of both axes [rad].
    """
    return hole * math.cos(angle) - tube * math.sin(angle)


def clear_bush(bore: float, length: float, mouth_radius: float, angle: float) -> float:
    """Return the clear diameter of a straight bush with rounded mouths [mm].

    Args:
        bore: of the bush [mm].
        length: of the bush over all [mm].
        mouth_radius: rounding of its mouths [mm].
        angle: between line and bush axis [rad].
    """
    straight = length - 2.0 * mouth_radius
    return bore * math.cos(angle) - straight * math.sin(angle) - 2.0 * mouth_radius * (1.0 - math.cos(angle))


def free_angle_across(tube: float, hole: float, line: float) -> float | None:
    """Return the largest angle across the tube at which a line clears both lips [rad]; None if it does not enter.

    Source: `clear_across` set equal to the line diameter: acos(line / tube) - acos(hole / tube).

    Args:
        tube: outside diameter of the tube [mm].
        hole: diameter of the hole [mm].
        line: diameter of the line [mm].

    Raises:
        GeometryError: the hole is not smaller than the tube.
    """
    _check(tube, hole)
    if line > hole:
        return None
    return math.acos(line / tube) - math.acos(hole / tube)


def free_angle_in_bush(bore: float, length: float, mouth_radius: float, line: float) -> float:
    """Return the angle at which a line in a straight bush touches both of its rounded mouths [rad].

    Source: `clear_bush` set equal to the line diameter, with its sine and cosine taken together as one cosine.

    Args:
        bore: of the bush [mm].
        length: of the bush over all [mm].
        mouth_radius: rounding of its mouths [mm].
        line: diameter of the line, no more than the bore [mm].
    """
    high, straight = bore + 2.0 * mouth_radius, length - 2.0 * mouth_radius
    return math.acos((line + 2.0 * mouth_radius) / math.hypot(high, straight)) - math.atan2(straight, high)


def clear_diameter(tube: float, hole: float, tube_axis: Vec, hole_axis: Vec, line: Vec) -> float:
    """Return the largest diameter of a straight round line that passes both walls at once [mm].

    Twice the signed minimum distance from the line to the exit edge of the hole: zero or negative where the
    line axis lies outside the exit.

    Args:
        tube: outside diameter of the tube [mm].
        hole: diameter of the hole [mm].
        tube_axis: unit direction of the tube.
        hole_axis: unit direction of the hole, which crosses the tube axis.
        line: unit direction of the line through the hole centre.

    Raises:
        GeometryError: the hole is not smaller than the tube.
    """
    _check(tube, hole)
    square = vec.cross(tube_axis, hole_axis)
    cos_tilt, sin_tilt = vec.norm(square), vec.dot(hole_axis, tube_axis)
    across = vec.scale(square, 1.0 / cos_tilt)
    upward = vec.cross(hole_axis, across)
    in_frame = vec.dot(line, hole_axis), vec.dot(line, across), vec.dot(line, upward)
    least = exit_edge.min_distance(ExitEdge(tube / 2.0, hole / 2.0, cos_tilt, sin_tilt, in_frame))
    # The line leaves the tube inside the edge, or outside it; one parallel to the tube does not leave it.
    off_tube, off_hole = vec.norm(vec.cross(line, tube_axis)), math.hypot(in_frame[1], in_frame[2])
    return 2.0 * least if tube * off_hole < hole * off_tube else -2.0 * least


def _check(tube: float, hole: float) -> None:
    if not 0.0 < hole < tube:
        raise GeometryError(f"a hole of {hole:g} mm in a tube of {tube:g} mm: the hole must be smaller than the tube")


def in_hole(post: PlacedPost, passage: Passage, axis: Vec, basis: Remark, line: float) -> Clearance | None:
    """Return the clearance of a line at rest in a hole of a given axis; None where the line does not enter.

    Args:
        post: the drilled post.
        passage: the run through the hole.
        axis: unit direction of the hole axis to consider.
        basis: where that axis comes from.
        line: diameter of the line [mm].
    """
    liner = passage.hole.edge.bush
    legs = (passage.incoming, passage.outgoing)
    angles = [vec.angle(leg, axis) for leg in legs]
    free = free_angle_across(post.tube_od, passage.hole.bore, line)
    if free is None:
        return None
    if liner is None:
        clear = min(clear_diameter(post.tube_od, passage.hole.bore, post.axis, axis, leg) for leg in legs)
    else:
        clear = min(clear_bush(liner.bore, liner.length, liner.mouth_radius, angle) for angle in angles)
        free = free_angle_in_bush(liner.bore, liner.length, liner.mouth_radius, line)
    return Clearance(
        basis=basis,
        axis=axis,
        line_angle=max(angles),
        free_angle=free,
        clear=clear,
        touches_both_lips=clear < line,
    )


@frozen
class Drilling:
    """The axis on which a hole is to be drilled, aft end first, with its clocking and tilt on the tube [rad].

    `basis` is where the axis comes from: measured, planned, best for a run, or square; `runs` are those for
    which it was calculated, none where the boat file states it or no run uses the hole.
    """

    hole: str
    axis: Vec
    clocking: Rad
    tilt: Rad
    basis: Remark
    runs: tuple[str, ...] = ()


def drilling(post: PlacedPost, hole: PlacedHole, runs: tuple[PlacedRun, ...]) -> Drilling:
    """Return the axis on which a hole is to be drilled.

    A stated direction takes precedence; then the bisector of the run that passes through; then, at a post
    where runs end, the mean of their directions; a hole that no run uses is square to the tube, fore-and-aft.

    Args:
        post: the post.
        hole: its hole.
        runs: every placed run.
    """
    if hole.measured is not None:
        return _on(post, hole, hole.measured, Remark("axis.measured" if hole.spec.planned is None else "axis.planned"))
    for run in runs:
        for passage in run.passages:
            if passage.hole.id == hole.id:
                return _on(post, hole, passage.best_axis, Remark("axis.best", run=run.id), (run.id,))
    ending = [
        (run.id, vec.unit(vec.sub(b, a)))
        for run in runs
        if run.level == hole.level
        for name, (a, b) in (
            (run.names[0], (run.points[0], run.points[1])),
            (run.names[-1], (run.points[-2], run.points[-1])),
        )
        if name == post.id
    ]
    if ending:
        mean = vec.unit(
            (math.fsum(d[0] for _, d in ending), math.fsum(d[1] for _, d in ending), math.fsum(d[2] for _, d in ending))
        )
        names = tuple(run_id for run_id, _ in ending)
        return _on(post, hole, mean, Remark("axis.mean", runs=names), names)
    return _on(post, hole, post.fore_and_aft, Remark("axis.no_run"))


def _on(post: PlacedPost, hole: PlacedHole, axis: Vec, basis: Remark, runs: tuple[str, ...] = ()) -> Drilling:
    clocking = math.atan2(vec.dot(axis, post.outboard), vec.dot(axis, post.fore_and_aft))
    return Drilling(hole.id, axis, clocking, math.asin(vec.dot(axis, post.axis)), basis, runs)
