"""A weightless line under one point load, between rigid supports: plain functions of floats and sequences.

A case lies in the plane of the straight span and its load. There the position of the loaded point has two
coordinates, along the span from its first support and across it in the direction of the load.
Units: mm and N. Vectors of points and directions stand one after the other, three components each.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence
from typing import NamedTuple

from geom.mechanics.kernels import one_side
from geom.mechanics.kernels.one_side import COLUMNS, DIRECTION, PLACE, SPAN, TENSION, Pull, RestingLine, Side

Floats = MutableSequence[float]

MAX_ITERATIONS = 60
_MAX_CUTS = 30
# Resolution of lengths in floating point, as a fraction of the length of the line.
_RESOLUTION = 1e-15


class Case(NamedTuple):
    """A line with its load: the loaded span, the plane of the load, and both sides.

    `chord` and `across` are the unit vectors of the plane, the second zero for a load along the span; `force` are the
    components of the load [N], `unloaded` is the place of the load along the span, `length` that of the span [mm].
    """

    span: int
    chord: tuple[float, float, float]
    across: tuple[float, float, float]
    force: tuple[float, float]
    unloaded: float
    length: float
    before: Side
    after: Side


class Pushed(NamedTuple):
    """A line under its load times a factor: position along and across, its derivatives by the factor, the sides.

    `unbalanced` is the force out of balance [N] where the solver did not converge, else zero.
    """

    push: float
    along: float
    across: float
    along_by_push: float
    across_by_push: float
    before: Pull
    after: Pull
    iterations: int
    unbalanced: float


def case_of(line: RestingLine, span: int, share: float, force: tuple[float, float, float]) -> Case:
    """Return a line with a load.

    Args:
        line: the line at rest.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        force: the load [N].
    """
    at, (x, y, z) = COLUMNS * span + DIRECTION, force
    chord = (line.rows[at], line.rows[at + 1], line.rows[at + 2])
    along = x * chord[0] + y * chord[1] + z * chord[2]
    square = (x - along * chord[0], y - along * chord[1], z - along * chord[2])
    size = math.sqrt(square[0] * square[0] + square[1] * square[1] + square[2] * square[2])
    # A load along the span moves its point along it alone, whatever the direction across.
    across, across_force = (0.0, 0.0, 0.0), 0.0
    if size > 1e-9 * math.sqrt(x * x + y * y + z * z):
        across, across_force = (square[0] / size, square[1] / size, square[2] / size), size
    before = one_side.side_of(line, span, share, -1, chord, across)
    after = one_side.side_of(line, span, 1.0 - share, 1, chord, across)
    return Case(
        span,
        chord,
        across,
        (along, across_force),
        share * line.rows[COLUMNS * span + SPAN],
        line.rows[COLUMNS * span + SPAN],
        before,
        after,
    )


def unpushed(line: RestingLine, case: Case) -> Pushed:
    """Return a case before its first push; a solution of the push zero has no derivatives.

    Args:
        line: the line at rest.
        case: the line with its load.
    """
    pulls = (
        one_side.at_rest(line, case.before, case.unloaded),
        one_side.at_rest(line, case.after, case.length - case.unloaded),
    )
    return Pushed(-1.0, case.unloaded, 0.0, 0.0, 0.0, pulls[0], pulls[1], 0, 0.0)


def under(line: RestingLine, case: Case, push: float, last: Pushed) -> Pushed:
    """Return a case under its load times a factor, by Newton iteration.

    Args:
        line: the line at rest.
        case: the line with its load.
        push: the factor; a unit load makes it the force [N].
        last: a solution from which to start, or the case `unpushed`.
    """
    along_force, across_force = case.force[0] * push, case.force[1] * push
    own_tension = line.rows[COLUMNS * case.span + TENSION]
    size = math.sqrt(along_force * along_force + across_force * across_force)
    tolerance = 1e-9 * max(size, own_tension, 1e-9)
    spring = 2e-9 * line.ea / line.path
    along, across = case.unloaded, 0.0
    if size > 0.0:
        if last.push < 0.0:
            across = _first_guess(line, case, across_force)
        else:
            along = last.along + last.along_by_push * (push - last.push)
            across = last.across + last.across_by_push * (push - last.push)
    before, after = last.before, last.after
    before, after, left, stiffness = _balance(line, case, along, across, along_force, across_force, before, after)
    settled = size == 0.0 or math.sqrt(left[0] * left[0] + left[1] * left[1]) <= tolerance
    iterations = 0
    while not settled and iterations < MAX_ITERATIONS:
        iterations += 1
        step = _step(stiffness, left, spring)
        length = math.sqrt(step[0] * step[0] + step[1] * step[1])
        if length > 0.5 * line.path:
            shorter = 0.5 * line.path / length
            step, length = (step[0] * shorter, step[1] * shorter), 0.5 * line.path
        drive, share = left[0] * step[0] + left[1] * step[1], 1.0
        new_along, new_across = along, across
        for _ in range(_MAX_CUTS):
            new_along, new_across = along + share * step[0], across + share * step[1]
            before, after, left, stiffness = _balance(
                line, case, new_along, new_across, along_force, across_force, before, after
            )
            # Beyond the minimum of energy along the step the residual reverses: shorten the step.
            back = left[0] * step[0] + left[1] * step[1]
            if back >= -0.1 * drive or math.sqrt(left[0] * left[0] + left[1] * left[1]) <= tolerance:
                break
            share *= max(drive / (drive - back), 0.1)
        along, across = new_along, new_across
        settled = math.sqrt(left[0] * left[0] + left[1] * left[1]) <= tolerance or share * length <= 1e-13 * line.path
    by_push = _step(stiffness, case.force, spring)
    residual = math.sqrt(left[0] * left[0] + left[1] * left[1])
    # In a short stiff segment the resolution of lengths corresponds to a force.
    resolution = 10.0 * _RESOLUTION * line.path * (before.stiffness + after.stiffness)
    allowed = 1e-7 * max(size, before.tension, after.tension, 1e-6) + resolution
    unbalanced = residual if residual > allowed else 0.0
    return Pushed(push, along, across, by_push[0], by_push[1], before, after, iterations, unbalanced)


def _first_guess(line: RestingLine, case: Case, force: float) -> float:
    """Return a deflection beyond the solution, from which Newton iteration converges [mm]."""
    if force <= 0.0:
        return 0.0
    share = case.unloaded / case.length
    arms = share * (1.0 - share) * case.length
    by_stretch = math.pow(2.0 * force * arms * arms * line.path / line.ea, 1.0 / 3.0)
    by_tension = force * arms / max(line.rows[COLUMNS * case.span + TENSION], 1e-200)
    return min(min(by_stretch, by_tension) + math.sqrt(2.0 * line.spare * arms), 2.0 * line.path)


def _balance(
    line: RestingLine,
    case: Case,
    along: float,
    across: float,
    along_force: float,
    across_force: float,
    before: Pull,
    after: Pull,
) -> tuple[Pull, Pull, tuple[float, float], tuple[float, float, float]]:
    """Return the pulls of both sides, the force out of balance on the loaded point, and the stiffness of that.

    The stiffness is along, both, across.
    """
    from_first, from_last = along, along - case.length
    before = one_side.pull(line, case.before, from_first, across, before)
    after = one_side.pull(line, case.after, from_last, across, after)
    first, last = before.tension / before.distance, after.tension / after.distance
    more_first = (before.stiffness - first) / (before.distance * before.distance)
    more_last = (after.stiffness - last) / (after.distance * after.distance)
    both = first + last
    turned = more_first * from_first + more_last * from_last
    bent = more_first * from_first * from_first + more_last * from_last * from_last
    left = (along_force - (first * from_first + last * from_last), across_force - both * across)
    return before, after, left, (both + bent, turned * across, both + (more_first + more_last) * across * across)


def _step(stiffness: tuple[float, float, float], left: tuple[float, float], spring: float) -> tuple[float, float]:
    """Return the Newton step of a loaded point, with a small spring so that a slack line has a solution."""
    along, both, across = stiffness[0] + spring, stiffness[1], stiffness[2] + spring
    ratio = both / along
    second = (left[1] - ratio * left[0]) / (across - ratio * both)
    return left[0] / along - ratio * second, second


def tensions(line: RestingLine, case: Case, pushed: Pushed, found: Floats) -> None:
    """Fill in the tension of every span [N]; that of the loaded one is before the load, that after it is the last.

    Args:
        line: the line at rest.
        case: the line with its load.
        pushed: the solution.
        found: one place for each span, and one more.
    """
    for at in range(line.spans):
        found[at] = line.rows[COLUMNS * at + TENSION]
    one_side.tensions(line, case.before, pushed.before, pushed.along, pushed.across, found)
    one_side.tensions(line, case.after, pushed.after, pushed.along - case.length, pushed.across, found)
    found[case.span], found[line.spans] = pushed.before.tension, pushed.after.tension


def forces(line: RestingLine, case: Case, pushed: Pushed, tension: Floats, found: Floats) -> None:
    """Fill in the force of a line on each of its points [N], and its tensions.

    Args:
        line: the line at rest.
        case: the line with its load.
        pushed: the solution.
        tension: room for `tensions`.
        found: three components for each point.
    """
    tensions(line, case, pushed, tension)
    for at in range(3 * (line.spans + 1)):
        found[at] = 0.0
    for span in range(line.spans):
        if span != case.span:
            for axis in range(3):
                pull = tension[span] * line.rows[COLUMNS * span + DIRECTION + axis]
                found[3 * span + axis] += pull
                found[3 * span + 3 + axis] -= pull
    first, last = pushed.before.tension / pushed.before.distance, pushed.after.tension / pushed.after.distance
    from_last = pushed.along - case.length
    for axis in range(3):
        across = pushed.across * case.across[axis]
        found[3 * case.span + axis] += (pushed.along * case.chord[axis] + across) * first
        found[3 * case.span + 3 + axis] += (from_last * case.chord[axis] + across) * last


def place(line: RestingLine, case: Case, pushed: Pushed) -> tuple[float, float, float]:
    """Return the position of a loaded point [mm].

    Args:
        line: the line at rest.
        case: the line with its load.
        pushed: the solution.
    """
    at = COLUMNS * case.span + PLACE
    return (
        line.rows[at] + pushed.along * case.chord[0] + pushed.across * case.across[0],
        line.rows[at + 1] + pushed.along * case.chord[1] + pushed.across * case.across[1],
        line.rows[at + 2] + pushed.along * case.chord[2] + pushed.across * case.across[2],
    )


def deflection(line: RestingLine, span: int, share: float, force: tuple[float, float, float]) -> tuple[float, float]:
    """Return the distance of a loaded point from the straight span [mm], and the force out of balance as `solve` does.

    Args:
        line: the line at rest.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        force: the load [N].
    """
    case = case_of(line, span, share, force)
    pushed = under(line, case, 1.0, unpushed(line, case))
    return abs(pushed.across), pushed.unbalanced


def solve(
    line: RestingLine, span: int, share: float, force: tuple[float, float, float], tension: Floats, found: Floats
) -> tuple[tuple[float, float, float], float, float, int, float]:
    """Return a line under a load; fill in tensions and forces on its points.

    Args:
        line: the line at rest.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        force: the load [N].
        tension: room for `tensions`.
        found: room for `forces`.

    Returns:
        The position of the loaded point, its distance from the straight span and its displacement [mm], the Newton
        steps, and the force out of balance where the solver did not converge [N].
    """
    case = case_of(line, span, share, force)
    pushed = under(line, case, 1.0, unpushed(line, case))
    forces(line, case, pushed, tension, found)
    along = pushed.along - case.unloaded
    moved = math.sqrt(along * along + pushed.across * pushed.across)
    return place(line, case, pushed), abs(pushed.across), moved, pushed.iterations, pushed.unbalanced
