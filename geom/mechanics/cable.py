"""An elastic line between fixed ends, sliding through holes, under its weight and one point load.

The line is set to a tension at rest, then loaded. In every hole it slips against friction (capstan equation, both
ways); zero friction and infinite friction (locked) bracket all other cases. The loaded point is found by Newton
iteration with large deflections, the tension on each side of it by a bracketed scalar solution. Lines without weight
are solved by `kernels/pushed_line.py`. Units: mm and N.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field

from geom import vec
from geom.errors import CannotFinishError, Fault, InputError
from geom.frozen import cached_property, frozen
from geom.mechanics.elastic_line import PointLoad, SetLine, States
from geom.mechanics.kernels import as_list, floats, pushed_line, zeros
from geom.mechanics.kernels.pushed_line import MAX_ITERATIONS
from geom.mechanics.span_equilibrium import LENGTH_RESOLUTION, HangingSide
from geom.units import Mm, N
from geom.vec import Vec

Case = tuple[SetLine, PointLoad]


@frozen
class Loaded:
    """A line under a point load.

    `place` is the position of the loaded point, `deflection` its distance from the straight line between the supports
    of its span, `moved` its displacement. `tensions` are those at first and last end of every span [N]. `forces` are
    those of the line on its fixed points, ends included, three components each [N], as the solvers take them.
    `iterations` is the number of Newton steps.
    """

    load: PointLoad
    place: Vec
    deflection: Mm
    moved: Mm
    tensions: tuple[tuple[float, float], ...]
    iterations: int
    forces: Sequence[float] = field(compare=False)

    @cached_property
    def post_forces(self) -> tuple[Vec, ...]:
        """The forces of the line on its fixed points, ends included [N]."""
        forces = as_list(self.forces)
        return tuple(zip(forces[::3], forces[1::3], forces[2::3], strict=True))

    @cached_property
    def max_tension(self) -> N:
        """Maximum tension anywhere along the line [N]."""
        return max(map(max, self.tensions))


def load_line(state: SetLine, load: PointLoad) -> Loaded:
    """Return a set line under a point load that stays with its point of the line.

    Args:
        state: the line at rest.
        load: position, direction and magnitude of the load.

    Raises:
        InputError: the load is on no span, or at a support.
        CannotFinishError: the solver did not converge (a fault of the program).
    """
    _check(state, load)
    return _straight(state, load) if state.line.weight == 0.0 else _hanging(state, load)


def _check(state: SetLine, load: PointLoad) -> None:
    line = state.line
    if not (0 <= load.span < len(line.points) - 1 and 0.0 < load.share < 1.0):
        valid = f"spans 0 to {len(line.points) - 2}, shares between 0 and 1"
        raise InputError("load", [Fault("place of a load", read=f"{load.span}, {load.share:g}", valid=valid)])
    if not all(map(math.isfinite, load.force)):
        raise InputError("load", [Fault("force", read=str(load.force), valid="three numbers in N")])


def _straight(state: SetLine, load: PointLoad) -> Loaded:
    """Return a weightless line under a load."""
    spans = len(state.rest)
    tension, forces = zeros(spans + 1), zeros(3 * spans + 3)
    place, deflection, moved, iterations, unbalanced = pushed_line.solve(
        state.solver_line, load.span, load.share, load.force, tension, forces
    )
    _converged(unbalanced)
    even = as_list(tension)
    pairs = [(one, one) for one in even[:spans]]
    pairs[load.span] = even[load.span], even[spans]
    return Loaded(load, place, deflection, moved, tuple(pairs), iterations, forces)


def _converged(unbalanced: float) -> None:
    if unbalanced > 0.0:
        raise CannotFinishError(f"the solver did not converge for a loaded line: residual {unbalanced:g} N")


def deflection_under(state: SetLine, load: PointLoad) -> Mm:
    """Return the deflection of a set line under a point load, as `load_line` gives it [mm].

    Args:
        state: the line at rest.
        load: position, direction and magnitude of the load.

    Raises:
        InputError: the load is on no span, or at a support.
        CannotFinishError: the solver did not converge (a fault of the program).
    """
    if state.line.weight > 0.0:
        return load_line(state, load).deflection
    _check(state, load)
    deflection, unbalanced = pushed_line.deflection(state.solver_line, load.span, load.share, load.force)
    _converged(unbalanced)
    return deflection


def _hanging(state: SetLine, load: PointLoad, start: Vec | None = None) -> Loaded:
    """Return a line with weight under a load."""
    line, k = state.line, load.span
    before, after = HangingSide(state, load, -1), HangingSide(state, load, 1)
    on_chord = vec.along(line.points[k], line.directions[k], load.share * line.spans[k])
    drop = line.weight * line.spans[k] ** 2 * load.share * (1.0 - load.share) / (2.0 * state.tension[k])
    unloaded = _settle(before, after, (0.0, 0.0, 0.0), vec.along(on_chord, (0.0, 0.0, -1.0), drop), line.path)[0]
    place, iterations = unloaded, 0
    if vec.norm(load.force) > 0.0:
        place, iterations = _settle(before, after, load.force, start or _first_guess(state, load), line.path)
    else:
        before.pull(place)
        after.pull(place)
    tensions, forces = _of_hanging(state, k, before, after)
    deflection = vec.norm(vec.square_to(vec.sub(place, line.points[k]), line.directions[k]))
    flat = floats(value for force in forces for value in force)
    return Loaded(load, place, deflection, vec.distance(place, unloaded), tensions, iterations, flat)


def load_with_friction(at_rest: States, load: PointLoad, sliding: Loaded | None = None) -> Loaded:
    """Return a line under a point load with its own friction.

    Args:
        at_rest: the line at rest.
        load: position, direction and magnitude of the load.
        sliding: the line under it sliding free, where it is solved already.
    """
    own, free, _ = at_rest
    if own is free and sliding is not None:
        return sliding
    if own is free or own.line.weight == 0.0:
        return load_line(own, load)
    return _hanging(own, load, start=(sliding or load_line(free, load)).place)


def _first_guess(state: SetLine, load: PointLoad) -> Vec:
    """Return a position beyond the solution on the side of the load, from which Newton iteration converges."""
    line, direction, span = state.line, state.line.directions[load.span], state.line.spans[load.span]
    across = vec.square_to(load.force, direction)
    force = vec.norm(across)
    place = vec.along(line.points[load.span], direction, load.share * span)
    if force <= 1e-9 * vec.norm(load.force):
        return place
    arms = load.share * (1.0 - load.share) * span
    by_stretch = (2.0 * force * arms * arms * line.path / line.ea) ** (1.0 / 3.0)
    by_tension = force * arms / state.tension[load.span] if state.tension[load.span] > 0.0 else math.inf
    spare = max(state.sums[1][-1] - line.path, 0.0)
    reach = min(by_stretch, by_tension) + math.sqrt(2.0 * spare * arms)
    return vec.along(place, across, min(reach, 2.0 * line.path) / force)


def _settle(before: HangingSide, after: HangingSide, force: Vec, place: Vec, path: float) -> tuple[Vec, int]:
    """Return the equilibrium position of the loaded point, and the iterations."""
    line = before.line
    tolerance = 1e-9 * max(vec.norm(force), before.own_tension, 1e-3 * line.weight * path, 1e-9)
    residual = _residual(before, after, force, place)
    size = vec.norm(residual)
    for iteration in range(1, MAX_ITERATIONS + 1):
        step = solve_symmetric(_stiffness(before, after, line.ea / path), residual)
        length = vec.norm(step)
        if length > 0.5 * path:
            step, length = vec.scale(step, 0.5 * path / length), 0.5 * path
        drive, share = vec.dot(residual, step), 1.0
        for _ in range(30):
            new = vec.along(place, step, share)
            new_residual = _residual(before, after, force, new)
            # Beyond the minimum of energy along the step the residual reverses: shorten the step.
            back = vec.dot(new_residual, step)
            if back >= -0.1 * drive:
                break
            share *= max(drive / (drive - back), 0.1)
        new_size = vec.norm(new_residual)
        place, residual, size = new, new_residual, new_size
        if size <= tolerance or share * length <= 1e-13 * path:
            _require_balance(size, force, before, after)
            return place, iteration
    _require_balance(size, force, before, after)
    return place, MAX_ITERATIONS


def _require_balance(size: float, force: Vec, before: HangingSide, after: HangingSide) -> None:
    """Raise an error where the residual is too large."""
    # In a short stiff segment the resolution of lengths corresponds to a force.
    resolution = 10.0 * LENGTH_RESOLUTION * before.line.path * (before.stiffness + after.stiffness)
    if size > 1e-7 * max(vec.norm(force), before.tension, after.tension, 1e-6) + resolution:
        raise CannotFinishError(f"the solver did not converge for a loaded line: residual {size:g} N")


def _residual(before: HangingSide, after: HangingSide, force: Vec, place: Vec) -> Vec:
    a, b = before.pull(place), after.pull(place)
    return (force[0] + a[0] + b[0], force[1] + a[1] + b[1], force[2] + a[2] + b[2])


def _stiffness(before: HangingSide, after: HangingSide, axial: float) -> Symmetric:
    """Return the stiffness of the loaded point, with a small spring so that a slack line has a solution."""
    spring = 2e-9 * axial
    xx, xy, xz, yy, yz, zz = spring, 0.0, 0.0, spring, 0.0, spring
    for side in (before, after):
        x, y, z = side.vector
        across = side.tension / side.distance
        more = (side.stiffness - across) / (side.distance * side.distance)
        xx += across + more * x * x
        yy += across + more * y * y
        zz += across + more * z * z
        xy += more * x * y
        xz += more * x * z
        yz += more * y * z
    return (xx, xy, xz, yy, yz, zz)


def _of_hanging(
    state: SetLine, k: int, before: HangingSide, after: HangingSide
) -> tuple[tuple[tuple[float, float], ...], tuple[Vec, ...]]:
    """Return the tensions of each span and the forces of a line with weight on its fixed points."""
    own_before, outer_before = before.segments()
    own_after, outer_after = after.segments()
    tensions = [(far.end_tension, near) for near, far in reversed(outer_before)]
    tensions.append((before.tension, after.tension))
    tensions += [(near, far.end_tension) for near, far in outer_after]
    forces: list[Vec] = [(0.0, 0.0, 0.0)] * len(state.line.points)
    forces[k] = own_before.start_pull
    forces[k + 1] = own_after.start_pull
    for hop, (_, far) in enumerate(outer_before):
        forces[k - hop] = vec.add(forces[k - hop], far.start_pull)
        forces[k - hop - 1] = vec.add(forces[k - hop - 1], far.end_pull)
    for hop, (_, far) in enumerate(outer_after):
        forces[k + 1 + hop] = vec.add(forces[k + 1 + hop], far.start_pull)
        forces[k + 2 + hop] = vec.add(forces[k + 2 + hop], far.end_pull)
    return tuple(tensions), tuple(forces)


# Upper triangle of a symmetric matrix: xx, xy, xz, yy, yz, zz.
Symmetric = tuple[float, float, float, float, float, float]


def solve_symmetric(matrix: Symmetric, right: Vec) -> Vec:
    """Return x of matrix x = right for a positive definite matrix, by its L D L' factors.

    Args:
        matrix: upper triangle.
        right: right-hand side.

    Raises:
        ZeroDivisionError: the matrix is singular.
    """
    xx, xy, xz, yy, yz, zz = matrix
    l_yx, l_zx = xy / xx, xz / xx
    d_y = yy - l_yx * xy
    rest = yz - l_zx * xy
    l_zy = rest / d_y
    d_z = zz - l_zx * xz - l_zy * rest
    b_y = right[1] - l_yx * right[0]
    z = (right[2] - l_zx * right[0] - l_zy * b_y) / d_z
    y = b_y / d_y - l_zy * z
    return (right[0] / xx - l_yx * y - l_zx * z, y, z)
