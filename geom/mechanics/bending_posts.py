"""A run under a point load whose posts bend: the tension falls as they give way, so that they carry more push.

Posts are tubes held fast at their foot; a brace does not give and the tube bends on it. The line slides freely in
its holes, is taken weightless and stays with its point under the load; rail eyes stand still, and all other lines
keep the pull that they have at rest. Those other lines hold a post back as it bends, which is left out: on the
heavy side for the post.

What the line stores and what the posts store together is a convex function of where the loaded point and the held
points lie, so that damped Newton steps always reach its least. Its matrix is narrow along the line but for one
row and column a side of the load, which the Woodbury identity takes in.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate
from operator import mul

from geom import vec
from geom.errors import CannotFinishError
from geom.mechanics.elastic_line import Line, PointLoad
from geom.mechanics.post_give import Hold
from geom.vec import Vec

_STEPS = 60
# Unbalanced force as a share of the load.
_SETTLED = 1e-6
# Numbers of two neighbouring points lie at most this far apart: three of the loaded point, two of a hold.
_BAND = 4


@dataclass(frozen=True)
class _Point:
    """A point along the line: where it lies at rest, its directions, their springs [N/mm], its first number."""

    at: Vec
    directions: tuple[Vec, ...]
    springs: tuple[float, ...]
    first: int


class BendingRun:
    """A run set to a tension under a growing point load, its posts bending; each load starts from the one before."""

    def __init__(self, line: Line, tension: float, holds: dict[int, Hold], unit_load: PointLoad, start: Vec) -> None:
        """Gather the points of the line.

        Args:
            line: the line; its weight and its friction play no part.
            tension: to which it is set [N].
            holds: the points of the line that give, by their index.
            unit_load: where it is loaded, and a unit vector which way.
            start: a place of the loaded point under some load, to begin with.
        """
        self._line, self._load = line, unit_load
        k, share = unit_load.span, unit_load.share
        loaded = vec.along(line.points[k], line.directions[k], share * line.spans[k])
        axes: tuple[Vec, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        stated: list[tuple[Vec, tuple[Vec, ...], tuple[float, ...]]] = []
        for index, point in enumerate(line.points):
            hold = holds.get(index)
            stated.append(
                (point, (), ()) if hold is None else (point, hold.directions, tuple(1.0 / give for give in hold.give))
            )
        stated.insert(k + 1, (loaded, axes, (0.0, 0.0, 0.0)))
        firsts = accumulate((len(one[1]) for one in stated), initial=0)
        self._points = [_Point(*one, first) for one, first in zip(stated, firsts, strict=False)]
        self._loaded = k + 1
        self._count = sum(len(point.directions) for point in self._points)
        self._springs = [spring for point in self._points for spring in point.springs]
        # Of each piece between two points: its numbers, each with its sign and direction, and the pairs of them.
        self._ends = [
            [
                (i, sign, direction)
                for sign, point in ((-1.0, self._points[j]), (1.0, self._points[j + 1]))
                for i, direction in enumerate(point.directions, start=point.first)
            ]
            for j in range(len(self._points) - 1)
        ]
        self._pairs = [
            [
                (i, _BAND - i + other, one, two, sign * other_sign * vec.dot(e, f))
                for one, (i, sign, e) in enumerate(ends)
                for two, (other, other_sign, f) in enumerate(ends[: one + 1])
            ]
            for ends in self._ends
        ]
        chords = [
            math.fsum(line.spans[:k]) + share * line.spans[k],
            math.fsum(line.spans[k + 1 :]) + (1.0 - share) * line.spans[k],
        ]
        self._axial = [line.ea / (chord / (1.0 + tension / line.ea)) for chord in chords]
        self._rests = [line.ea / axial for axial in self._axial]
        at_rest = [0.0] * self._count
        rows = self._rows()
        for _, slope in self._sides(at_rest, rows):
            at_rest = [pull + tension * one for pull, one in zip(at_rest, slope, strict=True)]
        self._at_rest = at_rest
        first = self._points[self._loaded].first
        self._moved = [0.0] * self._count
        self._moved[first : first + 3] = vec.sub(start, loaded)

    def under(self, force: float) -> Callable[[int], Vec]:
        """Return what the line does to each of its points under a force, by the point's index.

        Args:
            force: of the point load [N].

        Raises:
            CannotFinishError: the steps did not settle (a fault of ours).
        """
        first, push = self._points[self._loaded].first, vec.scale(self._load.force, force)
        rows = self._rows()
        tensions, residual, slopes = self._residual(self._moved, first, push, rows)
        for _ in range(_STEPS):
            if max(abs(one) for one in residual) <= _SETTLED * max(force, 1.0):
                return self._forces(self._moved, tensions)
            step = self._step(rows, residual, slopes, first)
            drive, share = _dot(residual, step), 1.0
            for _ in range(30):
                moved = [at + share * by for at, by in zip(self._moved, step, strict=True)]
                rows = self._rows()
                tensions, new, slopes = self._residual(moved, first, push, rows)
                back = _dot(new, step)
                if back >= -0.1 * drive:
                    break
                share *= max(drive / (drive - back), 0.1)
            self._moved, residual = moved, new
        left = max(abs(one) for one in residual)
        raise CannotFinishError(f"the run on bending posts did not settle: {left:g} N out of balance")

    @property
    def place(self) -> Vec:
        """Where the loaded point lies under the last force."""
        return self._places(self._moved)[self._loaded]

    def _rows(self) -> list[list[float]]:
        """Return the springs as the lower band of a matrix, the diagonal last in each row."""
        return [[0.0] * _BAND + [spring] for spring in self._springs]

    def _places(self, moved: list[float]) -> list[Vec]:
        found = []
        for point in self._points:
            at = point.at
            for i, direction in enumerate(point.directions, start=point.first):
                at = vec.along(at, direction, moved[i])
            found.append(at)
        return found

    def _residual(
        self, moved: list[float], first: int, push: Vec, rows: list[list[float]]
    ) -> tuple[list[float], list[float], list[list[float]]]:
        """Return the tension of each side, what is out of balance, and how each side lengthens; fill the matrix."""
        sides = self._sides(moved, rows)
        tensions, slopes = [side[0] for side in sides], [side[1] for side in sides]
        residual = [
            rest - spring * by - tensions[0] * before - tensions[1] * after
            for rest, spring, by, before, after in zip(
                self._at_rest, self._springs, moved, slopes[0], slopes[1], strict=True
            )
        ]
        for i in range(3):
            # At rest the loaded point hangs on the straight line and nothing holds it there.
            residual[first + i] += push[i] - self._at_rest[first + i]
        return tensions, residual, slopes

    def _sides(self, moved: list[float], rows: list[list[float]]) -> list[tuple[float, list[float]]]:
        """Return tension of each side of the load and how it lengthens by each number; add its stiffness across."""
        places, found = self._places(moved), []
        for side, pieces in enumerate((range(self._loaded), range(self._loaded, len(places) - 1))):
            ways = [vec.sub(places[j + 1], places[j]) for j in pieces]
            lengths = [vec.norm(way) for way in ways]
            tension = max(self._axial[side] * (math.fsum(lengths) - self._rests[side]), 0.0)
            slope = [0.0] * self._count
            for j, way, length in zip(pieces, ways, lengths, strict=True):
                self._add_piece(j, vec.scale(way, 1.0 / length), tension / length, slope, rows)
            found.append((tension, slope))
        return found

    def _add_piece(self, j: int, way: Vec, across: float, slope: list[float], rows: list[list[float]]) -> None:
        x, y, z = way
        own = []
        for i, sign, (a, b, c) in self._ends[j]:
            along = sign * (a * x + b * y + c * z)
            slope[i] += along
            own.append(along)
        for i, column, one, other, both in self._pairs[j]:
            rows[i][column] += across * (both - own[one] * own[other])

    def _step(
        self, rows: list[list[float]], residual: list[float], slopes: list[list[float]], first: int
    ) -> list[float]:
        """Return the Newton step: banded matrix and one row and column a side, by the Woodbury identity."""
        a, b = self._axial
        for i in range(first, first + 3):
            # The loaded point is held along the line by both sides' stretch alone: a trace keeps the band regular.
            rows[i][_BAND] += 1e-6 * (a + b)
        _factor(rows)
        step, by_a, by_b = _solve(rows, residual, *slopes)
        g, h = slopes
        aa, ab, bb = 1.0 + a * _dot(g, by_a), _dot(g, by_b), 1.0 + b * _dot(h, by_b)
        p, q = _dot(g, step), _dot(h, step)
        whole = aa * bb - a * b * ab * ab
        # Solves [1 / a + g'g, g'h; g'h, 1 / b + h'h] y = [p, q], each row times its stiffness.
        y, z = a * (p * bb - b * ab * q) / whole, b * (q * aa - a * ab * p) / whole
        return [s - y * one - z * other for s, one, other in zip(step, by_a, by_b, strict=True)]

    def _forces(self, moved: list[float], tensions: list[float]) -> Callable[[int], Vec]:
        places, loaded = self._places(moved), self._loaded

        def force_at(index: int) -> Vec:
            index %= len(places) - 1
            j = index if index < loaded else index + 1
            force: Vec = (0.0, 0.0, 0.0)
            for other in (j - 1, j + 1):
                if 0 <= other < len(places):
                    tension = tensions[0] if min(j, other) < loaded else tensions[1]
                    force = vec.along(force, vec.unit(vec.sub(places[other], places[j])), tension)
            return force

        return force_at


def _dot(a: list[float], b: list[float]) -> float:
    return math.fsum(map(mul, a, b))


def _factor(rows: list[list[float]]) -> None:
    """Replace a symmetric positive definite band matrix by its L D L' factors."""
    for i, row in enumerate(rows):
        begin = max(i - _BAND, 0)
        to_row = _BAND - i
        for m in range(begin + 1, i):
            above, to_above = rows[m], _BAND - m
            value = row[to_row + m]
            for n in range(begin, m):
                value -= row[to_row + n] * above[to_above + n]
            row[to_row + m] = value
        for m in range(begin, i):
            value = row[to_row + m]
            row[to_row + m] = ratio = value / rows[m][_BAND]
            row[_BAND] -= value * ratio


def _solve(rows: list[list[float]], right: list[float], first: list[float], second: list[float]) -> _Three:
    """Return the solutions of three right sides by L D L' factors."""
    x, y, z = list(right), list(first), list(second)
    count = len(rows)
    for i, row in enumerate(rows):
        for m in range(max(i - _BAND, 0), i):
            ratio = row[_BAND - i + m]
            x[i] -= ratio * x[m]
            y[i] -= ratio * y[m]
            z[i] -= ratio * z[m]
    for i, row in enumerate(rows):
        own = row[_BAND]
        x[i] /= own
        y[i] /= own
        z[i] /= own
    for i in range(count - 1, -1, -1):
        row = rows[i]
        for m in range(max(i - _BAND, 0), i):
            ratio = row[_BAND - i + m]
            x[m] -= ratio * x[i]
            y[m] -= ratio * y[i]
            z[m] -= ratio * z[i]
    return x, y, z


_Three = tuple[list[float], list[float], list[float]]
