"""Page layout of the fitting panels: in columns, a group on one page, as many as its notes leave room for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from geom.figure import Rect
from geom.sheets.fittings.figure import Panel

_GAP, _SHELF = 7.0, 6.0
# Whether the notes on some panels fit on a page: panel indices, whether it is the first page.
Holds = Callable[[Sequence[int], bool], bool]


@dataclass(frozen=True)
class Placed:
    """A panel on a page: the index of its fitting, and its top left corner [mm]."""

    index: int
    panel: Panel
    left: float
    top: float


def pages_of(
    panels: Sequence[Panel], groups: Sequence[str], space: Rect, holds: Holds
) -> list[tuple[Placed, ...]] | None:
    """Return the panels page by page, each in the first column with room; None where one fits on no page.

    Args:
        panels: in order.
        groups: a group name for each panel; consecutive panels of one group stay together.
        space: of a page [mm].
        holds: returns whether the notes on some panels fit on a page.
    """
    if any(one.width > space.width or one.height > space.height for one in panels):
        return None
    pages: list[_Page] = []
    # A fitting without a group name is a group of its own.
    for _, members in groupby(range(len(panels)), key=lambda k: groups[k] or str(k)):
        wanted = list(members)
        if any(page.takes_all(wanted, panels) for page in pages):
            continue
        pages.append(_Page(space, holds, not pages))
        if pages[-1].takes_all(wanted, panels):
            continue
        for k in wanted:
            if not pages[-1].takes(k, panels[k]):
                pages.append(_Page(space, holds, not pages))
                pages[-1].takes(k, panels[k])
    return [tuple(page.placed) for page in pages]


class _Page:
    """A page being filled: its columns by left edge, width and height of the next panel."""

    def __init__(self, space: Rect, holds: Holds, first: bool) -> None:
        self.space = space
        self.holds = holds
        self.first = first
        self.columns: list[list[float]] = []
        self.placed: list[Placed] = []

    def takes_all(self, wanted: Sequence[int], panels: Sequence[Panel]) -> bool:
        """Place all panels of a group, or none."""
        columns, placed = [list(column) for column in self.columns], list(self.placed)
        if all(self.takes(k, panels[k]) for k in wanted):
            return True
        self.columns, self.placed = columns, placed
        return False

    def takes(self, index: int, one: Panel) -> bool:
        """Place a panel if there is room for it and its notes; the first panel is always placed."""
        indices = [one.index for one in self.placed]
        if indices and not self.holds([*indices, index], self.first):
            return False
        for column in self.columns:
            left, width, y = column
            last = column is self.columns[-1]
            room = self.space.right - left if last else width
            if one.width <= room and y - one.height >= self.space.bottom:
                column[1:] = [max(width, one.width), y - one.height - _SHELF]
                self.placed.append(Placed(index, one, left, y))
                return True
        left = self.columns[-1][0] + self.columns[-1][1] + _GAP if self.columns else self.space.left
        if left + one.width > self.space.right or one.height > self.space.height:
            return False
        self.columns.append([left, one.width, self.space.top - one.height - _SHELF])
        self.placed.append(Placed(index, one, left, self.space.top))
        return True
