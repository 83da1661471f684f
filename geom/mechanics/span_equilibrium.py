"""The line on one side of a loaded point: its force on the point at a given position of the point.

From the load outward the line slips through each hole against friction, and the length gained enters the loaded span.
One unknown governs, the tension at the nearest support; for a line with weight, the horizontal tension. Weightless
lines are solved many at once, in arrays.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from geom import vec
from geom.mechanics.catenary import HangingSegment, Segment, hanging_segment, plan_span, segment
from geom.mechanics.elastic_line import OuterSpan, PointLoad, SetLine, holding_ratio
from geom.vec import Vec

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]


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


_TENSION_STEPS = 80
# A Newton step this small leaves an error of its square.
_SETTLED = 1e-8


class SlippingSides:
    """Weightless lines that slip in their holes, before and after their loads: arrays of two sides, each of all lines.

    `tension` at the support [N] and `stiffness` as its derivative by the distance of the loaded point [N/mm] are those
    of the last position solved for; each solution starts from them.
    """

    def __init__(
        self,
        ea: Array,
        own_rest: Array,
        spans: list[tuple[Array, Array, Array]],
        ratios: list[Array],
        friction: Array,
        near: tuple[Array, Array],
    ) -> None:
        """Set up the sides.

        Args:
            ea: axial stiffness of each line [N].
            own_rest: unstressed length of the part of the loaded span [mm].
            spans: chord and unstressed length of each outer span [mm], and its tension before loading [N]; nearest
                first, zero beyond the line.
            ratios: holding ratio at the near hole of each outer span for the directions before loading.
            friction: coefficient at the nearest hole.
            near: parts of the directions along the loaded span and across it: outward along the nearest outer span,
                and in two directions square to that.
        """
        self._ea, self._own_rest, self._spans, self._ratios = ea, own_rest, spans, ratios
        self._friction, self._near = friction, near
        # Length by which an untensioned side is short of the straight lines over its spans that slip.
        slack = [np.where(before > 0.0, chord - rest, 0.0) for chord, rest, before in spans]
        self._untensioned = np.sum(slack, axis=0) - own_rest
        self.tension: Array = np.where(own_rest > 0.0, spans[0][2], 0.0)
        self.stiffness: Array = np.zeros_like(own_rest)
        self._distance = own_rest

    def pull(self, along: Array, across: Array, distance: Array) -> None:
        """Solve for the tensions at which the sides reach their loaded points.

        Newton iteration on the variable 1 / (1 + T / EA), in which a line that slides freely is linear, inside a
        bracket, from the tension expected by the last stiffness.

        Args:
            along: distance of each loaded point from its support along the span [mm].
            across: and across it [mm].
            distance: straight [mm].
        """
        ea, last = self._ea, self.tension
        ahead, aside, beside = along * self._near[0] + across * self._near[1]
        # At the nearest hole the direction of the line changes with the load.
        self._ratios[0] = holding(self._friction, np.arctan2(np.hypot(aside, beside), -ahead))
        expected = last + self.stiffness * (distance - self._distance)
        tension = np.maximum(np.where(expected > 0.0, expected, last), 1e-6)
        slack = distance + self._untensioned <= 0.0
        low, high = np.zeros_like(tension), np.full_like(tension, np.inf)
        settled, slope = slack, np.full_like(tension, -1.0)
        for _ in range(_TENSION_STEPS):
            excess, new_slope = self._excess(tension, distance)
            slope = np.where(settled, slope, new_slope)
            relaxed = ea / (ea + tension)
            relaxed = relaxed + excess * relaxed * relaxed / (ea * new_slope)
            step = ea / np.maximum(relaxed, 1e-300) - ea
            close = np.abs(step - tension) <= _SETTLED * tension
            if (settled | close).all():
                tension = np.where(settled, tension, step)
                break
            short = excess > 0.0
            low, high = np.where(short, tension, low), np.where(short, high, tension)
            bounded = np.isfinite(high)
            middle = np.where(bounded, 0.5 * (low + np.where(bounded, high, 0.0)), 2.0 * tension + 1.0)
            inside = close | ((low < step) & (step < high))
            tension = np.where(settled, tension, np.where(inside, step, middle))
            settled = settled | close | (high - low <= 1e-14 * high)
        self._distance = distance
        self.tension = np.where(slack, 0.0, tension)
        self.stiffness = np.where(slack, 0.0, 1.0 / ((1.0 + tension / ea) * np.maximum(-slope, 1e-300)))

    def _excess(self, tension: Array, distance: Array) -> tuple[Array, Array]:
        """Return the unstressed length required less that available on each side [mm], and its slope [mm/N]."""
        stretch = 1.0 / (1.0 + tension / self._ea)
        relaxed = distance * stretch
        excess, slope, now = relaxed - self._own_rest, relaxed * stretch, tension
        slips: Flags = np.ones(tension.shape, dtype=bool)
        for (chord, rest, before), ratio in zip(self._spans, self._ratios, strict=True):
            now, held = _slip(before, now, ratio)
            slips = slips & ~held
            stretch = 1.0 / (1.0 + now / self._ea)
            relaxed = chord * stretch
            excess = excess + np.where(slips, relaxed - rest, 0.0)
            slope = slope + np.where(slips, now / tension * relaxed * stretch, 0.0)
        return excess, -slope / self._ea

    def outer_tensions(self) -> list[Array]:
        """Return the tension of each outer span [N], nearest first."""
        found, now = [], self.tension
        for (_, _, before), ratio in zip(self._spans, self._ratios, strict=True):
            now, _ = _slip(before, now, ratio)
            found.append(now)
        return found


def _slip(before: Array, neighbour: Array, ratio: Array) -> tuple[Array, Flags]:
    """Return the tension [N] beyond each hole as `slip` has it, and whether the line is held there."""
    # A locked hole holds any tension.
    now = np.minimum(np.maximum(before, neighbour * ratio), neighbour / np.maximum(ratio, 1e-200))
    return now, (now == before) & (ratio < 1.0)


def holding(friction: Array, turn: Array) -> Array:
    """Return the holding ratios (dimensionless) of holes, as `holding_ratio` has that of one.

    Args:
        friction: coefficients mu, infinite where locked.
        turn: angle between the directions of the line before and after each hole [rad].
    """
    locked = np.isinf(friction)
    return np.where(locked, 0.0, np.exp(-np.where(locked, 0.0, friction) * turn))
