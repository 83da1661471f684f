"""Fitting sheets: each different fitting that the boat uses, by its named sizes, with where each size comes from.

No solid is made for it, so that drawing sheets never waits for the kernel: the views are the parts' own
outlines, and the pictorial view of a fitting is its model file's business.
"""

from __future__ import annotations

from collections.abc import Sequence

from geom.errors import GeometryError
from geom.figure import Item, Rect, View
from geom.refit import Refit
from geom.schedules import numbers
from geom.sheets import fitting_words as words
from geom.sheets import words as common
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.fitting_figure import Panel, Shown, panel
from geom.sheets.paper import Paper, papers
from geom.sheets.views import apart
from geom.solids.assembly import Piece, fitting_pieces
from geom.solids.names import file_name

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_GAP, _SHELF = 9.0, 6.0


def fitting_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of fittings, as many to a sheet as stand there; none where the boat uses none.

    Raises:
        GeometryError: no sheet holds a fitting.
    """
    shown = shown_fittings(refit)
    if not shown:
        return ()
    told: list[str] = []

    def note(text: str) -> int:
        if text not in told:
            told.append(text)
        return len(words.NOTES) + 1 + told.index(text)

    panels = [panel(one, numbers(refit.boat), note) for one in shown]
    notes = (*words.NOTES, *(f"{len(words.NOTES) + k}  {text}" for k, text in enumerate(told, 1)))
    for paper in papers(refit.boat.drawing.sheets, least=1):
        space = list_area(paper)
        if any(one.width > space.width or one.height > space.height for one in panels):
            continue
        try:
            key = key_items(paper, common.NOTES, notes)
        except ValueError:
            continue
        pages = packed(panels, space)
        before = [sum(map(len, pages[:page])) for page in range(len(pages))]
        return tuple(_draft(paper, page, len(pages), placed, before[page], key) for page, placed in enumerate(pages))
    raise GeometryError("no sheet holds the fittings")


def shown_fittings(refit: Refit) -> tuple[Shown, ...]:
    """Return each different fitting once, in the order of its first use; letters go by its place on the sheets."""
    found: dict[str, list[Piece]] = {}
    for piece in fitting_pieces(refit):
        found.setdefault(piece.product, []).append(piece)
    return tuple(_shown(product, pieces) for product, pieces in found.items())


def _letter(number: int) -> str:
    """Return A to Z without I and O, then AA, AB and so on."""
    high, low = divmod(number, len(_LETTERS))
    return (_LETTERS[high - 1] if high else "") + _LETTERS[low]


def _shown(product: str, pieces: Sequence[Piece]) -> Shown:
    part = pieces[0].part
    assert part is not None
    places = tuple(dict.fromkeys(_place(piece.instance) for piece in pieces))
    # An envelope that stands for a fitting without a shape is in the boat's model only.
    file = "boat.step" if part.family == "line" else f"{file_name(product)}.step"
    return Shown(part, pieces[0].sources, file, places, len(pieces))


def _place(instance: str) -> str:
    """Return where an instance stands: a run and its end, or a hole."""
    parts = instance.split()
    return " ".join(parts[:2]) if parts[1] in ("start", "finish") else parts[0]


def packed(panels: Sequence[Panel], space: Rect) -> list[list[tuple[Panel, float, float]]]:
    """Return the panels page by page with their upper left corners: each at the foot of the first column with room."""
    pages: list[_Page] = []
    for one in panels:
        if not any(page.takes(one) for page in pages):
            pages.append(_Page(space))
            pages[-1].takes(one)
    return [page.placed for page in pages]


class _Page:
    """A page being filled: its columns by left edge, width and the height where the next panel goes."""

    def __init__(self, space: Rect) -> None:
        self.space = space
        self.columns: list[list[float]] = []
        self.placed: list[tuple[Panel, float, float]] = []

    def takes(self, one: Panel) -> bool:
        """Place a panel if there is room for it."""
        for column in self.columns:
            left, width, y = column
            last = column is self.columns[-1]
            room = self.space.right - left if last else width
            if one.width <= room and y - one.height >= self.space.bottom:
                column[1:] = [max(width, one.width), y - one.height - _SHELF]
                self.placed.append((one, left, y))
                return True
        left = self.columns[-1][0] + self.columns[-1][1] + _GAP if self.columns else self.space.left
        if left + one.width > self.space.right or one.height > self.space.height:
            return False
        self.columns.append([left, one.width, self.space.top - one.height - _SHELF])
        self.placed.append((one, left, self.space.top))
        return True


def _draft(
    paper: Paper,
    page: int,
    of: int,
    placed: Sequence[tuple[Panel, float, float]],
    before: int,
    key: tuple[Item, ...],
) -> Draft:
    views: list[View] = []
    items: list[Item] = list(key)
    for number, (one, x, y) in enumerate(placed, before):
        drawn = one.draw(_letter(number), x, y)
        views += drawn[0]
        items += drawn[1]
    return Draft(
        name="fittings" if page == 0 else f"fittings-{page + 1}",
        title=words.TITLE if of == 1 else f"{words.TITLE} {page + 1} of {of}",
        kind=words.KIND,
        paper=paper,
        scale=common.AS_SHOWN,
        items=tuple(items),
        views=apart(views),
        tolerance=words.TOLERANCE,
        description="The different fittings that the boat uses, with their sizes and where these come from.",
    )
