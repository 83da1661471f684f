"""Remarks on a run beside its figures: refused, not determined, to be noted, or passed."""

from __future__ import annotations

from typing import Literal

from geom.frozen import frozen
from geom.placement.eyes import Where
from geom.remark import Remark, Stated

RemarkKind = Literal["refused", "cannot tell", "notice", "agreed"]
# Worst first.
ORDER: tuple[RemarkKind, ...] = ("refused", "cannot tell", "notice", "agreed")


@frozen
class LineRemark:
    """One remark on one run: its text, the measured value, the limit and the source of the limit.

    `code` is the short, fixed name of the check, which rules and tests refer to. `end` is the end of the run it
    concerns, None for the whole run. `sure` is the confidence in the limit.
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
    """Return remarks in order of severity, the most serious first."""
    return tuple(sorted(remarks, key=lambda remark: ORDER.index(remark.kind)))
