"""Runs under point loads on flexible posts: the tension falls as the posts deflect, so that they carry more push.

Posts are tubes fixed at the foot; a brace is rigid and the tube bends over it. The line slides freely in its holes,
is weightless, and the load stays with its point of the line; rail eyes are rigid, and all other lines keep their
tension at rest. The restraint of those other lines on a bending post is neglected, which is conservative for the
post.

The strain energy of line and posts is a convex function of the positions of the loaded point and of the supports,
so that damped Newton iteration always converges to its minimum. Many runs are solved at once, one row each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from geom.errors import CannotFinishError
from geom.mechanics.elastic_line import Line, PointLoad
from geom.mechanics.post_flexibility import FlexibleSupport

if TYPE_CHECKING:
    from geom.mechanics.span_equilibrium import Array

_STEPS = 60
_MAX_CUTS = 30
# Residual force as a fraction of the load, and as one of EA by the resolution of coordinates in floating point.
_TOLERANCE, _RESOLUTION = 1e-9, 1e-13


@dataclass(frozen=True)
class BendingRun:
    """A run on flexible posts: the line, its set tension [N], flexible supports by index of point, and a unit load.

    Weight and friction of the line are neglected.
    """

    line: Line
    tension: float
    supports: dict[int, FlexibleSupport]
    unit_load: PointLoad


class BendingRuns:
    """Runs on flexible posts under point loads; each solution starts from the previous one.

    The points of a run, in order, are its fixed points and the loaded point. Each has three unknowns, its
    displacements in the directions in which it is free; those of the others are held by a spring and stay zero.
    """

    def __init__(self, runs: Sequence[BendingRun], start: Array) -> None:
        """Set up the points of every run.

        Args:
            runs: the runs, each with its load.
            start: initial position of each loaded point [mm].
        """
        count, most = len(runs), max(len(run.line.points) for run in runs) + 1
        points = np.zeros((count, most, 3))
        directions = np.zeros((count, most, 3, 3))
        self._springs = np.ones((count, most, 3))
        self._loaded = np.array([run.unit_load.span + 1 for run in runs])
        self._all = np.arange(count)
        for row, run in enumerate(runs):
            k, own = run.unit_load.span, len(run.line.points)
            points[row, : k + 1], points[row, k + 2 : own + 1] = run.line.points[: k + 1], run.line.points[k + 1 :]
            points[row, own + 1 :] = run.line.points[-1]
            chord = points[row, k + 2] - points[row, k]
            points[row, k + 1] = points[row, k] + run.unit_load.share * chord
            for index, support in run.supports.items():
                at = index if index <= k else index + 1
                directions[row, at, :, 0], directions[row, at, :, 1] = support.directions
                self._springs[row, at, :2] = 1.0 / np.array(support.flexibility)
        directions[self._all, self._loaded] = np.eye(3)
        self._springs[self._all, self._loaded] = 0.0
        self._points, self._directions = points, directions
        self._turned = directions.transpose(0, 1, 3, 2)
        self._own, self._across = self._turned @ directions, self._turned[:, :-1] @ directions[:, 1:]
        segments, lasts = np.arange(most - 1), np.array([[len(run.line.points)] for run in runs])
        after = (segments >= self._loaded[:, None]) & (segments < lasts)
        self._side = np.stack((segments < self._loaded[:, None], after))
        ea, tension = np.array([(run.line.ea, run.tension) for run in runs]).T
        chords = self._lengths(points)[1]
        self._rests = (self._side * chords).sum(axis=2) / (1.0 + tension / ea)
        self._ea, self._axial = ea, ea / self._rests
        self._force = np.array([run.unit_load.force for run in runs])
        self._moved = np.zeros((count, most, 3))
        slopes = self._slopes(*self._lengths(points))[1]
        # At rest the loaded point lies on the straight line and carries no load.
        self._at_rest = tension[:, None, None] * slopes.sum(axis=0)
        self._at_rest[self._all, self._loaded] = 0.0
        self._moved[self._all, self._loaded] = start - points[self._all, self._loaded]
        self._push = np.zeros(count)
        self._by_push: Array | None = None

    def under(self, push: Array) -> Array:
        """Return the force of each line on its fixed points under a load [N]: runs, points, three components.

        Args:
            push: magnitude of the point load of each run [N].

        Raises:
            CannotFinishError: the solver did not converge (a fault of the program).
        """
        load = np.zeros_like(self._moved)
        load[self._all, self._loaded] = self._force * push[:, None]
        moved = self._moved
        if self._by_push is not None:
            moved = moved + self._by_push * (push - self._push)[:, None, None]
        unit = np.zeros_like(load)
        unit[self._all, self._loaded] = self._force
        allowed = np.maximum(_TOLERANCE * np.maximum(push, 1.0), _RESOLUTION * self._ea)
        state = self._state(moved, load)
        for _ in range(_STEPS):
            settled = np.abs(state.residual).max(axis=(1, 2)) <= allowed
            if settled.all():
                self._moved, self._push = moved, push
                return self._forces(state)
            step, self._by_push = self._steps(state, unit)
            drive, share = (state.residual * step).sum(axis=(1, 2)), np.where(settled, 0.0, 1.0)
            for _ in range(_MAX_CUTS):
                new = moved + share[:, None, None] * step
                state = self._state(new, load)
                back = (state.residual * step).sum(axis=(1, 2))
                over = (back < -0.1 * drive) & ~settled
                if not over.any():
                    break
                share = np.where(over, share * np.maximum(drive / np.where(over, drive - back, 1.0), 0.1), share)
            moved = new
        left = np.abs(state.residual).max()
        raise CannotFinishError(f"the solver did not converge for a run on flexible posts: residual {left:g} N")

    @property
    def places(self) -> Array:
        """Position of each loaded point under the last load [mm], three coordinates."""
        found: Array = self._places(self._moved)[self._all, self._loaded]
        return found

    def _places(self, moved: Array) -> Array:
        return self._points + (self._directions @ moved[..., None])[..., 0]

    @staticmethod
    def _lengths(places: Array) -> tuple[Array, Array]:
        """Return unit direction and length [mm] of each segment from point to point; zero beyond the line."""
        vectors = np.diff(places, axis=1)
        lengths = np.sqrt((vectors * vectors).sum(axis=-1))
        return vectors / np.where(lengths > 0.0, lengths, 1.0)[..., None], lengths

    def _slopes(self, units: Array, lengths: Array) -> tuple[Array, Array]:
        """Return the tension of both sides, and the derivatives of their lengths by the unknowns."""
        stretch = (self._side * lengths).sum(axis=2) - self._rests
        tension = np.maximum(self._axial * stretch, 0.0)
        slopes = np.zeros((2, *self._moved.shape))
        along = self._side[..., None] * units
        slopes[:, :, :-1] -= (self._turned[:, :-1] @ along[..., None])[..., 0]
        slopes[:, :, 1:] += (self._turned[:, 1:] @ along[..., None])[..., 0]
        return tension, slopes

    def _state(self, moved: Array, load: Array) -> _State:
        units, lengths = self._lengths(self._places(moved))
        tension, slopes = self._slopes(units, lengths)
        residual = self._at_rest + load - self._springs * moved - (tension[..., None, None] * slopes).sum(axis=0)
        return _State(units, lengths, tension, slopes, residual)

    def _steps(self, state: _State, unit: Array) -> tuple[Array, Array]:
        """Return the Newton step, and the derivatives of the unknowns by the push."""
        count, most, _ = self._moved.shape
        carried = (self._side * state.tension[..., None]).sum(axis=0)
        across = carried / np.where(state.lengths > 0.0, state.lengths, 1.0)
        near = (self._turned[:, :-1] @ state.units[..., None])[..., 0]
        far = (self._turned[:, 1:] @ state.units[..., None])[..., 0]
        own = np.zeros((count, most, 3, 3))
        own[:, :-1] += across[..., None, None] * (self._own[:, :-1] - near[..., None] * near[..., None, :])
        own[:, 1:] += across[..., None, None] * (self._own[:, 1:] - far[..., None] * far[..., None, :])
        # Along the line only stretch restrains the loaded point: a small spring keeps the matrix regular.
        springs = self._springs.copy()
        springs[self._all, self._loaded] = 1e-6 * self._axial.sum(axis=0)[:, None]
        own[..., np.arange(3), np.arange(3)] += springs
        beside = -across[..., None, None] * (self._across - near[..., None] * far[..., None, :])
        slopes = state.slopes.reshape(2, count, 3 * most)
        stiff = slopes * self._axial[..., None]
        matrix = stiff.transpose(1, 2, 0) @ slopes.transpose(1, 0, 2)
        blocks, at = matrix.reshape(count, most, 3, most, 3), np.arange(most)
        blocks[:, at, :, at, :] += own.transpose(1, 0, 2, 3)
        blocks[:, at[:-1], :, at[1:], :] += beside.transpose(1, 0, 2, 3)
        blocks[:, at[1:], :, at[:-1], :] += beside.transpose(1, 0, 3, 2)
        right = np.stack((state.residual, unit), axis=-1).reshape(count, 3 * most, 2)
        found = np.linalg.solve(matrix, right).reshape(count, most, 3, 2)
        return found[..., 0], found[..., 1]

    def _forces(self, state: _State) -> Array:
        carried = (self._side * state.tension[..., None]).sum(axis=0)
        pulls = carried[..., None] * state.units
        forces = np.zeros_like(self._points)
        forces[:, :-1] += pulls
        forces[:, 1:] -= pulls
        points = np.arange(forces.shape[1] - 1)
        return forces[self._all[:, None], points + (points >= self._loaded[:, None])]


@dataclass(frozen=True)
class _State:
    """Runs in given positions: directions and lengths of segments, tension, derivatives of lengths, residual."""

    units: Array
    lengths: Array
    tension: Array
    slopes: Array
    residual: Array
