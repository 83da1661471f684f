"""What the line work has to say of a run beside its numbers: refused, to be looked at, or not to be told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from geom.units import InItsUnit

RemarkKind = Literal["refused", "cannot tell", "notice", "agreed"]
# Worst first, as run cards list them.
ORDER: tuple[RemarkKind, ...] = ("refused", "cannot tell", "notice", "agreed")


@dataclass(frozen=True)
class Remark:
    """One statement on one run: its subject, what was measured against which limit, and where the limit stands.

    `code` is a short name that does not change: rules and tests go by it. `sure` says how well the limit is known.
    """

    code: str
    kind: RemarkKind
    run: str
    subject: str
    text: str
    measured: InItsUnit | None = None
    limit: InItsUnit | None = None
    unit: str = ""
    source: str = ""
    sure: str = ""


def worst_first(remarks: tuple[Remark, ...]) -> tuple[Remark, ...]:
    """Return remarks with the gravest first, else in their own order."""
    return tuple(sorted(remarks, key=lambda remark: ORDER.index(remark.kind)))
