"""What comes off the finished length before marking: elastic stretch and the bedding-in still to come."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import GuardLine
from geom.runs.cut_terms import Term
from geom.runs.place import PlacedRun
from geom.runs.remark import Remark
from geom.runs.stack import Stack
from geom.runs.stretch import bedding_in, elastic_share


@dataclass(frozen=True)
class Deduction:
    """What comes off the finished length before marking [mm], with its terms; `told` says whether all is known."""

    elastic: float
    bedding: float
    told: bool
    terms: tuple[Term, ...]

    @property
    def total(self) -> float:
        """Elastic stretch and bedding-in together [mm]."""
        return self.elastic + self.bedding


def deduction(run: PlacedRun, line: GuardLine, finished: float) -> Deduction:
    """Return what the line still lengthens between marking and service [mm].

    Nothing is taken off that the file does not state: no set tension, no elastic stretch; no stated
    bedding-in, none either.
    """
    terms = []
    elastic, told = 0.0, True
    if run.told.set_tension is None:
        told = False
    else:
        pull = run.told.set_tension - (run.told.marking_tension or 0.0)
        share = elastic_share(line, pull)
        if share is None:
            told = False
        else:
            elastic = finished * share / (1.0 + share)
            note = f"{share * 100.0:.3f} % at {pull:.0f} N more than at marking"
            terms.append(Term("elastic stretch", note, -elastic))
    bedding = 0.0
    if line.bedding_in is None:
        told = False
    else:
        still = bedding_in(line)
        assert still is not None
        bedding = finished * still.expected / (1.0 + still.expected)
        terms.append(Term("bedding-in", f"{still.expected * 100.0:.2f} %: {still.source}", -bedding))
    return Deduction(elastic, bedding, told, tuple(terms))


def room_for(run: PlacedRun, stack: Stack, off: Deduction) -> Remark:
    """Return whether the fittings hold a line that is still short by the deduction."""
    text = f"new, the line is {off.total:.1f} mm short and the fittings open by that much"
    if stack.lengthen is None:
        text += ": how far they open is not given"
        return Remark("deduction", "cannot tell", run.id, "deduction", text, off.total, None, "mm")
    if off.total > stack.lengthen:
        return Remark(
            "deduction", "refused", run.id, "deduction", f"{text}: they open by {stack.lengthen:.1f} mm only",
            off.total, stack.lengthen, "mm",
        )  # fmt: skip
    return Remark("deduction", "agreed", run.id, "deduction", text, off.total, stack.lengthen, "mm")
