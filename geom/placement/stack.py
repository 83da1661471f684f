"""The fittings of a run: their length within the path, and their adjusting range."""

from __future__ import annotations

import math

from geom.boat.model import Boat, Fitting, RunEnd
from geom.data import table
from geom.frozen import frozen
from geom.placement.place import PlacedRun
from geom.units import Mm


@frozen
class Stack:
    """Summed lengths of a run's fittings and terminals [mm].

    `fittings` at their planned setting, `deductions` of the wire terminals, `shorten` and `lengthen` the
    adjustment each way, None where a limit of a fitting is not given.
    """

    fittings: Mm
    deductions: Mm
    shorten: Mm | None
    lengthen: Mm | None

    @property
    def total(self) -> Mm:
        """Length to deduct from the path for the finished line [mm]."""
        return self.fittings


def stack(boat: Boat, run: PlacedRun) -> Stack:
    """Return the stack of a run, both ends together."""
    ends: tuple[RunEnd, RunEnd] = (run.spec.start, run.spec.finish)
    fittings = [boat.fittings[name] for end in ends for name in end.fittings]
    shorten, lengthen = travel(fittings)
    return Stack(
        fittings=math.fsum(fitting.length.planned for fitting in fittings),
        deductions=math.fsum(boat.ends[end.end].deduction or 0.0 for end in ends),
        shorten=shorten,
        lengthen=lengthen,
    )


def adjusts(fitting: Fitting) -> bool:
    """Return whether a fitting is of a kind that adjusts; one such as a shackle does not."""
    return table.row("fitting_families", word=fitting.family)["adjusts"] != "none"


def closes_gap(fitting: Fitting) -> bool:
    """Return whether a fitting is cord or rope that closes a gap: a lashing, or the rope tail of a wire line."""
    return table.row("fitting_families", word=fitting.family)["stands_in"] == "gap"


def travel(fittings: list[Fitting]) -> tuple[float | None, float | None]:
    """Return how far fittings shorten and lengthen together from their planned setting [mm]; None where not known.

    A fitting of a kind that adjusts nothing, such as a shackle, has no range to state.
    """
    minimum, maximum = [], []
    for fitting in fittings:
        length = fitting.length
        fixed = None if adjusts(fitting) else 0.0
        minimum.append(fixed if length.min is None else length.planned - length.min)
        maximum.append(fixed if length.max is None else length.max - length.planned)
    return _sum(minimum), _sum(maximum)


def finished_length(run: PlacedRun, of: Stack) -> float:
    """Return the length of a line between its bearing points under set tension [mm]: path less stack."""
    return run.path - of.total


def _sum(values: list[float | None]) -> float | None:
    return None if None in values else math.fsum(value for value in values if value is not None)
