"""The push test as rules ask for it: which span, how far it gives at the stated tension, and the verdict.

Two bounds: the tension does not rise while the line is pushed (ends giving, a very soft line), and the
line stretches between rigid ends, sliding in its holes. The true deflection lies between them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from geom import vec
from geom.boat.model import Level, Side
from geom.rules.asked import ROUNDING, Asked, Measure, joined
from geom.rules.measure_heights import levels, runs_at, sides
from geom.rules.measure_supports import support_points
from geom.rules.rule import Finding
from geom.runs.cable import load_line
from geom.runs.line import Line, PointLoad, set_line
from geom.runs.place import UP, PlacedRun
from geom.runs.placed import Placed
from geom.runs.sag import sag_at_tension, tension_while_loaded
from geom.runs.stretch import stiffness


@dataclass(frozen=True)
class Span:
    """A span aft of the mast, by its run and number; `straddles` where the mast stands beside it."""

    run: PlacedRun
    index: int
    width: float
    straddles: bool


@dataclass(frozen=True)
class Push:
    """A span under the rule's force: the most it gives is the measure, `least` what it gives at least [mm]."""

    measure: Measure
    least: float | None
    straddles: bool


def pushes(placed: Placed, force: float, limit: float, upper: bool) -> Iterator[Push]:
    """Yield the spans that the push test asks for.

    Args:
        placed: the boat.
        force: midway between supports, square to the line [N].
        limit: how far it may give [mm], for the tension that would do.
        upper: the upper or single line's widest span aft of the mast; else every span of the other lines.
    """
    for side in sides(placed):
        for level in levels(placed, side)[:1] if upper else levels(placed, side)[1:]:
            if placed.boat.boat.mast_x is None:
                note = "the file does not say where the mast stands"
                yield Push(Measure(f"{side}-{level}", "deflection midway", None, note=note), None, False)
                continue
            for span in _asked_for(placed, side, level, widest_only=upper):
                yield _push(placed, span, force, limit)


def judged_push(push: Push, asked: Asked) -> Finding:
    """Judge a push: passed where the most is allowed, failed where the least is too much, else not to be told."""
    limit = asked.limit("deflection most")
    finding = asked.at_most(push.measure, limit)
    if push.measure.value is None or push.measure.value <= limit.value + ROUNDING:
        return finding
    if push.least is None or push.least <= limit.value + ROUNDING:
        why = "the line's stiffness is not known" if push.least is None else "the limit lies between the bounds"
        return replace(finding, verdict="cannot tell", note=joined(push.measure.note, why))
    if push.straddles and finding.verdict == "fail":
        return replace(finding, verdict="cannot tell", note=joined(finding.note, "whether this span counts is open"))
    return finding


def _asked_for(placed: Placed, side: Side, level: Level, widest_only: bool) -> list[Span]:
    """Return the spans aft of the mast; a wider one beside the mast is asked too."""
    mast = placed.boat.boat.mast_x
    assert mast is not None
    spans = []
    for run in runs_at(placed, side, level):
        points = support_points(placed, run)
        for index in range(len(points) - 1):
            forward, aft = sorted((points[index][0], points[index + 1][0]))
            if aft > mast:
                spans.append(Span(run, index, vec.distance(points[index], points[index + 1]), forward < mast))
    if not widest_only:
        return spans
    clear = max((span for span in spans if not span.straddles), key=lambda span: span.width, default=None)
    beside = [span for span in spans if span.straddles and (clear is None or span.width > clear.width)]
    return ([] if clear is None else [clear]) + beside


def _push(placed: Placed, span: Span, force: float, limit: float) -> Push:
    run, own = span.run, span.run.spans[span.index]
    needed = tension_while_loaded(force, own, limit)
    words = f"{run.names[span.index]} to {run.names[span.index + 1]}, {span.width:.1f} between supports"
    words += f", {own:.1f} of line; {needed:.0f} N while loaded would do"
    if span.straddles:
        words = joined(words, "the mast stands beside this span")
    place, tension = f"{run.id}-span-{span.index + 1}", run.told.set_tension
    if tension is None:
        note = joined("the file states no set tension for this run", words)
        return Push(Measure(place, "deflection midway", None, run=run.id, note=note), None, span.straddles)
    most = sag_at_tension(force, own, tension)
    least = _sliding(placed, span, force, tension)
    given = f"at least {least:.1f} between rigid ends" if least is not None else ""
    note = joined(f"set to {tension:.0f} N", given, words if most is not None else f"{words}; it cannot hold the force")
    value = own if most is None else most
    return Push(Measure(place, "deflection midway, at most", value, run=run.id, note=note), least, span.straddles)


def _sliding(placed: Placed, span: Span, force: float, tension: float) -> float | None:
    """Return how far a span gives between rigid ends with the line sliding [mm]; None for unknown stiffness."""
    known = stiffness(placed.line(span.run))
    if known is None:
        return None
    points = span.run.points
    line = Line(points, known[0], 0.0, (0.0,) * (len(points) - 2))
    chord = vec.unit(vec.sub(points[span.index + 1], points[span.index]))
    down = vec.unit(vec.square_to(vec.scale(UP, -1.0), chord))
    return load_line(set_line(line, tension), PointLoad(span.index, 0.5, vec.scale(down, force))).sag
