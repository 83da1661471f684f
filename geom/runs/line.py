"""An elastic line at rest between fixed ends, through holes, and its slack. Units: mm and N."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from geom import vec
from geom.errors import CannotFinishError, Fault, InputError
from geom.runs.hang import least_tension, piece
from geom.runs.root import bracketed_root
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
        return sum(self.spans)

    @property
    def least_tension(self) -> float:
        """The tension below which the line's own weight takes over, twice over; zero without weight [N]."""
        if self.weight == 0.0:
            return 0.0
        return 2.0 * max(least_tension(a, b, self.weight) for a, b in pairwise(self.points))

    def with_friction(self, friction: float) -> Line:
        """Return the same line with one coefficient at every hole."""
        return Line(self.points, self.ea, self.weight, (friction,) * (len(self.points) - 2))


@dataclass(frozen=True)
class SetLine:
    """A line at rest: unstressed length of each span [mm] and tension at each span's first end [N]."""

    line: Line
    rest: tuple[float, ...]
    tension: tuple[float, ...]
    slack: float


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
    least = line.least_tension
    if not least <= tension < math.inf:
        valid = f"{least:.2f} N or more, which the line's own weight asks for" if least > 0.0 else "zero or more"
        raise InputError("line", [Fault("set tension", read=f"{tension:g} N", valid=valid)])
    rest, tensions = _at_rest(line, tension)
    if slack == 0.0:
        return SetLine(line, rest, tensions, 0.0)
    wanted = sum(rest) + slack
    eased = _eased_tension(line, wanted, tension, slack)
    rest, tensions = _at_rest(line, eased)
    left = wanted - sum(rest)
    if eased == 0.0 and left > 0.0:
        rest = tuple(r + left * span / line.path for r, span in zip(rest, line.spans, strict=True))
    return SetLine(line, rest, tensions, slack)


def _at_rest(line: Line, tension: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return unstressed length and first tension of each span, the line being free in its holes."""
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
        return sum(_at_rest(line, t)[0]) - wanted

    low, high = (0.0, tension) if slack > 0.0 else (tension, tension - slack / line.path * line.ea * 2.0 + 1.0)
    if slack > 0.0:
        low = line.least_tension
    if excess(low) <= 0.0:
        if line.weight > 0.0 and slack > 0.0:
            raise CannotFinishError(f"{slack:g} mm of slack let the line hang below any tension it can keep")
        return low
    while excess(high) > 0.0:
        high = 2.0 * high + line.ea * 1e-3
    return bracketed_root(excess, low, high, 1e-10 * max(high, 1.0))
