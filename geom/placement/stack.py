"""The fittings of a run: their length within the path, and their adjusting range."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Boat, RunEnd
from geom.placement.place import PlacedRun
from geom.units import Mm


@dataclass(frozen=True)
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
    lengths = [boat.fittings[name].length for end in ends for name in end.fittings]
    minimum = [length.min for length in lengths]
    maximum = [length.max for length in lengths]
    return Stack(
        fittings=math.fsum(length.planned for length in lengths),
        deductions=math.fsum(boat.ends[end.end].deduction or 0.0 for end in ends),
        shorten=_sum(
            [None if low is None else length.planned - low for low, length in zip(minimum, lengths, strict=True)]
        ),
        lengthen=_sum(
            [None if high is None else high - length.planned for high, length in zip(maximum, lengths, strict=True)]
        ),
    )


def finished_length(run: PlacedRun, of: Stack) -> float:
    """Return the length of a line between its bearing points under set tension [mm]: path less stack."""
    return run.path - of.total


def _sum(values: list[float | None]) -> float | None:
    return None if None in values else math.fsum(value for value in values if value is not None)
