"""What the line work has to say of a run beside its numbers: refused, to be looked at, or not determined."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from geom.placement.eyes import Where
from geom.remark import Remark, Stated

RemarkKind = Literal["refused", "cannot tell", "notice", "agreed"]
# Worst first, as run cards list them.
ORDER: tuple[RemarkKind, ...] = ("refused", "cannot tell", "notice", "agreed")


@dataclass(frozen=True)
class LineRemark:
    """One remark on one run: what it says, what was measured against which limit, and where the limit stands.

    `code` is the check that was made, a short name that does not change: rules and tests go by it. `end` is the end
    of the run that it speaks of, None for the whole run. `sure` says how well the limit is known.
    """

    code: str
    kind: RemarkKind
    run: str
    says: Remark
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    source: Stated = ""
    sure: str = ""
    end: Where | None = None


def worst_first(remarks: tuple[LineRemark, ...]) -> tuple[LineRemark, ...]:
    """Return remarks with the most serious first, else in their own order."""
    return tuple(sorted(remarks, key=lambda remark: ORDER.index(remark.kind)))
