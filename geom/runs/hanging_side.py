"""A line with weight on one side of a loaded point: every piece hangs in its catenary.

The scalar that decides all is the horizontal tension of the loaded span's part, down to where that part
hangs in a bight; spans beyond it slip as in a line without weight.
"""

from __future__ import annotations

import math
from functools import cached_property

from geom import vec
from geom.runs.hang import Hung, Piece, hung, piece, plan_span
from geom.runs.line import Beyond, PointLoad, SetLine
from geom.runs.line_side import SHORTEST, nearest_ratio, slip
from geom.vec import Vec

_SCALAR_STEPS = 100
# A Newton step this small leaves an error of its square.
_SETTLED = 1e-10


class HangingSide:
    """The line on one side of the load, with the same members as a side without weight (`LineSide`)."""

    def __init__(self, state: SetLine, load: PointLoad, way: int) -> None:
        """Gather the spans of one side: way -1 for those before the load, +1 for those after it."""
        line, k = state.line, load.span
        self.line = line
        self.support = line.points[k] if way < 0 else line.points[k + 1]
        self.own_rest = state.rest[k] * (load.share if way < 0 else 1.0 - load.share)
        self.own_tension = max(state.tension[k] + line.weight * (self.support[2] - line.points[k][2]), 0.0)
        self.tension, self.stiffness = self.own_tension, 0.0
        self.way: Vec = (0.0, 0.0, 0.0)
        self.reach = 0.0
        self._state, self._way = state, way
        self._count = k if way < 0 else len(line.points) - 2 - k
        self._horizontal = self.own_tension
        self._part: Hung | None = None

    @cached_property
    def beyond(self) -> tuple[Beyond, ...]:
        """The spans beyond the loaded one, nearest first."""
        along = self._state.beyond(self._way)
        return along[len(along) - self._count :]

    @property
    def fed(self) -> float:
        """Unstressed length that came into the loaded span from this side, by the last place [mm]."""
        assert self._part is not None
        return self._part.rest - self.own_rest

    def pull(self, place: Vec) -> Vec:
        """Solve this side for a place of the loaded point and return what it pulls the point with."""
        self.way = vec.sub(place, self.support)
        self.reach = vec.norm(self.way)
        slope = self._solve(place)
        part = self._part
        assert part is not None
        self.tension = part.start_tension
        flat = plan_span(*self.way)[0]
        stretch = 1.0 + part.start_tension / self.line.ea
        self.stiffness = self.reach / (flat * stretch * max(-slope, 1e-300))
        return part.end_pull

    def _solve(self, place: Vec) -> float:
        """Find the horizontal tension at which this side just reaches the place; return the excess' slope."""
        enough = SHORTEST * self.line.path
        # At the least tension looked at the bight is longer than any line: sinh 300 times the span.
        low, high = self.line.weight * plan_span(*self.way)[0] / 600.0, math.inf
        now = max(self._horizontal, 2.0 * low)
        slope = -1.0
        for _ in range(_SCALAR_STEPS):
            excess, slope = self._excess(now, place)
            if abs(excess) <= enough:
                break
            low, high = (now, high) if excess > 0.0 else (low, now)
            step = now - excess / slope if slope < 0.0 else -1.0
            if not low < step < high:
                step = (
                    math.sqrt(low * high) if low > 0.0 and high < math.inf else 0.25 * now if low == 0.0 else 4.0 * now
                )
            settled = abs(step - now) <= _SETTLED * now
            now = step
            if settled:
                slope = self._excess(now, place)[1]
                break
        self._horizontal = now
        return slope

    def _excess(self, horizontal: float, place: Vec) -> tuple[float, float]:
        """Return how much more unstressed line this side wants than it has [mm], and its slope [mm/N]."""
        line = self.line
        part = hung(self.support, place, horizontal, line.ea, line.weight)
        self._part = part
        wants, slope = part.rest - self.own_rest, part.rest_slope
        near_pull, now, share = part.start_pull, part.start_tension, part.tension_slope
        for span in self.beyond:
            now, share = slip(span.before, now, nearest_ratio(span, near_pull), share)
            if share == 0.0:
                break
            beyond = piece(span.near, span.far, now, line.ea, line.weight)
            wants += beyond.rest - span.rest
            slope += beyond.rest_slope * share
            near_pull, now = beyond.end_pull, max(beyond.end_tension, 0.0)
        return wants, slope

    def pieces(self) -> tuple[Hung, tuple[tuple[float, Piece], ...]]:
        """Return this side's part of the loaded span, and the pieces beyond with their near tensions."""
        part, line = self._part, self.line
        assert part is not None
        near_pull, now = part.start_pull, part.start_tension
        found = []
        for span in self.beyond:
            now, _ = slip(span.before, now, nearest_ratio(span, near_pull), 1.0)
            beyond = piece(span.near, span.far, now, line.ea, line.weight)
            found.append((now, beyond))
            near_pull, now = beyond.end_pull, max(beyond.end_tension, 0.0)
        return part, tuple(found)
