"""Rows that no other row beats: none is as good in every column and better in one (the Pareto set)."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from geom.fleet.row import BoatRow
from geom.units import to_compare

# Figures that are compared, and whether less is better.
COMPARED: dict[str, bool] = {
    "stops": True,
    "fails": True,
    "open_items": True,
    "on_board": True,
    "on_hold": True,
    "line_to_order": True,
    "cost": True,
    "without_rate": True,
    "min_clear": False,
    "max_post_utilisation": True,
    "lines_cut_anew": True,
}


def score(row: BoatRow) -> tuple[float, ...]:
    """Return the figures of a row such that less is better; what is not determined is worse than any figure.

    Args:
        row: of a boat that could be worked out.
    """
    values = ((getattr(row, name), less) for name, less in COMPARED.items())
    return tuple(math.inf if value is None else to_compare(value if less else -value) for value, less in values)


@dataclass
class Unbeaten:
    """The rows that no other beats, of all that were added so far: their scores, with the numbers that have each."""

    _scores: list[tuple[float, ...]] = field(default_factory=list)
    _table: np.ndarray = field(default_factory=lambda: np.empty((0, len(COMPARED))))
    _numbers: dict[tuple[float, ...], list[int]] = field(default_factory=dict)

    def add(self, row: BoatRow) -> None:
        """Take in a row, and leave out those that it beats; a row with an error is no choice.

        Args:
            row: the row.
        """
        if row.error:
            return
        own = score(row)
        if own in self._numbers:
            self._numbers[own].append(row.number)
            return
        array = np.array(own)
        if bool(np.any(np.all(self._table <= array, axis=1))):
            return
        beaten = np.all(self._table >= array, axis=1)
        for place in np.flatnonzero(beaten):
            del self._numbers[self._scores[place]]
        self._scores = [one for one, out in zip(self._scores, beaten, strict=True) if not out] + [own]
        self._table = np.vstack((self._table[~beaten], array))
        self._numbers[own] = [row.number]

    @property
    def numbers(self) -> frozenset[int]:
        """The numbers of the rows."""
        return frozenset(number for numbers in self._numbers.values() for number in numbers)
