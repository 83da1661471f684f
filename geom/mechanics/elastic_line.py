"""An elastic line at rest between fixed ends, through holes, with or without slack. Units: mm and N."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from geom import vec
from geom.errors import CannotFinishError, Fault, InputError
from geom.frozen import cached_property, frozen
from geom.mechanics.catenary import min_tension, segment
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.kernels import floats
from geom.mechanics.kernels.one_side import RestingLine
from geom.vec import Vec

LOCKED = math.inf


@frozen
class Line:
    """A line through its fixed points: first end, holes in order, last end [mm].

    `ea` is the axial stiffness [N], `weight` the weight per length, acting along -Z [N/mm], `friction` one coefficient
    per hole: zero where the line slides freely, LOCKED where it cannot slide.
    """

    points: tuple[Vec, ...]
    ea: float
    weight: float
    friction: tuple[float, ...]

    def __post_init__(self) -> None:
        faults = []
        if len(self.points) < 2:
            faults.append(Fault("a line needs two ends", read=str(len(self.points)), valid="two points or more"))
        if len(self.friction) != max(len(self.points) - 2, 0):
            faults.append(Fault("one friction coefficient per hole", read=str(len(self.friction))))
        if not self.ea > 0.0 or not math.isfinite(self.ea):
            faults.append(Fault("axial stiffness EA", read=f"{self.ea:g} N", valid="more than zero"))
        if not self.weight >= 0.0 or not math.isfinite(self.weight):
            faults.append(Fault("weight of the line", read=f"{self.weight:g} N/mm", valid="zero or more"))
        if any(not mu >= 0.0 for mu in self.friction):
            faults.append(Fault("friction", read=str(self.friction), valid="zero or more"))
        if 0.0 in self.spans:
            faults.append(Fault("two points of a line fall together", valid="spans longer than zero"))
        if faults:
            raise InputError("line", faults)

    @cached_property
    def spans(self) -> tuple[float, ...]:
        """Straight distances from point to point [mm]."""
        return tuple(vec.distance(a, b) for a, b in pairwise(self.points))

    @cached_property
    def directions(self) -> tuple[Vec, ...]:
        """Unit directions of the straight spans, from the first end to the last."""
        pairs = zip(pairwise(self.points), self.spans, strict=True)
        return tuple(vec.scale(vec.sub(b, a), 1.0 / span) for (a, b), span in pairs)

    @cached_property
    def path(self) -> float:
        """Sum of the spans [mm]."""
        return math.fsum(self.spans)

    @property
    def min_tension(self) -> float:
        """Minimum set tension [N]: twice the minimum at which every span has an equilibrium; zero without weight."""
        if self.weight == 0.0:
            return 0.0
        return 2.0 * max(min_tension(a, b, self.weight) for a, b in pairwise(self.points))

    @cached_property
    def frictionless(self) -> bool:
        """Whether every hole lets the line slide freely."""
        return not any(self.friction)

    @cached_property
    def free(self) -> Line:
        """The same line sliding in every hole without friction."""
        return self.with_friction(0.0)

    @cached_property
    def locked(self) -> Line:
        """The same line locked in every hole."""
        return self.with_friction(LOCKED)

    def with_friction(self, friction: float) -> Line:
        """Return the same line with one friction coefficient (dimensionless) at every hole."""
        return Line(self.points, self.ea, self.weight, (friction,) * (len(self.points) - 2))


@dataclass(frozen=True)
class OuterSpan:
    """A span outside the loaded one: its ends, near end first [mm], and its state before loading.

    `chord` is its length and `rest` its unstressed length [mm], `before` the tension at its near end [N], `friction`
    the coefficient at its near hole, `ratio` the holding ratio there for the directions before loading, `next_ratio`
    the holding ratio at its far hole.
    """

    near: Vec
    far: Vec
    chord: float
    rest: float
    before: float
    friction: float
    ratio: float
    next_ratio: float


@frozen
class SetLine:
    """A line at rest: unstressed length of each span [mm], tension at its first end [N], and slack [mm]."""

    line: Line
    rest: tuple[float, ...]
    tension: tuple[float, ...]
    slack: float

    @cached_property
    def sums(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Straight and unstressed lengths from the first end to each point [mm]."""
        return tuple(accumulate(self.line.spans, initial=0.0)), tuple(accumulate(self.rest, initial=0.0))

    @cached_property
    def solver_line(self) -> RestingLine:
        """The line as its solvers take it; without its weight."""
        line, last = self.line, len(self.rest)
        rows: list[float] = []
        ratios = (1.0, *(self._ratio(hole) for hole in range(last - 1)), 1.0)
        friction = (0.0, *line.friction, 0.0)
        for at, point in enumerate(line.points):
            span = (0.0,) * 6
            if at < last:
                span = (*line.directions[at], line.spans[at], self.rest[at], self.tension[at])
            rows += (*point, *span, friction[at], ratios[at])
        return RestingLine(floats(rows), last, line.ea, line.path, max(math.fsum(self.rest) - line.path, 0.0))

    def outer_spans(self, direction: int) -> tuple[OuterSpan, ...]:
        """Return every span as seen from a load aft of it (direction -1) or forward of it (+1).

        The order is that in which tension spreads from a load on the first of them.
        """
        return self._forward if direction < 0 else self._aft

    @cached_property
    def _forward(self) -> tuple[OuterSpan, ...]:
        return self._outer_spans(range(len(self.rest) - 1, -1, -1), -1)

    @cached_property
    def _aft(self) -> tuple[OuterSpan, ...]:
        return self._outer_spans(range(len(self.rest)), 1)

    def _outer_spans(self, spans: range, direction: int) -> tuple[OuterSpan, ...]:
        line, points = self.line, self.line.points
        ratios = [self._ratio(hole) for hole in range(len(line.friction))]
        found = []
        for j in spans:
            near, far = (points[j + 1], points[j]) if direction < 0 else (points[j], points[j + 1])
            before = max(self.tension[j] + line.weight * (near[2] - points[j][2]), 0.0)
            at_near, at_far = (j, j - 1) if direction < 0 else (j - 1, j)
            ends = [ratios[hole] if 0 <= hole < len(ratios) else 1.0 for hole in (at_near, at_far)]
            friction = line.friction[at_near] if 0 <= at_near < len(ratios) else 0.0
            found.append(OuterSpan(near, far, line.spans[j], self.rest[j], before, friction, *ends))
        return tuple(found)

    def _ratio(self, hole: int) -> float:
        friction = self.line.friction[hole]
        directions = self.line.directions
        return holding_ratio(friction, vec.angle(directions[hole], directions[hole + 1]) if friction > 0.0 else 0.0)


@frozen
class PointLoad:
    """A force [N] on a span (0 for the first) at a fraction of its length, `share` (0.5 at mid-span)."""

    span: int
    share: float
    force: Vec


def set_line(line: Line, tension: float, slack: float = 0.0) -> SetLine:
    """Return a line set to a tension at its first end and then given slack.

    Slack is length gained relative to the supports after setting, by bedding-in or temperature. It is distributed over
    the spans by their length; where it exceeds the stretch, the line is slack.

    Args:
        line: the line; friction is neglected, since a line is worked through its holes when set.
        tension: set tension, at least the `min_tension` of the line [N].
        slack: unstressed length added afterwards, negative where removed [mm].

    Raises:
        InputError: the tension is negative or below the minimum of the line, or no length is left.
        CannotFinishError: a line with weight has no equilibrium at this slack.
    """
    minimum = line.min_tension
    if not minimum <= tension < math.inf:
        valid = f"{minimum:.2f} N or more, by the weight of the line" if minimum > 0.0 else "zero or more"
        raise InputError("line", [Fault("set tension", read=f"{tension:g} N", valid=valid)])
    rest, tensions = _at_rest(line, tension)
    if slack == 0.0:
        return SetLine(line, rest, tensions, 0.0)
    required = math.fsum(rest) + slack
    if required <= 0.0:
        raise InputError("line", [Fault("slack", read=f"{slack:g} mm", valid=f"more than {-math.fsum(rest):.1f} mm")])
    eased = _eased_tension(line, required, tension, slack)
    rest, tensions = _at_rest(line, eased)
    left = required - math.fsum(rest)
    if eased == 0.0 and left > 0.0:
        rest = tuple(r + left * span / line.path for r, span in zip(rest, line.spans, strict=True))
    return SetLine(line, rest, tensions, slack)


# A line with its own friction, sliding freely, and locked: the last two bracket the first.
States = tuple[SetLine, SetLine, SetLine]


def states(line: Line, tension: float, slack: float = 0.0) -> States:
    """Return a line set by `set_line`: with its own friction, sliding freely, and locked.

    Args:
        line: the line.
        tension: set tension [N].
        slack: unstressed length added afterwards [mm].
    """
    own = set_line(line, tension, slack)
    free = own if line.frictionless else replace(own, line=line.free)
    return own, free, replace(own, line=line.locked)


def _at_rest(line: Line, tension: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return unstressed length and first tension of each span of a line that slides freely."""
    if line.weight == 0.0:
        stretch = 1.0 + tension / line.ea
        return tuple(span / stretch for span in line.spans), (tension,) * len(line.spans)
    rest, tensions = [], []
    for a, b in pairwise(line.points):
        part = segment(a, b, tension, line.ea, line.weight)
        rest.append(part.rest)
        tensions.append(tension)
        tension = max(part.end_tension, 0.0)
    return tuple(rest), tuple(tensions)


def _eased_tension(line: Line, required: float, tension: float, slack: float) -> float:
    """Return the tension at which the unstressed length of the line equals the required length."""

    def excess(t: float) -> float:
        return math.fsum(_at_rest(line, t)[0]) - required

    low, high = (line.min_tension, tension) if slack > 0.0 else (tension, tension - slack / line.path * line.ea * 2.0)
    if excess(low) <= 0.0:
        if line.weight > 0.0 and slack > 0.0:
            raise CannotFinishError(f"a line with weight has no equilibrium at {slack:g} mm of slack")
        return low
    # A line that stretches by much of its length needs more than twice the tension of the length removed.
    while excess(high) > 0.0:
        high = 2.0 * high + line.ea * 1e-3
    return bracketed_root(excess, low, high, 1e-10 * max(high, 1.0))


def holding_ratio(friction: float, turn: float) -> float:
    """Return the ratio of lower to higher tension at which a line slips round a bend, exp(-mu beta); zero where locked.

    Source: Euler's belt friction, as in any statics text.

    Args:
        friction: coefficient mu, infinite for a line locked in its hole.
        turn: angle beta between the directions of the line before and after the bend [rad].
    """
    return 0.0 if math.isinf(friction) else math.exp(-friction * turn)


def friction_coefficient(load: float, hold: float, turn: float) -> float:
    """Return the coefficient at which a small force holds a load round a bend.

    Args:
        load: the larger force [N].
        hold: the smaller force [N].
        turn: wrap angle [rad].
    """
    return math.log(load / hold) / turn


def turn_to_hold(load: float, hold: float, friction: float) -> float:
    """Return the wrap angle at which a small force holds a load [rad].

    Args:
        load: the larger force [N].
        hold: the smaller force [N].
        friction: coefficient mu.
    """
    return math.log(load / hold) / friction
