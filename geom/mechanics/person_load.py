"""A person against the line: the tension and sag that a load makes, quasi-static or by energy.

A load at mid-span pulls on the line like a rope on a tightrope: the line carries much more than the load.
Posts and ends are held rigid here, which makes every tension an upper bound; where a post collapses first,
the load is not reached (see collapse).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from geom import vec
from geom.errors import Fault, InputError
from geom.mechanics.cable import Loaded, load_line, load_states
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.elastic_line import Line, PointLoad, SetLine, States, set_line, states
from geom.remark import Remark
from geom.units import N, Ratio
from geom.vec import Vec

STANDARD_GRAVITY = 9.80665
# A load beyond this is no person [N]; searches stop there.
GREATEST_FORCE = 1e6


@dataclass(frozen=True)
class Body:
    """A body that runs into the line: mass [kg] and speed square to the line [m/s]."""

    mass: float
    speed: float

    @property
    def energy(self) -> float:
        """Kinetic energy [N mm]."""
        return 0.5 * self.mass * self.speed**2 * 1e3


@dataclass(frozen=True)
class FallLoad:
    """A line under a person's load, with friction as given and at both limits.

    `force` is what the line is loaded with [N], the shock factor in it; `free` and `locked` bracket `loaded`.
    """

    force: N
    shock: Ratio
    loaded: Loaded
    free: Loaded
    locked: Loaded

    @property
    def times_load(self) -> Ratio:
        """How many times the load the line carries."""
        return self.loaded.greatest / self.force

    @property
    def remark(self) -> Remark:
        """What the line carries and how far it gives, as it is and between its limits, for a report."""
        return Remark(
            "fall.line", force_n=self.force, tension_n=self.loaded.greatest, times=self.times_load,
            sag_mm=self.loaded.sag, free_n=self.free.greatest, free_sag_mm=self.free.sag,
            locked_n=self.locked.greatest, locked_sag_mm=self.locked.sag,
        )  # fmt: skip


@dataclass(frozen=True)
class FallEnergy:
    """A body stopped by the line: peak force [N] and the line under it, sliding free and locked.

    The line alone takes the energy; body, posts and deck give nothing, which is an upper bound.
    """

    body: Body
    free: Loaded
    locked: Loaded
    free_force: N
    locked_force: N


def outboard(line: Line, span: int, towards: Vec) -> Vec:
    """Return the direction square to a span that is nearest to another direction.

    Args:
        line: the line.
        span: which span, 0 for the first.
        towards: such as outboard or straight down.

    Raises:
        InputError: towards lies along the span.
    """
    chord = vec.unit(vec.sub(line.points[span + 1], line.points[span]))
    across = vec.square_to(towards, chord)
    if vec.norm(across) < 1e-9 * vec.norm(towards):
        raise InputError("load", [Fault("direction across a span", read=str(towards), valid="not along the span")])
    return vec.unit(across)


def beside_post(line: Line, span: int, distance: float, at_end: bool = False) -> float:
    """Return the share of a span at a distance from its first support, or from its last.

    Args:
        line: the line.
        span: which span, 0 for the first.
        distance: from the support along the span [mm].
        at_end: counted from the last support.

    Raises:
        InputError: the span is not that long.
    """
    share = distance / line.spans[span]
    if not 0.0 < share < 1.0:
        valid = f"between 0 and {line.spans[span]:.0f} mm"
        raise InputError("load", [Fault("place beside a post", read=f"{distance:g} mm", valid=valid)])
    return 1.0 - share if at_end else share


def fall_load(line: Line, tension: float, load: PointLoad, shock: float) -> FallLoad:
    """Return a set line under a person's load times a shock factor.

    Args:
        line: the line with its friction.
        tension: to which it is set [N].
        load: the load without its shock factor.
        shock: 1 for a load at rest, 2 for one let go at once, more for one thrown.
    """
    return fall_on(states(line, tension), load, shock)


def fall_on(at_rest: States, load: PointLoad, shock: float) -> FallLoad:
    """Return what `fall_load` does for a line that was set beforehand."""
    raised = PointLoad(load.span, load.share, vec.scale(load.force, shock))
    own, free, locked = load_states(at_rest, raised)
    return FallLoad(vec.norm(raised.force), shock, own, free, locked)


def fall_by_energy(line: Line, tension: float, span: int, share: float, direction: Vec, body: Body) -> FallEnergy:
    """Return the peak force of a body that the line alone stops, by energy.

    At the peak the strain energy that the line gained equals the body's kinetic energy, and the fall's
    where the line gives downwards. Without friction, and locked, no energy is lost on the way, so that
    both ends of the bracket are exact. The line's own weight is left out.

    Args:
        line: the line.
        tension: to which it is set [N].
        span: which span, 0 for the first.
        share: of the span's length.
        direction: unit vector of the blow.
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

    def spare(force: float) -> float:
        loaded = under(force)
        fallen = max(start[2] - loaded.place[2], 0.0)
        gained = strain_energy(state, loaded) - at_rest
        return gained - body.energy - body.mass * STANDARD_GRAVITY * fallen

    force = smallest_reaching(spare, 1e3)
    return force, under(force)


def smallest_reaching(short_of: Callable[[float], float], first: float, within: float = 1e-6) -> float:
    """Return the force at which a rising function reaches zero [N].

    Args:
        short_of: negative while the force is too small.
        first: a force to begin with [N].
        within: share of the force that may be left open.

    Raises:
        CannotFinishError: not reached under GREATEST_FORCE.
    """
    low, at_low, high = 0.0, None, first
    at_high = short_of(high)
    while at_high < 0.0 and high < GREATEST_FORCE:
        low, at_low = high, at_high
        high *= 2.0
        at_high = short_of(high)
    return bracketed_root(short_of, low, high, within * high, at_low, at_high)


def strain_energy_at_rest(state: SetLine) -> float:
    """Return the energy stored in a weightless line at rest [N mm]."""
    pairs = zip(state.tension, state.rest, strict=True)
    return math.fsum(t * t * rest for t, rest in pairs) / (2.0 * state.line.ea)


def strain_energy(state: SetLine, loaded: Loaded) -> float:
    """Return the energy stored in a weightless line under a load [N mm]."""
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
    """Return the weight of a mass [kg] under standard gravity [N]."""
    if not 0.0 < mass < math.inf:
        raise InputError("load", [Fault("mass", read=f"{mass:g} kg", valid="more than zero")])
    return mass * STANDARD_GRAVITY
