"""A person against the line: tension and deflection under a load, quasi-static or by energy.

The tension in a line loaded across is much higher than the load. Posts and ends are rigid, so that every tension is
an upper bound; where a post collapses first, the load is not reached (see collapse).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from geom import vec
from geom.errors import Fault, InputError
from geom.frozen import cached_property, frozen
from geom.mechanics.cable import Loaded, load_line, load_with_friction
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.elastic_line import Line, PointLoad, SetLine, States, set_line
from geom.mechanics.kernels.limits import MAX_FORCE
from geom.remark import Remark
from geom.units import N, Ratio
from geom.vec import Vec

STANDARD_GRAVITY = 9.80665


@dataclass(frozen=True)
class Body:
    """A body that hits the line: mass [kg] and speed square to the line [m/s]."""

    mass: float
    speed: float

    @property
    def energy(self) -> float:
        """Kinetic energy [N mm]."""
        return 0.5 * self.mass * self.speed**2 * 1e3


@frozen
class FallLoad:
    """A line under a person's load, with friction as stated and at both limits.

    `force` is the load including the shock factor [N]; `free` and `locked` bracket `loaded`.
    """

    force: N
    shock: Ratio
    loaded: Loaded
    at_rest: States = field(compare=False, repr=False)

    @cached_property
    def free(self) -> Loaded:
        """The line under the same load, sliding free in every hole."""
        own, free, _ = self.at_rest
        return self.loaded if own is free else load_line(free, self.loaded.load)

    @cached_property
    def locked(self) -> Loaded:
        """The line under the same load, locked in every hole."""
        return load_line(self.at_rest[2], self.loaded.load)

    @property
    def times_load(self) -> Ratio:
        """Tension over load."""
        return self.loaded.max_tension / self.force

    @property
    def remark(self) -> Remark:
        """Tension and deflection, with friction as stated and at both limits, for a report."""
        return Remark(
            "fall.line", force_n=self.force, tension_n=self.loaded.max_tension, times=self.times_load,
            deflection_mm=self.loaded.deflection, free_n=self.free.max_tension,
            free_deflection_mm=self.free.deflection, locked_n=self.locked.max_tension,
            locked_deflection_mm=self.locked.deflection,
        )  # fmt: skip


@dataclass(frozen=True)
class FallEnergy:
    """A body stopped by the line: peak force [N] and the loaded line, sliding freely and locked.

    The line alone absorbs the energy; body, posts and deck are rigid, which is an upper bound.
    """

    body: Body
    free: Loaded
    locked: Loaded
    free_force: N
    locked_force: N


def across_span(line: Line, span: int, towards: Vec) -> Vec:
    """Return the unit direction square to a span that is nearest to another direction.

    Args:
        line: the line.
        span: index of the span, 0 for the first.
        towards: the other direction, such as outboard or straight down.

    Raises:
        InputError: towards lies along the span.
    """
    chord = vec.unit(vec.sub(line.points[span + 1], line.points[span]))
    across = vec.square_to(towards, chord)
    if vec.norm(across) < 1e-9 * vec.norm(towards):
        raise InputError("load", [Fault("direction across a span", read=str(towards), valid="not along the span")])
    return vec.unit(across)


def beside_post(line: Line, span: int, distance: float, at_end: bool = False) -> float:
    """Return the fraction of a span at a distance from its first support, or from its last.

    Args:
        line: the line.
        span: index of the span, 0 for the first.
        distance: from the support along the span [mm].
        at_end: whether to measure from the last support.

    Raises:
        InputError: the distance is outside the span.
    """
    share = distance / line.spans[span]
    if not 0.0 < share < 1.0:
        valid = f"between 0 and {line.spans[span]:.0f} mm"
        raise InputError("load", [Fault("place beside a post", read=f"{distance:g} mm", valid=valid)])
    return 1.0 - share if at_end else share


def fall_on(at_rest: States, load: PointLoad, shock: float) -> FallLoad:
    """Return a line at rest under a person's load times a shock factor.

    Args:
        at_rest: the line at its set tension.
        load: the static load.
        shock: shock factor: 1 for a static load, 2 for one applied suddenly, more for an impact.
    """
    raised = PointLoad(load.span, load.share, vec.scale(load.force, shock))
    return FallLoad(vec.norm(raised.force), shock, load_with_friction(at_rest, raised), at_rest)


def fall_by_energy(line: Line, tension: float, span: int, share: float, direction: Vec, body: Body) -> FallEnergy:
    """Return the peak force of a body stopped by the line alone, by energy.

    At the peak the increase in strain energy equals the kinetic energy of the body, plus its loss of height where the
    line deflects downwards. No energy is dissipated in a line that slides freely or is locked, so that both bounds are
    exact. The weight of the line is neglected.

    Args:
        line: the line.
        tension: set tension [N].
        span: index of the span, 0 for the first.
        share: point of impact as a fraction of the span.
        direction: unit direction of the impact.
        body: mass and speed.
    """
    weightless = Line(line.points, line.ea, 0.0, line.friction)
    free_force, free = _stopped(weightless.free, tension, span, share, direction, body)
    locked_force, locked = _stopped(weightless.locked, tension, span, share, direction, body)
    return FallEnergy(body, free, locked, free_force, locked_force)


def _stopped(line: Line, tension: float, span: int, share: float, direction: Vec, body: Body) -> tuple[float, Loaded]:
    state = set_line(line, tension)
    at_rest = strain_energy_at_rest(state)
    chord = vec.sub(line.points[span + 1], line.points[span])
    start = vec.along(line.points[span], chord, share)

    def under(force: float) -> Loaded:
        return load_line(state, PointLoad(span, share, vec.scale(direction, force)))

    def excess(force: float) -> float:
        loaded = under(force)
        fallen = max(start[2] - loaded.place[2], 0.0)
        gained = strain_energy(state, loaded) - at_rest
        return gained - body.energy - body.mass * STANDARD_GRAVITY * fallen

    force = min_force_reaching(excess, 1e3)
    return force, under(force)


def min_force_reaching(function: Callable[[float], float], first: float, within: float = 1e-6) -> float:
    """Return the force at which an increasing function is zero [N].

    Args:
        function: negative while the force is too small.
        first: initial force [N].
        within: relative tolerance.

    Raises:
        CannotFinishError: not reached under MAX_FORCE.
    """
    low, at_low, high = 0.0, None, first
    at_high = function(high)
    while at_high < 0.0 and high < MAX_FORCE:
        low, at_low = high, at_high
        high *= 2.0
        at_high = function(high)
    return bracketed_root(function, low, high, within * high, at_low, at_high)


def strain_energy_at_rest(state: SetLine) -> float:
    """Return the strain energy of a weightless line at rest [N mm]."""
    pairs = zip(state.tension, state.rest, strict=True)
    return math.fsum(t * t * rest for t, rest in pairs) / (2.0 * state.line.ea)


def strain_energy(state: SetLine, loaded: Loaded) -> float:
    """Return the strain energy of a weightless line under a load [N mm]."""
    line, k = state.line, loaded.load.span
    total = 0.0
    for index, (span, (first, last)) in enumerate(zip(line.spans, loaded.tensions, strict=True)):
        if index == k:
            before = vec.distance(line.points[k], loaded.place)
            after = vec.distance(loaded.place, line.points[k + 1])
            parts = [(first, before), (last, after)]
        else:
            parts = [(first, span)]
        total += math.fsum(t * t * length / (1.0 + t / line.ea) for t, length in parts)
    return total / (2.0 * line.ea)


def weight_of(mass: float) -> float:
    """Return the weight of a mass [kg] at standard gravity [N].

    Raises:
        InputError: the mass is not greater than zero.
    """
    if not 0.0 < mass < math.inf:
        raise InputError("load", [Fault("mass", read=f"{mass:g} kg", valid="greater than zero")])
    return mass * STANDARD_GRAVITY
