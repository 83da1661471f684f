"""Line work as findings: what the making of each line refuses, agrees to, or cannot tell.

Nothing here is a published rule of the boat; each remark names its own source.
"""

from __future__ import annotations

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
class ClauseCheck:
    """What a remark of the line work asks, what it measures, and whether its limit is a least or a most."""

    subject: str
    quantity: str = "none"
    minimum: bool | None = None


# By the remark's code; one that is not named here speaks by its code alone.
_ASKED = {
    "anchorage": ClauseCheck("attachment"),
    "budget": ClauseCheck("adjusting range against error", "error", minimum=False),
    "budget-shop": ClauseCheck("error against shop practice", "error", minimum=False),
    "budget-skewed": ClauseCheck("error that is not linear", "error"),
    "buries": ClauseCheck("room for the buries", "finished_line", minimum=True),
    "bury-hole": ClauseCheck("bury clear of a hole", "bury_to_hole", minimum=True),
    "cut": ClauseCheck("cut length"),
    "deduction": ClauseCheck("stretch taken off", "deduction"),
    "eye-shape": ClauseCheck("eye on its pin"),
    "fid-room": ClauseCheck("room for the fid", "room", minimum=True),
    "hand": ClauseCheck("hand of the thread"),
    "hook-range": ClauseCheck("range of the gate hook"),
    "jaw": ClauseCheck("jaw on its plate", "jaw", minimum=True),
    "lashing-gap": ClauseCheck("gap closed by lashing", "widest_gap", minimum=False),
    "metals": ClauseCheck("metals that touch"),
    "nothing-left": ClauseCheck("finished length"),
    "pin": ClauseCheck("pin in its hole", "pin", minimum=False),
    "set-tension": ClauseCheck("set tension"),
    "short-bury": ClauseCheck("length of the bury", "bury", minimum=True),
    "stop": ClauseCheck("stop wider than the bore", "stop", minimum=True),
    "take-up": ClauseCheck("take-up of the bury"),
    "toggle": ClauseCheck("toggle to the line", "angle", minimum=False),
}


def line_findings(work: LineWork) -> tuple[Finding, ...]:
    """Return every remark of the line work as a finding, in the order of the runs."""
    seen: dict[str, int] = {}
    return tuple(_finding(remark, seen) for remark in work.remarks)


def _finding(remark: LineRemark, seen: dict[str, int]) -> Finding:
    name = f"line-{remark.code}:{remark.run}"
    clause = _ASKED.get(remark.code) or ClauseCheck(remark.code.replace("-", " "))
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
    """Return by how much a limit is kept, in the remark's unit; None where there is no limit or no direction."""
    if remark.measured is None or remark.limit is None or minimum is None:
        return None
    return remark.measured - remark.limit if minimum else remark.limit - remark.measured
