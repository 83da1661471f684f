"""A line without weight on one side of a loaded point: what it pulls with when the point stands somewhere.

From the load outward the line slips through each hole only as far as friction lets it, and what it
frees lengthens the loaded span's part. One scalar, the tension at the nearest support, decides all.
The line is straight between its points: where all its holes are free, or the nearest one is locked,
that scalar has a closed form.
"""

from __future__ import annotations

import math
from functools import cached_property

from geom import vec
from geom.mechanics.catenary import Hung, Piece, hung, piece, plan_span
from geom.mechanics.elastic_line import Beyond, Line, PointLoad, SetLine
from geom.mechanics.friction import holding_ratio
from geom.vec import Vec

_SCALAR_STEPS = 80
# A Newton step this small leaves an error of its square.
_SETTLED = 1e-8
# Lengths as a share of the line's that its sums of floats still tell apart.
SHORTEST = 1e-15


class LineSide:
    """The line on one side of the load: the loaded span's part and the spans beyond, nearest first.

    `tension` at the support and `stiffness`, how it rises as the loaded point draws away [N/mm], are those
    of the place asked for last; `way` leads from the support to that place, `reach` long.
    """

    def __init__(self, state: SetLine, load: PointLoad, way: int) -> None:
        """Gather the spans of one side: way -1 for those before the load, +1 for those after it."""
        line, k = state.line, load.span
        self.line: Line = line
        self.support = line.points[k] if way < 0 else line.points[k + 1]
        self.own_rest = state.rest[k] * (load.share if way < 0 else 1.0 - load.share)
        own = state.tension[k] + line.weight * (self.support[2] - line.points[k][2])
        self.own_tension = max(own, 0.0)
        self.tension, self.stiffness = self.own_tension, 0.0
        self.way: Vec = (0.0, 0.0, 0.0)
        self.reach = 0.0
        spans = range(k - 1, -1, -1) if way < 0 else range(k + 1, len(line.points) - 1)
        self._spans, self._state, self._way = spans, state, way
        self._shared = self._one_tension()
        self._nearest_ratio = 1.0

    def _one_tension(self) -> tuple[float, float] | None:
        """Return chords beyond and unstressed length where one tension reigns on this whole side, else None."""
        line, spans = self.line, self._spans
        if not spans or math.isinf(line.friction[spans[0] - 1 if self._way > 0 else spans[0]]):
            return 0.0, self.own_rest
        if not line.frictionless:
            return None
        chords, rests = self._state.sums
        if self._way > 0:
            return chords[-1] - chords[spans[0]], self.own_rest + rests[-1] - rests[spans[0]]
        return chords[spans[0] + 1], self.own_rest + rests[spans[0] + 1]

    @cached_property
    def beyond(self) -> tuple[Beyond, ...]:
        """The spans beyond the loaded one, nearest first."""
        along = self._state.beyond(self._way)
        return along[len(along) - len(self._spans) :]

    def pull(self, place: Vec) -> Vec:
        """Solve this side for a place of the loaded point and return what it pulls the point with."""
        support, ea = self.support, self.line.ea
        x, y, z = place[0] - support[0], place[1] - support[1], place[2] - support[2]
        last_reach = self.reach
        self.way, self.reach = (x, y, z), math.sqrt(x * x + y * y + z * z)
        if self._shared is not None:
            chords, rest = self._shared
            self.tension = tension = max(ea * ((self.reach + chords) / rest - 1.0), 0.0)
            self.stiffness = ea / rest if tension > 0.0 else 0.0
        else:
            self._nearest_ratio = nearest_ratio(self.beyond[0], self.way)
            expected = self.tension + self.stiffness * (self.reach - last_reach)
            tension, slope = self._solve(expected if expected > 0.0 else self.tension)
            self.tension = tension
            self.stiffness = 1.0 / ((1.0 + tension / ea) * max(-slope, 1e-300)) if tension > 0.0 else 0.0
        share = -tension / self.reach
        return (share * x, share * y, share * z)

    @property
    def fed(self) -> float:
        """Unstressed length that came into the loaded span from this side, by the last place [mm]."""
        return self.reach / (1.0 + self.tension / self.line.ea) - self.own_rest

    def beyond_tensions(self) -> list[float]:
        """Return the tension of each span beyond, nearest first."""
        if self._shared is not None:
            if self._shared[0] > 0.0:
                return [self.tension] * len(self._spans)
            return [self._state.tension[j] for j in self._spans]
        found, now = [], self.tension
        ratio = self._nearest_ratio
        for span in self.beyond:
            now, _ = slip(span.before, now, ratio, 1.0)
            found.append(now)
            ratio = span.next_ratio
        return found

    def _excess(self, tension: float) -> tuple[float, float]:
        """Return how much more unstressed line this side wants than it has [mm], and its slope [mm/N]."""
        softness = 1.0 / self.line.ea
        stretch = 1.0 + tension * softness
        relaxed = self.reach / stretch
        wants, slope = relaxed - self.own_rest, relaxed / stretch
        now, share = tension, 1.0
        ratio = self._nearest_ratio
        for chord, rest, before, next_ratio in self._straight_spans:
            # `slip`, written out: this loop is where a long line spends its time.
            if ratio != 1.0:
                if before < now * ratio:
                    now, share = now * ratio, share * ratio
                elif before * ratio > now:
                    now, share = now / ratio, share / ratio
                else:
                    break
            stretch = 1.0 + now * softness
            relaxed = chord / stretch
            wants += relaxed - rest
            slope += share * relaxed / stretch
            ratio = next_ratio
        return wants, -slope * softness

    @cached_property
    def _straight_spans(self) -> list[tuple[float, float, float, float]]:
        return [(span.chord, span.rest, span.before, span.next_ratio) for span in self.beyond]

    def _solve(self, expected: float) -> tuple[float, float]:
        """Return the tension at the support with which this side just reaches the place, and the excess' slope.

        Newton steps from an expected tension, kept inside a bracket that every step narrows. They are taken
        in 1 / (1 + T / EA), in which a line that slides freely is straight.
        """
        ea = self.line.ea
        enough = SHORTEST * self.line.path
        low, high = 0.0, math.inf
        tension = max(expected, 1e-6)
        slope = 0.0
        for _ in range(_SCALAR_STEPS):
            excess, slope = self._excess(tension)
            if abs(excess) <= enough:
                return tension, slope
            low, high = (tension, high) if excess > 0.0 else (low, tension)
            relaxed = ea / (ea + tension)
            relaxed += excess * relaxed * relaxed / (ea * slope)
            step = ea / relaxed - ea if relaxed > 0.0 else math.inf
            if step <= 0.0 and low == 0.0 and self._excess(0.0)[0] <= 0.0:
                return 0.0, slope
            if not low < step < high:
                step = 0.5 * (low + high) if math.isfinite(high) else 2.0 * tension + 1.0
            if (math.isfinite(high) and high - low <= 1e-14 * high) or abs(step - tension) <= _SETTLED * tension:
                return step, slope
            tension = step
        return tension, slope


def nearest_ratio(span: Beyond, towards_load: Vec) -> float:
    """Return what the hole at a span's near end holds, the line leading off towards the load on its near side."""
    if span.friction == 0.0 or math.isinf(span.friction):
        return span.ratio
    if towards_load == (0.0, 0.0, 0.0):
        return 1.0
    return holding_ratio(span.friction, vec.angle(vec.scale(towards_load, -1.0), vec.sub(span.far, span.near)))


def slip(before: float, neighbour: float, ratio: float, share: float) -> tuple[float, float]:
    """Return the tension beyond a hole, and how it follows the tension at the load (a derivative)."""
    if ratio == 1.0:
        return neighbour, share
    if before < neighbour * ratio:
        return neighbour * ratio, share * ratio
    if before * ratio > neighbour:
        return neighbour / ratio, share / ratio
    return before, 0.0


_CATENARY_STEPS = 100
# A Newton step this small leaves an error of its square.
_CATENARY_SETTLED = 1e-10


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
        for _ in range(_CATENARY_STEPS):
            excess, slope = self._excess(now, place)
            if abs(excess) <= enough:
                break
            low, high = (now, high) if excess > 0.0 else (low, now)
            step = now - excess / slope if slope < 0.0 else -1.0
            if not low < step < high:
                step = (
                    math.sqrt(low * high) if low > 0.0 and high < math.inf else 0.25 * now if low == 0.0 else 4.0 * now
                )
            settled = abs(step - now) <= _CATENARY_SETTLED * now
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
