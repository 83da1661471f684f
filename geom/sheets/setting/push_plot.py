"""Push test diagrams: set tension against midspan deflection of each span, with the limit of the rule.

Two curves bound the behaviour: rigid ends with the line sliding free in its holes, where the tension rises; and
ends so flexible that it does not rise. Where the stiffness of a line is not known only the second is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from geom import lettering
from geom.drafting.page import Document, notes_list, page_area, page_flow, page_head, page_paper
from geom.drafting.ruling import broken
from geom.drafting.sheet import Draft
from geom.figure import Circle, Item, Line, Point, Rect, Text
from geom.lettering import Weight
from geom.refit import Refit
from geom.sheets.setting import plot_text as plot_words
from geom.sheets.setting import text as setting_words
from geom.sheets.setting.diagram import BELOW, LEFT, Diagram, axis
from geom.sheets.setting.post_lists import gate_post_list
from geom.sheets.setting.push_curves import BEYOND_LIMIT, SpanCurves, forward_spans, span_curves
from geom.sheets.setting.push_lists import rule_words
from geom.sheets.setting.push_text import deflection_text, length, push_named, set_named, tension_named
from geom.tables import numbers
from geom.tables.push_cases import push_cases
from geom.units import LengthFormat, in_unit

# Min size of one diagram with its captions [mm], and the gap between two.
_WIDE, _TALL, _GAP = 78.0, 60.0, 6.0
_LINE = 4.2
_HEIGHT = 2.5
# Weight and layer of a caption: of its first line, the span, and of those below.
_CAPTION: dict[bool, tuple[Weight, str]] = {True: ("semibold", "TEXT"), False: ("regular", "NOTE")}
_DOT = 0.9
# Gap between a label and its curve, and over or under a label to a curve, for tall letters and tails [mm].
_CLEAR, _DESCENT = 1.6, 1.4


_DOCUMENT = Document(
    "A3", "push-plot", plot_words.TITLE, plot_words.KIND,
    "Set tension against the deflection midway, span by span; gate stanchions with the gate open.",
    plot_words.CONTENTS,
)  # fmt: skip


def push_plot(refit: Refit) -> tuple[Draft, ...]:
    """Return the pages of diagrams, then gate posts and notes after the last of them."""
    paper, curves, fmt = page_paper(refit), span_curves(refit), numbers(refit.boat)
    area = page_area(paper)
    columns, rows = int((area.width + _GAP) / (_WIDE + _GAP)), int((area.height + _GAP) / (_TALL + _GAP))
    each = (area.height + _GAP) / rows
    pages: list[tuple[Item, ...]] = []
    first = area
    for begin in range(0, len(curves), columns * rows):
        spans = curves[begin : begin + columns * rows]
        grid = (columns, math.ceil(len(spans) / columns))
        tall = grid[1] * each - _GAP
        drawn = _diagrams(spans, fmt, Rect(area.left, area.top - tall, area.right, area.top), grid)
        pages.append((*page_head(paper, plot_words.TITLE.upper(), "page"), *drawn))
        first = Rect(area.left, area.bottom, area.right, area.top - tall - _GAP)
    gates = gate_post_list(refit)
    key = [*(_key(refit, curves) if curves else ()), *([plot_words.KEY_HOOK] if gates.rows else ())]
    lists = (gates, notes_list(key, "plot:notes"))
    if any(one.rows for one in lists):
        under = page_flow(paper, plot_words.TITLE, lists, first if pages else None)
        head = len(page_head(paper, "", ""))
        # What still fits under the last diagrams stands there, without a heading of its own.
        pages[-1:] = [(*pages[-1], *under[0][head:])] if pages else [under[0]]
        pages += under[1:]
    heads = ((f"plot:{span.run}:{span.span}:head", plot_words.CURVES) for span in curves)
    document = replace(_DOCUMENT, contents=(*heads, *plot_words.CONTENTS))
    return tuple(document.page(paper, items, _units(items, fmt)) for items in pages)


def _units(items: Sequence[Item], fmt: LengthFormat) -> str:
    """Return the units of a page: those of the diagrams, and of the gate stanchions where it lists them."""
    gates = any(isinstance(item, Text) and item.tag == "gate-posts" for item in items)
    units = setting_words.UNITS[fmt.unit]
    return f"{units}, {setting_words.GATE_UNITS[fmt.unit]}" if gates else units


def _diagrams(spans: Sequence[SpanCurves], fmt: LengthFormat, area: Rect, grid: tuple[int, int]) -> list[Item]:
    """Return the diagrams of a sheet, as large as they fit, their axes aligned in each row."""
    columns, rows = grid
    wide = (area.width + _GAP) / columns - _GAP
    tall = (area.height + _GAP) / rows - _GAP
    captions = max(len(_captions(span, fmt, wide)) for span in spans)
    items: list[Item] = []
    for place, span in enumerate(spans):
        row, column = divmod(place, columns)
        left, top = area.left + column * (wide + _GAP), area.top - row * (tall + _GAP)
        items += _diagram(span, fmt, Rect(left, top - tall, left + wide, top), captions)
    return items


def _key(refit: Refit, spans: Sequence[SpanCurves]) -> list[str]:
    """Return the key of a sheet: what is drawn, and by which rule."""
    lines = [plot_words.KEY_AXES.format(force=push_named(refit)), plot_words.KEY_GIVING]
    if any(span.rigid is not None for span in spans):
        lines.append(plot_words.KEY_RIGID)
    if any(span.rigid is None for span in spans):
        lines.append(plot_words.KEY_ONE)
    lines.append(plot_words.KEY_SET)
    forward = forward_spans(refit, frozenset(span.side for span in spans))
    if refit.boat.boat.mast_x is None:
        lines.append(plot_words.KEY_NO_MAST)
    not_tested = _not_tested(refit, spans)
    if not_tested:
        lines.append(plot_words.KEY_NOT_REQUIRED.format(spans=", ".join(not_tested)))
    # Short sentences share a line: no more lines than this fit.
    short = [setting_words.HELD_KEY] if any(span.held for span in spans) else []
    if refit.boat.boat.mast_x is not None and forward:
        short.append(plot_words.KEY_FORWARD.format(spans=", ".join(forward)))
    return [*lines, *rule_words(refit), " ".join([*short, plot_words.KEY_CHECK])]


def _not_tested(refit: Refit, spans: Sequence[SpanCurves]) -> list[str]:
    """Return the spans drawn that the rule does not test, grouped by line; none without a stated mast."""
    required_by = {(case.run, case.span): case.required_by for case in push_cases(refit)}
    runs: dict[str, list[int]] = {}
    for span in spans:
        if required_by and required_by.get((span.run, span.span), "own") == "own":
            runs.setdefault(span.run, []).append(span.span)
    return [f"{run} {_listed(numbers)}" for run, numbers in runs.items()]


def _listed(found: Sequence[int]) -> str:
    """Return numbers in their order as text, three or more that follow each other by their ends: `1 to 6 and 8`."""
    parts: list[list[int]] = []
    for number in found:
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    said = [
        [plot_words.SPANS_TO.format(first=part[0], last=part[-1])] if len(part) > 2 else [str(one) for one in part]
        for part in parts
    ]
    return " and ".join(one for part in said for one in part)


def _diagram(span: SpanCurves, fmt: LengthFormat, place: Rect, captions: int) -> list[Item]:
    """Return one diagram: captions in the space of `captions` lines, axes, limit, set tension, labelled curves."""
    tag, force = f"plot:{span.run}:{span.span}", _pounds(fmt)
    items: list[Item] = []
    y = place.top
    for row, (text, key) in enumerate(_captions(span, fmt, place.width)):
        y -= _LINE if row else _HEIGHT
        weight, layer = _CAPTION[key == "head"]
        items.append(Text((place.left, y), text, _HEIGHT, layer, tag=f"{tag}:{key}", weight=weight))
    y = place.top - _HEIGHT - captions * _LINE - 1.0
    unit = plot_words.AXIS_UP.format(force=setting_words.FORCE_ALONE[fmt.unit])
    across = plot_words.AXIS_ACROSS.format(unit=fmt.unit)
    items += [
        Text((place.left, y), unit, _HEIGHT, "NOTE"),
        Text((place.right - 4.0, place.bottom), across, _HEIGHT, "NOTE", "right"),
    ]
    field = Rect(place.left + LEFT, place.bottom + BELOW + _LINE, place.right - 4.0, y - _LINE - 1.5)
    diagram = Diagram(field, axis(BEYOND_LIMIT * span.limit / fmt.mm, 8, fmt.unit), axis(span.reach / force, 5))
    items += diagram.axes()
    limit = span.limit / fmt.mm
    foot, top = diagram.at(limit, 0.0), diagram.at(limit, diagram.y.maximum)
    items += [
        Line(foot, top, "HIDDEN", tag=f"{tag}:limit"),
        Text((top[0], top[1] + 1.2), plot_words.LIMIT.format(limit=length(span.limit, fmt)), _HEIGHT, "NOTE", "centre"),
    ]
    level = diagram.at(0.0, span.set_to.set_tension / force)[1]
    giving = [(sag / fmt.mm, tension / force) for sag, tension in span.giving]
    named = _giving_label(diagram, giving, level)
    items += [*diagram.curve(giving, "OUTLINE", f"{tag}:giving"), named]
    if span.rigid is not None:
        rigid = [(sag / fmt.mm, tension / force) for sag, tension in span.rigid]
        items += [
            *diagram.curve(rigid, "THIN", f"{tag}:rigid"),
            _rigid_label(diagram, rigid, giving, named, (foot[0], level)),
        ]
    items += _set_tension(span, fmt, diagram, tag)
    return items


def _pounds(fmt: LengthFormat) -> float:
    """Return the force of one unit of the tension axis [N]."""
    return 1.0 if fmt.unit == "mm" else 1.0 / in_unit(1.0, "lbf", "force")


def _set_tension(span: SpanCurves, fmt: LengthFormat, diagram: Diagram, tag: str) -> list[Item]:
    """Return the line of the set tension with a ring where it meets each curve."""
    tension = span.set_to.set_tension / _pounds(fmt)
    items: list[Item] = [
        Line(diagram.at(0.0, tension), diagram.at(diagram.x.maximum, tension), "CENTRE", tag=f"{tag}:set-to")
    ]
    for sag in (span.deflection.minimum, span.deflection.maximum):
        if sag is not None and sag / fmt.mm <= diagram.x.maximum:
            items.append(Circle(diagram.at(sag / fmt.mm, tension), _DOT, "SYMBOL"))
    return items


def _clear_of(base: float, level: float) -> float:
    """Return the base line of a label, raised above a level line that would cross it [mm]."""
    if not base - _CLEAR - _DOT < level < base + _HEIGHT + _CLEAR + _DOT:
        return base
    return level + _CLEAR + _DOT


def _giving_label(diagram: Diagram, curve: Sequence[Point], level: float) -> Text:
    """Return the label of the curve that falls to the right: at its right end, above it or else below it.

    It is clear of a level line, and states where the whole curve is above the top of the diagram.
    """
    field = diagram.field
    wide = lettering.width(plot_words.GIVING_CURVE, _HEIGHT)
    left = diagram.x.maximum * (1.0 - wide / diagram.field.width)
    over, under = (diagram.at(0.0, _value(curve, x))[1] for x in (left, diagram.x.maximum))
    if under > field.top:
        return Text((field.right, field.top - _HEIGHT), plot_words.GIVING_OVER, _HEIGHT, "NOTE", "right")
    base = over + _CLEAR
    if base + _HEIGHT > field.top:
        base = under - _CLEAR - _HEIGHT
    return Text((field.right, _clear_of(base, level)), plot_words.GIVING_CURVE, _HEIGHT, "NOTE", "right")


def _rigid_label(
    diagram: Diagram, curve: Sequence[Point], giving: Sequence[Point], named: Text, lines: tuple[float, float]
) -> Text:
    """Return the label of the steep curve: near its foot, to the left where there is room, else to the right.

    It stands higher where the other curve, its label, the limit or the set tension would cross it, at last over the
    diagram.
    """
    (limit, level), beside = lines, lettering.width(named.text, _HEIGHT)
    field, wide = diagram.field, lettering.width(plot_words.RIGID_CURVE, _HEIGHT)
    places: list[Text] = []
    for step in range(int((field.height - 3.0 - _HEIGHT) / _CLEAR)):
        base = _clear_of(field.bottom + 3.0 + step * _CLEAR, level)
        upper = (base - field.bottom + _HEIGHT + 0.5) / field.height * diagram.y.maximum
        lower = 0.0 if step == 0 else (base - field.bottom - 0.5) / field.height * diagram.y.maximum
        above, below = (diagram.at(_value([(y, x) for x, y in curve], at), 0.0)[0] for at in (upper, lower))
        # The curve may go on beyond the diagram.
        left_of = min(above - _CLEAR, field.right)
        if left_of - field.left > wide + _CLEAR:
            places.append(Text((left_of, base), plot_words.RIGID_CURVE, _HEIGHT, "NOTE", "right"))
        if below + _CLEAR + wide < field.right:
            places.append(Text((below + _CLEAR, base), plot_words.RIGID_CURVE, _HEIGHT, "NOTE"))

    def is_clear(text: Text) -> bool:
        left = text.at[0] - (wide if text.across == "right" else 0.0)
        over, under = (
            diagram.at(0.0, _value(giving, (x - field.left) / field.width * diagram.x.maximum))[1]
            for x in (left - _CLEAR, left + wide)
        )
        crossed = under < text.at[1] + _HEIGHT + _DESCENT and over > text.at[1] - _DESCENT
        level_with = abs(text.at[1] - named.at[1]) < _HEIGHT + _DESCENT
        if level_with and left - _CLEAR < named.at[0] and named.at[0] - beside < left + wide + _CLEAR:
            return False
        return not crossed and not left - 0.5 < limit < left + wide + 0.5

    top = diagram.at(_value([(y, x) for x, y in curve], diagram.y.maximum), 0.0)[0]
    over = Text(
        (max(top, field.left + 0.5 * wide), field.top + _CLEAR), plot_words.RIGID_CURVE, _HEIGHT, "NOTE", "centre"
    )
    return next(filter(is_clear, places), over)


def _value(curve: Sequence[Point], x: float) -> float:
    """Return the value of a curve at `x` by linear interpolation; its end value beyond its ends."""
    points = sorted(curve)
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1 and x1 > x0:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[0][1] if x < points[0][0] else points[-1][1]


def _captions(span: SpanCurves, fmt: LengthFormat, room: float) -> list[tuple[str, str]]:
    """Return the captions of a diagram with their ids: the span, its tension needed, and the set tension of the run."""
    head = plot_words.HEAD.format(run=span.run, span=span.span, start=span.start, end=span.end)
    head += plot_words.HELD if span.held else ""
    rigid = plot_words.RIGID.format(length=length(span.length, fmt), minimum=_min_tension(span, fmt))
    wanted = plot_words.WANTED.format(maximum=tension_named(span.needed[1], fmt))
    governs = span.set_to.test_span_number == span.span
    if governs:
        wanted += plot_words.GOVERNS_BESIDE if span.beside_mast else plot_words.GOVERNS
    stated = [(head, "head"), (wanted, "wanted"), (rigid, "rigid-ends")]
    if span.beside_mast and not governs:
        stated.append((plot_words.BESIDE, "mast"))
    deflection, tension = deflection_text(span.deflection, fmt), set_named(span.set_to, fmt)
    stated.append((plot_words.SET_TO.format(tension=tension, deflection=deflection), "as-set"))
    return [(part, key) for text, key in stated for part in broken(text, room, weight=_CAPTION[key == "head"][0])]


def _min_tension(span: SpanCurves, fmt: LengthFormat) -> str:
    """Return the tension needed on rigid ends, in words where it is none."""
    if span.rigid is None:
        return setting_words.NOT_DETERMINED
    minimum = span.needed[0]
    return plot_words.NO_TENSION if minimum is None else tension_named(minimum, fmt)
