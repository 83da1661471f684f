"""The order list: the lengths to cut drawn end to end or on their reels, with the parts list below."""

from __future__ import annotations

from collections.abc import Sequence

from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import flow
from geom.drafting.sheet import Draft, headed_area, headline, key_items
from geom.errors import GeometryError
from geom.figure import Item, Rect, Text
from geom.purchasing.parts_list import parts_list
from geom.refit import Refit
from geom.rigging.strength import line_strength
from geom.sheets.order import reel_bars
from geom.sheets.order import text as own
from geom.sheets.order.tables import order_lists
from geom.tables import numbers

_BETWEEN = 4.5
_LEAST_UNDER = 40.0


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
    area = headed_area(paper)
    tall = reel_bars.height(refit)
    view, labels = reel_bars.reel_view(refit, Rect(area.left, area.top - tall, area.right, area.top))
    below = Rect(area.left, area.bottom, area.right, area.top - tall - 2.0)
    pages = flow(order_lists(refit), (area,), _BETWEEN, first=(below,))
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
                *key_items(paper, words.KEY, key_lines(items)),
                *(labels if number == 0 else ()),
            ),
            views=(view,) if number == 0 else (),
            description=own.DESCRIPTION,
            tolerance=own.TOLERANCE,
            units=units_on(refit, {item.tag for item in items}, bars=number == 0),
            stamped=True,
        )
        for number, items in enumerate(pages)
    )


def units_on(refit: Refit, lists: set[str], bars: bool) -> str:
    """Return the units used on a sheet, for its title block.

    Args:
        refit: the calculated boat.
        lists: ids of the lists on the sheet.
        bars: whether the lengths are drawn on it.
    """
    unit = numbers(refit.boat).unit
    by_list = {
        "order-buy": {own.UNIT_NAME[unit], own.LENGTH_UNITS[unit][0], *_load_unit(refit)},
        "order-lines": {own.UNIT_NAME[unit]},
        "order-pieces": {own.UNIT_NAME[unit]},
        "order-held-back": {own.UNIT_NAME[unit]},
        "order-ends": {own.UNIT_NAME[unit]},
        "order-small": {own.UNIT_NAME[unit], own.LENGTH_UNITS[unit][0]},
        "order-sums": {own.MASS_UNIT[unit]} if refit.order.mass else set(),
        "order-compare": {own.UNIT_NAME[unit], "g", "N"},
    }
    used = {own.LENGTH_UNITS[unit][0]} if bars and refit.order.lines else set()
    used |= {one for name in lists for one in by_list.get(name, ())}
    return ", ".join(one for one in own.UNITS if one in used)


def _load_unit(refit: Refit) -> set[str]:
    """Return the unit of breaking loads where the parts list gives any."""
    lines = (line_strength(refit.boat.lines[order.line]).holds for order in refit.order.lines)
    held = frozenset(run for order in refit.order.lines for run, _ in order.on_hold)
    parts = (row.strength for row in parts_list(refit.boat, refit.placed.runs, held))
    stated = any(holds is not None for holds in lines) or any(strength is not None for strength in parts)
    return {own.LOAD_UNIT[numbers(refit.boat).unit]} if stated else set()


def key_lines(items: Sequence[Item]) -> tuple[str, ...]:
    """Return the lines of the KEY of a sheet, for the lists on it only."""
    here = {item.tag for item in items}
    said = " ".join(item.text for item in items if isinstance(item, Text))
    return tuple(line for tag, lines in own.KEY.items() if tag in here for line, wanted in lines if wanted in said)
