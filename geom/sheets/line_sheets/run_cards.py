"""Sheet 6: one card for each run: the line straightened, its cut length, both ends, error against range."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom.drafting import text as words
from geom.drafting.line_text import lines_down
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import broken, list_height, list_items
from geom.drafting.sheet import Draft, beside_block, key_items, list_area
from geom.drafting.straight_line import Straight
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, Line, Rect, View
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.sheets.line_sheets.run_card_figure import figure
from geom.sheets.line_sheets.run_card_head import WIDTH, head
from geom.sheets.line_sheets.run_card_key import key_lines, tolerance
from geom.sheets.line_sheets.run_card_marks import Straightened, straightened
from geom.sheets.line_sheets.run_card_tables import alternatives_list, beside, budget_table, ends_table, terms_table

# Between two cards, and between the tables of one [mm].
_GAP, _BETWEEN = 5.5, 3.8
# Beside the drawing of a line that is not to be cut: its error and remarks [mm].
_BESIDE, _ASIDE = 106.0, 4.0
_SCALE_PITCH = 3.6


def run_cards(refit: Refit) -> tuple[Draft, ...]:
    """Return the cards in the boat file's order, as many to a sheet as stand on it.

    Raises:
        GeometryError: no sheet holds a card.
    """
    shown = [straightened(refit, work) for work in refit.work.runs.values()]
    sizes = papers(refit.boat.drawing.sheets, minimum=1)
    wanted = [(paper, rows) for paper in sizes for rows in range(_maximum(shown, list_area(paper)), 1, -1)]
    # A larger sheet with several cards stands before a card to a sheet, which leaves half of it empty.
    for paper, rows in (*wanted, *((paper, 1) for paper in sizes)):
        try:
            return _on(refit, paper, shown, rows)
        except GeometryError:
            continue
    raise GeometryError("no sheet holds the run cards of this boat")


def _maximum(shown: Sequence[Straightened], area: Rect) -> int:
    """Return how many cards a sheet holds at most."""
    tallest = max((card.height for card in shown), default=1.0)
    return min(int((area.height + _GAP) / (tallest + _GAP)), len(shown))


def _on(refit: Refit, paper: Paper, shown: Sequence[Straightened], rows: int) -> tuple[Draft, ...]:
    area = list_area(paper)
    tall = (area.height - (rows - 1) * _GAP) / rows
    pages = [shown[first : first + rows] for first in range(0, len(shown), rows)]
    drafts = []
    for number, page in enumerate(pages, start=1):
        views: list[View] = []
        items: list[Item] = []
        for row, card in enumerate(page):
            top = area.top - row * (tall + _GAP)
            drawn = _card(refit, card, Rect(area.left, top - tall, area.right, top))
            views += drawn[0]
            items += drawn[1]
            if row:
                items.append(Line((area.left, top + 0.5 * _GAP), (area.right, top + 0.5 * _GAP), "TABLE"))
        works = [card.work for card in page]
        names = ", ".join(work.run for work in works)
        kind = words.RUN_CARDS_KIND
        if len(pages) > 1:
            kind = run_card_words.KIND_PAGE.format(kind=kind, page=number, pages=len(pages))
        drafts.append(
            Draft(
                number="R1",
                name="run-cards",
                title=run_card_words.TITLE.format(names=names),
                subtitle=kind,
                paper=paper,
                scale=words.AS_SHOWN,
                items=(*items, *_key(refit, paper, works)),
                views=apart(views),
                description=f"The lines {names} straightened; every mark counts from where the forward end bears.",
                tolerance=tolerance(refit, works),
            )
        )
    return tuple(drafts)


def _key(refit: Refit, paper: Paper, works: Sequence[RunWork]) -> tuple[Item, ...]:
    room = beside_block(paper).width - 1.0
    try:
        return key_items(paper, words.KEY, key_lines(refit, works, room))
    except ValueError as error:
        raise GeometryError(str(error)) from None


def _card(refit: Refit, shown: Straightened, card: Rect) -> tuple[list[View], list[Item]]:
    work = shown.work
    column = Rect(card.left, card.bottom, card.left + WIDTH, card.top)
    body = Rect(column.right + 5.0, card.bottom, card.right, card.top)
    # A budget of large figures is wider than usual.
    budget = _ASIDE + math.fsum(budget_table(refit, work).widths)
    right = body.right - max(_BESIDE, budget) if work.refused else body.right
    place = Rect(body.left, body.top - shown.height, right, body.top)
    if place.bottom < card.bottom:
        raise GeometryError(f"the line of {work.run} does not stand on its card")
    straight, views, items = figure(shown, place)
    stated = _scale_lines(straight)
    tall = _SCALE_PITCH * len(stated)
    items += lines_down(stated, column.left, column.bottom + 0.5 + tall, f"scale:{work.run}")
    items += head(refit, work, column, 0.5 + tall)
    below = Rect(body.left, card.bottom, body.right, place.bottom - 1.0)
    if not work.refused:
        return views, [*items, *_tables(refit, work, below)]
    items += beside(refit, work, Rect(right + _ASIDE, place.bottom, body.right, place.top))
    return views, [*items, *_instead(refit, work, below)]


def _scale_lines(straight: Straight) -> tuple[str, ...]:
    broken_off = run_card_words.BROKEN if straight.broken else ""
    return broken(run_card_words.SCALE.format(mm=straight.mm, broken=broken_off), WIDTH)


def _instead(refit: Refit, work: RunWork, place: Rect) -> list[Item]:
    """Return what would fit instead of a line that is not to be cut."""
    if not work.alternatives:
        return []
    ruled = alternatives_list(refit, work)
    if list_height(ruled, place.width) > place.height:
        raise GeometryError(f"the alternatives of {work.run} do not stand on its card")
    return list(list_items(ruled, (place.left, place.top), place.width))


def _tables(refit: Refit, work: RunWork, place: Rect) -> list[Item]:
    terms, ends = terms_table(refit, work), ends_table(refit, work)
    if max(terms.height, ends.height) > place.height:
        raise GeometryError(f"the tables of {work.run} do not stand on its card")
    left = place.left + math.fsum(terms.widths) + _BETWEEN
    rest = left + math.fsum(ends.widths) + _BETWEEN
    under = Rect(left, place.bottom, rest - _BETWEEN, place.top - ends.height - 1.5)
    return [
        terms.at((place.left, place.top)),
        ends.at((left, place.top)),
        *beside(refit, work, Rect(rest, place.bottom, place.right, place.top), under),
    ]
