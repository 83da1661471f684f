"""The spans of the push test, the tension each needs, and the deflection at the set tension."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from geom import vec
from geom.boat.model import Level, Side
from geom.data.editions import Number, push_test
from geom.frozen import frozen
from geom.mechanics.collapse import PushBracket
from geom.mechanics.push_test import PushDeflection, SpanPlace, widest_span
from geom.mechanics.tension import RunTension, tension_for
from geom.placement.placed import support_points
from geom.refit import Refit
from geom.rules.measures.heights import levels, runs_at, sides
from geom.units import N

# The edition with the force in use before 2014.
_BEFORE = "2008"

RequiredBy = Literal["widest", "widest wholly aft", "widest if beside counts", "every", "every, beside", "own"]


@frozen
class PushCase:
    """A span to push and the expected results [mm, N]; None where not determined.

    `supports` is the distance between its supports, `line` that between pins or holes along the line. `needed_min` is
    the set tension on rigid ends with the line sliding free, 0 where it passes slack, and `slack` the permitted slack
    then; `needed_max` is the tension with yielding ends, `needed_before` the same by the force of the older edition,
    None where that has no such limit. `min_deflection` and `max_deflection` are at the set tension of the run.
    """

    run: str
    span: int
    start: str
    end: str
    supports: float
    line: float
    required_by: RequiredBy
    limit: float
    needed_min: float | None
    slack: float | None
    needed_max: float
    needed_before: float | None
    set_to: RunTension
    min_deflection: float | None
    max_deflection: float | None


def push_cases(refit: Refit) -> tuple[PushCase, ...]:
    """Return the spans to push, run by run: every span that a clause requires, and one of each upper line.

    Empty where the boat file does not give the position of the mast.
    """
    mast = refit.boat.boat.mast_x
    if mast is None:
        return ()
    found = []
    for side in sides(refit.placed):
        for rank, level in enumerate(levels(refit.placed, side)):
            spans = tested_spans(refit, side, level)
            required_by = _upper_spans(refit, spans, mast) if rank == 0 else _lower_spans(spans, mast)
            found += [_case(refit, span, why, upper=rank == 0) for span, why in required_by.items()]
    order = list(refit.placed.runs)
    return tuple(sorted(found, key=lambda case: (order.index(case.run), case.span)))


def required_cases(refit: Refit) -> tuple[PushCase, ...]:
    """Return the spans that a clause of the rule requires to be pushed."""
    return tuple(case for case in push_cases(refit) if case.required_by != "own")


def forces(refit: Refit) -> tuple[Number, Number]:
    """Return the test forces [N] of the edition in force for this boat and of the edition before 2014."""
    before = push_test({"osr": _BEFORE})
    return push_test(refit.boat.named_editions).force, before.force


def push_sag(refit: Refit, upper: bool) -> float:
    """Return the max deflection of an upper or single line, or of another line, by the rule in force [mm]."""
    test = push_test(refit.boat.named_editions)
    return (test.max_upper if upper else test.max_other).value


def spans_at(refit: Refit, side: Side, level: Level) -> Iterator[SpanPlace]:
    """Return every span of a level, by the distance between its supports.

    Args:
        refit: the calculated boat.
        side: P or S.
        level: of the lines.
    """
    for run in runs_at(refit.placed, side, level):
        for index, (a, b) in enumerate(pairwise(support_points(refit.placed, run))):
            yield SpanPlace(run.id, index, vec.distance(a, b), min(a[0], b[0]), max(a[0], b[0]))


def has_lower_lines(refit: Refit) -> bool:
    """Return whether any side has a second line, which has its own limit."""
    return any(len(levels(refit.placed, side)) > 1 for side in sides(refit.placed))


def tested_spans(refit: Refit, side: Side, level: Level) -> tuple[SpanPlace, ...]:
    """Return the spans of a level that extend aft of the mast; all where its position is not given.

    Args:
        refit: the calculated boat.
        side: P or S.
        level: of the lines.
    """
    mast = refit.boat.boat.mast_x
    return tuple(span for span in spans_at(refit, side, level) if mast is None or span.aft > mast)


def _upper_spans(refit: Refit, spans: tuple[SpanPlace, ...], mast: float) -> dict[SpanPlace, RequiredBy]:
    """Return the widest span by both readings of the rule, and the governing span of each line."""
    widest, governing = widest_span(spans, mast), line_tests(refit)
    required_by: dict[SpanPlace, RequiredBy] = {
        span: "own" for span in spans if span.run in governing and governing[span.run].span == span.span + 1
    }
    if widest.wholly_aft is not None:
        required_by[widest.wholly_aft] = "widest wholly aft" if widest.readings_differ else "widest"
    if widest.with_straddling is not None and widest.readings_differ:
        required_by[widest.with_straddling] = "widest if beside counts"
    return required_by


def _lower_spans(spans: tuple[SpanPlace, ...], mast: float) -> dict[SpanPlace, RequiredBy]:
    return {span: "every, beside" if span.forward < mast else "every" for span in spans}


def _case(refit: Refit, span: SpanPlace, required_by: RequiredBy, upper: bool) -> PushCase:
    before, limit = forces(refit)[1].value, push_sag(refit, upper)
    run, line = refit.placed.runs[span.run], refit.loads.runs[span.run]
    (push,) = (one for one in refit.loads.pushes if (one.run, one.span) == (span.run, span.span))
    needed, own = push.needed, run.spans[span.span]
    return PushCase(
        run=run.id,
        span=push.number,
        start=run.names[span.span],
        end=run.names[span.span + 1],
        supports=span.length,
        line=own,
        required_by=required_by,
        limit=limit,
        needed_min=None if needed is None else needed.lower or 0.0,
        slack=None if needed is None else needed.slack,
        needed_max=push.needed_ends_giving,
        needed_before=tension_for(before, own, limit, line.weight) if upper and required_by != "own" else None,
        set_to=line.tensions,
        min_deflection=push.deflection.minimum,
        max_deflection=push.deflection.maximum,
    )


@frozen
class LineTest:
    """The span of a line on which the push test governs: its number, its ends, its limit and deflection [mm]."""

    span: int
    start: str
    end: str
    limit: float
    deflection: PushDeflection


def line_tests(refit: Refit) -> dict[str, LineTest]:
    """Return the governing span of each line, among the spans that extend aft of the mast.

    Among all spans where the position of the mast is not given; a line wholly forward of the mast is left out.
    """
    found = {}
    for push in refit.loads.test_pushes:
        if push.assumed.tested:
            names = refit.placed.runs[push.run].names
            ends = names[push.span], names[push.span + 1]
            found[push.run] = LineTest(push.number, *ends, push.assumed.limit, push.deflection)
    return found


def is_held(refit: Refit, run: str) -> bool:
    """Return whether a line is on hold: it cannot be made as planned."""
    return refit.work.runs[run].cut is None


@dataclass(frozen=True)
class CollapseUnderTest:
    """A span whose push test may bring a post down: its ends, the load of the test [N], the push that collapses it."""

    run: str
    span: int
    start: str
    end: str
    test_load: N
    collapses: PushBracket

    @property
    def post(self) -> str:
        """The post that likely collapses first, else the one of the lower bound."""
        return self.collapses.likely_post or self.collapses.lower_post


def collapses_under_test(refit: Refit) -> tuple[CollapseUnderTest, ...]:
    """Return the spans to push on which the lower bound of collapse is under the load of the test."""
    force, before = (one.value for one in forces(refit))
    if all(fall.min_push >= max(force, before) for fall in refit.loads.falls):
        return ()
    found = []
    for case in push_cases(refit):
        bracket = refit.loads.collapse_at_mid_span(case.run, case.span)
        load = force if case.needed_before is None else max(force, before)
        if bracket is not None and bracket.lower < load:
            found.append(CollapseUnderTest(case.run, case.span, case.start, case.end, load, bracket))
    return tuple(found)
