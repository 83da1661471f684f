"""Line work as findings: what the making of each line refuses, agrees to, or cannot tell.

Nothing here is a published rule of the boat; each remark names its own source.
"""

from __future__ import annotations

from geom.rules.rule import Finding, Verdict
from geom.runs.line_work import LineWork
from geom.runs.remark import Remark, RemarkKind

DOCUMENT = "line work"
EDITION = "common practice"
_VERDICTS: dict[RemarkKind, Verdict] = {
    "refused": "fail",
    "cannot tell": "cannot tell",
    "notice": "notice",
    "agreed": "pass",
}


def line_findings(work: LineWork) -> tuple[Finding, ...]:
    """Return every remark of the line work as a finding, in the order of the runs."""
    seen: dict[str, int] = {}
    return tuple(_finding(remark, seen) for remark in work.remarks)


def _finding(remark: Remark, seen: dict[str, int]) -> Finding:
    name = f"line-{remark.code}:{remark.run}"
    seen[name] = seen.get(name, 0) + 1
    return Finding(
        id=name if seen[name] == 1 else f"{name}:{seen[name]}",
        document=DOCUMENT,
        edition=EDITION,
        clause=remark.code,
        subject=remark.subject,
        quantity=remark.code,
        verdict=_VERDICTS[remark.kind],
        measured=remark.measured,
        limit=remark.limit,
        unit=remark.unit,
        run=remark.run,
        note=remark.text + (f" [{remark.source}]" if remark.source else ""),
    )
