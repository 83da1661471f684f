"""Push test as diagrams: for each span the set tension against how far its middle gives, with the rule's limit.

Two curves hold what a boat does: the line rising in tension on rigid ends, sliding free in its holes;
and ends that give so much that the tension does not rise. Where the stiffness of a line is not known
only the second can be drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.data.table import datum
from geom.figure import Circle, Item, Line, Point, Rect, Text
from geom.refit import Refit
from geom.runs.cable import load_line
from geom.runs.line import set_line
from geom.runs.loading import SpanPush
from geom.runs.push_test import push_force
from geom.runs.run_line import RunLine, push_limit, push_test_force
from geom.runs.sag import sag_at_tension, tension_while_loaded
from geom.schedules import numbers
from geom.sheets import plot_words, words
from geom.sheets.diagram import BELOW, LEFT, Axis, Diagram, axis
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.paper import papers
from geom.sheets.ruled_list import broken
from geom.units import Numbers, decimal

# The least room of one diagram with its captions [mm], and between two of them.
_WIDE, _TALL, _GAP = 84.0, 56.0, 6.0
_LINE = 4.2
# A diagram shows deflections up to this many times the limit.
_BEYOND_LIMIT = 1.6
_CURVE_POINTS = 40
_DOT = 0.9


@dataclass(frozen=True)
class SpanCurves:
    """A span's set tension [N] against the deflection of its middle [mm], as pairs (deflection, tension).

    `rigid` is None where the line's stiffness is not known. `needed` is the set tension that keeps the limit:
    on rigid ends, None where the line passes slack or nobody can tell; and where the ends give. `stated` is
    the set tension that the file states, `gives` what it lets expect on rigid ends and where the ends give;
    None where nobody can tell. `reach` is the greatest tension to show.
    """

    run: str
    span: int
    start: str
    end: str
    length: float
    limit: float
    giving: tuple[Point, ...]
    rigid: tuple[Point, ...] | None
    needed: tuple[float | None, float]
    stated: float | None
    gives: tuple[float | None, float | None]
    reach: float


def span_curves(refit: Refit) -> tuple[SpanCurves, ...]:
    """Return the curves of every span, run by run."""
    return tuple(_curves(refit, push) for push in refit.loads.pushes)


def _curves(refit: Refit, push: SpanPush) -> SpanCurves:
    line = refit.loads.runs[push.run]
    force, limit = push_test_force(), push_limit(refit.placed, line.run)
    length, stated = line.run.spans[push.span], line.run.told.set_tension
    by_hand = datum("person_loads", case="set tension by hand at most").value
    reach = max(stated or 0.0, min(push.while_loaded, by_hand)) * 1.25
    # The curve of ends that give falls from great tensions: begin where it comes into the diagram.
    first = sag_at_tension(force, length, 2.0 * reach) or 0.0
    last = _BEYOND_LIMIT * limit * 1.3
    steps = [first + (last - first) * (index / _CURVE_POINTS) ** 2 for index in range(_CURVE_POINTS + 1)]
    return SpanCurves(
        run=push.run,
        span=push.span + 1,
        start=line.run.names[push.span],
        end=line.run.names[push.span + 1],
        length=length,
        limit=limit,
        giving=tuple((sag, tension_while_loaded(force, length, sag)) for sag in steps),
        rigid=_rigid(line, push.span, 1.3 * reach),
        needed=(None, push.while_loaded) if push.needed is None else (push.needed.lower, push.needed.upper),
        stated=stated,
        gives=(
            None if stated is None else _sag_on_rigid_ends(line, push.span, stated),
            None if stated is None else sag_at_tension(force, length, stated),
        ),
        reach=reach,
    )


def _rigid(line: RunLine, span: int, most: float) -> tuple[Point, ...] | None:
    """Return the curve of a line that slides free between rigid ends, from its least tension up."""
    if line.stiffness is None:
        return None
    free = line.line(line.stiffness.most).free
    load, least = push_force(free, span, push_test_force()), free.least_tension
    tensions = [least + (most - least) * (index / _CURVE_POINTS) ** 2 for index in range(_CURVE_POINTS + 1)]
    return tuple((load_line(set_line(free, tension), load).sag, tension) for tension in tensions)


def _sag_on_rigid_ends(line: RunLine, span: int, tension: float) -> float | None:
    if line.stiffness is None:
        return None
    free = line.line(line.stiffness.most).free
    return load_line(set_line(free, tension), push_force(free, span, push_test_force())).sag


def push_plot(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of diagrams, as many to a sheet as stand on it."""
    paper = papers(refit.boat.drawing.sheets, least=1)[0]
    area, curves = list_area(paper), span_curves(refit)
    columns, rows = int((area.width + _GAP) / (_WIDE + _GAP)), int((area.height + _GAP) / (_TALL + _GAP))
    wide, tall = (area.width + _GAP) / columns - _GAP, (area.height + _GAP) / rows - _GAP
    source = datum("person_loads", case="push test")
    named = f"{source.source} {source.clause_or_page} as amended in {source.edition}"
    key = [line.format(force=decimal(push_test_force(), 0), source=named) for line in plot_words.KEY]
    drafts = []
    for first in range(0, len(curves), columns * rows):
        items: list[Item] = []
        for place, span in enumerate(curves[first : first + columns * rows]):
            row, column = divmod(place, columns)
            left, top = area.left + column * (wide + _GAP), area.top - row * (tall + _GAP)
            items += _diagram(refit, span, Rect(left, top - tall, left + wide, top))
        drafts.append(
            Draft(
                name="push-plot",
                title=plot_words.TITLE,
                kind=plot_words.KIND,
                paper=paper,
                scale="none",
                items=(*items, *key_items(paper, words.KEY, key)),
                description="Set tension against the deflection midway, span by span, with the rule's limit.",
            )
        )
    return tuple(drafts)


def _diagram(refit: Refit, span: SpanCurves, place: Rect) -> list[Item]:
    """Return one diagram: captions, axes, limit, stated tension, curves."""
    how, tag = numbers(refit.boat), f"plot:{span.run}:{span.span}"
    captions = _captions(span, how, place.width)
    items: list[Item] = []
    y = place.top
    for row, (text, key) in enumerate(captions):
        y -= _LINE if row else 2.5
        items.append(Text((place.left, y), text, 2.5, "TEXT" if row == 0 else "NOTE", tag=f"{tag}:{key}"))
    y -= _LINE
    items.append(Text((place.left, y), "N", 2.5, "NOTE"))
    items.append(Text((place.right, place.bottom), how.unit, 2.5, "NOTE", "right"))
    field = Rect(place.left + LEFT, place.bottom + BELOW, place.right - 12.0, y - 2.5)
    diagram = Diagram(field, _deflections(span, how), axis(span.reach, 5))
    items += diagram.axes()
    limit = span.limit / how.mm
    items.append(Line(diagram.at(limit, 0.0), diagram.at(limit, diagram.y.most), "HIDDEN", tag=f"{tag}:limit"))
    for points, layer, key in ((span.giving, "OUTLINE", "giving"), (span.rigid or (), "THIN", "rigid")):
        items += diagram.curve([(sag / how.mm, tension) for sag, tension in points], layer, f"{tag}:{key}")
    if span.stated is not None:
        ends = (diagram.at(0.0, span.stated), diagram.at(diagram.x.most, span.stated))
        items.append(Line(*ends, "CENTRE", tag=f"{tag}:stated"))
        for sag in span.gives:
            if sag is not None and sag / how.mm <= diagram.x.most:
                items.append(Circle(diagram.at(sag / how.mm, span.stated), _DOT, "SYMBOL"))
    return items


def _deflections(span: SpanCurves, how: Numbers) -> Axis:
    return axis(_BEYOND_LIMIT * span.limit / how.mm, 8)


def _captions(span: SpanCurves, how: Numbers, room: float) -> list[tuple[str, str]]:
    """Return the lines over a diagram with their ids: which span, and what the stated tension lets expect."""
    head = plot_words.HEAD.format(
        run=span.run, span=span.span, start=span.start, end=span.end, length=decimal(span.length / how.mm, how.decimals)
    )
    limit = decimal(span.limit / how.mm, how.decimals)
    wanted = plot_words.WANTED.format(limit=limit, most=decimal(span.needed[1], 0), least=_least_tension(span))
    lines = [(head, "head"), (wanted, "wanted")]
    if span.stated is None:
        told = plot_words.NOT_STATED
    else:
        least, most = (_written(sag, how) for sag in span.gives)
        told = plot_words.STATED.format(tension=decimal(span.stated, 0), least=least, most=most)
    return lines + [(part, "told") for part in broken(told, room)]


def _least_tension(span: SpanCurves) -> str:
    """Return the tension wanted on rigid ends, in words where it is none."""
    if span.rigid is None:
        return words.CANNOT_TELL
    least = span.needed[0]
    return words.SLACK_PASSES if least is None else f"{decimal(least, 0)} N"


def _written(sag: float | None, how: Numbers) -> str:
    return words.CANNOT_TELL if sag is None else decimal(sag / how.mm, how.decimals)
