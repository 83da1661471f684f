"""An elastic line at rest between fixed ends, through holes, and its slack. Units: mm and N."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate, pairwise

from geom import vec
from geom.errors import CannotFinishError, Fault, InputError
from geom.mechanics.catenary import min_tension, piece
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.friction import holding_ratio
from geom.vec import Vec

LOCKED = math.inf


@dataclass(frozen=True)
class Line:
    """A line by its fixed points, first end, holes in order, last end [mm].

    `ea` axial stiffness [N]; `weight` per length [N/mm], pulling along -Z; `friction` a coefficient per
    hole, zero for free and LOCKED for a line that cannot slide.
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
        if any(vec.distance(a, b) <= 0.0 for a, b in pairwise(self.points)):
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
        """The tension below which the line's own weight takes over, twice over; zero without weight [N]."""
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
        """Return the same line with one coefficient at every hole."""
        return Line(self.points, self.ea, self.weight, (friction,) * (len(self.points) - 2))


@dataclass(frozen=True)
class Beyond:
    """A span beyond the loaded one: its ends, near one first, and its state before the load.

    `chord` its length, `rest` unstressed, `before` the tension at its near end, `friction` at its near hole,
    `ratio` what that hole holds where both directions are known beforehand, `next_ratio` what the hole at
    its far end holds.
    """

    near: Vec
    far: Vec
    chord: float
    rest: float
    before: float
    friction: float
    ratio: float
    next_ratio: float


@dataclass(frozen=True)
class SetLine:
    """A line at rest: unstressed length of each span [mm] and tension at each span's first end [N]."""

    line: Line
    rest: tuple[float, ...]
    tension: tuple[float, ...]
    slack: float

    @cached_property
    def sums(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Straight and unstressed lengths from the first end to each point [mm]."""
        return tuple(accumulate(self.line.spans, initial=0.0)), tuple(accumulate(self.rest, initial=0.0))

    def beyond(self, way: int) -> tuple[Beyond, ...]:
        """Return every span as it lies beyond a load: forward of it (way -1) or aft of it (+1).

        In the order in which a load's pull travels through them, from the far end of the line on.
        """
        return self._forward if way < 0 else self._aft

    @cached_property
    def _forward(self) -> tuple[Beyond, ...]:
        return self._travel(range(len(self.rest) - 1, -1, -1), -1)

    @cached_property
    def _aft(self) -> tuple[Beyond, ...]:
        return self._travel(range(len(self.rest)), 1)

    def _travel(self, spans: range, way: int) -> tuple[Beyond, ...]:
        line, points = self.line, self.line.points
        holds = [self._ratio(hole) for hole in range(len(line.friction))]
        found = []
        for j in spans:
            near, far = (points[j + 1], points[j]) if way < 0 else (points[j], points[j + 1])
            before = max(self.tension[j] + line.weight * (near[2] - points[j][2]), 0.0)
            at_near, at_far = (j, j - 1) if way < 0 else (j - 1, j)
            ends = [holds[hole] if 0 <= hole < len(holds) else 1.0 for hole in (at_near, at_far)]
            friction = line.friction[at_near] if 0 <= at_near < len(holds) else 0.0
            found.append(Beyond(near, far, line.spans[j], self.rest[j], before, friction, *ends))
        return tuple(found)

    def _ratio(self, hole: int) -> float:
        friction = self.line.friction[hole]
        directions = self.line.directions
        return holding_ratio(friction, vec.angle(directions[hole], directions[hole + 1]) if friction > 0.0 else 0.0)


@dataclass(frozen=True)
class PointLoad:
    """A force [N] on a span (0 for the first) at a share of its length (0.5 for its middle)."""

    span: int
    share: float
    force: Vec


def set_line(line: Line, tension: float, slack: float = 0.0) -> SetLine:
    """Return a line set to a tension at its first end and then given slack.

    Slack is length that the line gains against its supports after it was set: bedding-in, warmth. It
    spreads over the spans by their length; where it is more than the stretch, the line hangs.

    Args:
        line: the line; its friction plays no part, as a line is worked through its holes when set.
        tension: set tension [N], at least the line's `least_tension`.
        slack: unstressed length added afterwards [mm]; negative shortens.

    Raises:
        InputError: a negative tension, or less than the line's own weight makes.
        CannotFinishError: the slack lets a line with weight hang below any tension it can keep.
    """
    minimum = line.min_tension
    if not minimum <= tension < math.inf:
        valid = f"{minimum:.2f} N or more, which the line's own weight asks for" if minimum > 0.0 else "zero or more"
        raise InputError("line", [Fault("set tension", read=f"{tension:g} N", valid=valid)])
    rest, tensions = _at_rest(line, tension)
    if slack == 0.0:
        return SetLine(line, rest, tensions, 0.0)
    wanted = math.fsum(rest) + slack
    eased = _eased_tension(line, wanted, tension, slack)
    rest, tensions = _at_rest(line, eased)
    left = wanted - math.fsum(rest)
    if eased == 0.0 and left > 0.0:
        rest = tuple(r + left * span / line.path for r, span in zip(rest, line.spans, strict=True))
    return SetLine(line, rest, tensions, slack)


# A line with its own friction, sliding free, and locked: the last two bracket the first.
States = tuple[SetLine, SetLine, SetLine]


def states(line: Line, tension: float, slack: float = 0.0) -> States:
    """Return a line set by `set_line`, with its own friction, sliding free, and locked; they rest alike.

    Args:
        line: the line.
        tension: set tension [N].
        slack: unstressed length added afterwards [mm].
    """
    own = set_line(line, tension, slack)
    free = own if line.frictionless else replace(own, line=line.free)
    return own, free, replace(own, line=line.locked)


def _at_rest(line: Line, tension: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return unstressed length and first tension of each span, the line being free in its holes."""
    if line.weight == 0.0:
        stretch = 1.0 + tension / line.ea
        return tuple(span / stretch for span in line.spans), (tension,) * len(line.spans)
    rest, tensions = [], []
    for a, b in pairwise(line.points):
        part = piece(a, b, tension, line.ea, line.weight)
        rest.append(part.rest)
        tensions.append(tension)
        tension = max(part.end_tension, 0.0)
    return tuple(rest), tuple(tensions)


def _eased_tension(line: Line, wanted: float, tension: float, slack: float) -> float:
    """Return the tension at which the line's unstressed lengths add up to the wanted length."""

    def excess(t: float) -> float:
        return math.fsum(_at_rest(line, t)[0]) - wanted

    low, high = (0.0, tension) if slack > 0.0 else (tension, tension - slack / line.path * line.ea * 2.0 + 1.0)
    if slack > 0.0:
        low = line.min_tension
    if excess(low) <= 0.0:
        if line.weight > 0.0 and slack > 0.0:
            raise CannotFinishError(f"{slack:g} mm of slack let the line hang below any tension it can keep")
        return low
    while excess(high) > 0.0:
        high = 2.0 * high + line.ea * 1e-3
    return bracketed_root(excess, low, high, 1e-10 * max(high, 1.0))
