"""What a rule says of a boat: one finding per place, with document, clause, measured value and limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from geom.placement.placed import Placed
    from geom.rules.asked import Asked

Verdict = Literal["pass", "fail", "cannot tell", "not applicable", "notice"]
# Worst first, as reports list them.
ORDER: tuple[Verdict, ...] = ("fail", "cannot tell", "notice", "pass", "not applicable")


@dataclass(frozen=True)
class Finding:
    """One clause against one place of one boat.

    `measured`, `limit` and `margin` are in `unit`; margin is positive where the limit is kept. A
    quantity that cannot be measured is None, and its verdict `cannot tell`. `sure` says how well the
    limit is known, `printed` how the document itself writes it. `binding` is False where the document
    binds other boats and is put for comparison. `would` is the verdict that a notice stands for, where a
    doubtful limit or a document that binds other boats keeps it from being one. `where` is the place in
    words. `demand` orders findings that have no margin, the greatest first. `waiver` is what somebody put
    beside the finding; it never changes the verdict.
    """

    id: str
    document: str
    edition: str
    clause: str
    subject: str
    quantity: str
    verdict: Verdict
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    margin: float | None = None
    run: str | None = None
    post: str | None = None
    note: str = ""
    uncertainty: float | None = None
    sure: str = ""
    binding: bool = True
    waiver: str = ""
    would: Verdict | None = None
    where: str = ""
    printed: str = ""
    demand: float | None = None


@dataclass(frozen=True)
class Clause:
    """One clause: its number, what it is about, and the function from a placed boat to findings.

    `check` is None where the clause cannot be computed from a boat file; `why_not` says why. `nothing`
    says why it has nothing to ask of a boat for which `check` finds no place.
    """

    clause: str
    title: str
    check: Callable[[Placed, Asked], Iterator[Finding]] | None
    why_not: str = ""
    nothing: str = "nothing on this boat that the clause asks of"
