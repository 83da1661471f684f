"""The test bar and its block: a straight edge beside the widest span, and a block with the limits as its sides."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.boat.model import Level
from geom.drafting.paper import SCALES
from geom.drafting.symbols import bow_arrow
from geom.drafting.views import arrow_to, roomy
from geom.figure import Circle, Dimension, Hatch, Item, Leader, Line, Point, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.mechanics.push_test import SpanPlace
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.rules.measures.heights import levels, sides
from geom.sheets.setting import text as words
from geom.tables import numbers
from geom.tables.push_cases import has_lower_lines, push_sag, spans_at, tested_spans
from geom.units import LengthFormat, to_compare

# Overhang of the bar past each support [mm]. Not in the rule: common practice, no source.
OVERLAP = 50.0
_SECTION_SCALES = (2, 5, 10, 20)
# Round bar and block in their section: at the left and over them for title and dimensions, at the right, and under them
# for the loaded line's dimension [paper mm].
_SECTION_LEFT, _SECTION_OVER, _SECTION_RIGHT, _SECTION_UNDER = 16.0, 26.0, 4.0, 13.1
_SIDE_ROOM = 8.0
_FINEST = 5
# Size of the weight as drawn, not to scale [paper mm].
_WEIGHT = 6.0
# Length of a tube drawn past the bar [paper mm].
_STUB = 3.0
# Above the bar: title, notes, two dimensions; position of the second title line [paper mm].
_TITLE_ROOM, CAPTION_IN, _CAPTION_DOWN = 36.0, 6.0, 11.0


@dataclass(frozen=True)
class Make:
    """Sizes of bar and block that the rule leaves open, round in the unit of the sheet [mm].

    `round_up_to` is the step of the bar length, `long` the other side of the block where no lower line sets it, and
    the last three are straightness and tolerances.
    """

    depth: float
    thick: float
    along: float
    long: float
    round_up_to: float
    straight: float
    bar_within: float
    block_within: float


MAKES = {
    "mm": Make(40.0, 20.0, 20.0, 100.0, 10.0, 1.0, 1.0, 0.2),
    "in": Make(1.5 * 25.4, 0.75 * 25.4, 0.75 * 25.4, 4.0 * 25.4, 0.5 * 25.4, 0.04 * 25.4, 0.04 * 25.4, 0.01 * 25.4),
}


def make(refit: Refit) -> Make:
    """Return the sizes of bar and block, round in the unit of the boat."""
    return MAKES[numbers(refit.boat).unit]


def bar_span(refit: Refit) -> SpanPlace:
    """Return the widest span for the bar, of those that extend aft of the mast, or of all."""
    placed = refit.placed
    every = [(side, level) for side in sides(placed) for level in levels(placed, side)]
    aft = [span for side, level in every for span in tested_spans(refit, side, level)]
    found = aft or [span for side, level in every for span in spans_at(refit, side, level)]
    return max(found, key=lambda span: to_compare(span.length))


def ends_on_deck(refit: Refit) -> tuple[str, ...]:
    """Return the ends of the bar's span that are eyes on the deck, where there is no tube to hold the bar against."""
    span = bar_span(refit)
    names = refit.placed.runs[span.run].names[span.span : span.span + 2]
    on_deck = {eye.id for eye in refit.boat.eyes if not eye.is_on_rail}
    return tuple(name for name in names if name in on_deck)


def bar_length(refit: Refit) -> float:
    """Return the length of the bar [mm]."""
    step = make(refit).round_up_to
    return math.ceil((bar_span(refit).length + 2.0 * OVERLAP) / step) * step


def block_sides(refit: Refit) -> tuple[float, float]:
    """Return the sides of the block [mm]: the limit of upper or single lines, and of other lines or a round length."""
    upper = push_sag(refit, upper=True)
    if has_lower_lines(refit):
        return upper, push_sag(refit, upper=False)
    return upper, make(refit).long


def bar_scale(refit: Refit, room: float) -> int:
    """Return the reduction scale (ratio) at which the bar fits a width [mm]."""
    whole = bar_length(refit)
    return next(mm for mm in SCALES if mm >= _FINEST and whole / mm + 2.0 * _SIDE_ROOM <= room)


def tolerance(refit: Refit) -> str:
    """Return the tolerances of bar and block, for the title block."""
    fmt, sizes = numbers(refit.boat), make(refit)
    decimals = {"mm": (0, 1), "in": (2, 2)}[fmt.unit]
    bar, block = (
        fmt.figure(value, places)
        for value, places in zip((sizes.bar_within, sizes.block_within), decimals, strict=True)
    )
    return words.BAR_TOLERANCE.format(bar=bar, block=block)


def _supports(refit: Refit, span: SpanPlace) -> tuple[PlacedPost | None, PlacedPost | None]:
    """Return the posts at both supports of a span, None for a rail eye."""
    run = refit.placed.runs[span.run]
    ends = (run.spec.start.post, *run.spec.through, run.spec.finish.post)
    first, last = (None if name is None else refit.placed.posts[name] for name in ends[span.span : span.span + 2])
    return first, last


def bar_view(refit: Refit, window: Rect) -> View:
    """Return the bar beside its widest span with the line loaded, seen from inboard."""
    span, sizes, fmt = bar_span(refit), make(refit), numbers(refit.boat)
    run, mm = refit.placed.runs[span.run], bar_scale(refit, window.width)
    start, end = run.names[span.span : span.span + 2]
    at_left, at_right = start, end
    upper, depth = block_sides(refit)[0], sizes.depth
    half, reach = span.length / 2.0, bar_length(refit) / 2.0
    low = -upper - 18.0 * mm
    # Notes are between the bar and its dimensions [paper mm].
    over = 0.5 * depth / mm + 4.5
    first, last = _supports(refit, span)
    # Seen from inboard the bow lies to the left on the starboard side, to the right on the port side.
    bow = -1.0 if run.side == "S" else 1.0
    if bow * (run.points[span.span + 1][0] - run.points[span.span][0]) > 0.0:
        first, last, at_left, at_right = last, first, end, start
    high, left = (_TITLE_ROOM + depth / mm) * mm, (window.left - window.right) * mm / 2.0
    tail = left + (CAPTION_IN + (52.0 if bow < 0.0 else 50.0)) * mm
    items = [
        Text((left + CAPTION_IN * mm, high - _CAPTION_DOWN * mm), words.BAR_SEEN, 2.5, "NOTE", tag="bar:seen"),
        *bow_arrow((tail, high - (_CAPTION_DOWN - 1.2) * mm), bow, mm),
        *_support(first, run.level, -half, (low, depth), at_left, mm),
        *_support(last, run.level, half, (low, depth), at_right, mm),
        Polyline(_rectangle(-reach, 0.0, reach, depth), "OUTLINE", closed=True, tag="test-bar"),
        Polyline(((-half, 0.0), (0.0, -upper), (half, 0.0)), "GUARD-LINE-U", tag="test-line"),
        Line((0.0, 0.0), (0.0, depth), "THIN"),
        *_weight(-upper, mm),
        Hatch(_rectangle(-sizes.along / 2.0, -upper, sizes.along / 2.0, 0.0), "HATCH", pitch=1.0, tag="test-block"),
        Polyline(_rectangle(-sizes.along / 2.0, -upper, sizes.along / 2.0, 0.0), "THIN", closed=True),
        Dimension((-reach, depth), (reach, depth), 17.0, tag="bar:length"),
        Dimension((-reach, depth), (0.0, depth), 10.0, tag="bar:middle"),
        Dimension((-half, low - 3.0 * mm), (half, low - 3.0 * mm), -9.0, text="(<>)", tag="bar:supports"),
        _pointer((sizes.along / 4.0, -upper * 0.6), (16.0, -7.0), mm, words.BAR_BLOCK),
        _pointer((-half * 0.6, depth / 2.0), (4.0, over), mm, words.BAR_EDGE),
        _pointer((-half * 0.3, -upper * 0.7), (-5.0, -7.0), mm, words.BAR_LINE),
        _pointer((half, depth / 2.0), (-8.0, over), mm, words.BAR_TAPE),
    ]
    title = words.BAR_TITLE_NO_MAST if refit.boat.boat.mast_x is None else words.BAR_TITLE
    return View(
        name="test-bar",
        title=title.format(run=run.id, start=start, end=end),
        scale=1.0 / mm,
        origin=((window.left + window.right) / 2.0, window.top - _TITLE_ROOM - depth / mm),
        window=window,
        items=tuple(items),
        # The bar has a round length: no decimals in millimetres.
        numbers=LengthFormat(fmt.unit, fmt.mm, 0 if fmt.unit == "mm" else fmt.decimals),
        description="A straight bar taped to the tubes beside the line, the line loaded midway, the block between.",
    )


def _rectangle(left: float, bottom: float, right: float, top: float) -> tuple[Point, ...]:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def _pointer(at: Point, away: Point, mm: float, text: str) -> Leader:
    """Return a leader with a dot, its note away from it [paper mm]."""
    return Leader((at, (at[0] + away[0] * mm, at[1] + away[1] * mm)), text, "dot")


def _weight(top: float, mm: float) -> tuple[Item, ...]:
    """Return the weight at midspan."""
    hang, size = top - 8.0 * mm, _WEIGHT * mm
    return (
        Line((0.0, top), (0.0, hang), "THIN"),
        Polyline(_rectangle(-size / 2.0, hang - size, size / 2.0, hang), "OUTLINE", closed=True),
        Leader(((size / 2.0, hang - size / 2.0), (14.0 * mm, hang - size / 2.0)), words.BAR_WEIGHT, "none"),
    )


def _support(
    post: PlacedPost | None, level: Level, x: float, reach: tuple[float, float], name: str, mm: float
) -> list[Item]:
    """Return a support at `x`: its axis and name, the tube hidden behind the bar, and the tape round both."""
    low, depth = reach
    inward = 1.0 if x < 0.0 else -1.0
    radius = 0.0 if post is None else post.tube_od / 2.0
    wide = radius + 1.5 * mm
    items: list[Item] = [
        Line((x, low - 3.0 * mm), (x, depth + 3.0 * mm), "CENTRE"),
        Polyline(_rectangle(x - wide, -0.6 * mm, x + wide, depth + 0.6 * mm), "THIN", closed=True, tag="bar:tape"),
        Text((x + inward * (radius + 2.0 * mm), low + mm), name, 2.5, "NOTE", "left" if inward > 0.0 else "right"),
    ]
    if post is not None:
        # A tube far above the line is broken off.
        top, cut = _above_line(post, level), depth + _STUB * mm
        for edge in (x - radius, x + radius):
            items += [Line((edge, low), (edge, 0.0), "POST"), Line((edge, 0.0), (edge, min(top, depth)), "HIDDEN")]
            if top > depth:
                items.append(Line((edge, depth), (edge, min(top, cut)), "POST"))
        if top < cut:
            items.append(Line((x - radius, top), (x + radius, top), "POST" if top > depth else "HIDDEN"))
    return items


def _above_line(post: PlacedPost, level: Level) -> float:
    """Return the height of a tube above its line [mm]."""
    hole = post.hole(level)
    return 0.0 if hole is None else vec.distance(post.at(post.top), hole.centre)


def section_scale(refit: Refit, window: Rect) -> int:
    """Return the reduction scale (ratio) at which the section fits its window.

    Args:
        refit: the calculated boat.
        window: of the view on paper [mm].
    """
    upper, other = block_sides(refit)
    line = refit.placed.line(refit.placed.runs[bar_span(refit).run]).diameter
    tall = make(refit).depth + upper + line
    room = (
        window.width - _SECTION_LEFT - _SECTION_RIGHT,
        window.height - _SECTION_OVER - _SECTION_UNDER,
    )

    def fits(mm: int) -> bool:
        return other / mm <= room[0] and tall / mm <= room[1]

    return next((mm for mm in _SECTION_SCALES if fits(mm)), _SECTION_SCALES[-1])


def section_view(refit: Refit, window: Rect, beside: View) -> View:
    """Return the section through bar, block and line at midspan, with the end tube behind.

    Args:
        refit: the calculated boat.
        window: of the view on paper [mm].
        beside: the view of the bar, which the section stands clear of in model space.
    """
    mm, fmt = float(section_scale(refit, window)), numbers(refit.boat)
    sizes, span = make(refit), bar_span(refit)
    upper, other = block_sides(refit)
    post = next((one for one in _supports(refit, span) if one is not None), None)
    radius = 0.0 if post is None else post.tube_od / 2.0
    line = refit.placed.line(refit.placed.runs[span.run]).diameter / 2.0
    face = -max(radius, line)
    left, low = face - sizes.thick, -upper - 2.0 * line - 6.5 * mm
    right = left + other
    # The words on the line at rest stand within the block, beside it where they are longer.
    rest = radius + 4.0 * mm
    if rest + (text_width(words.SECTION_REST, 2.5) + 4.0) * mm > right:
        rest = right + 3.0 * mm
    items: list[Item] = [
        Polyline(_rectangle(left, 0.0, face, sizes.depth), "OUTLINE", closed=True, tag="bar:section"),
        Polyline(_rectangle(left, -upper, right, 0.0), "OUTLINE", closed=True, tag="block"),
        Circle((0.0, -line), line, "HIDDEN"),
        Circle((0.0, -upper - line), line, "GUARD-LINE-U", tag="section:loaded"),
        Dimension((left, -upper), (left, 0.0), 9.0, tag="block:upper"),
        Dimension((left, low), (right, low), -6.0, tag="block:other"),
        Dimension((left, 0.0), (left, sizes.depth), 9.0, tag="bar:depth"),
        roomy(Dimension((left, sizes.depth), (face, sizes.depth), 10.0, tag="bar:thick"), 1.0 / mm, fmt, -1.0),
        Leader(((0.7 * line, -1.7 * line), (rest, -line - min(7.0 * mm, 0.36 * upper))), words.SECTION_REST, "arrow"),
        *arrow_to((radius + 14.0 * mm, 3.0 * mm), (radius + 5.0 * mm, 3.0 * mm), mm),
        Text((radius + 15.5 * mm, 3.0 * mm), words.BAR_INBOARD, 2.5, "NOTE", upright="middle", tag="section:inboard"),
        Leader(((line, -upper - line), (radius + 4.0 * mm, -upper - line - 3.0 * mm)), words.SECTION_LOADED, "arrow"),
    ]
    if post is not None:
        above, cut = _above_line(post, refit.placed.runs[span.run].level), sizes.depth + _STUB * mm
        top = min(above, cut)
        items += [
            *(Line((edge, 0.0), (edge, top), "THIN") for edge in (-radius, radius)),
            *([Line((-radius, top), (radius, top), "THIN")] if above < cut else []),
            *(Line((edge, -upper), (edge, 0.0), "HIDDEN", tag="section:hidden") for edge in (-radius, radius)),
            *(Line((edge, -upper), (edge, low + 1.5 * mm), "THIN") for edge in (-radius, radius)),
            Leader(((radius, top / 2.0), (radius + 6.0 * mm, top / 2.0 + 6.0 * mm)), words.SECTION_TUBE, "arrow"),
        ]
    return View(
        name="block",
        title=words.BLOCK_TITLE,
        scale=1.0 / mm,
        origin=(window.left + _SECTION_LEFT - left / mm, window.top - _SECTION_OVER - sizes.depth / mm),
        window=window,
        items=tuple(items),
        model_at=(beside.window.right / beside.scale + 1000.0, 0.0),
        numbers=numbers(refit.boat),
        description="The block between bar and line at the limit; its sides are the limits of the rule.",
    )
