"""Many weightless lines at once, each under one point load: the solver of `cable` in arrays, one row for each case.

A case lies in the plane of the straight span and its load. There the position of the loaded point has two
coordinates, along the span from its first support and across it in the direction of the load. The line on either
side pulls with one tension: in closed form where it slides freely or is locked at the nearest hole, else by Newton
iteration, since in every hole it slips against friction and the length gained enters the loaded span.
Units: mm and N.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from geom.errors import CannotFinishError
from geom.mechanics.elastic_line import PointLoad, SetLine
from geom.mechanics.span_equilibrium import LENGTH_RESOLUTION, SlippingSides, holding

if TYPE_CHECKING:
    from geom.mechanics.span_equilibrium import Array

MAX_ITERATIONS = 60
_MAX_CUTS = 30

Case = tuple[SetLine, PointLoad]


class _Geometry:
    """Points, spans and states of the lines of several cases, each line once, in rows as long as the longest."""

    def __init__(self, states: Sequence[SetLine]) -> None:
        count = max(len(state.rest) for state in states)
        self.spans = np.zeros((len(states), count))
        self.rest = np.zeros((len(states), count))
        self.tension = np.zeros((len(states), count))
        self.friction = np.zeros((len(states), count + 1))
        self.points = np.zeros((len(states), count + 1, 3))
        for row, state in enumerate(states):
            own = len(state.rest)
            self.points[row, : own + 1] = state.line.points
            self.points[row, own + 1 :] = state.line.points[-1]
            self.spans[row, :own] = state.line.spans
            self.rest[row, :own], self.tension[row, :own] = state.rest, state.tension
            self.friction[row, 1:own] = state.line.friction
        self.count = np.array([len(state.rest) for state in states])
        self.ea = np.array([state.line.ea for state in states])
        self.path = np.array([state.line.path for state in states])
        lengths = np.where(self.spans > 0.0, self.spans, 1.0)
        self.directions = np.diff(self.points, axis=1) / lengths[..., None]
        turns = angle(self.directions[:, :-1], self.directions[:, 1:])
        # Holding ratio at each point, 1 at the ends.
        self.ratio = np.ones_like(self.friction)
        self.ratio[:, 1:-1] = holding(self.friction[:, 1:-1], turns)


class PushedLines:
    """Weightless lines under point loads; each solution starts from the previous one.

    Arrays have a row for each case. `at` is the position of the loaded point in the plane of its load, along the span
    and across it [mm]; `tension` that of the line before and after the load [N]; `deflection` the distance of the
    loaded point from the straight span [mm]; `iterations` the Newton steps of the last solution.
    """

    def __init__(self, cases: Sequence[Case]) -> None:
        """Set up the cases.

        Args:
            cases: lines at rest, and their loads.
        """
        rows: dict[int, int] = {}
        states: list[SetLine] = []
        for state, _ in cases:
            if rows.setdefault(id(state), len(states)) == len(states):
                states.append(state)
        lines = _Geometry(states)
        self._row = np.array([rows[id(state)] for state, _ in cases])
        self._span = np.array([load.span for _, load in cases])
        share = np.array([load.share for _, load in cases])
        self._lines, row, span = lines, self._row, self._span
        self.ea, self.path, self._length = lines.ea[row], lines.path[row], lines.spans[row, span]
        self._support = lines.points[row, span]
        self._set_plane(np.array([load.force for _, load in cases], dtype=float))
        self._unloaded = share * self._length
        self._own_tension = lines.tension[row, span]
        self._own_rest = lines.rest[row, span] * np.stack((share, 1.0 - share))
        self._set_sides()
        self.at = np.stack((self._unloaded, np.zeros_like(share)))
        self.tension = np.stack((self._own_tension, self._own_tension))
        self._distance = np.stack((self._unloaded, self._length - self._unloaded))
        self._stiffness = np.zeros_like(self.tension)
        self.iterations = np.zeros(len(cases), dtype=int)
        # Factor of the loads of the last solution, and the derivative of the positions by it.
        self._push: Array | float = 0.0
        self._by_push: Array | None = None

    def _set_plane(self, force: Array) -> None:
        chord = self._lines.directions[self._row, self._span]
        along = np.einsum("pi,pi->p", force, chord)
        across = force - along[:, None] * chord
        size = norm(across)
        parallel = size <= 1e-9 * norm(force)
        if parallel.any():
            # Any direction square to the span: the axis farthest from it.
            axis = np.eye(3)[np.argmin(np.abs(chord), axis=1)]
            other = axis - np.einsum("pi,pi->p", axis, chord)[:, None] * chord
            across, size = np.where(parallel[:, None], other, across), np.where(parallel, 0.0, size)
        self._chord, self._across = chord, across / norm(across)[:, None]
        self._force = np.stack((along, size))

    def _set_sides(self) -> None:
        """Gather the outer spans of both sides, nearest first: those before the loaded span, and those after it."""
        lines, row, span = self._lines, self._row, self._span
        hops = np.arange(max(lines.spans.shape[1] - 1, 0))
        near = np.stack((span[:, None] - hops, span[:, None] + 1 + hops))
        outer = np.stack((near[0] - 1, near[1]))
        beside = (outer >= 0) & (outer < lines.count[row][:, None])
        outer, near = np.where(beside, outer, 0), np.where(beside, near, 0)
        self._outer, self._beside = outer, beside
        self._chords = np.where(beside, lines.spans[row[:, None], outer], 0.0)
        self._rests = np.where(beside, lines.rest[row[:, None], outer], 0.0)
        self._before = np.where(beside, lines.tension[row[:, None], outer], 0.0)
        self._ratios = np.where(beside, lines.ratio[row[:, None], near], 1.0)
        friction = np.where(beside, lines.friction[row[:, None], near], 0.0)
        # One tension on a side as far as the line slides freely from the load, and as far as it is locked.
        free = np.logical_and.accumulate(friction == 0.0, axis=2) & beside
        locked = np.isinf(friction[..., :1])
        ends = free.sum(axis=2) == beside.sum(axis=2)
        self._sharing = free & ~locked
        self._shared_chords = np.where(self._sharing, self._chords, 0.0).sum(axis=2)
        self._shared_rest = self._own_rest + np.where(self._sharing, self._rests, 0.0).sum(axis=2)
        self._slips = np.flatnonzero(~(ends | locked.any(axis=2)).all(axis=0))
        self._sides: SlippingSides | None = None
        if self._slips.size:
            slips = self._slips
            outward = lines.directions[row[slips], outer[:, slips, 0]] * np.array((-1.0, 1.0))[:, None, None]
            self._sides = SlippingSides(
                ea=self.ea[slips],
                own_rest=self._own_rest[:, slips],
                spans=[(self._chords[:, slips, j], self._rests[:, slips, j], self._before[:, slips, j]) for j in hops],
                ratios=[self._ratios[:, slips, j] for j in hops],
                friction=friction[:, slips, 0],
                near=(_parts(self._chord[slips], outward), _parts(self._across[slips], outward)),
            )

    def under(self, push: Array | float = 1.0) -> None:
        """Solve every case for its load times a factor.

        Args:
            push: the factor of each case, or one for all; a unit load makes it the force [N].

        Raises:
            CannotFinishError: the solver did not converge (a fault of the program).
        """
        force = self._force * push
        size = np.hypot(*force)
        tolerance = 1e-9 * np.maximum(np.maximum(size, self._own_tension), 1e-9)
        spring = 2e-9 * self.ea / self.path
        settled = size == 0.0
        if self._by_push is None:
            at = self._first_guess(force)
        else:
            at = self.at + self._by_push * (push - self._push)
            at = np.where(settled, np.stack((self._unloaded, np.zeros_like(size))), at)
        self.iterations = np.zeros(len(size), dtype=int)
        residual, stiffness = self._residual(at, force)
        settled |= np.hypot(*residual) <= tolerance
        for _ in range(MAX_ITERATIONS):
            if settled.all():
                break
            self.iterations += ~settled
            step = _solved(stiffness, residual, spring)
            length = np.hypot(*step)
            step = step * np.where(length > 0.5 * self.path, 0.5 * self.path / np.maximum(length, 1e-300), 1.0)
            length = np.minimum(length, 0.5 * self.path)
            drive = residual[0] * step[0] + residual[1] * step[1]
            share = np.where(settled, 0.0, 1.0)
            for _ in range(_MAX_CUTS):
                new = at + share * step
                new_residual, new_stiffness = self._residual(new, force)
                # Beyond the minimum of energy along the step the residual reverses: shorten the step.
                back = new_residual[0] * step[0] + new_residual[1] * step[1]
                over = (back < -0.1 * drive) & (np.hypot(*new_residual) > tolerance) & ~settled
                if not over.any():
                    break
                share = np.where(over, share * np.maximum(drive / np.where(over, drive - back, 1.0), 0.1), share)
            at, residual, stiffness = new, new_residual, new_stiffness
            settled |= (np.hypot(*residual) <= tolerance) | (share * length <= 1e-13 * self.path)
        self.at, self._push, self._by_push = at, push, _solved(stiffness, self._force, spring)
        self._require_balance(np.hypot(*residual), size)

    def _first_guess(self, force: Array) -> Array:
        """Return positions beyond the solutions on the side of the load, from which Newton iteration converges."""
        share, size = self._unloaded / self._length, force[1]
        arms = share * (1.0 - share) * self._length
        by_stretch = np.cbrt(2.0 * size * arms * arms * self.path / self.ea)
        by_tension = size * arms / np.maximum(self._own_tension, 1e-200)
        spare = np.maximum(self._lines.rest.sum(axis=1)[self._row] - self.path, 0.0)
        reach = np.minimum(by_stretch, by_tension) + np.sqrt(2.0 * spare * arms)
        return np.stack((self._unloaded, np.where(size > 0.0, np.minimum(reach, 2.0 * self.path), 0.0)))

    def _residual(self, at: Array, force: Array) -> tuple[Array, tuple[Array, Array, Array]]:
        """Return the force out of balance on each loaded point, and its stiffness: along, both, across."""
        along, across = np.array((at[0], at[0] - self._length)), at[1]
        distance = np.hypot(along, across)
        tension = np.maximum(self.ea * ((distance + self._shared_chords) / self._shared_rest - 1.0), 0.0)
        stiffness = np.where(tension > 0.0, self.ea / self._shared_rest, 0.0)
        if self._sides is not None:
            slips = self._slips
            self._sides.pull(along[:, slips], across[slips], distance[:, slips])
            tension[:, slips], stiffness[:, slips] = self._sides.tension, self._sides.stiffness
        self.tension, self._stiffness, self._distance = tension, stiffness, distance
        pull = tension / distance
        more = (stiffness - pull) / (distance * distance)
        by_along = more * along
        both, pulled, turned, bent = (one[0] + one[1] for one in (pull, pull * along, by_along, by_along * along))
        residual = force - np.array((pulled, both * across))
        return residual, (both + bent, turned * across, both + (more[0] + more[1]) * across * across)

    def _require_balance(self, residual: Array, force: Array) -> None:
        # In a short stiff segment the resolution of lengths corresponds to a force.
        resolution = 10.0 * LENGTH_RESOLUTION * self.path * self._stiffness.sum(axis=0)
        allowed = 1e-7 * np.maximum(np.maximum(force, self.tension.max(axis=0)), 1e-6) + resolution
        if (residual > allowed).any():
            left = residual.max()
            raise CannotFinishError(f"the solver did not converge for a loaded line: residual {left:g} N")

    @property
    def deflection(self) -> Array:
        """Distance of each loaded point from its straight span [mm]."""
        found: Array = np.abs(self.at[1])
        return found

    @property
    def moved(self) -> Array:
        """Displacement of each loaded point [mm]."""
        found: Array = np.hypot(self.at[0] - self._unloaded, self.at[1])
        return found

    @property
    def places(self) -> Array:
        """Position of each loaded point [mm], three coordinates."""
        along, across = self.at[..., None]
        found: Array = self._support + along * self._chord + across * self._across
        return found

    def span_tensions(self) -> Array:
        """Return the tension at the first and last end of every span [N]: ends, cases, spans; zero beyond the line."""
        lines, row, cases = self._lines, self._row, np.arange(len(self._row))
        even = lines.tension[row].copy()
        for side in range(2):
            case, hop = np.nonzero(self._sharing[side])
            even[case, self._outer[side, case, hop]] = self.tension[side, case]
        if self._sides is not None:
            for number, now in enumerate(self._sides.outer_tensions()):
                for side in range(2):
                    beside = self._beside[side, self._slips, number]
                    case = self._slips[beside]
                    even[case, self._outer[side, case, number]] = now[side, beside]
        tensions = np.stack((even, even))
        tensions[:, cases, self._span] = self.tension
        return tensions

    def forces(self) -> Array:
        """Return the force of each line on its fixed points [N]: cases, points, three components."""
        lines, row, cases = self._lines, self._row, np.arange(len(self._row))
        first, last = self.span_tensions()
        directions = lines.directions[row]
        at_first, at_last = first[..., None] * directions, -last[..., None] * directions
        along = np.stack((self.at[0], self.at[0] - self._length))
        towards = along[..., None] * self._chord + self.at[1][:, None] * self._across
        pulls = towards * (self.tension / self._distance)[..., None]
        at_first[cases, self._span], at_last[cases, self._span] = pulls[0], pulls[1]
        found = np.zeros((len(row), directions.shape[1] + 1, 3))
        found[:, :-1] += at_first
        found[:, 1:] += at_last
        return found


def _solved(stiffness: tuple[Array, Array, Array], residual: Array, spring: Array) -> Array:
    """Return the Newton step of every loaded point, with a small spring so that a slack line has a solution."""
    along, both, across = stiffness[0] + spring, stiffness[1], stiffness[2] + spring
    ratio = both / along
    second = (residual[1] - ratio * residual[0]) / (across - ratio * both)
    return np.array((residual[0] / along - ratio * second, second))


def _parts(direction: Array, outward: Array) -> Array:
    """Return the components of directions along other ones and along two square to those; the first axis has them."""
    axis = np.eye(3)[np.argmin(np.abs(outward), axis=-1)]
    first = np.cross(outward, axis)
    first = first / norm(first)[..., None]
    second = np.cross(outward, first)
    return np.stack([(direction * one).sum(axis=-1) for one in (outward, first, second)])


def angle(a: Array, b: Array) -> Array:
    """Return the angles between directions [rad], exact for small ones too; the last axis has the components."""
    found: Array = np.arctan2(norm(np.cross(a, b)), (a * b).sum(axis=-1))
    return found


def norm(a: Array) -> Array:
    """Return the lengths of vectors [mm, or their unit]; the last axis has the components."""
    found: Array = np.sqrt((a * a).sum(axis=-1))
    return found
