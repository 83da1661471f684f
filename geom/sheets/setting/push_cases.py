"""The spans of the push test, the tension each requires, and the deflection at a stated tension."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from geom import vec
from geom.boat.model import Level, Side
from geom.data.editions import Number, push_test
from geom.data.table import datum
from geom.mechanics.catenary import deflection_at_tension, tension_while_loaded
from geom.mechanics.push_test import SpanPlace, expected_deflection, tension_needed, widest_span
from geom.mechanics.run_line import run_line
from geom.refit import Refit
from geom.rules.measures.heights import levels, runs_at, sides
from geom.rules.measures.supports import support_points
from geom.units import LengthFormat, decimal, in_unit, raised

# The edition with the force in use before 2014.
_BEFORE = "2008"

RequiredBy = Literal["widest", "widest wholly aft", "widest if beside counts", "every", "every, beside", "own"]


@dataclass(frozen=True)
class PushCase:
    """A span to push and the expected results [mm, N]; None where not determined.

    `supports` is the distance between its supports, `line` that between pins or holes along the line. `needed_min` is
    the set tension on rigid ends with the line sliding free, 0 where it passes slack, and `slack` the permitted slack
    then; `needed_max` is the tension with yielding ends, `needed_before` the same by the force of the older edition,
    None where that has no such limit. `min_deflection` and `max_deflection` are at the stated tension.
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
    set_to: float | None
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
        span: "own" for span in spans if governing[span.run].span == span.span + 1
    }
    if widest.wholly_aft is not None:
        required_by[widest.wholly_aft] = "widest wholly aft" if widest.readings_differ else "widest"
    if widest.with_straddling is not None and widest.readings_differ:
        required_by[widest.with_straddling] = "widest if beside counts"
    return required_by


def _lower_spans(spans: tuple[SpanPlace, ...], mast: float) -> dict[SpanPlace, RequiredBy]:
    return {span: "every, beside" if span.forward < mast else "every" for span in spans}


def _case(refit: Refit, span: SpanPlace, required_by: RequiredBy, upper: bool) -> PushCase:
    force, before = (one.value for one in forces(refit))
    limit = push_sag(refit, upper)
    run = refit.placed.runs[span.run]
    line, own, tension = run_line(refit.placed, run), run.spans[span.span], run.spec.set_tension
    by_hand = datum("person_loads", case="max set tension by hand").value
    minimum = slack = min_deflection = None
    maximum, max_before = tension_while_loaded(force, own, limit), tension_while_loaded(before, own, limit)
    max_deflection = None if tension is None else deflection_at_tension(force, own, tension)
    if line.stiffness is not None:
        needed = tension_needed(line.line(line.stiffness.maximum), span.span, force, limit, by_hand)
        minimum, slack, maximum = needed.lower or 0.0, needed.slack, needed.upper
        max_before = tension_needed(line.line(line.stiffness.maximum), span.span, before, limit, by_hand).upper
        if tension is not None:
            min_deflection = expected_deflection(line.line(line.stiffness.maximum), span.span, force, tension).free
            max_deflection = expected_deflection(
                line.line(line.stiffness.minimum), span.span, force, tension
            ).ends_giving
    return PushCase(
        run=run.id, span=span.span + 1, start=run.names[span.span], end=run.names[span.span + 1],
        supports=span.length, line=own, required_by=required_by, limit=limit, needed_min=minimum, slack=slack,
        needed_max=maximum, needed_before=max_before if upper and required_by != "own" else None,
        set_to=tension, min_deflection=min_deflection, max_deflection=max_deflection,
    )  # fmt: skip


@dataclass(frozen=True)
class LineTest:
    """The governing span of a line: its number, its ends, its limit [mm] and tension [N]."""

    span: int
    start: str
    end: str
    limit: float
    needed: float


def line_tests(refit: Refit) -> dict[str, LineTest]:
    """Return the governing span of each line, among the spans that extend aft of the mast.

    Among all spans where the position of the mast is not given; a line wholly forward of the mast is left out.
    """
    found: dict[str, LineTest] = {}
    pushes = {(push.run, push.span): push for push in refit.loads.pushes}
    for side in sides(refit.placed):
        for rank, level in enumerate(levels(refit.placed, side)):
            limit = push_sag(refit, rank == 0)
            for span in tested_spans(refit, side, level):
                push, names = pushes[(span.run, span.span)], refit.placed.runs[span.run].names
                needed = push.while_loaded if push.needed is None else push.needed.upper
                if span.run not in found or needed > found[span.run].needed:
                    found[span.run] = LineTest(span.span + 1, names[span.span], names[span.span + 1], limit, needed)
    return found


def force_text(newtons: float, fmt: LengthFormat) -> str:
    """Return a force as text for a list: N, or on inch sheets lbf with N in brackets.

    Args:
        newtons: the force [N].
        fmt: length format of the sheet.
    """
    whole = decimal(newtons, 0)
    return whole if fmt.unit == "mm" else f"{decimal(in_unit(newtons, 'lbf', 'force'), 1)} ({whole})"


def tension_text(newtons: float, fmt: LengthFormat) -> str:
    """Return a tension that meets a limit as text for a list: as a force, but rounded up.

    Args:
        newtons: the min tension that meets the limit [N].
        fmt: length format of the sheet.
    """
    whole = raised(newtons, 0)
    return whole if fmt.unit == "mm" else f"{raised(in_unit(newtons, 'lbf', 'force'), 1)} ({whole})"


def tension_named(newtons: float, fmt: LengthFormat) -> str:
    """Return a tension that meets a limit [N] as text with its unit, rounded up: `349 N`, `78.3 lbf (349 N)`."""
    whole = f"{raised(newtons, 0)} N"
    return whole if fmt.unit == "mm" else f"{raised(in_unit(newtons, 'lbf', 'force'), 1)} lbf ({whole})"


def force_named(newtons: float, fmt: LengthFormat) -> str:
    """Return a force [N] as text with its unit: `348 N`, on inch sheets `78.2 lbf (348 N)`."""
    whole = f"{decimal(newtons, 0)} N"
    return whole if fmt.unit == "mm" else f"{decimal(in_unit(newtons, 'lbf', 'force'), 1)} lbf ({whole})"


def is_held(refit: Refit, run: str) -> bool:
    """Return whether a line is on hold: it cannot be made as planned."""
    return refit.work.runs[run].cut is None


def length(value: float | None, fmt: LengthFormat) -> str:
    """Return a length [mm] as text; empty where it is not stated."""
    return "" if value is None else decimal(value / fmt.mm, fmt.decimals)
