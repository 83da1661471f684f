"""The curves of the push test: set tension against midspan deflection, span by span.

Two curves bound the behaviour: rigid ends with the line sliding free in its holes, where the tension rises; and
ends so flexible that it does not rise. Where the stiffness of a line is not known only the second is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Side
from geom.figure import Point
from geom.mechanics.boat_loads import SpanPush
from geom.mechanics.cable import load_line
from geom.mechanics.catenary import deflection_at_tension, tension_while_loaded
from geom.mechanics.elastic_line import set_line
from geom.mechanics.push_test import PushDeflection, push_force
from geom.mechanics.run_line import RunLine
from geom.mechanics.tension import RunTension, max_by_hand
from geom.refit import Refit
from geom.rules.measures.heights import levels, sides
from geom.tables.push_cases import is_held, tested_spans

# A diagram extends to this many times the deflection limit and this many times the tension needed.
BEYOND_LIMIT = 1.6
_BEYOND_NEEDED = 1.25
_CURVE_POINTS = 40


@dataclass(frozen=True)
class SpanCurves:
    """The set tension of a span [N] against its midspan deflection [mm], as pairs (deflection, tension).

    `rigid` is None where the stiffness of the line is not known. `needed` is the set tension that meets the limit: on
    rigid ends (None where the line passes slack or it is not determined) and on yielding ends. `set_to` is the set
    tension of the run, `deflection` that at it. `held` is whether the line is on hold. `reach` is the max tension to
    show, the same for all spans of a level.
    """

    run: str
    side: Side
    span: int
    start: str
    end: str
    length: float
    limit: float
    beside_mast: bool
    held: bool
    giving: tuple[Point, ...]
    rigid: tuple[Point, ...] | None
    needed: tuple[float | None, float]
    set_to: RunTension
    deflection: PushDeflection
    reach: float


def span_curves(refit: Refit) -> tuple[SpanCurves, ...]:
    """Return the curves of every span that extends aft of the mast, run by run; of all without a stated mast."""
    beside = _beside_mast(refit)
    pushes = [push for push in refit.loads.pushes if (push.run, push.span) in beside]
    reaches: dict[float, float] = {}
    for push in pushes:
        limit = _limit(refit, push)
        reaches[limit] = max(reaches.get(limit, 0.0), _reach(push))
    return tuple(_curves(refit, push, beside[push.run, push.span], reaches[_limit(refit, push)]) for push in pushes)


def _beside_mast(refit: Refit) -> dict[tuple[str, int], bool]:
    """Return the spans with curves, and whether the mast is beside each."""
    mast = refit.boat.boat.mast_x
    return {
        (span.run, span.span): mast is not None and span.forward < mast
        for side in sides(refit.placed)
        for level in levels(refit.placed, side)
        for span in tested_spans(refit, side, level)
    }


def forward_spans(refit: Refit, on_sides: frozenset[str]) -> tuple[str, ...]:
    """Return the names of the spans wholly forward of the mast, which have no curve.

    Args:
        refit: the calculated boat.
        on_sides: sides to include.
    """
    drawn = _beside_mast(refit)
    return tuple(
        f"{push.run} {push.span + 1}"
        for push in refit.loads.pushes
        if (push.run, push.span) not in drawn and refit.placed.runs[push.run].side in on_sides
    )


def _limit(refit: Refit, push: SpanPush) -> float:
    return refit.loads.runs[push.run].tensions.limit


def _reach(push: SpanPush) -> float:
    by_hand = max_by_hand().value
    return max(push.assumed.set_tension, min(push.while_loaded, by_hand)) * _BEYOND_NEEDED


def _curves(refit: Refit, push: SpanPush, beside_mast: bool, reach: float) -> SpanCurves:
    line = refit.loads.runs[push.run]
    force, limit = line.tensions.force, line.tensions.limit
    length = line.run.spans[push.span]
    # The curve of yielding ends falls from high tensions: start where it enters the diagram.
    first = deflection_at_tension(force, length, 2.0 * reach) or 0.0
    last = BEYOND_LIMIT * limit * 1.3
    steps = [first + (last - first) * (index / _CURVE_POINTS) ** 2 for index in range(_CURVE_POINTS + 1)]
    return SpanCurves(
        run=push.run,
        side=line.run.side,
        span=push.span + 1,
        start=line.run.names[push.span],
        end=line.run.names[push.span + 1],
        length=length,
        limit=limit,
        beside_mast=beside_mast,
        held=is_held(refit, push.run),
        giving=tuple((sag, tension_while_loaded(force, length, sag)) for sag in steps),
        rigid=_rigid(line, push.span, 2.0 * reach, force),
        needed=(None if push.needed is None else push.needed.lower, push.needed_ends_giving),
        set_to=line.tensions,
        deflection=push.deflection,
        reach=reach,
    )


def _rigid(line: RunLine, span: int, maximum: float, force: float) -> tuple[Point, ...] | None:
    """Return the curve of a line that slides free between rigid ends, from its min tension up."""
    if line.stiff is None:
        return None
    free = line.stiff.free
    load, minimum = push_force(free, span, force), free.min_tension
    tensions = [minimum + (maximum - minimum) * (index / _CURVE_POINTS) ** 2 for index in range(_CURVE_POINTS + 1)]
    loaded = [load_line(set_line(free, tension), load) for tension in tensions]
    return tuple((one.deflection, tension) for one, tension in zip(loaded, tensions, strict=True))
