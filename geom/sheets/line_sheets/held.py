"""A line on hold: its hollow line with the buries that it needs as bars over each other, why, and the options."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.drafting.line_text import in_words, refusal
from geom.drafting.ruling import ListColumn, RuledList, broken
from geom.figure import Cell, Dimension, Hatch, Item, Point, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items.lines import choices_for
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.layout import Layout, layout
from geom.sheets.line_sheets.marks import LETTERING, Straightened, shows_buries
from geom.tables import numbers
from geom.units import decimal, inch_fraction

# A bar's edges off the line's axis, and its dimension off the bar; the overlap's off the upper one [paper mm].
_NEAR, _FAR, _DIM, _DIM_UNDER, _OVERLAP = 2.4, 4.6, 2.0, 4.6, 6.6
# Over the axis with both buries drawn, and without.
ABOVE, ABOVE_BARE = 16.0, 6.0
REASON_PITCH = 3.7


def reason_lines(refit: Refit, work: RunWork, width: float) -> tuple[str, ...]:
    """Return why a run is on hold, as lines of a width [mm]."""
    fmt = numbers(refit.boat)
    if work.refused:
        text = words.REASON.format(reason=refusal(work, fmt))
    else:
        text = words.MISSING.format(missing=in_words(work.lengths.missing, fmt))
    return broken(text, width, LETTERING)


def above(work: RunWork) -> float:
    """Return the paper over the axis of a line on hold [mm]."""
    return ABOVE if shows_buries(work) else ABOVE_BARE


def reason(refit: Refit, work: RunWork, at: Point, width: float) -> tuple[Text, ...]:
    """Return why a run is on hold, from an upper left corner down in a width [mm]."""
    return tuple(
        Text((at[0], at[1] - 2.5 - REASON_PITCH * row), line, LETTERING, "HOLD", tag=f"refused:{work.run}")
        for row, line in enumerate(reason_lines(refit, work, width))
    )


def held_layout(shown: Straightened, place: Rect, axis: float, reasoned: bool) -> Layout:
    """Return the drawn line on hold.

    Args:
        shown: the run.
        place: its rectangle on paper [mm].
        axis: height of the line's axis on paper [mm].
        reasoned: whether the reason is written under it.

    Raises:
        GeometryError: the place is too narrow.
    """
    drawn = layout(shown, place, axis)
    # Clear of the tails of the words above it.
    low = axis - shown.below - 0.7
    items = reason(shown.refit, shown.work, (place.left, low), place.width) if reasoned else ()
    views = drawn.views
    if shows_buries(shown.work):
        first = drawn.views[0]
        views = (_with(first, tuple(_needed(shown, float(drawn.straight.mm)))),)
    return Layout(drawn.straight, views, (*drawn.items, *items))


def height(shown: Straightened, width: float, reasoned: bool) -> float:
    """Return the height of a drawn line on hold in a width, with its reason where that is under it [mm]."""
    under = len(reason_lines(shown.refit, shown.work, width)) * REASON_PITCH if reasoned else 0.0
    return above(shown.work) + shown.below + under + 1.0


def _with(view: View, more: tuple[Item, ...]) -> View:
    return replace(view, items=(*view.items, *more))


def _needed(shown: Straightened, mm: float) -> Iterator[Item]:
    """Yield both buries as bars, the forward one over the line, how far they overlap, and the finished length."""
    run = shown.work.run
    ends = {bury.end: bury.bury_end for bury in shown.work.fit.buries}
    apart = ends["finish"] - ends["start"]
    for bury, sign in zip(shown.work.fit.buries, (1.0, -1.0), strict=True):
        low, high = sorted((bury.throat, bury.bury_end))
        near, far = sign * _NEAR * mm, sign * _FAR * mm
        corners = ((low, near), (high, near), (high, far), (low, far))
        yield Hatch(corners, "HOLD", 1.3)
        yield Polyline(corners, "HOLD", True)
        text = f"{words.BURY} {_sign(shown, high - low)}"
        offset = _DIM if sign > 0.0 else -_DIM_UNDER
        # Extension lines would strike words longer than the bar, whose ends are plain without them.
        long = text_width(f"{words.BURY} {_number(shown, high - low)}", LETTERING) + 1.0 > (high - low) / mm
        yield Dimension((low, far), (high, far), offset, 0.0, text, layer="HOLD", tag=f"needs:{run}:{bury.end}",
                        bare=(long, long))  # fmt: skip
    if abs(apart) >= 1.0 * mm:
        first, last = sorted((ends["finish"], ends["start"]))
        word = words.OVERLAP if apart < 0.0 else words.APART
        span, wide = abs(apart) / mm, text_width(f"{word} {_number(shown, abs(apart))}", LETTERING, "semibold")
        # Where the words are longer than the overlap they are aft of it.
        shift = 0.0 if wide + 6.0 <= span else (span + wide) / 2.0 + 2.0
        yield Dimension(
            (first, _FAR * mm), (last, _FAR * mm), _OVERLAP, 0.0, f"{word} {_sign(shown, abs(apart))}", shift,
            layer="HOLD", tag=f"needs:{run}:overlap", weight="semibold", bare=(True, True),
        )  # fmt: skip


def _number(shown: Straightened, value: float) -> str:
    fmt = shown.numbers
    return inch_fraction(value, 32) if fmt.unit == "in" else decimal(value, fmt.decimals)


def _sign(shown: Straightened, value: float) -> str:
    """Return the sign for the measured value; an inch length as a tape is read."""
    return _number(shown, value) if shown.numbers.unit == "in" else "<>"


def options_list(refit: Refit, work: RunWork) -> RuledList:
    """Return the choices for a line that is on hold, with the letters that its open item has; none is approved."""
    fmt = numbers(refit.boat)
    columns = tuple(ListColumn(head, share) for head, share in zip(words.OPTIONS_HEADS, (58, 94, 70), strict=True))
    rows = tuple(
        (
            Cell(
                words.OPTION.format(letter=chr(ord("A") + index), what=in_words(choice.what, fmt)),
                f"instead:{work.run}:{index + 1}:what",
                weight="semibold",
            ),
            Cell(in_words(choice.figures, fmt) if choice.figures else "", f"instead:{work.run}:{index + 1}:figures"),
            Cell(in_words(choice.to_check, fmt) if choice.to_check else "", f"instead:{work.run}:{index + 1}:check"),
        )
        for index, choice in enumerate(choices_for(refit, work.run))
    )
    return RuledList("", columns, rows, f"instead:{work.run}")
