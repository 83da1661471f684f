"""Other people's solvers for the same loaded line: energy minimisation with scipy, finite elements with Kratos.

All start from the unstressed lengths; none has tension as an unknown, holes as springs or the
Newton steps of the project's own solver.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from scipy.optimize import minimize, root

from geom.mechanics.elastic_line import PointLoad, SetLine
from tests.trusses import Trusses


def by_energy(state: SetLine, load: PointLoad) -> tuple[np.ndarray, list[float]]:
    """Return the loaded point and the tension of each piece, for a weightless line that slides without friction.

    Unknowns are the point and the shares of the unstressed line in the spans of each side; the
    strain energy less the load's work is least at rest.
    """
    points = np.array(state.line.points)
    ea, k = state.line.ea, load.span
    left_rest = sum(state.rest[:k]) + load.share * state.rest[k]
    right_rest = sum(state.rest[k + 1 :]) + (1.0 - load.share) * state.rest[k]
    chords = [float(np.linalg.norm(b - a)) for a, b in pairwise(points)]
    start = points[k] + load.share * (points[k + 1] - points[k])
    force = np.array(load.force)
    n_left, n_right = k, len(points) - 2 - k

    def pieces(v: np.ndarray) -> tuple[list[float], list[float]]:
        x = start + v[:3] * 100.0
        s_left = [state.rest[i] * (1.0 + 0.01 * v[3 + i]) for i in range(n_left)]
        s_right = [state.rest[k + 1 + i] * (1.0 + 0.01 * v[3 + n_left + i]) for i in range(n_right)]
        lengths = [*chords[:k], float(np.linalg.norm(x - points[k])), float(np.linalg.norm(x - points[k + 1]))]
        lengths += chords[k + 1 :]
        rests = [*s_left, left_rest - sum(s_left), right_rest - sum(s_right), *s_right]
        return lengths, rests

    def energy(v: np.ndarray) -> float:
        lengths, rests = pieces(v)
        if min(rests) <= 0.0:
            return 1e12
        stored = sum(0.5 * ea * max(a - r, 0.0) ** 2 / r for a, r in zip(lengths, rests, strict=True))
        return (stored - float(force @ (v[:3] * 100.0))) / 1e4

    best = np.zeros(3 + n_left + n_right)
    best[:3] = force / np.linalg.norm(force) * 0.3
    for _ in range(3):
        best = minimize(energy, best, method="BFGS", options={"gtol": 1e-10, "maxiter": 500}).x
    lengths, rests = pieces(best)
    tensions = [ea * max(a - r, 0.0) / r for a, r in zip(lengths, rests, strict=True)]
    return start + best[:3] * 100.0, tensions


def by_finite_elements(
    state: SetLine, load: PointLoad, sliding: bool, per_half: int = 8, steps: int = 10, weight: float = 0.0
) -> tuple[list[float], float, float]:
    """Return the loaded point and the tensions on its two sides from trusses under large displacements.

    The loaded span is a chain of trusses between its two holes. A line locked in its holes has the line's
    own stiffness; one that slides freely has that of its whole side in series, which is exact, since the
    far spans are straight and only lengthen. Straight initial state, load in steps, Newton iterations.
    `weight` per length is put on the nodes of a line that is locked.
    """
    line, k = state.line, load.span
    a, b = np.array(line.points[k]), np.array(line.points[k + 1])
    middle = a + load.share * (b - a)
    rests = np.array([load.share, 1.0 - load.share]) * state.rest[k]
    stiffnesses = np.full(2, line.ea)
    if sliding:
        whole = rests + np.array([sum(state.rest[:k]), sum(state.rest[k + 1 :])])
        rests = whole - np.array([sum(line.spans[:k]), sum(line.spans[k + 1 :])])
        stiffnesses = line.ea * rests / whole
    trusses = Trusses(per_half)
    forces = np.zeros((2 * per_half + 1, 3))
    forces[:per_half, 2] = -weight * rests[0] / per_half
    forces[per_half, 2] = -weight * 0.5 * sum(rests) / per_half
    forces[per_half + 1 :, 2] = -weight * rests[1] / per_half
    forces[per_half] += load.force
    first, *others = load_steps(steps)
    place, left, right = trusses.settled((a, middle, b), rests, stiffnesses, first * forces)
    for share in others:
        place, left, right = trusses.under(share * forces)
    return [float(v) for v in place], left, right


def load_steps(steps: int) -> list[float]:
    """Return the shares of a load in steps of like deflection: a line hardly tight goes with the cube root of it."""
    return [(step / steps) ** 3 for step in range(1, steps + 1)]


@dataclass
class SlidingRun:
    """A whole run of trusses whose line slips through its holes, with friction, under a load that grows.

    Trusses do not slide: unstressed length is handed through every hole around them, until the tensions on
    its two sides stand within the capstan ratio, or at that ratio where the line slipped. Pieces count
    along the run, the loaded span being two; `slips` is the length that came through each hole so far.
    """

    state: SetLine
    load: PointLoad
    per_half: int

    def __post_init__(self) -> None:
        self.trusses = Trusses(self.per_half)
        line, k = self.state.line, self.load.span
        self.ends = [np.array(point) for point in line.points]
        self.place = self.ends[k] + self.load.share * (self.ends[k + 1] - self.ends[k])
        own = self.load.share * self.state.rest[k]
        self.rest = np.array([*self.state.rest[:k], own, self.state.rest[k] - own, *self.state.rest[k + 1 :]])
        # Pieces beside each hole that lets the line slip: the one towards the load, then the one beyond.
        self.holes = [
            ((hole + 1, hole) if hole < k else (hole + 1, hole + 2), mu)
            for hole, mu in enumerate(line.friction)
            if math.isfinite(mu)
        ]
        self.slips = np.zeros(len(self.holes))

    def tensions(self, slips: np.ndarray, share: float) -> np.ndarray:
        """Return the tension of each piece at a share of the load."""
        rest, k, ea = self.rest.copy(), self.load.span, self.state.line.ea
        for ((near, beyond), _), slip in zip(self.holes, slips, strict=True):
            rest[near] += slip
            rest[beyond] -= slip
        legs = (self.ends[k], self.place, self.ends[k + 1])
        force = share * np.array(self.load.force)
        forces = np.zeros((2 * self.per_half + 1, 3))
        forces[self.per_half] = force
        self.place, left, right = self.trusses.settled(legs, (rest[k], rest[k + 1]), (ea, ea), forces)
        self.corners = [*self.ends[: k + 1], self.place, *self.ends[k + 1 :]]
        found = ea * (np.array([float(np.linalg.norm(b - a)) for a, b in pairwise(self.corners)]) / rest - 1.0)
        found[k : k + 2] = left, right
        return found

    def capstan(self, one: int, other: int, friction: float) -> float:
        """Return the greatest ratio of tensions in two neighbouring pieces."""
        first = min(one, other)
        a, b = self.corners[first + 1] - self.corners[first], self.corners[first + 2] - self.corners[first + 1]
        turn = math.atan2(float(np.linalg.norm(np.cross(a, b))), float(a @ b))
        return math.exp(friction * turn)

    def misfit(self, more: np.ndarray, share: float) -> np.ndarray:
        """Return how far each hole is from rest: no slip within the ratio, or slip at the ratio and its way."""
        found, left = self.tensions(self.slips + more, share), []
        give = float(np.mean(self.rest)) / self.state.line.ea
        for ((near, beyond), friction), slip in zip(self.holes, more, strict=True):
            ratio = self.capstan(near, beyond, friction)
            inward, outward = ratio * found[beyond] - found[near], ratio * found[near] - found[beyond]
            left.append(slip - max(0.0, slip - give * inward) + max(0.0, -slip - give * outward))
        return np.array(left)

    def step_to(self, share: float) -> np.ndarray:
        """Raise the load to a share of it and return the tension of each piece."""
        if self.holes:
            # Where a hole sticks the misfit does not depend on the others: begin with some slip if none converges.
            for first in (0.0, 0.1, 1.0, -0.1, 10.0):
                start = np.full(len(self.holes), first)
                found = root(self.misfit, start, args=(share,), options={"xtol": 1e-10})
                if float(np.max(np.abs(found.fun))) < 1e-6:
                    break
            else:
                raise RuntimeError("the slips did not settle")
            self.slips = self.slips + found.x
        return self.tensions(self.slips, share)


def by_sliding_finite_elements(
    state: SetLine, load: PointLoad, per_half: int = 8, steps: int = 10
) -> tuple[tuple[float, ...], list[float]]:
    """Return the loaded point and the tension of each piece of a whole run, its line slipping with friction."""
    run = SlidingRun(state, load, per_half)
    for share in load_steps(steps):
        tensions = run.step_to(share)
    return tuple(float(v) for v in run.place), [float(v) for v in tensions]


def sag_of(state: SetLine, load: PointLoad, place: Any) -> float:
    """Return the distance of a point from the straight line of the loaded span."""
    a, b = np.array(state.line.points[load.span]), np.array(state.line.points[load.span + 1])
    way, along = np.array(place) - a, (b - a) / np.linalg.norm(b - a)
    return math.sqrt(max(float(way @ way - (way @ along) ** 2), 0.0))
