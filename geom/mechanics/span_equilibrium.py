"""The line on one side of a loaded point: its force on the point at a given position of the point.

From the load outward the line slips through each hole against friction, and the length gained enters the loaded span.
One unknown governs, the tension at the nearest support (for a line with weight, the horizontal tension). A weightless
line that slides freely, or is locked at the nearest hole, has a closed-form solution.
"""

from __future__ import annotations

import math
from functools import cached_property

from geom import vec
from geom.mechanics.catenary import HangingSegment, Segment, hanging_segment, plan_span, segment
from geom.mechanics.elastic_line import Line, OuterSpan, PointLoad, SetLine
from geom.mechanics.friction import holding_ratio
from geom.vec import Vec

_SCALAR_STEPS = 80
# A Newton step this small leaves an error of its square.
_SETTLED = 1e-8
# Resolution of lengths in floating point, as a fraction of the length of the line.
LENGTH_RESOLUTION = 1e-15


class LineSide:
    """A weightless line on one side of the load: its part of the loaded span and the outer spans, nearest first.

    `tension` at the support [N], `stiffness` as its derivative by the distance of the loaded point [N/mm], `vector`
    from the support to the loaded point and its length `distance` [mm] are those of the last position solved for.
    """

    def __init__(self, state: SetLine, load: PointLoad, direction: int) -> None:
        """Set up the spans of one side: direction -1 for those before the load, +1 for those after it."""
        line, k = state.line, load.span
        self.line: Line = line
        self.support = line.points[k] if direction < 0 else line.points[k + 1]
        self.own_rest = state.rest[k] * (load.share if direction < 0 else 1.0 - load.share)
        own = state.tension[k] + line.weight * (self.support[2] - line.points[k][2])
        self.own_tension = max(own, 0.0)
        self.tension, self.stiffness = self.own_tension, 0.0
        self.vector: Vec = (0.0, 0.0, 0.0)
        self.distance = 0.0
        spans = range(k - 1, -1, -1) if direction < 0 else range(k + 1, len(line.points) - 1)
        self._spans, self._state, self._direction = spans, state, direction
        self._shared = self._one_tension()
        self._nearest_ratio = 1.0

    def _one_tension(self) -> tuple[float, float] | None:
        """Return outer chords and unstressed length [mm] where the tension is equal on this whole side, else None."""
        line, spans = self.line, self._spans
        if not spans or math.isinf(line.friction[spans[0] - 1 if self._direction > 0 else spans[0]]):
            return 0.0, self.own_rest
        if not line.frictionless:
            return None
        chords, rests = self._state.sums
        if self._direction > 0:
            return chords[-1] - chords[spans[0]], self.own_rest + rests[-1] - rests[spans[0]]
        return chords[spans[0] + 1], self.own_rest + rests[spans[0] + 1]

    @cached_property
    def outer_spans(self) -> tuple[OuterSpan, ...]:
        """The spans outside the loaded one, nearest first."""
        spans = self._state.outer_spans(self._direction)
        return spans[len(spans) - len(self._spans) :]

    def pull(self, place: Vec) -> Vec:
        """Return the force of this side on the loaded point at a position [N]."""
        support, ea = self.support, self.line.ea
        x, y, z = place[0] - support[0], place[1] - support[1], place[2] - support[2]
        last_distance = self.distance
        self.vector, self.distance = (x, y, z), math.sqrt(x * x + y * y + z * z)
        if self._shared is not None:
            chords, rest = self._shared
            self.tension = tension = max(ea * ((self.distance + chords) / rest - 1.0), 0.0)
            self.stiffness = ea / rest if tension > 0.0 else 0.0
        else:
            self._nearest_ratio = nearest_ratio(self.outer_spans[0], self.vector)
            expected = self.tension + self.stiffness * (self.distance - last_distance)
            tension, slope = self._solve(expected if expected > 0.0 else self.tension)
            self.tension = tension
            self.stiffness = 1.0 / ((1.0 + tension / ea) * max(-slope, 1e-300)) if tension > 0.0 else 0.0
        share = -tension / self.distance
        return (share * x, share * y, share * z)

    def outer_tensions(self) -> list[float]:
        """Return the tension of each outer span [N], nearest first."""
        if self._shared is not None:
            if self._shared[0] > 0.0:
                return [self.tension] * len(self._spans)
            return [self._state.tension[j] for j in self._spans]
        found, now = [], self.tension
        ratio = self._nearest_ratio
        for span in self.outer_spans:
            now, _ = slip(span.before, now, ratio, 1.0)
            found.append(now)
            ratio = span.next_ratio
        return found

    def _excess(self, tension: float) -> tuple[float, float]:
        """Return the unstressed length required less that available on this side [mm], and its slope [mm/N]."""
        flexibility = 1.0 / self.line.ea
        stretch = 1.0 + tension * flexibility
        relaxed = self.distance / stretch
        excess, slope = relaxed - self.own_rest, relaxed / stretch
        now, share = tension, 1.0
        ratio = self._nearest_ratio
        for chord, rest, before, next_ratio in self._straight_spans:
            # `slip` inlined for speed.
            if ratio != 1.0:
                if before < now * ratio:
                    now, share = now * ratio, share * ratio
                elif before * ratio > now:
                    now, share = now / ratio, share / ratio
                else:
                    break
            stretch = 1.0 + now * flexibility
            relaxed = chord / stretch
            excess += relaxed - rest
            slope += share * relaxed / stretch
            ratio = next_ratio
        return excess, -slope * flexibility

    @cached_property
    def _straight_spans(self) -> list[tuple[float, float, float, float]]:
        return [(span.chord, span.rest, span.before, span.next_ratio) for span in self.outer_spans]

    def _solve(self, expected: float) -> tuple[float, float]:
        """Return the tension at the support at which this side reaches the loaded point, and the slope of the excess.

        Newton iteration from an expected tension, inside a bracket, on the variable 1 / (1 + T / EA), in which a line
        that slides freely is linear.
        """
        ea = self.line.ea
        enough = LENGTH_RESOLUTION * self.line.path
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


def nearest_ratio(span: OuterSpan, towards_load: Vec) -> float:
    """Return the holding ratio at the near hole of a span (dimensionless) for the direction of the line to the load."""
    if span.friction == 0.0 or math.isinf(span.friction):
        return span.ratio
    if towards_load == (0.0, 0.0, 0.0):
        return 1.0
    return holding_ratio(span.friction, vec.angle(vec.scale(towards_load, -1.0), vec.sub(span.far, span.near)))


def slip(before: float, neighbour: float, ratio: float, share: float) -> tuple[float, float]:
    """Return the tension [N] outer_spans a hole, and its derivative by the tension at the load.

    Args:
        before: tension outer_spans the hole before loading [N].
        neighbour: tension on the loaded side of the hole [N].
        ratio: holding ratio of the hole.
        share: derivative of the tension on the loaded side by the tension at the load.
    """
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
    """A line with weight on one side of the load, with the members of `LineSide`."""

    def __init__(self, state: SetLine, load: PointLoad, direction: int) -> None:
        """Set up the spans of one side: direction -1 for those before the load, +1 for those after it."""
        line, k = state.line, load.span
        self.line = line
        self.support = line.points[k] if direction < 0 else line.points[k + 1]
        self.own_rest = state.rest[k] * (load.share if direction < 0 else 1.0 - load.share)
        self.own_tension = max(state.tension[k] + line.weight * (self.support[2] - line.points[k][2]), 0.0)
        self.tension, self.stiffness = self.own_tension, 0.0
        self.vector: Vec = (0.0, 0.0, 0.0)
        self.distance = 0.0
        self._state, self._direction = state, direction
        self._count = k if direction < 0 else len(line.points) - 2 - k
        self._horizontal = self.own_tension
        self._part: HangingSegment | None = None

    @cached_property
    def outer_spans(self) -> tuple[OuterSpan, ...]:
        """The spans outside the loaded one, nearest first."""
        spans = self._state.outer_spans(self._direction)
        return spans[len(spans) - self._count :]

    def pull(self, place: Vec) -> Vec:
        """Return the force of this side on the loaded point at a position [N]."""
        self.vector = vec.sub(place, self.support)
        self.distance = vec.norm(self.vector)
        slope = self._solve(place)
        part = self._part
        assert part is not None
        self.tension = part.start_tension
        flat = plan_span(*self.vector)[0]
        stretch = 1.0 + part.start_tension / self.line.ea
        self.stiffness = self.distance / (flat * stretch * max(-slope, 1e-300))
        return part.end_pull

    def _solve(self, place: Vec) -> float:
        """Solve for the horizontal tension at which this side reaches the loaded point; return the excess slope."""
        enough = LENGTH_RESOLUTION * self.line.path
        # At this minimum tension the segment is longer than any line: sinh 300 times the span.
        low, high = self.line.weight * plan_span(*self.vector)[0] / 600.0, math.inf
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
        """Return the unstressed length required less that available on this side [mm], and its slope [mm/N]."""
        line = self.line
        part = hanging_segment(self.support, place, horizontal, line.ea, line.weight)
        self._part = part
        excess, slope = part.rest - self.own_rest, part.rest_slope
        near_force, now, share = part.start_pull, part.start_tension, part.tension_slope
        for span in self.outer_spans:
            now, share = slip(span.before, now, nearest_ratio(span, near_force), share)
            if share == 0.0:
                break
            outer = segment(span.near, span.far, now, line.ea, line.weight)
            excess += outer.rest - span.rest
            slope += outer.rest_slope * share
            near_force, now = outer.end_pull, max(outer.end_tension, 0.0)
        return excess, slope

    def segments(self) -> tuple[HangingSegment, tuple[tuple[float, Segment], ...]]:
        """Return the segment in the loaded span, and the outer segments with their near tensions [N]."""
        part, line = self._part, self.line
        assert part is not None
        near_force, now = part.start_pull, part.start_tension
        found = []
        for span in self.outer_spans:
            now, _ = slip(span.before, now, nearest_ratio(span, near_force), 1.0)
            outer = segment(span.near, span.far, now, line.ea, line.weight)
            found.append((now, outer))
            near_force, now = outer.end_pull, max(outer.end_tension, 0.0)
        return part, tuple(found)
