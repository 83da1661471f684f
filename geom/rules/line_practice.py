"""Remarks of the line work as findings.

None of them is a rule of a published document; each remark names its own source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from geom.frozen import cached_property
from geom.remark import Remark
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.rigging.work import LineWork
from geom.rules.finding import ClauseCheck, Finding, Measure, Verdict, whole_boat

DOCUMENT = "line work"
EDITION = "common practice"
_VERDICTS: dict[RemarkKind, Verdict] = {
    "refused": "fail",
    "cannot tell": "cannot tell",
    "notice": "notice",
    "agreed": "pass",
}


@dataclass(frozen=True)
class RemarkCheck:
    """Subject and quantity of a remark; `minimum` is whether its limit is a minimum, None where it has none."""

    subject: str
    quantity: str = "none"
    minimum: bool | None = None

    @cached_property
    def measured(self) -> Remark:
        """The quantity as a remark."""
        return Remark(f"quantity.{self.quantity}")


# By code of the remark; others take their code as the subject.
_CHECKS = {
    "anchorage": RemarkCheck("attachment"),
    "budget": RemarkCheck("adjusting range against error", "error", minimum=False),
    "budget-shop": RemarkCheck("error against shop practice", "error", minimum=False),
    "budget-skewed": RemarkCheck("error that is not linear", "error"),
    "buries": RemarkCheck("room for the buries", "finished_line", minimum=True),
    "bury-hole": RemarkCheck("bury clear of a hole", "bury_to_hole", minimum=True),
    "coating": RemarkCheck("coated wire in its holes"),
    "cut": RemarkCheck("cut length"),
    "deduction": RemarkCheck("stretch taken off", "deduction"),
    "eye-shape": RemarkCheck("eye on its pin"),
    "fid-room": RemarkCheck("room for the fid", "room", minimum=True),
    "full-section": RemarkCheck("full section of the bury", "full_section", minimum=True),
    "girth": RemarkCheck("rope round the eye", "girth", minimum=True),
    "hand": RemarkCheck("hand of the thread"),
    "hand-splice": RemarkCheck("splice of wire by hand"),
    "hook-range": RemarkCheck("range of the gate hook"),
    "insertion": RemarkCheck("wire inside its terminal"),
    "jaw": RemarkCheck("jaw on its plate", "jaw", minimum=True),
    "lashing-gap": RemarkCheck("gap closed by lashing", "widest_gap", minimum=False),
    "marking": RemarkCheck("marking tension", "change_by_marking", minimum=False),
    "metals": RemarkCheck("metals that touch"),
    "nothing-left": RemarkCheck("finished length"),
    "pin": RemarkCheck("pin in its hole", "pin", minimum=False),
    "set-tension": RemarkCheck("set tension"),
    "stitching": RemarkCheck("stitching of the splice"),
    "short-bury": RemarkCheck("length of the bury", "bury", minimum=True),
    "stop": RemarkCheck("stop wider than the bore", "stop", minimum=True),
    "stud": RemarkCheck("bearing of a stud"),
    "stud-travel": RemarkCheck("thread left in the turnbuckle", "thread_left", minimum=True),
    "swage": RemarkCheck("swage after threading"),
    "swage-first": RemarkCheck("swage before threading"),
    "take-up": RemarkCheck("take-up of the bury"),
    "toggle": RemarkCheck("toggle to the line", "angle", minimum=False),
}


def line_findings(work: LineWork) -> tuple[Finding, ...]:
    """Return the remarks of the line work as findings, in the order of the runs; those on the whole boat last."""
    seen: dict[str, int] = {}
    return (*(_finding(remark, seen) for remark in work.remarks), *_set_tensions_not_stated(work))


def _set_tensions_not_stated(work: LineWork) -> Iterator[Finding]:
    """Yield one notice for all runs whose set tension the boat file does not state."""
    open_ones = [one for one in work.tensions.values() if not one.stated]
    if open_ones:
        says = Remark(
            "set_tension.not_stated",
            runs=tuple(one.run for one in open_ones) if len(open_ones) < len(work.tensions) else ("any run",),
            tensions=tuple(Remark("tension.of_run", run=one.run, tension_n=one.set_tension) for one in open_ones),
            edition=open_ones[0].edition,
            force_n=open_ones[0].force,
        )
        yield _clause("set-tension").say("notice", whole_boat(Remark("quantity.none")), says)


def _finding(remark: LineRemark, seen: dict[str, int]) -> Finding:
    name = f"line-{remark.code}:{remark.run}"
    seen[name] = seen.get(name, 0) + 1
    where = None if remark.end is None else Remark("place.run_end", run=remark.run, end=remark.end)
    check, says = _check(remark.code), remark.says
    return Finding(
        id=name if seen[name] == 1 else f"{name}:{seen[name]}",
        check=_clause(remark.code),
        measure=Measure(remark.run, check.measured, remark.measured, remark.unit, run=remark.run, where=where),
        verdict=_VERDICTS[remark.kind],
        limit=remark.limit,
        margin=_margin(remark, check.minimum),
        sure=remark.sure,
        notes=(Remark("line.with_source", says=says, source=remark.source) if remark.source else says,),
    )


@cache
def _check(code: str) -> RemarkCheck:
    return _CHECKS.get(code) or RemarkCheck(code.replace("-", " "))


@cache
def _clause(code: str) -> ClauseCheck:
    """Return the clause of a remark; its limits come with the remarks."""
    return ClauseCheck("line", DOCUMENT, EDITION, code, _check(code).subject, {})


def _margin(remark: LineRemark, minimum: bool | None) -> float | None:
    """Return the margin to the limit in the unit of the remark; None where there is no limit or no direction."""
    if remark.measured is None or remark.limit is None or minimum is None:
        return None
    return remark.measured - remark.limit if minimum else remark.limit - remark.measured
