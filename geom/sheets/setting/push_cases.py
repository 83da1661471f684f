"""The spans of the push test, the tension each needs, and the deflection at the set tension."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from geom import vec
from geom.boat.model import Level, Side
from geom.data.editions import Number, push_test
from geom.mechanics.person_load import STANDARD_GRAVITY
from geom.mechanics.push_test import PushDeflection, SpanPlace, widest_span
from geom.mechanics.tension import RunTension, tension_for
from geom.placement.placed import support_points
from geom.refit import Refit
from geom.rules.measures.heights import levels, runs_at, sides
from geom.sheets.setting import text as words
from geom.tables import numbers
from geom.units import LengthFormat, decimal, in_unit, pounds_force, raised

# The edition with the force in use before 2014.
_BEFORE = "2008"

RequiredBy = Literal["widest", "widest wholly aft", "widest if beside counts", "every", "every, beside", "own"]


@dataclass(frozen=True)
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


@dataclass(frozen=True)
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


def deflection_text(deflection: PushDeflection, fmt: LengthFormat) -> str:
    """Return the deflection expected at the set tension as a tape shows it: `20 to 50`; the maximum alone: `to 50`."""
    if deflection.maximum is None:
        return words.CANNOT_TELL
    coarse = replace(fmt, decimals=fmt.decimals - 1)
    return words.FROM_TO[deflection.minimum is None].format(
        minimum=length(deflection.minimum, coarse), maximum=length(deflection.maximum, coarse)
    )


def push_named(refit: Refit) -> str:
    """Return the push of the test as a weight with its force: `4.00 kg (39.2 N)`, on inch sheets in pounds."""
    return weight_named(forces(refit)[0].value, numbers(refit.boat))


def weight_named(force: float, fmt: LengthFormat) -> str:
    """Return a force [N] as the weight that gives it at standard gravity, with the force."""
    mass = force / STANDARD_GRAVITY
    pounds = in_unit(mass * 1000.0, "lb", "mass")
    newtons = decimal(force, 1).removesuffix(".0")
    return words.WEIGHED[fmt.unit].format(newton=newtons, kg=decimal(mass, 2), lb=decimal(pounds, 1))


def force_text(newtons: float, fmt: LengthFormat) -> str:
    """Return a force as text for a list: N, or on inch sheets lbf with N in brackets.

    Args:
        newtons: the force [N].
        fmt: length format of the sheet.
    """
    whole = decimal(newtons, 0)
    return whole if fmt.unit == "mm" else f"{pounds_force(newtons)} ({whole})"


def tension_text(newtons: float, fmt: LengthFormat) -> str:
    """Return a tension that meets a limit as text for a list: as a force, but rounded up.

    Args:
        newtons: the min tension that meets the limit [N].
        fmt: length format of the sheet.
    """
    whole = raised(newtons, 0)
    return whole if fmt.unit == "mm" else f"{pounds_force(newtons, up=True)} ({whole})"


def tension_named(newtons: float, fmt: LengthFormat) -> str:
    """Return a tension that meets a limit [N] as text with its unit, rounded up: `349 N`, `79 lbf (349 N)`."""
    whole = f"{raised(newtons, 0)} N"
    return whole if fmt.unit == "mm" else f"{pounds_force(newtons, up=True)} lbf ({whole})"


def force_named(newtons: float, fmt: LengthFormat) -> str:
    """Return a force [N] as text with its unit: `348 N`, on inch sheets `78 lbf (348 N)`."""
    whole = f"{decimal(newtons, 0)} N"
    return whole if fmt.unit == "mm" else f"{pounds_force(newtons)} lbf ({whole})"


def set_text(tensions: RunTension, fmt: LengthFormat) -> str:
    """Return the set tension of a run as text for a list: as stated, a recommended one or one in lbf rounded up."""
    if tensions.stated and fmt.unit == "in":
        return f"{pounds_force(tensions.set_tension, up=True)} ({decimal(tensions.set_tension, 0)})"
    return (force_text if tensions.stated else tension_text)(tensions.set_tension, fmt)


def set_named(tensions: RunTension, fmt: LengthFormat) -> str:
    """Return the set tension of a run as text with its unit, rounded as `set_text`."""
    if tensions.stated and fmt.unit == "in":
        return f"{pounds_force(tensions.set_tension, up=True)} lbf ({decimal(tensions.set_tension, 0)} N)"
    return (force_named if tensions.stated else tension_named)(tensions.set_tension, fmt)


def is_held(refit: Refit, run: str) -> bool:
    """Return whether a line is on hold: it cannot be made as planned."""
    return refit.work.runs[run].cut is None


def length(value: float | None, fmt: LengthFormat) -> str:
    """Return a length [mm] as text; empty where it is not stated."""
    return "" if value is None else decimal(value / fmt.mm, fmt.decimals)
