"""Remarks of the line work as findings.

None of them is a rule of a published document; each remark names its own source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from geom.remark import Remark
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.rigging.work import LineWork
from geom.rules.finding import Finding, Verdict

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
        yield Finding(
            id="line-set-tension:boat",
            document=DOCUMENT,
            edition=EDITION,
            clause="set-tension",
            subject=_CHECKS["set-tension"].subject,
            quantity=Remark("quantity.none"),
            verdict="notice",
            where=Remark("place.boat"),
            notes=(says,),
        )


def _finding(remark: LineRemark, seen: dict[str, int]) -> Finding:
    name = f"line-{remark.code}:{remark.run}"
    clause = _CHECKS.get(remark.code) or RemarkCheck(remark.code.replace("-", " "))
    where = Remark("place.named", name=remark.run)
    if remark.end is not None:
        where = Remark("place.run_end", run=remark.run, end=remark.end)
    says = remark.says
    seen[name] = seen.get(name, 0) + 1
    return Finding(
        id=name if seen[name] == 1 else f"{name}:{seen[name]}",
        document=DOCUMENT,
        edition=EDITION,
        clause=remark.code,
        subject=clause.subject,
        quantity=Remark(f"quantity.{clause.quantity}"),
        verdict=_VERDICTS[remark.kind],
        measured=remark.measured,
        limit=remark.limit,
        unit=remark.unit,
        margin=_margin(remark, clause.minimum),
        sure=remark.sure,
        where=where,
        run=remark.run,
        notes=(Remark("line.with_source", says=says, source=remark.source) if remark.source else says,),
    )


def _margin(remark: LineRemark, minimum: bool | None) -> float | None:
    """Return the margin to the limit in the unit of the remark; None where there is no limit or no direction."""
    if remark.measured is None or remark.limit is None or minimum is None:
        return None
    return remark.measured - remark.limit if minimum else remark.limit - remark.measured
