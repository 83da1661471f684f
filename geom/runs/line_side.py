"""The line on one side of a loaded point: what it pulls with when the point stands somewhere.

From the load outward the line slips through each hole only as far as friction lets it, and what it
frees lengthens the loaded span's part. One scalar, the tension at the nearest support, decides all.
A line without weight is straight between its points: its chords and turns are then worked out once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.runs.capstan import holding_ratio
from geom.runs.hang import Piece, piece
from geom.runs.line import Line, PointLoad, SetLine
from geom.vec import Vec

_SCALAR_STEPS = 80


@dataclass(frozen=True)
class Beyond:
    """A span beyond the loaded one: its ends, near one first, and its state before the load.

    `chord` its length, `rest` unstressed, `before` the tension at its near end, `friction` at its near hole,
    `ratio` what that hole holds where both directions are known beforehand.
    """

    near: Vec
    far: Vec
    chord: float
    rest: float
    before: float
    friction: float
    ratio: float


@dataclass
class LineSide:
    """The line on one side of the load: the loaded span's part and the spans beyond, nearest first."""

    line: Line
    support: Vec
    own_rest: float
    own_tension: float
    beyond: tuple[Beyond, ...]
    tension: float
    stiffness: float = 0.0

    @classmethod
    def of(cls, state: SetLine, load: PointLoad, way: int) -> LineSide:
        """Gather the spans of one side: way -1 for those before the load, +1 for those after it."""
        points, k, weight = state.line.points, load.span, state.line.weight
        support = points[k] if way < 0 else points[k + 1]
        share = load.share if way < 0 else 1.0 - load.share
        own = max(state.tension[k] + weight * (support[2] - points[k][2]), 0.0)
        beyond: list[Beyond] = []
        for j in range(k - 1, -1, -1) if way < 0 else range(k + 1, len(points) - 1):
            near, far = (points[j + 1], points[j]) if way < 0 else (points[j], points[j + 1])
            tension = max(state.tension[j] + weight * (near[2] - points[j][2]), 0.0)
            friction = state.line.friction[j] if way < 0 else state.line.friction[j - 1]
            turn = vec.angle(vec.sub(near, beyond[-1].near), vec.sub(far, near)) if beyond and friction > 0.0 else 0.0
            ratio = holding_ratio(friction, turn)
            beyond.append(Beyond(near, far, vec.distance(near, far), state.rest[j], tension, friction, ratio))
        return cls(state.line, support, state.rest[k] * share, own, tuple(beyond), tension=own)

    def pull(self, place: Vec) -> Vec:
        """Solve this side for a place of the loaded point and return what it pulls the point with."""
        self.tension = self._solve(place)
        slack = self.tension <= 0.0
        slope = self._excess(self.tension, place)[1]
        self.stiffness = 0.0 if slack else 1.0 / ((1.0 + self.tension / self.line.ea) * max(-slope, 1e-300))
        if self.line.weight > 0.0:
            return piece(self.support, place, self.tension, self.line.ea, self.line.weight).end_pull
        way = vec.sub(self.support, place)
        return vec.scale(way, self.tension / vec.norm(way))

    def pieces(self, place: Vec) -> tuple[Piece, tuple[tuple[float, Piece], ...]]:
        """Return this side's part of the loaded span, and the pieces beyond with their near tensions.

        For a side that was solved for this place.
        """
        line = self.line
        part = piece(self.support, place, self.tension, line.ea, line.weight)
        near_pull, now = part.start_pull, self.tension
        found: list[tuple[float, Piece]] = []
        for span in self.beyond:
            now, _ = _slip(span.before, now, self._ratio(span, near_pull, found == []), 1.0)
            beyond = piece(span.near, span.far, now, line.ea, line.weight)
            found.append((now, beyond))
            near_pull, now = beyond.end_pull, max(beyond.end_tension, 0.0)
        return part, tuple(found)

    def _ratio(self, span: Beyond, near_pull: Vec, first: bool) -> float:
        """Return what a hole holds, for the line's direction on its near side."""
        if span.friction == 0.0 or math.isinf(span.friction) or not (first or self.line.weight > 0.0):
            return span.ratio
        away = vec.scale(near_pull, -1.0)
        if away == (0.0, 0.0, 0.0):
            return 1.0
        return holding_ratio(span.friction, vec.angle(away, vec.sub(span.far, span.near)))

    def _excess(self, tension: float, place: Vec) -> tuple[float, float]:
        """Return how much more unstressed line this side wants than it has [mm], and its slope [mm/N]."""
        if self.line.weight > 0.0:
            return self._excess_hanging(tension, place)
        ea = self.line.ea
        stretch = 1.0 + tension / ea
        wants = vec.distance(self.support, place) / stretch
        slope = -wants / (ea * stretch)
        wants -= self.own_rest
        now, share, first = tension, 1.0, True
        for span in self.beyond:
            ratio = self._ratio(span, vec.sub(place, self.support), True) if first else span.ratio
            first = False
            now, share = _slip(span.before, now, ratio, share)
            if share == 0.0:
                break
            stretch = 1.0 + now / ea
            rest = span.chord / stretch
            wants += rest - span.rest
            slope -= share * rest / (ea * stretch)
        return wants, slope

    def _excess_hanging(self, tension: float, place: Vec) -> tuple[float, float]:
        line = self.line
        part = piece(self.support, place, tension, line.ea, line.weight)
        wants, slope = part.rest - self.own_rest, part.rest_slope
        near_pull, now, share = part.start_pull, tension, 1.0
        for span in self.beyond:
            now, share = _slip(span.before, now, self._ratio(span, near_pull, False), share)
            if share == 0.0:
                break
            beyond = piece(span.near, span.far, now, line.ea, line.weight)
            wants += beyond.rest - span.rest
            slope += beyond.rest_slope * share
            near_pull, now = beyond.end_pull, max(beyond.end_tension, 0.0)
        return wants, slope

    def _solve(self, place: Vec) -> float:
        """Return the tension at the support with which this side just reaches the place."""
        enough = 1e-14 * self.line.path
        low, high = 0.0, math.inf
        if self.line.weight == 0.0 and self._excess(0.0, place)[0] <= 0.0:
            return 0.0
        tension = max(self.tension, 1e-6)
        for _ in range(_SCALAR_STEPS):
            excess, slope = self._excess(tension, place)
            if abs(excess) <= enough:
                return tension
            low, high = (tension, high) if excess > 0.0 else (low, tension)
            step = tension - excess / slope
            if not low < step < high:
                step = 0.5 * (low + high) if math.isfinite(high) else 2.0 * tension + 1.0
            if (math.isfinite(high) and high - low <= 1e-14 * high) or abs(step - tension) <= 1e-15 * tension:
                return step
            tension = step
        return tension


def _slip(before: float, neighbour: float, ratio: float, share: float) -> tuple[float, float]:
    """Return the tension beyond a hole, and how it follows the tension at the load (a derivative)."""
    if ratio == 1.0:
        return neighbour, share
    if before < neighbour * ratio:
        return neighbour * ratio, share * ratio
    if before * ratio > neighbour:
        return neighbour / ratio, share / ratio
    return before, 0.0
