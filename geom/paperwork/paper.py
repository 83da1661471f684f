"""A paper: pages of lists on A4 or Letter upright, with frame, title block and caution, as a PDF file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geom.drafting.page import NO_TOLERANCE, page_flow, page_paper
from geom.drafting.ruling import RuledList
from geom.drafting.sheet import Draft, finish
from geom.figure import Item, Sheet
from geom.refit import Refit
from geom.render.pdf import pdf_bytes


@dataclass(frozen=True)
class Paper:
    """What one paper is: the letter of its pages, its name in file names, its title, what it is, a description.

    `hold` says why nothing may be made from it, empty where that is not so.
    """

    letter: str
    name: str
    title: str
    kind: str
    description: str
    hold: str = ""


def pages(refit: Refit, paper: Paper, lists: Sequence[RuledList], units: str = "") -> tuple[Sheet, ...]:
    """Return a paper of lists, one beneath the other, as numbered pages.

    Args:
        refit: the calculated boat.
        paper: what it is.
        lists: in order; those without rows are left out.
        units: used on it; those of the boat where empty.
    """
    return numbered(refit, paper, page_flow(page_paper(refit), paper.title, lists), units)


def numbered(
    refit: Refit, paper: Paper, drawn: Sequence[tuple[Item, ...]], units: str = "", first: int = 1, of: int = 0
) -> tuple[Sheet, ...]:
    """Return the items of pages as sheets, numbered from `first`.

    Args:
        refit: the calculated boat.
        paper: what it is.
        drawn: the items of each page.
        units: used on it; those of the boat where empty.
        first: number of the first page.
        of: number of pages in all, where there are more than these.
    """
    drafts = [
        Draft(
            number=f"{paper.letter}{number}",
            name=paper.name,
            title=paper.title,
            subtitle=paper.kind,
            paper=page_paper(refit),
            scale="none",
            items=items,
            description=paper.description,
            tolerance=NO_TOLERANCE,
            units=units,
            hold=paper.hold,
        )
        for number, items in enumerate(drawn, start=first)
    ]
    return tuple(finish(refit, draft, of or len(drafts)) for draft in drafts)


def paper_bytes(refit: Refit, paper: Paper, sheets: Sequence[Sheet]) -> bytes:
    """Return a paper as a PDF file.

    Args:
        refit: the calculated boat.
        paper: what it is.
        sheets: its pages.
    """
    return pdf_bytes(sheets, title=f"{refit.boat.boat.name}: {paper.title}", dated=refit.boat.revision.date)
