"""Sheet G2: the deck from above with the true length of every span, eye verdicts and open items."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain, product

from geom.boat.model import LEVELS, Side
from geom.drafting.boat_view import INBOARD, SIDES, extent
from geom.drafting.columns import ColumnTable
from geom.drafting.flags import MAX_FLAGGED, flag_items
from geom.drafting.paper import Paper, papers
from geom.drafting.placing import Drawn
from geom.drafting.ruling import broken
from geom.drafting.sheet import FIELD_MARGIN, Draft, field, scale_words
from geom.drafting.symbols import eye_symbol, flag
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.errors import GeometryError
from geom.figure import Dimension, Item, Line, Point, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items import OpenItem, open_items
from geom.placement.eyes import ORDER, Verdict
from geom.placement.place import side_sign
from geom.refit import Refit
from geom.rigging.dimension_chain import plus_minus
from geom.sheets.deck_plan import text as own
from geom.sheets.deck_plan.across import across_items
from geom.sheets.deck_plan.labels import inner_faces, label_items, labels_beside, labels_clear, loose_items
from geom.sheets.deck_plan.names import gate_items, name_items, sign_items
from geom.sheets.deck_plan.plan import grid_beside, plan_items
from geom.sheets.deck_plan.spans import arcs, placed_spans, span_items, spans_clear, witnesses_beside
from geom.sheets.deck_plan.tables import feet, levels_of, pins
from geom.tables import numbers
from geom.units import decimal, degrees
from geom.vec import Vec

# The scales, the largest first: 1 paper mm is so many boat mm.
SCALES = {"ISO": (5, 10, 15, 20, 25, 30, 40, 50, 100), "ANSI": (6, 12, 16, 24, 32, 48, 96)}
# The smallest scale that a sheet is used for, by its place in its series from A3 or ANSI B on.
_LIMITS = (25, 30, 50, 100)
# Share of the frame's width that the boat may take.
_MAX_SHARE = 0.88
# From the frame's top to the plan's zone: heading, and the stamp beside it. Below it: the bar.
_HEAD, _BAR = 24.0, 15.0
# Outside the deck edge: beyond the outermost dimensions, for their numbers and for flags.
_OUTSIDE = 9.0
_TITLE, _GAP = 6.5, 9.0
# How far the corners of dimensions that follow a line may stand outside their distance from the deck edge [paper mm].
_CORNERS = 6.0
# Over the line that says on which sheet the stanchions are, where a table stands above it.
_ELSEWHERE = 5.0
# The grid of coordinates goes so far beyond the outermost dimensions [paper mm], and a table is wider than its text by
# the first of these shares that fits.
_GRID, _LOOSE = 12.0, (1.1, 1.0)


@dataclass(frozen=True)
class Layout:
    """A paper, a scale and the tables that stand under the plan, each with its width [mm]."""

    paper: Paper
    mm: int
    tables: tuple[tuple[str, ColumnTable, float], ...]
    left_out: bool
    foot: float

    @property
    def zone(self) -> Rect:
        """The zone of the plan on paper [mm]."""
        area = field(self.paper)
        return Rect(area.left, self.foot, area.right, self.paper.frame.top - _HEAD)


def deck_plan(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet.

    Raises:
        GeometryError: the boat fits no sheet.
    """
    listed = open_items(refit)
    layout = _pick(refit, listed)
    view, flags = _plan(refit, layout, listed)
    return (
        Draft(
            number="G2",
            name="deck-plan",
            title=own.TITLE,
            subtitle=own.WITH_GATES if refit.boat.gates else own.SUBTITLE,
            paper=layout.paper,
            scale=scale_words(1.0 / layout.mm),
            items=(
                *_heading(refit, layout),
                *_tables(layout),
                *_symbols(refit, layout),
                *_notes(refit, layout),
                *flags,
            ),
            views=(view,),
            description=f"Deck plan at {scale_words(1.0 / layout.mm)}; full size is in millimetres.",
            stamped=True,
        ),
    )


def layout_of(refit: Refit) -> Layout:
    """Return the paper and the scale of the plan.

    Raises:
        GeometryError: the boat fits no sheet.
    """
    return _pick(refit, open_items(refit))


def _pick(refit: Refit, listed: tuple[OpenItem, ...]) -> Layout:
    """Return the smallest sheet with the largest listed scale at which the boat fits.

    Where no scale has room for every number within its span, the first with each name beside its stanchion, and where
    there is none either, the largest.
    """
    beside, last, fmt = None, None, numbers(refit.boat)
    low, high, *_ = extent(refit)
    layouts = _fitting(refit, listed)
    first = next(layouts, None)
    if first is None:
        # Stanchions lean in so far that the names of both sides meet amidships at every scale.
        layouts = _fitting(refit, listed, names_apart=False)
    for layout in chain(() if first is None else (first,), layouts):
        near = labels_beside(refit, float(layout.mm), low, high)
        if near and spans_clear(refit, float(layout.mm), fmt):
            return layout
        if near and beside is None:
            beside = layout
        if last is None or layout.mm < last.mm:
            last = layout
    if last is None:
        raise GeometryError("no sheet holds this boat")
    return beside or last


def _fitting(refit: Refit, listed: tuple[OpenItem, ...], names_apart: bool = True) -> Iterator[Layout]:
    """Yield the layouts at which the boat and the names of its stanchions fit, the smallest sheets first."""
    low, high, minimum, maximum = extent(refit)
    series = refit.boat.drawing.sheets
    for paper, limit in zip(papers(series, minimum=1, roll=True), (*_LIMITS, 100, 100, 100), strict=False):
        for mm in SCALES[series]:
            if mm > limit or (high - low) / mm > _MAX_SHARE * paper.frame.width:
                continue
            tables, left_out, foot = _below(refit, paper, listed)
            layout = Layout(paper, mm, tables, left_out, foot)
            tall = (maximum - minimum) / mm + 2.0 * (_off(refit, mm) + _OUTSIDE)
            if tall <= layout.zone.height and (not names_apart or labels_clear(refit, mm, low, high)):
                yield layout


def _below(
    refit: Refit, paper: Paper, listed: tuple[OpenItem, ...]
) -> tuple[tuple[tuple[str, ColumnTable, float], ...], bool, float]:
    """Return the tables that fit left of the title block, whether the stanchions are left out, and their top [mm]."""
    fmt, area = numbers(refit.boat), field(paper)
    at: dict[str, tuple[int, ...]] = {}
    for item in listed:
        for place in item.places if len(item.places) <= MAX_FLAGGED else ():
            name = next((post.id for post, hole in refit.placed.holes() if hole.id == place), place)
            at[name] = tuple(dict.fromkeys((*at.get(name, ()), item.number)))
    stanchions, eyes = (own.FEET, feet(refit, fmt, at)), (_pins_title(refit), pins(refit, fmt))
    room = area.width - BLOCK_WIDTH - _GAP
    for tables, loose in product(((stanchions, eyes), (eyes,), ()), _LOOSE):
        widths = [max(math.fsum(table.widths) * loose, text_width(title, 3.5, "semibold")) for title, table in tables]
        tall = max([0.0, *(table.height + _TITLE for _, table in tables)])
        if math.fsum(widths) + _GAP * max(0, len(tables) - 1) <= room and tall <= 0.32 * paper.height:
            break
    left_out = stanchions not in tables
    own_side = paper.frame.bottom + _BAR + (_ELSEWHERE if left_out and tables else 0.0) + tall + 4.0
    beside = paper.frame.bottom + BLOCK_HEIGHT + _notes_height(refit) + 6.0
    placed = tuple((*table, width) for table, width in zip(tables, widths, strict=True))
    return placed, left_out, max(own_side, beside)


def _pins_title(refit: Refit) -> str:
    return own.PINS if {eye.on for eye in refit.boat.eyes} <= {"pulpit", "pushpit"} else own.PINS_OF_ALL


def _off(refit: Refit, mm: float) -> float:
    """Return the distance of the outermost dimensions from the deck edge at its widest [paper mm].

    They stand parallel to their spans; where a long one leaves the edge far inside, they stand further out.
    """
    _, _, minimum, maximum = extent(refit)
    spans = [item for side in SIDES for item in span_items(refit, side, mm, numbers(refit.boat))]
    ends = [point[1] for item in spans if isinstance(item, Dimension) for point in (item.start, item.end)]
    stated = max(max(arcs(refit, side).values(), default=0.0) for side in SIDES)
    return max(stated, *(max(minimum - y, y - maximum) / mm - _CORNERS for y in ends))


def _plan(refit: Refit, layout: Layout, listed: tuple[OpenItem, ...]) -> tuple[View, tuple[Item, ...]]:
    """Return the view, and the flags in paper millimetres."""
    mm, zone, fmt = float(layout.mm), layout.zone, numbers(refit.boat)
    low, high, minimum, maximum = extent(refit)
    centre = ((zone.left + zone.right) / 2.0, (zone.bottom + zone.top) / 2.0)
    origin = (centre[0] - (low + high) / 2.0 / mm, centre[1] - (minimum + maximum) / 2.0 / mm)
    first = (zone.left - origin[0]) * mm
    reach = (_off(refit, mm) + _GRID) * mm
    bottom = max((zone.bottom + 4.0 - origin[1]) * mm, minimum - reach)
    top = min((zone.top - 2.0 - origin[1]) * mm, maximum + reach)
    items: list[Item] = [*plan_items(refit, mm, bottom, top)]
    inner: dict[str, float] = {}
    spans: list[Item] = []
    for side in (*SIDES, *INBOARD):
        spans += span_items(refit, side, mm, fmt)
        items += label_items(refit, side, mm, low, high)
        inner |= inner_faces(refit, side, mm, low, high)
    items += across_items(refit, mm, fmt)
    witnesses = [item for item in spans if not isinstance(item, Dimension)]
    drawn = Drawn([*items, *witnesses], mm, origin, zone, fmt)
    placed = tuple(placed_spans(refit, spans, drawn, mm))
    items += (*witnesses_beside(witnesses, placed, drawn), *placed)
    for side in (*SIDES, *INBOARD):
        items += loose_items(refit, drawn, side, mm, low, high)
    items += gate_items(refit, drawn, mm, fmt, inner)
    signs = sign_items(refit, drawn, mm, first + 1.0 * mm, maximum + 16.0 * mm, minimum - 21.0 * mm)
    items = [*grid_beside(items, signs, mm), *signs]
    items += name_items(refit, drawn, mm)
    view = View(
        name="plan",
        title="",
        scale=1.0 / mm,
        origin=origin,
        window=Rect(zone.left, zone.bottom - 2.0, zone.right, zone.top + 2.0),
        items=tuple(items),
        numbers=fmt,
        description=own.SPANS.format(levels=_level_words(refit)),
    )

    def where(side: Side, at: Vec) -> tuple[Point, float]:
        return (origin[0] + at[0] / mm, origin[1] + at[1] / mm), side_sign(side) * math.pi / 2.0

    return view, flag_items(refit, listed, drawn, where)


def _level_words(refit: Refit) -> str:
    return ", ".join(own.LEVEL.format(level=level, word=LEVELS[level]) for level in levels_of(refit))


def _heading(refit: Refit, layout: Layout) -> list[Item]:
    area = field(layout.paper)
    y = area.top - 3.5
    beyond = area.left + text_width(own.HEAD, 3.5, "semibold") + 3.0
    words = own.VIEW.format(scale=scale_words(1.0 / layout.mm))
    spans = own.SPANS.format(levels=_level_words(refit))
    items: list[Item] = [
        Text((area.left, y), own.HEAD, 3.5, "TEXT", tag="view:plan", weight="semibold"),
        Text((beyond, y), words, 2.5, "SECOND"),
    ]
    lines = broken(spans, area.width - 80.0)
    items += [Text((area.left, y - 5.4 - 4.0 * row), line, 2.5, "SECOND") for row, line in enumerate(lines)]
    return items


def _tables(layout: Layout) -> list[Item]:
    items: list[Item] = []
    area = field(layout.paper)
    left, top = area.left, layout.foot - 4.0
    if layout.left_out:
        items.append(Text((left, layout.paper.frame.bottom + _BAR), own.ELSEWHERE, 2.5, "SECOND"))
    for title, table, width in layout.tables:
        items.append(Text((left, top - 3.5), title, 3.5, "TEXT", weight="semibold"))
        items += table.items((left, top - _TITLE), width)
        left += width + _GAP
    return items


def _verdicts(refit: Refit) -> list[Verdict]:
    used = {refit.placed.eye(hole).verdict for hole in refit.placed.lines_in_holes}
    return [verdict for verdict in ORDER if verdict in used]


def _column(layout: Layout) -> Rect:
    """Return the place of symbols and notes over the title block."""
    area, frame = field(layout.paper), layout.paper.frame
    return Rect(frame.right - BLOCK_WIDTH, frame.bottom + BLOCK_HEIGHT + 4.0, area.right, layout.foot)


_SYMBOLS_WIDE = 66.0


def _symbols(refit: Refit, layout: Layout) -> list[Item]:
    """Return the key to lines and signs."""
    place = _column(layout)
    x, y = place.left, place.top - 4.0 - 3.5
    items: list[Item] = [
        Text((x, y), own.SYMBOLS, 3.5, "TEXT", weight="semibold"),
        Line((x, y - 2.6), (x + _SYMBOLS_WIDE, y - 2.6), "HEAD-RULE"),
    ]
    rows: list[tuple[tuple[Item, ...], str]] = []
    y -= 2.6

    def sample(layer: str, row: int, off: float = 0.0) -> Line:
        level = y - 4.0 - row * 4.4 + 1.25
        return Line((x, level + off), (x + 12.0, level + off), layer)

    for level in levels_of(refit):
        rows.append(((sample(f"GUARD-LINE-{level}", len(rows)),), own.LINE.format(level=LEVELS[level])))
    if any(run.work.refused for run in refit.runs):
        pair = (sample("HOLD", len(rows), 0.65), sample("HOLD", len(rows), -0.65))
        rows.append((pair, own.HELD))
    for verdict in _verdicts(refit):
        at = (x + 6.0, y - 4.0 - len(rows) * 4.4 + 1.25)
        rows.append((eye_symbol(at, verdict), own.VERDICTS[verdict]))
    items += [item for drawn, _ in rows for item in drawn]
    items += [Text((x + 15.0, y - 4.0 - row * 4.4), text, 2.5, "NOTE") for row, (_, text) in enumerate(rows)]
    last = y - 4.0 - len(rows) * 4.4 - 1.2
    items += flag((x + 6.0, last + 0.6), 1)
    items.append(Text((x + 15.0, last - 0.6), own.FLAG, 2.5, "NOTE"))
    return items


def _note_lines(refit: Refit) -> list[str]:
    boat, fmt = refit.boat, numbers(refit.boat)
    notes = [own.AXES.format(z_zero=boat.axes.z_zero)]
    if boat.survey == "as designed":
        notes.append(own.DESIGNED.format(step=own.step(fmt)))
    else:
        off = plus_minus(boat)
        xy = fmt.figure(off.xy, 2 if fmt.unit == "in" else 0)
        lean = decimal(degrees(off.lean), 1)
        notes.append(own.KNOWN.format(xy=xy, unit=fmt.unit, lean=lean, step=own.step(fmt)))
    offsets = sorted({end.eye_offset for run in boat.runs for end in (run.start, run.finish) if end.eye_offset})
    if offsets:
        notes.append(own.GATE_PINS.format(value=", ".join(own.rounded(one, fmt) for one in offsets)))
    measured = {hole.measured is not None for _, hole in refit.placed.holes() if hole.id in refit.placed.lines_in_holes}
    if False in measured:
        notes.append(own.SOME_DIRECTIONS if True in measured else own.DIRECTIONS)
    notes.append(own.FIGURED)
    return notes


_NOTES_WIDE = BLOCK_WIDTH - FIELD_MARGIN - _SYMBOLS_WIDE - _GAP


def _notes_height(refit: Refit) -> float:
    lines = sum(len(broken(note, _NOTES_WIDE - 5.0)) for note in _note_lines(refit))
    signs = len(levels_of(refit)) + len(_verdicts(refit)) + 1 + any(run.work.refused for run in refit.runs)
    return max(lines * 4.0 + 8.0, signs * 4.4 + 11.0)


def _notes(refit: Refit, layout: Layout) -> list[Item]:
    place = _column(layout)
    x, y = place.left + _SYMBOLS_WIDE + _GAP, place.top - 4.0 - 3.5
    items: list[Item] = [
        Text((x, y), own.NOTES, 3.5, "TEXT", weight="semibold"),
        Line((x, y - 2.6), (place.right, y - 2.6), "HEAD-RULE"),
    ]
    y -= 2.6
    for number, note in enumerate(_note_lines(refit), 1):
        for row, line in enumerate(broken(note, _NOTES_WIDE - 5.0)):
            y -= 4.0
            if row == 0:
                items.append(Text((x, y), str(number), 2.5, "NOTE", weight="semibold"))
            items.append(Text((x + 5.0, y), line, 2.5, "NOTE"))
    return items
