"""Remarks on a post before it is copied: probably bent, or failing a rule."""

from __future__ import annotations

from geom.intake.survey.fairness import customary_limits, lean_rows
from geom.refit import Refit

_ORDER = ", "


def post_remarks(refit: Refit) -> dict[str, tuple[str, ...]]:
    """Return the remarks of each post: rules it fails by document and clause, waived ones marked as such.

    Args:
        refit: the boat as calculated.
    """
    bent = {row.post for row in lean_rows(refit.boat, customary_limits()[1]) if row.bent}
    remarks = {}
    for name in refit.placed.posts:
        failed = dict.fromkeys(
            f"{finding.document} {finding.clause}{' (waived)' if finding.waivers else ''}"
            for finding in refit.findings
            if finding.post == name and finding.verdict == "fail" and finding.binding
        )
        remarks[name] = (
            *(("probably bent",) if name in bent else ()),
            *((f"fails {_ORDER.join(failed)}",) if failed else ()),
        )
    return remarks
