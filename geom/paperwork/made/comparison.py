"""Lines as made against the design: the length error observed, the one predicted, the adjustment left.

Source: the error budget, see rigging/budget.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.intake.as_built import AsBuilt
from geom.refit import Refit
from geom.rigging.budget import COVERAGE, making_shares, shares_after_first
from geom.rigging.dimension_chain import plus_minus
from geom.units import Mm


@dataclass(frozen=True)
class MadeLine:
    """A line as made [mm]: designed and made length, the expanded error of its making, the adjustment left each way.

    `shortens` and `opens` are what the fittings can still take up and let out once they have met the difference; None
    where their range is not stated.
    """

    run: str
    designed: Mm
    made: Mm
    predicted: Mm
    shortens: Mm | None
    opens: Mm | None

    @property
    def off(self) -> Mm:
        """Made less designed [mm]."""
        return self.made - self.designed

    @property
    def as_predicted(self) -> bool:
        """Whether the difference is within the predicted error."""
        return abs(self.off) <= self.predicted

    @property
    def covered(self) -> bool | None:
        """Whether the fittings meet the difference; None where their range is not stated."""
        left = self.shortens if self.off > 0.0 else self.opens
        return None if left is None else left >= 0.0


def made_lines(refit: Refit, record: AsBuilt) -> tuple[MadeLine, ...]:
    """Return the lines whose finished length was measured, in the order of the boat file."""
    off = plus_minus(refit.boat)
    found = []
    for run, work in refit.work.runs.items():
        entry = record.runs.get(run)
        if entry is None or entry.finished is None:
            continue
        shares = shares_after_first if entry.first_eye is not None else making_shares
        parts = shares(work.lengths, off.tape, off.tape_source)
        predicted = COVERAGE * math.sqrt(math.fsum(share.standard**2 for share in parts))
        stack, difference = refit.placed.stacks[run], entry.finished - work.lengths.finished
        found.append(
            MadeLine(
                run=run,
                designed=work.lengths.finished,
                made=entry.finished,
                predicted=predicted,
                shortens=None if stack.shorten is None else stack.shorten - difference,
                opens=None if stack.lengthen is None else stack.lengthen + difference,
            )
        )
    return tuple(found)
