"""The mid-span push test: how tight a line must be set, between two bounds, and how far it gives as it is set.

The rule's force acts half-way between two supports, square to the straight line between them; the sag
counts from that straight line. Two bounds hold the set tension that is needed:

- lower: ends that do not give, and a line that slides in every hole without friction, so that the whole
  run lends its stretch; where that passes with no tension at all, the slack that would still pass;
- upper: the tension while loaded, for ends that give so much that the tension does not rise. This is
  the one to set to.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.mechanics.cable import load_line, load_states
from geom.mechanics.catenary import sag_at_tension, tension_while_loaded
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.elastic_line import Line, PointLoad, States, set_line, states
from geom.remark import Remark
from geom.units import Mm, N
from geom.vec import Vec

Settable = Literal["can", "only with stiff ends", "cannot"]


@dataclass(frozen=True)
class TensionNeeded:
    """Set tension for a span to stay within a limit under the test force [N].

    `lower` is None where the span passes without tension; then `slack` is the slack that still passes [mm],
    None where the line's own weight forbids slack. `verdict` weighs the upper bound against the greatest
    tension that can be set: `can` below it, `only with stiff ends` where just the lower bound is below it,
    `cannot` where neither is.
    """

    span: int
    length: Mm
    force: N
    limit: Mm
    upper: N
    lower: N | None
    slack: Mm | None
    greatest_settable: N
    verdict: Settable

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """The tension that would do on rigid ends, and where ends may give."""
        if self.lower is not None:
            rigid = Remark("tension.rigid_ends", needed_n=self.lower)
        elif self.slack is None:
            rigid = Remark("tension.none_on_rigid_ends")
        else:
            # A tenth down: the slack that is printed still passes.
            rigid = Remark("tension.slack_on_rigid_ends", slack_mm=math.floor(10.0 * self.slack) / 10.0)
        return (rigid, Remark("tension.ends_may_give", needed_n=self.upper))


@dataclass(frozen=True)
class SagExpected:
    """Sag under the test force at one set tension [mm]: line sliding free, with friction, locked, ends giving.

    `ends_giving` is None where the tension could not hold the force at all.
    """

    span: int
    tension: N
    free: Mm
    with_friction: Mm
    locked: Mm
    ends_giving: Mm | None


def push_force(line: Line, span: int, force: float) -> PointLoad:
    """Return the test force half-way along a span, square to it and as near downwards as that allows.

    Args:
        line: the line.
        span: which span, 0 for the first.
        force: of the test [N].
    """
    chord = vec.unit(vec.sub(line.points[span + 1], line.points[span]))
    down: Vec = (0.0, 0.0, -1.0)
    across = vec.square_to(down, chord)
    if vec.norm(across) < 1e-6:
        across = vec.square_to((0.0, 1.0, 0.0), chord)
    return PointLoad(span, 0.5, vec.scale(vec.unit(across), force))


def tension_needed(line: Line, span: int, force: float, limit: float, greatest_settable: float) -> TensionNeeded:
    """Return the bounds of the set tension at which a span passes the push test.

    Args:
        line: the line; its own friction plays no part in the bounds.
        span: which span, 0 for the first.
        force: the rule's force [N].
        limit: the rule's greatest sag [mm].
        greatest_settable: the greatest tension that can be set [N].
    """
    free = line.free
    load = push_force(line, span, force)
    length = line.spans[span]
    # Half the span's own weight sags its middle like a force there, for a shallow line.
    upper = tension_while_loaded(force + 0.5 * line.weight * length, length, limit)

    def over(tension: float) -> float:
        return load_line(set_line(free, tension), load).sag - limit

    minimum = line.min_tension
    at_least = over(minimum)
    lower: float | None = None
    slack: float | None = None
    if at_least > 0.0:
        high, at_high = upper, over(upper)
        while at_high > 0.0:
            # Weight adds to the sag, so that the weightless bound may fall short of it.
            high *= 1.5
            at_high = over(high)
        lower = bracketed_root(over, minimum, high, 1e-6 * upper, at_least, at_high)
    elif line.weight == 0.0:
        slack = _slack_that_passes(free, load, limit)
    upper = max(upper, lower or 0.0)
    if upper <= greatest_settable:
        verdict: Settable = "can"
    else:
        verdict = "only with stiff ends" if (lower or 0.0) <= greatest_settable else "cannot"
    return TensionNeeded(span, length, force, limit, upper, lower, slack, greatest_settable, verdict)


def _slack_that_passes(line: Line, load: PointLoad, limit: float) -> float:
    """Return the slack at which an untensioned line just reaches the limit [mm]."""

    def over(slack: float) -> float:
        return load_line(set_line(line, 0.0, slack), load).sag - limit

    half = 0.5 * line.spans[load.span]
    maximum = 2.0 * (math.hypot(half, limit) - half)
    return bracketed_root(over, 0.0, maximum, 1e-7)


def sag_expected(line: Line, span: int, force: float, tension: float, slack: float = 0.0) -> SagExpected:
    """Return the sag to expect under the test force at a set tension, between its bounds.

    Args:
        line: the line with its friction at every hole.
        span: which span, 0 for the first.
        force: the rule's force [N].
        tension: to which the line was set [N].
        slack: that bedding-in or warmth gave it since [mm].
    """
    return sag_on(states(line, tension, slack), span, force, tension)


def sag_on(at_rest: States, span: int, force: float, tension: float) -> SagExpected:
    """Return what `sag_expected` does for a line that was set beforehand."""
    own = at_rest[0]
    loaded, free, locked = load_states(at_rest, push_force(own.line, span, force))
    return SagExpected(
        span=span,
        tension=tension,
        free=free.sag,
        with_friction=loaded.sag,
        locked=locked.sag,
        ends_giving=sag_at_tension(force, own.line.spans[span], own.tension[span]),
    )


@dataclass(frozen=True)
class SpanPlace:
    """One span of one run by its ends along the boat [mm]."""

    run: str
    span: int
    length: float
    forward: float
    aft: float


@dataclass(frozen=True)
class WidestSpan:
    """The widest span aft of the mast in both readings of a span that straddles it; None where there is none."""

    wholly_aft: SpanPlace | None
    with_straddling: SpanPlace | None

    @property
    def readings_differ(self) -> bool:
        """Whether a rule's reader has to choose."""
        return self.wholly_aft != self.with_straddling


def widest_span(spans: tuple[SpanPlace, ...], mast: float) -> WidestSpan:
    """Return the widest span aft of the mast, with and without those that straddle it.

    Args:
        spans: every span of one level on one side.
        mast: the mast's place aft of the stem head [mm].
    """
    return WidestSpan(
        wholly_aft=max((s for s in spans if s.forward >= mast), key=lambda s: s.length, default=None),
        with_straddling=max((s for s in spans if s.aft > mast), key=lambda s: s.length, default=None),
    )
