"""Sheet 6: one card for each run: the line straightened, its cut length, both ends, error against range."""

from __future__ import annotations

from dataclasses import replace

from geom.errors import GeometryError
from geom.figure import Item, Line, Rect, Text, View
from geom.refit import Refit
from geom.runs.line_work import RunWork
from geom.schedules import numbers
from geom.sheets import run_card_figure, words
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.line_words import boxed, cut_words, fitting_height, length, line_of, lines_down, refusal, run_rope
from geom.sheets.paper import Paper, papers
from geom.sheets.ruled_list import broken, list_height, list_items
from geom.sheets.run_card_figure import figure, needed_buries, straightened
from geom.sheets.run_card_tables import alternatives_list, beside, ends_table, terms_table
from geom.sheets.views import apart

_COLUMN = 62.0
_GAP = 5.5
# The least height of a card: its line and the tables under it [mm].
_LEAST = run_card_figure.HEIGHT + 36.0
_BOX = 25.5


def run_cards(refit: Refit) -> tuple[Draft, ...]:
    """Return the cards in the boat file's order, as many to a sheet as stand on it.

    Raises:
        GeometryError: no sheet holds a card.
    """
    for paper in papers(refit.boat.drawing.sheets, least=1):
        try:
            return _on(refit, paper)
        except GeometryError:
            continue
    raise GeometryError("no sheet holds the run cards of this boat")


def _on(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area = list_area(paper)
    rows = int((area.height + _GAP) / (_LEAST + _GAP))
    if rows < 1:
        raise GeometryError(f"no run card stands on {paper.name}")
    works = tuple(refit.work.runs.values())
    tall = (area.height - (rows - 1) * _GAP) / rows
    drafts = []
    for first in range(0, len(works), rows):
        views: list[View] = []
        items: list[Item] = []
        for row, work in enumerate(works[first : first + rows]):
            top = area.top - row * (tall + _GAP)
            drawn = _card(refit, work, Rect(area.left, top - tall, area.right, top))
            views += drawn[0]
            items += drawn[1]
            if row:
                items.append(Line((area.left, top + 0.5 * _GAP), (area.right, top + 0.5 * _GAP), "TABLE"))
        names = ", ".join(work.run for work in works[first : first + rows])
        drafts.append(
            Draft(
                name="run-cards",
                title=f"lines {names}",
                kind=words.RUN_CARDS_KIND,
                paper=paper,
                scale=words.AS_SHOWN,
                items=(*items, *key_items(paper, words.KEY, words.RUN_KEY)),
                views=apart(views),
                description=f"The lines {names} straightened; every mark counts from where the forward end bears.",
            )
        )
    return tuple(drafts)


def _card(refit: Refit, work: RunWork, card: Rect) -> tuple[list[View], list[Item]]:
    shown = straightened(refit, work)
    column = Rect(card.left, card.bottom, card.left + _COLUMN, card.top)
    body = Rect(column.right + 5.0, card.bottom, card.right, card.top)
    place = Rect(body.left, body.top - run_card_figure.HEIGHT, body.right, body.top)
    straight, views, items = figure(shown, place)
    if work.refused:
        views = [
            replace(view, items=(*view.items, *needed_buries(shown, straight, piece)))
            for view, piece in zip(views, straight.pieces, strict=True)
        ]
    told = words.PIECES_SCALE.format(mm=straight.mm, broken=words.BROKEN if straight.broken else "")
    lines = broken(told, column.width)
    items += lines_down(lines, column.left, column.bottom + 0.5 + 3.6 * len(lines), f"scale:{work.run}")
    items += _head(refit, work, column)
    items += _tables(refit, work, Rect(body.left, card.bottom, body.right, place.bottom - 1.0))
    return views, items


def _head(refit: Refit, work: RunWork, column: Rect) -> list[Item]:
    """Return the left column: which line, how long it is cut."""
    how, run = numbers(refit.boat), refit.placed.runs[work.run]
    left, room = column.left, column.width
    high = fitting_height(work.run, room, 10.0)
    y = column.top - high
    items: list[Item] = [Text((left, y), work.run, high, "TEXT", tag=f"run:{work.run}")]
    ends = words.FROM_TO.format(start=run.names[0], finish=run.names[-1])
    rows = (
        (words.SIDE[run.side], 5.0, "side"),
        (words.UPPER_LINE[run.level], 3.5, "level"),
        (ends, 2.5, "ends"),
        (line_of(refit, work.run, how), 2.5, "line"),
    )
    for text, height, key in rows:
        height = fitting_height(text, room, height)
        y -= height + 2.6
        items.append(Text((left, y), text, height, "TEXT", tag=f"{key}:{work.run}"))
    box = Rect(left, y - 3.0 - _BOX, left + room, y - 3.0)
    items.append(boxed(box, "FRAME" if work.refused else "TITLE"))
    items += _cut_box(refit, work, box)
    y = box.bottom
    if work.refused:
        lines = broken(refusal(work, how), room, 2.5)
        return [*items, *lines_down(lines, left, y - 2.5, f"refused:{work.run}")]
    below: tuple[tuple[str, float, str], ...]
    below = ((words.FINISHED_LENGTH.format(value=length(work.lengths.finished, how)), 5.0, "finished"),)
    if abs(work.lengths.marked - work.lengths.finished) > 0.05:
        below += ((words.MARKED_LENGTH.format(value=length(work.lengths.marked, how)), 3.5, "marked"),)
    for text, height, key in below:
        y -= height + 3.0
        items.append(Text((left, y), text, fitting_height(text, room, height), "TEXT", tag=f"{key}:{work.run}"))
    least, most = work.lengths.cut_least, work.lengths.cut_most
    if work.cut is not None and least is not None and most is not None and most > least:
        rope = run_rope(refit, work.run)
        told = words.CUT_RANGE.format(least=cut_words(least, rope, how), most=cut_words(most, rope, how))
        items += lines_down(broken(told, room), left, y - 2.0, f"cut-range:{work.run}")
    return items


def _cut_box(refit: Refit, work: RunWork, box: Rect) -> list[Item]:
    """Return the cut length big, or that the line is not to be cut."""
    how = numbers(refit.boat)
    middle = (box.left + box.right) / 2.0
    if work.refused:
        return [
            Text((middle, box.top - 11.0 - 11.5 * row), line, 7.0, "TEXT", "centre", tag=f"stop:{work.run}")
            for row, line in enumerate(words.DO_NOT_CUT)
        ]
    rope = run_rope(refit, work.run)
    if work.cut is None:
        missing = broken("; ".join(work.lengths.missing), box.width - 3.0)
        return [
            Text((middle, box.top - 7.0), words.NO_CUT, 3.5, "TEXT", "centre", tag=f"cut:{work.run}"),
            *lines_down(missing, box.left + 1.5, box.top - 9.0, f"missing:{work.run}"),
        ]
    text = cut_words(work.cut, rope, how)
    high = fitting_height(text, box.width - 4.0)
    return [
        Text((box.left + 1.5, box.top - 4.2), words.CUT.format(unit=how.unit), 2.5, "NOTE"),
        Text((middle, box.bottom + 4.6 + (14.0 - high) / 2.0), text, high, "TEXT", "centre", tag=f"cut:{work.run}"),
    ]


def _tables(refit: Refit, work: RunWork, place: Rect) -> list[Item]:
    if work.refused and work.alternatives:
        ruled = alternatives_list(work)
        if list_height(ruled, place.width) > place.height:
            raise GeometryError(f"the alternatives of {work.run} do not stand on its card")
        return list(list_items(ruled, (place.left, place.top), place.width))
    if work.refused:
        return beside(refit, work, place)
    terms, ends = terms_table(refit, work), ends_table(refit, work)
    if max(terms.height, ends.height) > place.height:
        raise GeometryError(f"the tables of {work.run} do not stand on its card")
    left = place.left + sum(terms.widths) + _GAP
    rest = left + sum(ends.widths) + _GAP
    return [
        terms.at((place.left, place.top)),
        ends.at((left, place.top)),
        *beside(refit, work, Rect(rest, place.bottom, place.right, place.top)),
    ]
