"""One run on its sheet: name, box and figures at the left, the layout beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.drafting.line_text import cut_words, length, tape
from geom.drafting.ruling import RuledList, list_height, list_items
from geom.drafting.sheet import scale_words
from geom.drafting.symbols import flag, flag_wide
from geom.errors import GeometryError
from geom.figure import Item, Line, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items import OpenItem
from geom.open_items.concerns import of_run
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.held import REASON_PITCH, above, held_layout, options_list, reason, reason_lines
from geom.sheets.line_sheets.held import height as held_height
from geom.sheets.line_sheets.layout import Layout, fitted, layout, straight_of
from geom.sheets.line_sheets.marks import Straightened, is_held, mark_numbers
from geom.sheets.line_sheets.steps import decisions
from geom.tables import numbers
from geom.words.english import HEADINGS

# The left column, the gap beside it, and the options' share of what is right of it [mm].
COLUMN, BESIDE = 50.0, 8.0
_OPTIONS, _OPTIONS_GAP = (222.0, 190.0, 150.0), 8.0
_NAME, _NAME_ROW = 7.0, 9.5
_BOX, _BOX_LABEL, _FIGURES = 17.0, 2.5, (10.5, 7.0, 5.0, 3.5)
_FACT, _FACT_GAP = 5.5, 0.6
# The size of a flag and the gap to the next: smaller ones, and such that touch, where many stand side by side [mm].
_FLAG_SIZES = ((1.0, 0.8), (0.8, 0.8), (0.8, 0.0))
# From the name to the scale, a usual scale, from it to the flags, height of a row of flags [mm].
_NAME_GAP, _SCALE_WIDE, _OFF_SCALE, _FLAG_ROW = 2.0, 6.8, 1.0, 7.0


@dataclass(frozen=True)
class Block:
    """A run ready to be placed on a sheet of a width [mm]."""

    refit: Refit
    work: RunWork
    shown: Straightened
    width: float
    open_items: tuple[OpenItem, ...]
    options_width: float

    @property
    def held(self) -> bool:
        """Whether the run is on hold."""
        return self.shown.held

    @property
    def options(self) -> RuledList | None:
        """The options of a line on hold, None where there are none."""
        return options_list(self.refit, self.work) if self.held and self.work.alternatives else None

    @property
    def layout_width(self) -> float:
        """Width of the layout [mm]."""
        options = self.options_width + _OPTIONS_GAP if self.options is not None else 0.0
        return self.width - COLUMN - BESIDE - options

    @property
    def height(self) -> float:
        """Height of the run [mm]."""
        rows = len(tuple(_facts(self.refit, self.work)))
        left = _NAME_ROW + _BOX + _FACT_GAP + rows * _FACT + (len(_flag_rows(self)[1]) - 1) * _FLAG_ROW
        if not self.held:
            return max(left, self.shown.above + self.shown.below)
        beside = 0.0 if self.options is None else list_height(self.options, self.options_width) + self._reason_height
        return max(left, held_height(self.shown, self.layout_width, self.options is None), beside)

    @property
    def _reason_height(self) -> float:
        return 1.0 + len(reason_lines(self.refit, self.work, self.options_width)) * REASON_PITCH

    def items(self, left: float, top: float) -> tuple[list[View], list[Item]]:
        """Return the run drawn from its upper left corner down.

        Args:
            left: left edge [mm].
            top: upper edge [mm].
        """
        bottom = top - self.height
        place = Rect(left + COLUMN + BESIDE, bottom, left + COLUMN + BESIDE + self.layout_width, top)
        drawn = self._drawn(place)
        items = [*_head(self, Rect(left, bottom, left + COLUMN, top), drawn.straight.mm), *drawn.items]
        if self.options is not None:
            at = (place.right + _OPTIONS_GAP, top)
            items += list_items(self.options, at, self.options_width)
            under = (at[0], top - list_height(self.options, self.options_width) - 1.0)
            items += reason(self.refit, self.work, under, self.options_width)
        return list(drawn.views), items

    def _drawn(self, place: Rect) -> Layout:
        if self.held:
            return held_layout(self.shown, place, place.top - above(self.work), self.options is None)
        return layout(self.shown, place, place.top - self.shown.above)


def block(refit: Refit, work: RunWork, width: float, items: Sequence[OpenItem]) -> Block:
    """Return a run ready to be placed.

    Args:
        refit: the boat as calculated.
        work: the run.
        width: of the sheet's field [mm].
        items: the open items of the boat.
    """
    whole, found = width - COLUMN - BESIDE, of_run(refit, work.run, items)
    if not (is_held(work) and work.alternatives):
        return Block(refit, work, fitted(refit, work, whole), width, found, 0.0)
    # A long line takes room from its options.
    for options in _OPTIONS:
        shown = fitted(refit, work, whole - options - _OPTIONS_GAP)
        try:
            straight = straight_of(shown, 0.0, whole - options - _OPTIONS_GAP)
        except GeometryError:
            continue
        if not straight.broken:
            break
    return Block(refit, work, shown, width, found, options)


def _head(one: Block, column: Rect, mm: int) -> Iterator[Item]:
    """Yield the left column: name, scale and flags, box or stamp, figures."""
    refit, work = one.refit, one.work
    run, y = work.run, column.top - _NAME - 0.5
    yield Text((column.left, y), run, _NAME, "TEXT", tag=f"run:{run}", weight="semibold")
    x = column.left + text_width(run, _NAME, "semibold") + _NAME_GAP
    scale = scale_words(1.0 / mm)
    yield Text((x, y), scale, 2.5, "SECOND", tag=f"scale:{run}")
    size, (first, *more) = _flag_rows(one)
    yield from _flags(run, first, (x + text_width(scale, 2.5) + _OFF_SCALE, y + 2.6), size)
    box = Rect(column.left, column.top - _NAME_ROW - _BOX, column.right, column.top - _NAME_ROW)
    yield from _stamp(one, box) if one.held else _box(refit, work, box)
    y = box.bottom - _FACT_GAP
    for index, (label, value, key, layer) in enumerate(_facts(refit, work)):
        if index:
            yield Line((column.left, y), (column.right, y), "RULE")
        base = y - _FACT + 1.0
        yield Text((column.left, base), label, 2.5, layer, tag=f"{key}:{run}:label")
        yield Text((column.right, base), value, 3.5, layer, "right", tag=f"{key}:{run}", weight="semibold")
        y -= _FACT
    for row in more:
        yield from _flags(run, row, (column.left, y - 0.5 * _FLAG_ROW), size)
        y -= _FLAG_ROW


def _flag_rows(one: Block) -> tuple[tuple[float, float], tuple[tuple[int, ...], ...]]:
    """Return the size of a run's flags with the gap between them, and its open items in rows.

    All stand beside its name where there is room for them; they are smaller, and touch, where that helps. What has no
    room beside the name stands in rows below.
    """
    beside = text_width(one.work.run, _NAME, "semibold") + _NAME_GAP + _SCALE_WIDE + _OFF_SCALE
    listed = [item.number for item in one.open_items]
    for size, gap in _FLAG_SIZES:
        rows: list[list[int]] = [[]]
        room = COLUMN + BESIDE - 0.3 - beside
        for number in listed:
            wide = 2.0 * flag_wide(number) * size
            if wide > room:
                rows.append([])
                room = COLUMN
            rows[-1].append(number)
            room -= wide + gap
        if len(rows) == 1:
            break
    return (size, gap), tuple(map(tuple, rows))


def _flags(
    run: str, listed: Sequence[int], at: tuple[float, float], size_and_gap: tuple[float, float]
) -> Iterator[Item]:
    """Yield flags side by side from a left edge, at the level of their centres."""
    (x, y), (size, gap) = at, size_and_gap
    for number in listed:
        wide = flag_wide(number) * size
        yield from flag((x + wide, y), number, size, tag=f"flag:{run}:{number}")
        x += 2.0 * wide + gap


def _outline(rect: Rect, layer: str, inset: float = 0.0) -> Polyline:
    left, bottom, right, top = rect.left + inset, rect.bottom + inset, rect.right - inset, rect.top - inset
    return Polyline(((left, bottom), (right, bottom), (right, top), (left, top)), layer, closed=True)


def _stamp(one: Block, box: Rect) -> Iterator[Item]:
    """Yield the stamp in the place of the box, double-boxed, with the open item that it waits for."""
    middle, run = 0.5 * (box.left + box.right), one.work.run
    waits = (item for item in one.open_items if item.kind == "stop" or item.cause.code == "fact.cut")
    item = next(waits, None)
    under = words.DO_NOT_CUT if item is None else words.DO_NOT_CUT_ITEM.format(number=item.number)
    yield _outline(box, "HOLD")
    yield _outline(box, "HOLD", 0.9)
    yield Text((middle, box.top - 9.5), words.ON_HOLD, 7.0, "HOLD", "centre", tag=f"stop:{run}", weight="semibold")
    yield Text((middle, box.bottom + 2.5), under, 2.5, "HOLD", "centre", tag=f"stop:{run}:item")


def box_words(refit: Refit, work: RunWork) -> tuple[str, str]:
    """Return the heading of a run's box, and the length in it: off the reel for rope, cut for wire."""
    assert work.headline is not None
    return HEADINGS[work.heading], cut_words(work.headline, work.rope, numbers(refit.boat))


def _box(refit: Refit, work: RunWork, box: Rect) -> Iterator[Item]:
    """Yield the box with the one length that the rigger cuts."""
    head, figure = box_words(refit, work)
    first, unit = decisions(refit, work), numbers(refit.boat).unit
    # The unit stands in the upper corner, or behind the figure where a decision is there.
    room = box.width - 4.0 - (2.0 * text_width(unit, _BOX_LABEL) if first else 0.0)
    # A fraction reaches below its base line.
    sizes = _FIGURES[1:] if "/" in figure else _FIGURES
    size = next((size for size in sizes if text_width(figure, size, "semibold") <= room), _FIGURES[-1])
    yield _outline(box, "HEAD-RULE")
    yield Text((box.left + 1.6, box.top - 4.2), head, _BOX_LABEL, "TEXT", tag=f"box:{work.run}", weight="semibold")
    right = (box.right - 1.6, box.top - 4.2)
    at = (right[0], box.bottom + 1.8) if first else right
    yield Text(at, unit, _BOX_LABEL, "SECOND", "right", tag=f"box:{work.run}:unit")
    for text in first:
        yield Text(right, text, _BOX_LABEL, "OPEN-ITEM", "right", tag=f"decide:{work.run}", weight="semibold")
    low = box.bottom + 0.5 * (box.height - 4.8 - size) + 0.2
    middle = 0.5 * (box.left + box.right)
    yield Text((middle, low), figure, size, "TEXT", "centre", tag=f"cut:{work.run}", weight="semibold")


def _facts(refit: Refit, work: RunWork) -> Iterator[tuple[str, str, str, str]]:
    """Yield the figures under the box: label, value, key and layer; none of a line on hold."""
    if is_held(work):
        return
    fmt, found = mark_numbers(refit, work), work.lengths
    if work.heading == "final cut" and work.reel is not None:
        yield words.OFF_REEL, cut_words(work.reel.from_reel, True, fmt), "from-reel", "TEXT"
    throat = found.from_throat(work.making.first)
    if throat is not None:
        yield words.EYE_FROM_THROAT, tape(throat, fmt), "from-throat", "TEXT"
    yield words.FINISHED, tape(found.finished, fmt), "finished", "TEXT"
    if not math.isclose(found.marked, found.finished, abs_tol=0.05):
        yield words.MARKED, tape(found.marked, fmt), "marked", "TEXT"
    error = work.budget
    layer = "OPEN-ITEM" if error.verdict == "refused" else "TEXT"
    stated = f"±{length(error.combined, fmt)}"
    if error.shorten is None or error.lengthen is None:
        yield words.ERROR, stated, "error", layer
        return
    low, high = length(error.shorten, fmt), length(error.lengthen, fmt)
    reach = f"±{low}" if low == high else f"-{low} +{high}"
    if text_width(words.ERROR_RANGE, 2.5) + text_width(f"{stated}, {reach}", 3.5, "semibold") + 1.5 <= COLUMN:
        yield words.ERROR_RANGE, f"{stated}, {reach}", "error", layer
        return
    yield words.ERROR, stated, "error", layer
    yield words.ADJUSTS, reach, "range", layer
