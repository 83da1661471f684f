"""Pages of the appendix: A4 or Letter upright, a heading, lists one beneath the other, notes after the last list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.drafting.paper import Paper, papers, upright
from geom.drafting.ruling import ListColumn, RuledList, flow
from geom.drafting.sheet import FIELD_MARGIN, Draft, bar_place
from geom.figure import Cell, Item, Line, Rect, Text
from geom.refit import Refit

NO_TOLERANCE = "not applicable"
# Side margins of the lists, clear of the centring marks [mm].
_SIDES = 6.0
_HEAD, _UNDER_HEAD, _OVER_BAR, _BETWEEN = 5.0, 3.0, 8.5, 7.0
_NOTES = "NOTES"


@dataclass(frozen=True)
class Document:
    """What the pages of one document are: number, name in file names, title, what it is, a description.

    `contents` are tags of lists with words for them: a page that has any of them says which, instead of what it is.
    """

    number: str
    name: str
    title: str
    kind: str
    description: str
    contents: tuple[tuple[str, str], ...] = ()

    def page(self, paper: Paper, items: tuple[Item, ...], units: str = "", tolerance: str = NO_TOLERANCE) -> Draft:
        """Return one page.

        Args:
            paper: of the page.
            items: on it.
            units: used on it; those of the boat where empty.
            tolerance: for the title block; the survey accuracy where empty.
        """
        return Draft(
            number=self.number,
            name=self.name,
            title=self.title,
            subtitle=", ".join(dict.fromkeys(self._listed(items))) or self.kind,
            paper=paper,
            scale="none",
            items=items,
            description=self.description,
            tolerance=tolerance,
            units=units,
        )

    def _listed(self, items: Sequence[Item]) -> Iterator[str]:
        words = dict(self.contents)
        return (words[item.tag] for item in items if item.tag in words)

    def pages(
        self, refit: Refit, lists: Sequence[RuledList], units: str = "", tolerance: str = NO_TOLERANCE
    ) -> tuple[Draft, ...]:
        """Return pages of lists, one beneath the other, those without rows left out.

        Args:
            refit: the boat as calculated.
            lists: in order.
            units: used on them; those of the boat where empty.
            tolerance: for the title block; the survey accuracy where empty.
        """
        paper = page_paper(refit)
        return tuple(self.page(paper, items, units, tolerance) for items in page_flow(paper, self.title, lists))


def page_paper(refit: Refit) -> Paper:
    """Return the paper of the appendix: the smallest of the boat's series, upright."""
    return upright(papers(refit.boat.drawing.sheets)[0])


def page_area(paper: Paper) -> Rect:
    """Return the space for lists under the heading, over bar, caution and title block."""
    frame = paper.frame
    top = frame.top - FIELD_MARGIN - _HEAD - 2.0 - _UNDER_HEAD
    return Rect(frame.left + _SIDES, bar_place(paper)[1] + _OVER_BAR, frame.right - _SIDES, top)


def page_head(paper: Paper, title: str, tag: str) -> tuple[Item, ...]:
    """Return the heading of a page with a rule under it.

    Args:
        paper: of the page.
        title: of the page.
        tag: id of the title.
    """
    area = page_area(paper)
    y = area.top + _UNDER_HEAD
    return (
        Text((area.left, y + 2.0), title, _HEAD, "TEXT", tag=tag, weight="semibold"),
        Line((area.left, y), (area.right, y), "HEAD-RULE"),
    )


def notes_list(notes: Sequence[str], tag: str) -> RuledList:
    """Return notes as a list of one column.

    Args:
        notes: each a row.
        tag: of the list.
    """
    rows = tuple((Cell(note, f"{tag}:{number}"),) for number, note in enumerate(notes, start=1))
    return RuledList("", (ListColumn(_NOTES, 1),), rows, tag)


def page_flow(
    paper: Paper, title: str, lists: Sequence[RuledList], first: Rect | None = None
) -> tuple[tuple[Item, ...], ...]:
    """Return the items of each page: heading and lists, lists without rows left out.

    Args:
        paper: of the pages.
        title: of the pages.
        lists: in order.
        first: the space of the first page where it differs [mm].
    """
    shown = [one for one in lists if one.rows]
    found = flow(shown, (page_area(paper),), _BETWEEN, first=() if first is None else (first,))
    return tuple(
        (*_over(page_head(paper, title.upper(), "page"), items, page_area(paper).top), *items) for items in found
    )


def _over(head: Sequence[Item], items: Sequence[Item], top: float) -> tuple[Item, ...]:
    """Return the heading of a page; without its rule where a list without a title begins with its own right below."""
    ruled = any(isinstance(item, Line) and item.layer == "HEAD-RULE" and top - item.start[1] < 0.1 for item in items)
    return tuple(item for item in head if not (ruled and isinstance(item, Line)))
