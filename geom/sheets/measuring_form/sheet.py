"""The blank measuring form, printed before any boat file exists: points, boxes, check tapes."""

from __future__ import annotations

from itertools import zip_longest
from typing import Literal

from geom.boat.model import Level
from geom.drafting import text as words
from geom.drafting.page import Document
from geom.drafting.paper import Paper, papers, upright
from geom.drafting.ruling import flow
from geom.drafting.sheet import bar_place, finish_issue, lettered
from geom.drafting.title_block import Issue
from geom.errors import Fault, InputError
from geom.figure import Item, Rect, Sheet
from geom.intake.survey.form import LEVELS_OF, SIDES
from geom.sheets.measuring_form.boxes import boat_page, eyes_page, posts_pages
from geom.sheets.measuring_form.picture import picture_page
from geom.sheets.measuring_form.tapes import across_lists, baseline_list, edge_list, side_lists
from geom.units import LengthFormat

MAX_POSTS = 20
_BETWEEN = 6.0
_UNITS = {"mm": (LengthFormat(), "ISO", "mm, degrees"), "in": (LengthFormat("in", 25.4, 2), "ANSI", "inches, degrees")}


_DOCUMENT = Document(
    "A7", "measuring-form", words.FORM_TITLE, words.FORM_KIND,
    "To be filled in on board; the points have the names of the boat file.",
)  # fmt: skip


def measuring_form(posts: int, levels: int, units: Literal["mm", "in"]) -> tuple[Sheet, ...]:
    """Return the blank form as numbered sheets: portrait A4, or Letter (ANSI A) for inches.

    Args:
        posts: posts on each side.
        levels: lines one above the other, 1 to 3.
        units: unit of lengths.

    Raises:
        InputError: a number of posts or lines, or a unit, without a form.
    """
    faults = []
    if not 1 <= posts <= MAX_POSTS:
        faults.append(Fault("posts on each side", "posts", read=str(posts), valid=f"1 to {MAX_POSTS}"))
    if levels not in LEVELS_OF:
        faults.append(Fault("lines one above the other", "levels", read=str(levels), valid="1, 2, 3 or 4"))
    if units not in _UNITS:
        faults.append(Fault("unit of lengths", "units", read=str(units), valid=" or ".join(_UNITS)))
    if faults:
        raise InputError("measuring form", faults)
    fmt, series, units_text = _UNITS[units]
    paper = upright(papers(series)[0])
    issue = Issue(number="FORM", units=units_text)
    pages = _pages(posts, LEVELS_OF[levels], fmt, form_area(paper))
    return tuple(
        finish_issue(issue, draft, len(pages))
        for draft in lettered([_DOCUMENT.page(paper, items, tolerance="") for items in pages])
    )


def form_area(paper: Paper) -> Rect:
    """Return the space over the 100 mm bar, clear of the centring marks."""
    frame = paper.frame
    return Rect(frame.left + 6.0, bar_place(paper)[1] + 9.0, frame.right - 6.0, frame.top - 6.0)


def _pages(posts: int, levels: tuple[Level, ...], fmt: LengthFormat, area: Rect) -> list[tuple[Item, ...]]:
    pages = [picture_page(posts, fmt, area)]
    for side in SIDES:
        pages += posts_pages(side, posts, levels, fmt, area)
    pages += [eyes_page(side, levels, area) for side in SIDES]
    drawn, bottom = boat_page(fmt, area)
    below = Rect(area.left, area.bottom, area.right, bottom - _BETWEEN)
    edges = flow((edge_list(posts),), (area,), _BETWEEN, first=(below,))
    pages += [(*drawn, *items) if index == 0 else items for index, items in enumerate(edges)]
    middle = (area.left + area.right) / 2.0
    left = Rect(area.left, area.bottom, middle - 2.5, area.top)
    right = Rect(middle + 2.5, area.bottom, area.right, area.top)
    across, diagonal = across_lists(posts, levels)
    starboard = flow((baseline_list(), *side_lists("S", posts, levels), across), (left,), _BETWEEN)
    port = flow((*side_lists("P", posts, levels), *diagonal), (right,), _BETWEEN)
    pages += [(*a, *b) for a, b in zip_longest(starboard, port, fillvalue=())]
    return pages
