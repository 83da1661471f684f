"""The mid-span push test: the set tension needed, between two bounds, and the deflection at a set tension.

The force of the rule acts at mid-span, square to the straight line between the supports; deflection is measured from
that line. The set tension needed lies between two bounds:

- lower: rigid ends, and a line that slides in every hole without friction, so that the whole run stretches; where the
  span passes without tension, the permitted slack;
- upper: the tension under load, for ends so flexible that the tension does not rise. This is the tension to set.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.errors import CannotFinishError
from geom.frozen import frozen
from geom.mechanics.cable import deflection_under, load_line
from geom.mechanics.catenary import deflection_at_tension
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.elastic_line import Line, PointLoad, States, set_line, states
from geom.mechanics.kernels import rigid_ends
from geom.mechanics.kernels.rigid_ends import PushedSpan
from geom.mechanics.tension import tension_for
from geom.remark import Remark
from geom.units import Mm, N, to_compare
from geom.vec import Vec

Settable = Literal["can", "only with stiff ends", "cannot"]


@frozen
class TensionNeeded:
    """Set tension needed for a span to stay within a deflection limit under the test force [N].

    `lower` is None where the span passes without tension; `slack` is then the permitted slack [mm], None where the
    weight of the line permits none. `verdict` compares the bounds with the maximum tension that can be set: `can` where
    the upper bound is below it, `only with stiff ends` where only the lower bound is, `cannot` where neither is.
    """

    span: int
    length: Mm
    force: N
    limit: Mm
    upper: N
    lower: N | None
    slack: Mm | None
    max_settable: N
    verdict: Settable

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """The tension needed on rigid ends and on flexible ends."""
        if self.lower is not None:
            rigid = Remark("tension.rigid_ends", needed_n=self.lower)
        elif self.slack is None:
            rigid = Remark("tension.none_on_rigid_ends")
        else:
            # Rounded down, so that the slack printed passes.
            rigid = Remark("tension.slack_on_rigid_ends", slack_mm=math.floor(10.0 * self.slack) / 10.0)
        return (rigid, Remark("tension.ends_may_give", needed_n=self.upper))


@dataclass(frozen=True)
class ExpectedDeflection:
    """Deflection under the test force at a set tension [mm]: sliding freely, with friction, locked, flexible ends.

    `ends_giving` is None where the tension cannot carry the force.
    """

    span: int
    tension: N
    free: Mm
    with_friction: Mm
    locked: Mm
    ends_giving: Mm | None


@frozen
class PushDeflection:
    """Deflection under the test force at a set tension [mm]: rigid ends, line sliding freely; and flexible ends.

    `minimum` is None where the stiffness of the line is not known, `maximum` where the tension cannot carry the force.
    """

    minimum: Mm | None
    maximum: Mm | None


def deflection_ends_giving(force: float, length: float, weight: float, tension: float) -> float | None:
    """Return the deflection where ends give until the tension does not rise [mm]; None where it cannot carry the force.

    Args:
        force: at mid-span, square to the line [N].
        length: of the span [mm].
        weight: of the line per length [N/mm].
        tension: set tension [N].
    """
    # For a shallow line its weight deflects mid-span like half that weight acting there.
    return deflection_at_tension(force + 0.5 * weight * length, length, tension)


def push_force(line: Line, span: int, force: float) -> PointLoad:
    """Return the test force at mid-span, square to the span and as nearly downwards as possible.

    Args:
        line: the line.
        span: index of the span, 0 for the first.
        force: of the test [N].
    """
    chord = vec.unit(vec.sub(line.points[span + 1], line.points[span]))
    down: Vec = (0.0, 0.0, -1.0)
    across = vec.square_to(down, chord)
    if vec.norm(across) < 1e-6:
        across = vec.square_to((0.0, 1.0, 0.0), chord)
    return PointLoad(span, 0.5, vec.scale(vec.unit(across), force))


def tension_needed(line: Line, span: int, force: float, limit: float, max_settable: float) -> TensionNeeded:
    """Return the bounds of the set tension at which a span passes the push test.

    Args:
        line: the line; its friction does not affect the bounds.
        span: index of the span, 0 for the first.
        force: of the rule [N].
        limit: maximum deflection of the rule [mm].
        max_settable: maximum tension that can be set [N].
    """
    length = line.spans[span]
    upper = tension_for(force, length, limit, line.weight)
    lower: float | None = None
    slack: float | None = None
    if line.weight > 0.0:
        lower = _tension_of_hanging(line.free, push_force(line, span, force), limit, upper)
    else:
        tension = tension_on_rigid_ends(line, span, force, limit)
        if tension > 0.0:
            lower = tension
        else:
            # The unstressed length of a line is its path over 1 + T / EA: a tension below zero is slack.
            slack = line.path * (line.ea / (line.ea + tension) - 1.0)
    upper = max(upper, lower or 0.0)
    if upper <= max_settable:
        verdict: Settable = "can"
    else:
        verdict = "only with stiff ends" if (lower or 0.0) <= max_settable else "cannot"
    return TensionNeeded(span, length, force, limit, upper, lower, slack, max_settable, verdict)


def tension_on_rigid_ends(line: Line, span: int, force: float, deflection: float) -> float:
    """Return the set tension at which a force deflects a weightless, freely sliding line so far [N].

    The loaded point stays with its point of the line. Either side has one tension, T = EA (length / unstressed length -
    1), which is linear in 1 + set tension / EA; so is the balance across the span. What is sought is the place along
    the span at which the balance along it holds.

    Args:
        line: the line between rigid ends.
        span: index of the span, 0 for the first.
        force: at mid-span, square to it [N].
        deflection: of the loaded point from the straight span [mm].

    Returns:
        The tension; below zero where the line does not deflect so far even without tension.
    """
    return rigid_ends.set_tension(_pushed_span(line, span), force, deflection)


def _pushed_span(line: Line, span: int) -> PushedSpan:
    spans = line.spans
    return PushedSpan(0.5 * spans[span], math.fsum(spans[:span]), math.fsum(spans[span + 1 :]), line.ea)


def deflection_on_rigid_ends(line: Line, span: int, force: float, tension: float) -> float:
    """Return the deflection of a freely sliding line under a force at mid-span, at a set tension [mm].

    Args:
        line: the line between rigid ends; its friction is neglected.
        span: index of the span, 0 for the first.
        force: square to the span [N].
        tension: set tension [N].

    Raises:
        CannotFinishError: the search did not converge (a fault of the program).
    """
    if line.weight > 0.0:
        return deflection_under(set_line(line.free, tension), push_force(line, span, force))
    found = rigid_ends.deflection_under(_pushed_span(line, span), force, tension)
    if found < 0.0:
        raise CannotFinishError(f"no deflection found for a force of {force:g} N at {tension:g} N")
    return found


def _tension_of_hanging(free: Line, load: PointLoad, limit: float, upper: float) -> float | None:
    """Return the set tension at which a line with weight just reaches the limit [N]; None where it keeps it at any."""

    def over(tension: float) -> float:
        return load_line(set_line(free, tension), load).deflection - limit

    minimum = free.min_tension
    at_least = over(minimum)
    if at_least <= 0.0:
        return None
    high, at_high = upper, over(upper)
    while at_high > 0.0:
        # Weight adds to the deflection, so that the weightless bound may be too low.
        high *= 1.5
        at_high = over(high)
    return bracketed_root(over, minimum, high, 1e-6 * upper, at_least, at_high)


def expected_deflection(line: Line, span: int, force: float, tension: float, slack: float = 0.0) -> ExpectedDeflection:
    """Return the expected deflection under the test force at a set tension, with its bounds.

    Args:
        line: the line with its friction at every hole.
        span: index of the span, 0 for the first.
        force: of the rule [N].
        tension: set tension [N].
        slack: gained since by bedding-in or temperature [mm].
    """
    return deflection_at_rest(states(line, tension, slack), span, force, tension)


def deflection_at_rest(at_rest: States, span: int, force: float, tension: float) -> ExpectedDeflection:
    """Return the expected deflection of a line at rest under the test force, with its bounds.

    Args:
        at_rest: the line at its set tension.
        span: index of the span, 0 for the first.
        force: of the rule [N].
        tension: set tension [N].
    """
    line, before = at_rest[0].line, at_rest[0].tension[span]
    load, (own, free, locked) = push_force(line, span, force), at_rest
    sliding = deflection_under(free, load)
    return ExpectedDeflection(
        span=span,
        tension=tension,
        with_friction=sliding if own is free else deflection_under(own, load),
        free=sliding,
        locked=deflection_under(locked, load),
        ends_giving=deflection_ends_giving(force, line.spans[span], line.weight, before),
    )


@frozen
class SpanPlace:
    """One span of a run: its length and the stations of its ends [mm]."""

    run: str
    span: int
    length: float
    forward: float
    aft: float


@frozen
class WidestSpan:
    """The widest span aft of the mast, without and with spans that straddle it; None where there is none."""

    wholly_aft: SpanPlace | None
    with_straddling: SpanPlace | None

    @property
    def readings_differ(self) -> bool:
        """Whether the two readings of the rule give different spans."""
        return self.wholly_aft != self.with_straddling


def _widest_first(span: SpanPlace) -> tuple[float, str, int]:
    """Return the sorting key of a span: the widest first, equal ones by run and number."""
    return (-to_compare(span.length), span.run, span.span)


def widest_span(spans: tuple[SpanPlace, ...], mast: float) -> WidestSpan:
    """Return the widest span aft of the mast, without and with those that straddle it.

    Args:
        spans: every span of one level on one side.
        mast: station of the mast [mm].
    """
    return WidestSpan(
        wholly_aft=min((s for s in spans if s.forward >= mast), key=_widest_first, default=None),
        with_straddling=min((s for s in spans if s.aft > mast), key=_widest_first, default=None),
    )
