"""The order list: the lengths to cut drawn end to end or on their reels, with the parts list below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import RuledList, broken, flow, list_height, list_items
from geom.drafting.sheet import HEADLINE, UNDER_HEADLINE, Draft, beside_block, field, headed_area, headline
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.errors import GeometryError
from geom.figure import Item, Rect, Text
from geom.open_items import open_items
from geom.open_items.concerns import held_posts
from geom.purchasing.parts_list import parts_list
from geom.refit import Refit
from geom.rigging.strength import line_strength
from geom.sheets.order import reel_bars
from geom.sheets.order import text as own
from geom.sheets.order.tables import order_lists
from geom.sheets.stanchions import held as on_hold
from geom.tables import numbers

_BETWEEN, _APART, _OVER_BLOCK = 4.5, 6.0, 4.0
_LEAST_UNDER = 40.0
# Room for the notes over the title block, their pitch, and the most that lists at the foot take over it [mm].
_NOTES, _NOTE_PITCH, _MOST_FOOT = 24.0, 3.8, 70.0


def order_list(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of the order list: the lengths with the lists below, and further sheets as needed.

    Raises:
        GeometryError: the lengths fit on no sheet.
    """
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        if reel_bars.height(refit) + _LEAST_UNDER <= headed_area(paper).height:
            return _on(refit, paper)
    raise GeometryError("no sheet holds the reels of this boat")


def _on(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    place, lists = field(paper), order_lists(refit)
    top = place.top - HEADLINE - UNDER_HEADLINE
    tall = reel_bars.height(refit)
    view, labels = reel_bars.reel_view(refit, Rect(place.left, top - tall, place.right, top))
    beside = Rect(place.left, beside_block(paper).bottom + 3.0, paper.frame.right - BLOCK_WIDTH - _APART, top)
    foot, rest = _foot(paper, lists, beside)
    wide = Rect(place.left, foot, place.right, top)
    pages: list[list[Item]] = [list(page) for page in flow(
        rest, (wide,), _BETWEEN, first=(replace(wide, top=top - tall - 2.0),)
    )]  # fmt: skip
    pages[0] += [one for part in _at_foot(paper, lists, rest, foot, beside) for one in part]
    return tuple(
        Draft(
            number="R7",
            name="order",
            title=own.TITLE,
            subtitle=own.KIND,
            paper=paper,
            scale=words.AS_SHOWN if number == 0 else "none",
            items=(
                *headline(paper, own.TITLE.upper(), own.SAID, "order")[0],
                *items,
                *_notes(paper, (*key_lines(items), *_held_line(refit, items))),
                *(labels if number == 0 else ()),
            ),
            views=(view,) if number == 0 else (),
            description=own.DESCRIPTION,
            tolerance=own.TOLERANCE,
            units=units_on(refit, {item.tag for item in items}, bars=number == 0),
            stamped=True,
            for_cad=False,
        )
        for number, items in enumerate(pages)
    )


def _foot(paper: Paper, lists: Sequence[RuledList], beside: Rect) -> tuple[float, tuple[RuledList, ...]]:
    """Return the lower edge of the lists over the whole width, and those lists.

    The pieces stand left of the title block and the lines on hold over it, where they are not too long for that.
    """
    low = paper.frame.bottom + BLOCK_HEIGHT + _OVER_BLOCK
    small = {one.tag: one for one in lists if one.tag in ("order-pieces", "order-held-back")}
    right = field(paper).right - beside.right - _APART
    heights = {tag: list_height(one, beside.width if tag == "order-pieces" else right) for tag, one in small.items()}
    left_top = beside.bottom + heights.get("order-pieces", 0.0)
    right_top = low + heights.get("order-held-back", 0.0) + _NOTES
    foot = max(left_top, right_top)
    if foot - low > _MOST_FOOT:
        return low + _NOTES, tuple(lists)
    return foot + _BETWEEN, tuple(one for one in lists if one.tag not in small)


def _at_foot(
    paper: Paper, lists: Sequence[RuledList], rest: Sequence[RuledList], foot: float, beside: Rect
) -> Iterator[tuple[Item, ...]]:
    """Yield the lists beside and over the title block."""
    over = beside.right + _APART
    top = foot - _BETWEEN
    for one in lists:
        if one.tag in {other.tag for other in rest}:
            continue
        left, width = (beside.left, beside.width) if one.tag == "order-pieces" else (over, field(paper).right - over)
        yield list_items(one, (left, top), width)


def _notes(paper: Paper, lines: Sequence[str]) -> Iterator[Item]:
    """Yield the notes over the title block."""
    left = paper.frame.right - BLOCK_WIDTH
    parts = [part for line in lines for part in broken(line, field(paper).right - left)]
    low = paper.frame.bottom + BLOCK_HEIGHT + 2.4
    for row, part in enumerate(reversed(parts)):
        yield Text((left, low + row * _NOTE_PITCH), part, 2.5, "NOTE", tag="notes")


def units_on(refit: Refit, lists: set[str], bars: bool) -> str:
    """Return the units used on a sheet, for its title block.

    Args:
        refit: the calculated boat.
        lists: ids of the lists on the sheet.
        bars: whether the lengths are drawn on it.
    """
    unit = numbers(refit.boat).unit
    by_list = {
        "order-buy": {own.UNIT_NAME[unit], own.LENGTH_UNITS[unit], *_load_unit(refit)},
        "order-lines": {own.UNIT_NAME[unit]},
        "order-pieces": {own.UNIT_NAME[unit]},
        "order-held-back": {own.UNIT_NAME[unit]},
        "order-ends": {own.UNIT_NAME[unit]},
        "order-small": {own.UNIT_NAME[unit], own.LENGTH_UNITS[unit]},
        "order-sums": {own.MASS_UNIT[unit]} if refit.order.mass else set(),
        "order-compare": {own.UNIT_NAME[unit], "g", "N"},
    }
    used = {own.LENGTH_UNITS[unit]} if bars and refit.order.lines else set()
    used |= {one for name in lists for one in by_list.get(name, ())}
    return ", ".join(one for one in own.UNITS if one in used)


def _load_unit(refit: Refit) -> set[str]:
    """Return the unit of breaking loads where the parts list gives any."""
    lines = (line_strength(refit.boat.lines[order.line]).holds for order in refit.order.lines)
    held = frozenset(run for order in refit.order.lines for run, _ in order.on_hold)
    parts = (row.strength for row in parts_list(refit.boat, refit.placed.runs, held))
    stated = any(holds is not None for holds in lines) or any(strength is not None for strength in parts)
    return {own.LOAD_UNIT[numbers(refit.boat).unit]} if stated else set()


def _held_line(refit: Refit, items: Sequence[Item]) -> Iterator[str]:
    """Yield which stanchions are on hold, on a sheet with parts to buy."""
    held = held_posts(refit, open_items(refit))
    if held and any(item.tag == "order-buy" for item in items):
        numbers_of = ", ".join(map(str, on_hold.stopped_by(held)))
        yield own.HELD_POSTS.format(posts=on_hold.listed(held), numbers=numbers_of)


def key_lines(items: Sequence[Item]) -> tuple[str, ...]:
    """Return the lines of the KEY of a sheet, for the lists on it only."""
    here = {item.tag for item in items}
    said = " ".join(item.text for item in items if isinstance(item, Text))
    return tuple(line for tag, lines in own.KEY.items() if tag in here for line, wanted in lines if wanted in said)
