"""The push test of the rules: spans to test, deflection at the set tension, and verdict.

The deflection lies between two bounds: flexible ends, at which the tension does not rise, and rigid ends, with the line
stretching and sliding freely in its holes.
"""

from __future__ import annotations

from itertools import pairwise

from geom import vec
from geom.boat.model import Level, Side
from geom.frozen import frozen
from geom.mechanics.push_test import SpanPlace, tension_needed, widest_span
from geom.mechanics.run_line import RunLine, run_lines
from geom.mechanics.tension import max_by_hand, tension_for
from geom.placement.placed import Placed, once, support_points
from geom.remark import Remark
from geom.rules.finding import ROUNDING, ClauseCheck, Finding, Measure, joined
from geom.rules.measures.heights import levels, runs_at, sides


@frozen
class Push:
    """A span under the force of the rule: the measure is the maximum deflection, `minimum` that on rigid ends [mm].

    `straddles` is True where the span straddles the mast.
    """

    measure: Measure
    minimum: float | None
    straddles: bool


@once
def pushes(placed: Placed, force: float, limit: float, upper: bool) -> tuple[Push, ...]:
    """Return the pushes of the spans to be tested.

    Args:
        placed: the boat in space.
        force: at mid-span, square to the line [N].
        limit: maximum deflection, for the tension needed [mm].
        upper: True for the widest span of the upper or single line aft of the mast, False for every span of the others.
    """
    mast, found = placed.boat.boat.mast_x, []
    for side in sides(placed):
        for level in levels(placed, side)[:1] if upper else levels(placed, side)[1:]:
            if mast is None:
                notes, where = (Remark("push.no_mast"),), Remark("place.line", side=side, level=level)
                measure = Measure(f"{side}-{level}", _quantity(force), None, notes=notes, where=where)
                found.append(Push(measure, None, False))
                continue
            spans = _spans_to_test(placed, side, level, mast, widest_only=upper)
            found += [_push(placed, span, mast, force, limit) for span in spans]
    return tuple(found)


def judged_push(push: Push, clause: ClauseCheck) -> Finding:
    """Return the finding of a push.

    It passes where the maximum is within the limit, fails where the minimum is not, and else is `cannot tell`.
    """
    limit = clause.limit("max deflection")
    finding = clause.at_most(push.measure, limit)
    if finding.margin is None or finding.margin >= -ROUNDING:
        return finding
    if push.minimum is None or push.minimum <= max(limit.figures) + ROUNDING:
        why = Remark("push.no_stiffness") if push.minimum is None else Remark("push.limit_between_bounds")
        return finding.restated("cannot tell", (*push.measure.notes, why))
    if push.straddles:
        return finding.restated("cannot tell", (*finding.notes, Remark("push.span_may_not_count")))
    return finding


def _spans_to_test(placed: Placed, side: Side, level: Level, mast: float, widest_only: bool) -> list[SpanPlace]:
    """Return the spans aft of the mast, or the widest without and with those that straddle it."""
    spans = []
    for run in runs_at(placed, side, level):
        points = support_points(placed, run)
        for index, (a, b) in enumerate(pairwise(points)):
            spans.append(SpanPlace(run.id, index, vec.distance(a, b), min(a[0], b[0]), max(a[0], b[0])))
    if not widest_only:
        return [span for span in spans if span.aft > mast]
    widest = widest_span(tuple(spans), mast)
    return [span for span in dict.fromkeys((widest.wholly_aft, widest.with_straddling)) if span is not None]


def _push(placed: Placed, span: SpanPlace, mast: float, force: float, limit: float) -> Push:
    run = placed.runs[span.run]
    own, line, straddles = run.spans[span.span], run_lines(placed)[run.id], span.forward < mast
    ends = (run.names[span.span], run.names[span.span + 1])
    beside = (Remark("push.mast_beside"),) if straddles else ()
    measured = (Remark("push.span", supports_mm=span.length, line_mm=own), *beside)
    needed, demand = _needed(line, span.span, own, force, limit)
    deflection = line.push_deflection(span.span, force)
    giving, minimum = deflection.maximum, deflection.minimum
    set_to = Remark("push.set_to" if line.tensions.stated else "push.set_to_recommended", tension_n=line.tension)
    on_rigid_ends = () if minimum is None else (Remark("push.gives_on_rigid_ends", gives_mm=minimum),)
    notes = joined((set_to,), on_rigid_ends, needed, measured)
    if giving is None:
        giving, notes = own, (*notes, Remark("push.cannot_hold"))
    measure = Measure(
        f"{run.id}-span-{span.span + 1}", Remark("quantity.deflection_ends_giving", force_n=force), giving, run=run.id,
        where=Remark("place.span", run=run.id, span=span.span + 1, ends=ends), demand=demand, notes=notes,
    )  # fmt: skip
    return Push(measure, minimum, straddles)


def _quantity(force: float) -> Remark:
    return Remark("quantity.deflection", force_n=force)


def _needed(line: RunLine, span: int, own: float, force: float, limit: float) -> tuple[tuple[Remark, ...], float]:
    """Return remarks on the tension needed where the boat file states another, and the upper bound of it [N]."""
    upper = tension_for(force, own, limit, line.weight)
    if not line.tensions.stated:
        return (), upper
    if line.stiff is None:
        return (Remark("tension.while_loaded", needed_n=upper),), upper
    by_hand = max_by_hand().value
    needed = tension_needed(line.stiff, span, force, limit, by_hand)
    return needed.remarks, needed.upper
