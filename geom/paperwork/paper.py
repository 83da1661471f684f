"""A paper: pages of lists on A4 or Letter upright, with frame, title block and caution, as a PDF file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from geom.drafting.page import Document, page_flow, page_paper
from geom.drafting.ruling import RuledList
from geom.drafting.sheet import finish, letters
from geom.figure import Item, Sheet
from geom.refit import Refit
from geom.render.pdf import pdf_bytes


@dataclass(frozen=True)
class Paper(Document):
    """One paper; its number begins with a letter that no group of sheets has, and its pages get letters: Q1a, Q1b."""


def pages(refit: Refit, paper: Paper, lists: Sequence[RuledList], units: str = "") -> tuple[Sheet, ...]:
    """Return a paper of lists, one beneath the other, as numbered pages.

    Args:
        refit: the calculated boat.
        paper: what it is.
        lists: in order; those without rows are left out.
        units: used on it; those of the boat where empty.
    """
    return lettered(refit, paper, page_flow(page_paper(refit), paper.title, lists), units)


def lettered(refit: Refit, paper: Paper, drawn: Sequence[tuple[Item, ...]], units: str = "") -> tuple[Sheet, ...]:
    """Return the items of pages as sheets.

    Args:
        refit: the calculated boat.
        paper: what it is.
        drawn: the items of each page.
        units: used on it; those of the boat where empty.
    """
    drafts = [
        replace(page, number=f"{paper.number}{letters(place) if len(drawn) > 1 else ''}")
        for place, page in enumerate(paper.page(page_paper(refit), items, units) for items in drawn)
    ]
    return tuple(finish(refit, draft, len(drafts)) for draft in drafts)


def paper_bytes(refit: Refit, paper: Paper, sheets: Sequence[Sheet]) -> bytes:
    """Return a paper as a PDF file.

    Args:
        refit: the calculated boat.
        paper: what it is.
        sheets: its pages.
    """
    return pdf_bytes(sheets, title=f"{refit.boat.boat.name}: {paper.title}", dated=refit.boat.revision.date)
