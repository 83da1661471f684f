"""A run under one point load on flexible posts: plain functions of floats and sequences.

The points of the run, in order, are its fixed points and, among them, the loaded point, which is free in three
directions. A support on a post is free in two. Displacements are measured along these directions; each side of the
load has one tension. Units: mm and N. Vectors stand one after the other, three components each.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence, Sequence
from typing import NamedTuple

Floats = MutableSequence[float]

_STEPS = 60
_MAX_CUTS = 30
# Residual force as a fraction of the load, and as one of EA by the resolution of coordinates in floating point.
_TOLERANCE, _RESOLUTION = 1e-9, 1e-13

# Columns of the rows of a run at rest: place of the point; of a support on a post the stiffnesses in its two
# directions, else zero, and the directions.
PLACE, SPRINGS, AXES, COLUMNS = 0, 3, 5, 11

# Columns of the rows in which a run is solved, for the loaded point too: as above, and the force at rest in both
# directions; displacement and its derivative by the push; what a step begins from, and the step; force out of balance;
# derivative of the length of the side; unit direction of the segment to the next point and its length; what elimination
# leaves: the products of the inverse stiffness with the stiffness to the next point (2 x 3), with the derivative of the
# length (2) and with the force out of balance (2), and the stiffness to the next point (2 x 3).
_AT_REST, MOVED, _BY_PUSH, _BEFORE, _STEP, _LEFT_OVER, _SLOPE, _SEGMENT, _BY_NEXT = 11, 13, 16, 19, 22, 25, 28, 30, 34
_BY_SLOPE, _BY_FORCE, _NEXT, WIDTH = 40, 42, 44, 50


class BentRun(NamedTuple):
    """A run with its point load: its rows, the loaded point, EA [N], unstressed lengths of both sides, the load [N]."""

    rows: Floats
    points: int
    loaded: int
    ea: float
    rests: tuple[float, float]
    force: tuple[float, float, float]


def bent_run(
    at_rest: Sequence[float],
    span: int,
    share: float,
    force: tuple[float, float, float],
    ea: float,
    tension: float,
    start: tuple[float, float, float],
    rows: Floats,
) -> BentRun:
    """Return a run with a load, before its first solution; fill in its rows.

    Args:
        at_rest: rows of the run at rest.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        force: the load [N].
        ea: axial stiffness of the line [N].
        tension: of the line at rest [N].
        start: initial position of the loaded point [mm].
        rows: room for one more point than the run has, `WIDTH` floats each.
    """
    count, loaded = len(at_rest) // COLUMNS + 1, span + 1
    for at in range(WIDTH * count):
        rows[at] = 0.0
    for at in range(count):
        if at != loaded:
            own = COLUMNS * (at if at < loaded else at - 1)
            for column in range(COLUMNS):
                rows[WIDTH * at + column] = at_rest[own + column]
    row = WIDTH * loaded
    for axis in range(3):
        near, far = rows[row - WIDTH + axis], rows[row + WIDTH + axis]
        rows[row + axis] = near + share * (far - near)
    run = BentRun(rows, count, loaded, ea, (1.0, 1.0), force)
    chords = _segments(run)
    _slopes(run)
    for at in range(count):
        if at != loaded:
            # At rest the loaded point lies on the straight line and carries no load.
            for axis in range(2):
                rows[WIDTH * at + _AT_REST + axis] = tension * rows[WIDTH * at + _SLOPE + axis]
    for axis in range(3):
        rows[row + MOVED + axis] = start[axis] - rows[row + axis]
    stretch = 1.0 + tension / ea
    return BentRun(rows, count, loaded, ea, (chords[0] / stretch, chords[1] / stretch), force)


def under(run: BentRun, last: float, push: float) -> tuple[float, float, float]:
    """Return the tensions of both sides under a load times a factor [N], and the residual where not solved, else zero.

    Args:
        run: the run with its load; its rows hold the last solution, and this one afterwards.
        last: the factor of the last solution.
        push: the factor; a unit load makes it the force [N].
    """
    rows = run.rows
    for at in range(0, WIDTH * run.points, WIDTH):
        for axis in range(3):
            rows[at + MOVED + axis] += rows[at + _BY_PUSH + axis] * (push - last)
    allowed = max(_TOLERANCE * max(push, 1.0), _RESOLUTION * run.ea)
    tension = _balance(run, push)
    residual = 0.0
    for _ in range(_STEPS):
        residual = 0.0
        for at in range(0, WIDTH * run.points, WIDTH):
            for axis in range(3):
                residual = max(residual, abs(rows[at + _LEFT_OVER + axis]))
        if residual <= allowed:
            return tension[0], tension[1], 0.0
        _newton_step(run, tension)
        drive, share = _drive(run), 1.0
        for at in range(0, WIDTH * run.points, WIDTH):
            for axis in range(3):
                rows[at + _BEFORE + axis] = rows[at + MOVED + axis]
        for _ in range(_MAX_CUTS):
            for at in range(0, WIDTH * run.points, WIDTH):
                for axis in range(3):
                    rows[at + MOVED + axis] = rows[at + _BEFORE + axis] + share * rows[at + _STEP + axis]
            tension = _balance(run, push)
            back = _drive(run)
            # Beyond the minimum of energy along the step the residual reverses: shorten the step.
            if back >= -0.1 * drive:
                break
            share *= max(drive / (drive - back), 0.1)
    return tension[0], tension[1], residual


def _drive(run: BentRun) -> float:
    """Return the work of the force out of balance along the step."""
    rows, found = run.rows, 0.0
    for at in range(0, WIDTH * run.points, WIDTH):
        for axis in range(3):
            found += rows[at + _LEFT_OVER + axis] * rows[at + _STEP + axis]
    return found


def place(run: BentRun, at: int) -> tuple[float, float, float]:
    """Return the position of a point [mm].

    Args:
        run: the run with its load.
        at: index of the point.
    """
    rows, row = run.rows, WIDTH * at
    x, y, z = rows[row], rows[row + 1], rows[row + 2]
    a, b, c = rows[row + MOVED], rows[row + MOVED + 1], rows[row + MOVED + 2]
    if at == run.loaded:
        return x + a, y + b, z + c
    return (
        x + (rows[row + AXES] * a + rows[row + AXES + 3] * b),
        y + (rows[row + AXES + 1] * a + rows[row + AXES + 4] * b),
        z + (rows[row + AXES + 2] * a + rows[row + AXES + 5] * b),
    )


def _segments(run: BentRun) -> tuple[float, float]:
    """Return the lengths of both sides [mm]; fill in the segments."""
    rows, first, last = run.rows, 0.0, 0.0
    near = place(run, 0)
    for at in range(run.points - 1):
        far = place(run, at + 1)
        x, y, z = far[0] - near[0], far[1] - near[1], far[2] - near[2]
        length = math.sqrt(x * x + y * y + z * z)
        row = WIDTH * at + _SEGMENT
        rows[row], rows[row + 1], rows[row + 2], rows[row + 3] = x / length, y / length, z / length, length
        if at < run.loaded:
            first += length
        else:
            last += length
        near = far
    return first, last


def _slopes(run: BentRun) -> None:
    """Fill in the derivatives of the length of each side by the displacements of the supports on it."""
    rows = run.rows
    for at in range(run.points):
        if at != run.loaded:
            x, y, z = 0.0, 0.0, 0.0
            if at > 0:
                row = WIDTH * (at - 1) + _SEGMENT
                x, y, z = rows[row], rows[row + 1], rows[row + 2]
            if at < run.points - 1:
                row = WIDTH * at + _SEGMENT
                x, y, z = x - rows[row], y - rows[row + 1], z - rows[row + 2]
            row = WIDTH * at + AXES
            rows[WIDTH * at + _SLOPE] = rows[row] * x + rows[row + 1] * y + rows[row + 2] * z
            rows[WIDTH * at + _SLOPE + 1] = rows[row + 3] * x + rows[row + 4] * y + rows[row + 5] * z


def _balance(run: BentRun, push: float) -> tuple[float, float]:
    """Return the tensions of both sides; fill in segments, slopes and the force out of balance."""
    rows, (first, last) = run.rows, _segments(run)
    tension = (
        max(run.ea / run.rests[0] * (first - run.rests[0]), 0.0),
        max(run.ea / run.rests[1] * (last - run.rests[1]), 0.0),
    )
    _slopes(run)
    for at in range(run.points):
        row = WIDTH * at
        if at == run.loaded:
            for axis in range(3):
                near, far = rows[row - WIDTH + _SEGMENT + axis], rows[row + _SEGMENT + axis]
                rows[row + _LEFT_OVER + axis] = run.force[axis] * push + (tension[1] * far - tension[0] * near)
        else:
            pull = tension[0] if at < run.loaded else tension[1]
            for axis in range(2):
                held = rows[row + _AT_REST + axis] - rows[row + SPRINGS + axis] * rows[row + MOVED + axis]
                rows[row + _LEFT_OVER + axis] = held - pull * rows[row + _SLOPE + axis]
    return tension


def _newton_step(run: BentRun, tension: tuple[float, float]) -> None:
    """Fill in the Newton step, and the derivatives of the displacements by the push.

    The tension of a side is one more unknown, as it ties all its points. The points are eliminated from the ends of the
    run towards the load; what is left is the stiffness of the loaded point.
    """
    rows, row = run.rows, WIDTH * run.loaded
    axial = run.ea / run.rests[0], run.ea / run.rests[1]
    # Along the line only stretch restrains the loaded point: a small spring keeps the matrix regular.
    spring = 1e-6 * (axial[0] + axial[1])
    xx, xy, xz, yy, yz, zz = spring, 0.0, 0.0, spring, 0.0, spring
    a, b, c = rows[row + _LEFT_OVER], rows[row + _LEFT_OVER + 1], rows[row + _LEFT_OVER + 2]
    ties = ((0.0, 0.0, 0.0, -1.0, 0.0), (0.0, 0.0, 0.0, -1.0, 0.0))
    for side in range(2):
        stiff, slope, force, own, right = _eliminate(run, side, tension[side], axial[side])
        sx, sy, sz = slope
        xx, xy, xz = xx + stiff[0] - sx * sx / own, xy + stiff[1] - sx * sy / own, xz + stiff[2] - sx * sz / own
        yy, yz, zz = yy + stiff[3] - sy * sy / own, yz + stiff[4] - sy * sz / own, zz + stiff[5] - sz * sz / own
        a, b, c = a + force[0] - sx * right / own, b + force[1] - sy * right / own, c + force[2] - sz * right / own
        tie = (sx, sy, sz, own, right)
        ties = (tie, ties[1]) if side == 0 else (ties[0], tie)
    step = _solved(xx, xy, xz, yy, yz, zz, a, b, c)
    by_push = _solved(xx, xy, xz, yy, yz, zz, run.force[0], run.force[1], run.force[2])
    for axis in range(3):
        rows[row + _STEP + axis], rows[row + _BY_PUSH + axis] = step[axis], by_push[axis]
    for side in range(2):
        sx, sy, sz, own, right = ties[side]
        more = (right - sx * step[0] - sy * step[1] - sz * step[2]) / own
        by = -(sx * by_push[0] + sy * by_push[1] + sz * by_push[2]) / own
        _substitute(run, side, more, by)


def _eliminate(
    run: BentRun, side: int, tension: float, axial: float
) -> tuple[
    tuple[float, float, float, float, float, float],
    tuple[float, float, float],
    tuple[float, float, float],
    float,
    float,
]:
    """Eliminate the supports of a side.

    Returns:
        For the loaded point the stiffness (xx, xy, xz, yy, yz, zz), the derivative of the length of the side, and what
        is added to the force out of balance; for the tension of the side its own term and its right-hand side.
    """
    rows, own, right = run.rows, -1.0 / axial, 0.0
    first, step = (0, 1) if side == 0 else (run.points - 1, -1)
    left = -1
    for at in range(first, run.loaded, step):
        row = WIDTH * at
        if rows[row + SPRINGS] == 0.0:
            left = -1
            continue
        xx, xy, yy = rows[row + SPRINGS], 0.0, rows[row + SPRINGS + 1]
        for segment in range(max(at - 1, 0), min(at, run.points - 2) + 1):
            across = tension / rows[WIDTH * segment + _SEGMENT + 3]
            n, m = _along(rows, row + AXES, segment), _along(rows, row + AXES + 3, segment)
            xx, xy, yy = xx + across * (1.0 - n * n), xy - across * n * m, yy + across * (1.0 - m * m)
        sx, sy = rows[row + _SLOPE], rows[row + _SLOPE + 1]
        rx, ry = rows[row + _LEFT_OVER], rows[row + _LEFT_OVER + 1]
        if left >= 0:
            a, b, c, d = rows[left + _NEXT], rows[left + _NEXT + 1], rows[left + _NEXT + 3], rows[left + _NEXT + 4]
            xx -= a * rows[left + _BY_NEXT] + c * rows[left + _BY_NEXT + 3]
            xy -= a * rows[left + _BY_NEXT + 1] + c * rows[left + _BY_NEXT + 4]
            yy -= b * rows[left + _BY_NEXT + 1] + d * rows[left + _BY_NEXT + 4]
            e, f = rows[left + _BY_SLOPE], rows[left + _BY_SLOPE + 1]
            sx, sy = sx - a * e - c * f, sy - b * e - d * f
            e, f = rows[left + _BY_FORCE], rows[left + _BY_FORCE + 1]
            rx, ry = rx - a * e - c * f, ry - b * e - d * f
        _tie_to_next(run, at, step, tension)
        size = xx * yy - xy * xy
        for axis in range(3):
            c, d = rows[row + _NEXT + axis], rows[row + _NEXT + 3 + axis]
            rows[row + _BY_NEXT + axis] = (yy * c - xy * d) / size
            rows[row + _BY_NEXT + 3 + axis] = (xx * d - xy * c) / size
        rows[row + _BY_SLOPE], rows[row + _BY_SLOPE + 1] = (yy * sx - xy * sy) / size, (xx * sy - xy * sx) / size
        rows[row + _BY_FORCE], rows[row + _BY_FORCE + 1] = (yy * rx - xy * ry) / size, (xx * ry - xy * rx) / size
        own -= sx * rows[row + _BY_SLOPE] + sy * rows[row + _BY_SLOPE + 1]
        right -= sx * rows[row + _BY_FORCE] + sy * rows[row + _BY_FORCE + 1]
        left = row
    row = WIDTH * (run.loaded - 1 if side == 0 else run.loaded) + _SEGMENT
    x, y, z = rows[row], rows[row + 1], rows[row + 2]
    k = tension / rows[row + 3]
    xx, xy, xz, yy, yz, zz = k * (1.0 - x * x), -k * x * y, -k * x * z, k * (1.0 - y * y), -k * y * z, k * (1.0 - z * z)
    sx, sy, sz, rx, ry, rz = step * x, step * y, step * z, 0.0, 0.0, 0.0
    if left >= 0:
        for axis in range(2):
            a, b, c = (
                rows[left + _NEXT + 3 * axis], rows[left + _NEXT + 3 * axis + 1], rows[left + _NEXT + 3 * axis + 2]
            )  # fmt: skip
            by = left + _BY_NEXT + 3 * axis
            xx, xy, xz = xx - a * rows[by], xy - a * rows[by + 1], xz - a * rows[by + 2]
            yy, yz, zz = yy - b * rows[by + 1], yz - b * rows[by + 2], zz - c * rows[by + 2]
            e, f = rows[left + _BY_SLOPE + axis], rows[left + _BY_FORCE + axis]
            sx, sy, sz = sx - a * e, sy - b * e, sz - c * e
            rx, ry, rz = rx - a * f, ry - b * f, rz - c * f
    return (xx, xy, xz, yy, yz, zz), (sx, sy, sz), (rx, ry, rz), own, right


def _along(rows: Floats, direction: int, segment: int) -> float:
    """Return the component of a direction of a support along a segment."""
    row = WIDTH * segment + _SEGMENT
    return rows[direction] * rows[row] + rows[direction + 1] * rows[row + 1] + rows[direction + 2] * rows[row + 2]


def _tie_to_next(run: BentRun, at: int, step: int, tension: float) -> None:
    """Fill in the stiffness between a support and the next point towards the load."""
    rows, other = run.rows, at + step
    segment = min(at, other)
    row = WIDTH * segment + _SEGMENT
    across = tension / rows[row + 3]
    for own in range(2):
        u, found = WIDTH * at + AXES + 3 * own, WIDTH * at + _NEXT + 3 * own
        along = _along(rows, u, segment)
        if other == run.loaded:
            for axis in range(3):
                rows[found + axis] = -across * (rows[u + axis] - along * rows[row + axis])
        else:
            for axis in range(2):
                # A fixed point has no directions.
                v = WIDTH * other + AXES + 3 * axis
                both = rows[u] * rows[v] + rows[u + 1] * rows[v + 1] + rows[u + 2] * rows[v + 2]
                rows[found + axis] = -across * (both - along * _along(rows, v, segment))
            rows[found + 2] = 0.0


def _substitute(run: BentRun, side: int, tension: float, by_push: float) -> None:
    """Fill in the step of the supports of a side, from the load towards the end of the run."""
    rows = run.rows
    end, step = (-1, -1) if side == 0 else (run.points, 1)
    for at in range(run.loaded + step, end, step):
        row, other = WIDTH * at, WIDTH * (at - step)
        if rows[row + SPRINGS] > 0.0:
            for axis in range(2):
                by_slope = rows[row + _BY_SLOPE + axis]
                more, by = rows[row + _BY_FORCE + axis] - by_slope * tension, -by_slope * by_push
                for next_axis in range(3):
                    product = rows[row + _BY_NEXT + 3 * axis + next_axis]
                    more -= product * rows[other + _STEP + next_axis]
                    by -= product * rows[other + _BY_PUSH + next_axis]
                rows[row + _STEP + axis], rows[row + _BY_PUSH + axis] = more, by


def _solved(
    xx: float, xy: float, xz: float, yy: float, yz: float, zz: float, x: float, y: float, z: float
) -> tuple[float, float, float]:
    """Return the solution of a positive definite symmetric matrix, by its L D L' factors."""
    l_yx, l_zx = xy / xx, xz / xx
    d_y, rest = yy - l_yx * xy, yz - l_zx * xy
    l_zy = rest / d_y
    b_y = y - l_yx * x
    c = (z - l_zx * x - l_zy * b_y) / (zz - l_zx * xz - l_zy * rest)
    b = b_y / d_y - l_zy * c
    return x / xx - l_yx * b - l_zx * c, b, c


def forces(run: BentRun, first: float, last: float, found: Floats) -> None:
    """Fill in the force of the line on each of its fixed points [N], as the solution has left it.

    Args:
        run: the run with its load.
        first: tension before the load [N].
        last: tension after it [N].
        found: three components for each fixed point.
    """
    for at in range(3 * (run.points - 1)):
        found[at] = 0.0
    for at in range(run.points - 1):
        tension = first if at < run.loaded else last
        near, far = 3 * (at if at < run.loaded else at - 1), 3 * (at + 1 if at + 1 < run.loaded else at)
        for axis in range(3):
            pull = tension * run.rows[WIDTH * at + _SEGMENT + axis]
            if at != run.loaded:
                found[near + axis] += pull
            if at + 1 != run.loaded:
                found[far + axis] -= pull
