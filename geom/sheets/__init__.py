"""What goes on paper: one file for each sheet, and the list of them in the order of the set."""

from __future__ import annotations

from collections.abc import Callable

from geom.figure import Sheet
from geom.refit import Refit
from geom.sheets.deck_plan import deck_plan

SHEETS: tuple[Callable[[Refit, int, int], Sheet], ...] = (deck_plan,)


def drawing_set(refit: Refit) -> tuple[Sheet, ...]:
    """Return all sheets of a boat in order."""
    return tuple(make(refit, index + 1, len(SHEETS)) for index, make in enumerate(SHEETS))
