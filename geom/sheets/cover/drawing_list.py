"""The list of all drawings of the set with their revision; it is the first sheet and lists itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from geom.drafting import plan_text as plan_words
from geom.drafting.paper import papers
from geom.drafting.ruling import ListColumn, RuledList, flow
from geom.drafting.sheet import Draft, key_items, lettered, list_area
from geom.drafting.title_block import issue_of, shortened_entries
from geom.figure import Cell, Rect
from geom.refit import Refit

_BETWEEN = 8.0
_MAX_PAGES = 20
_NOT_APPLICABLE = "not applicable"


def with_drawing_list(refit: Refit, drafts: Sequence[Draft]) -> tuple[Draft, ...]:
    """Return the drafts of a set in order with the list of drawings before them, all with their final numbers.

    Args:
        refit: the boat as calculated.
        drafts: all others, in any order.

    Raises:
        ValueError: the list does not fit twenty sheets.
    """
    pages = 1
    while pages <= _MAX_PAGES:
        own = _pages(refit, drafts, pages)
        if len(own) <= pages:
            return lettered((*own, *drafts))
        pages = len(own)
    raise ValueError(f"{len(drafts)} drawings do not fit {_MAX_PAGES} list sheets")


def _pages(refit: Refit, drafts: Sequence[Draft], pages: int) -> tuple[Draft, ...]:
    """Return the list drawn for an assumed number of sheets."""
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    blank = Draft(
        number="G1",
        name="drawing-list",
        title=plan_words.LIST_TITLE,
        subtitle=plan_words.LIST_KIND,
        paper=paper,
        scale="none",
        items=(),
        description="All sheets of the set with their titles, scales and sizes, and the revisions.",
        tolerance=_NOT_APPLICABLE,
        units=_NOT_APPLICABLE,
    )
    own = [
        blank if pages == 1 else replace(blank, name=_page_name(page), title=_page_title(page, pages))
        for page in range(1, pages + 1)
    ]
    listed = lettered((*own, *drafts))
    area = list_area(paper)
    middle, half = (area.left + area.right) / 2.0, _BETWEEN / 2.0
    areas = (
        Rect(area.left, area.bottom, middle - half, area.top),
        Rect(middle + half, area.bottom, area.right, area.top),
    )
    whole = [
        plan_words.LIST_IN_FULL.format(number=number, label=label, text=text)
        for number, (label, text) in enumerate(shortened_entries(issue_of(refit)), len(plan_words.LIST_NOTES) + 1)
    ]
    key = key_items(paper, plan_words.LIST_HEADING, (*plan_words.LIST_NOTES, *whole))
    filled = flow((_sheets(refit, listed), _revisions(refit)), areas, _BETWEEN)
    titled = own if len(own) == len(filled) else [blank] * len(filled)
    return tuple(replace(draft, items=(*items, *key)) for draft, items in zip(titled, filled, strict=True))


def _page_name(page: int) -> str:
    return "drawing-list" if page == 1 else f"drawing-list-{page}"


def _page_title(page: int, pages: int) -> str:
    return plan_words.LIST_PAGE.format(page=page, pages=pages)


def _sheets(refit: Refit, listed: Sequence[Draft]) -> RuledList:
    issue = issue_of(refit)
    rows = []
    for number, draft in enumerate(listed, 1):
        texts = (
            f"{issue.number}-{draft.number}",
            draft.title,
            draft.subtitle,
            draft.scale,
            draft.paper.name,
            issue.revision,
        )
        keys = ("number", "title", "kind", "scale", "paper", "revision")
        tags = (f"drawing:{number}:{key}" for key in keys)
        rows.append(tuple(Cell(text, tag) for text, tag in zip(texts, tags, strict=True)))
    shares = (22, 66, 42, 21, 19, 12)
    columns = tuple(ListColumn(head, share) for head, share in zip(plan_words.LIST_HEADS, shares, strict=True))
    return RuledList(plan_words.LIST_OF.format(count=len(listed)), columns, tuple(rows), "drawings", minimum=4.8)


def _revisions(refit: Refit) -> RuledList:
    revision = refit.boat.revision
    fields = {"mark": revision.mark, "date": revision.date, "by": revision.by, "note": revision.note}
    row = tuple(Cell(text, f"revision:{key}") for key, text in fields.items())
    shares = (12, 28, 52, 90)
    columns = tuple(ListColumn(head, share) for head, share in zip(plan_words.REVISION_HEADS, shares, strict=True))
    return RuledList(plan_words.REVISIONS, columns, (row,), "revisions")
