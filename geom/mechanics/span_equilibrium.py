"""The line with weight on one side of a loaded point: its force on the point at a given position of the point.

From the load outward the line slips through each hole against friction, and the length gained enters the loaded span.
One unknown governs, the horizontal tension.
"""

from __future__ import annotations

import math

from geom import vec
from geom.frozen import cached_property
from geom.mechanics.catenary import HangingSegment, Segment, hanging_segment, plan_span, segment
from geom.mechanics.elastic_line import OuterSpan, PointLoad, SetLine, holding_ratio
from geom.vec import Vec


def nearest_ratio(span: OuterSpan, towards_load: Vec) -> float:
    """Return the holding ratio at the near hole of a span (dimensionless) for the direction of the line to the load."""
    if span.friction == 0.0 or math.isinf(span.friction):
        return span.ratio
    if towards_load == (0.0, 0.0, 0.0):
        return 1.0
    return holding_ratio(span.friction, vec.angle(vec.scale(towards_load, -1.0), vec.sub(span.far, span.near)))


def slip(before: float, neighbour: float, ratio: float, share: float) -> tuple[float, float]:
    """Return the tension [N] beyond a hole, and its derivative by the tension at the load.

    Args:
        before: tension beyond the hole before loading [N].
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


# Resolution of lengths in floating point, as a fraction of the length of the line.
LENGTH_RESOLUTION = 1e-15
_CATENARY_STEPS = 100
# A Newton step this small leaves an error of its square.
_CATENARY_SETTLED = 1e-10


class HangingSide:
    """A line with weight on one side of the load: its part of the loaded span and the outer spans, nearest first.

    `tension` at the support [N], `stiffness` as its derivative by the distance of the loaded point [N/mm], `vector`
    from the support to the loaded point and its length `distance` [mm] are those of the last position solved for.
    """

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
                step = math.sqrt(low * high) if high < math.inf else 4.0 * now
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
