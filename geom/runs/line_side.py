"""The line on one side of a loaded point: what it pulls with when the point stands somewhere.

From the load outward the line slips through each hole only as far as friction lets it, and what it
frees lengthens the loaded span's part. One scalar, the tension at the nearest support, decides all.
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


@dataclass
class LineSide:
    """The line on one side of the load: the loaded span's part and the spans beyond, nearest first."""

    line: Line
    support: Vec
    own_rest: float
    own_tension: float
    beyond: tuple[tuple[Vec, Vec, float, float, float], ...]
    tension: float = 0.0
    part: Piece | None = None
    far: tuple[tuple[float, Piece], ...] = ()
    stiffness: float = 0.0
    fed: float = 0.0

    @classmethod
    def of(cls, state: SetLine, load: PointLoad, way: int) -> LineSide:
        """Gather the spans of one side: way -1 for those before the load, +1 for those after it."""
        points, k = state.line.points, load.span
        support = points[k] if way < 0 else points[k + 1]
        share = load.share if way < 0 else 1.0 - load.share
        drop = state.line.weight
        own = state.tension[k] + drop * (support[2] - points[k][2])
        beyond = []
        for j in range(k - 1, -1, -1) if way < 0 else range(k + 1, len(points) - 1):
            near, far = (points[j + 1], points[j]) if way < 0 else (points[j], points[j + 1])
            tension = max(state.tension[j] + drop * (near[2] - points[j][2]), 0.0)
            friction = state.line.friction[j] if way < 0 else state.line.friction[j - 1]
            beyond.append((near, far, state.rest[j], tension, friction))
        return cls(state.line, support, state.rest[k] * share, max(own, 0.0), tuple(beyond), tension=max(own, 0.0))

    def pull(self, place: Vec) -> Vec:
        """Solve this side for a place of the loaded point and return what it pulls the point with."""
        tension = self._solve(place)
        excess = self._excess(tension, place)
        part = self.part
        assert part is not None
        slope = (1.0 / (1.0 + tension / self.line.ea)) / max(-excess[1], 1e-300)
        self.stiffness = slope if tension > 0.0 else 0.0
        self.tension = tension
        return part.end_pull

    def _excess(self, tension: float, place: Vec) -> tuple[float, float]:
        """Return how much more unstressed line this side wants than it has, and the slope with tension."""
        line = self.line
        part = piece(self.support, place, tension, line.ea, line.weight)
        wants, slope = part.rest - self.own_rest, part.rest_slope
        near_pull, now, share = part.start_pull, tension, 1.0
        far, fed = [], 0.0
        for near, end, rest, before, friction in self.beyond:
            chord = vec.sub(end, near)
            turn = vec.angle(vec.scale(chord, -1.0), near_pull) if now > 0.0 and friction > 0.0 else 0.0
            ratio = holding_ratio(friction, turn)
            share, now = _slip(before, now, ratio, share)
            beyond = piece(near, end, now, line.ea, line.weight)
            released = rest - beyond.rest
            wants -= released
            fed += released
            slope += beyond.rest_slope * share
            far.append((now, beyond))
            near_pull, now = beyond.end_pull, max(beyond.end_tension, 0.0)
        self.part, self.far, self.fed = part, tuple(far), fed
        return wants, slope

    def _solve(self, place: Vec) -> float:
        """Return the tension at the support with which this side just reaches the place."""
        scale = 1e-14 * self.line.path
        low, high = 0.0, math.inf
        if self.line.weight == 0.0 and self._excess(0.0, place)[0] <= 0.0:
            return 0.0
        tension = max(self.tension, 1e-6)
        for _ in range(_SCALAR_STEPS):
            excess, slope = self._excess(tension, place)
            if abs(excess) <= scale:
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
    """Return how the tension beyond a hole follows the load's side (as a derivative), and that tension."""
    if before < neighbour * ratio:
        return share * ratio, neighbour * ratio
    if before * ratio > neighbour:
        return share / ratio, neighbour / ratio
    return 0.0, before
