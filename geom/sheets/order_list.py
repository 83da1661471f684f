"""Sheet 12: what is to be bought: reels drawn with their cuts, lines, fittings by run end, small parts, sums."""

from __future__ import annotations

from geom.errors import GeometryError
from geom.figure import Rect
from geom.refit import Refit
from geom.sheets import reel_bars, words
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.order_lists import order_lists
from geom.sheets.paper import Paper, papers
from geom.sheets.ruled_list import flow

_BETWEEN = 6.0
_LEAST_UNDER = 40.0


def order_list(refit: Refit) -> tuple[Draft, ...]:
    """Return the reels with the lists under them, and further sheets as the lists want them.

    Raises:
        GeometryError: no sheet holds the reels.
    """
    for paper in papers(refit.boat.drawing.sheets, least=1):
        if reel_bars.height(refit) + _LEAST_UNDER <= list_area(paper).height:
            return _on(refit, paper)
    raise GeometryError("no sheet holds the reels of this boat")


def _on(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area = list_area(paper)
    tall = reel_bars.height(refit)
    view, labels = reel_bars.reel_view(refit, Rect(area.left, area.top - tall, area.right, area.top))
    below = Rect(area.left, area.bottom, area.right, area.top - tall - 2.0)
    key = key_items(paper, words.KEY, words.ORDER_KEY)
    return tuple(
        Draft(
            name="order",
            title=words.ORDER_TITLE,
            kind=words.ORDER_KIND,
            paper=paper,
            scale=words.AS_SHOWN if number == 0 else "none",
            items=(*items, *key, *(labels if number == 0 else ())),
            views=(view,) if number == 0 else (),
            description="Rope and wire with their reels, fittings by run end, small parts, mass and cost.",
        )
        for number, items in enumerate(flow(order_lists(refit), (area,), _BETWEEN, first=(below,)))
    )
