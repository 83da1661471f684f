"""Remarks on a post before it is copied: removable, probably bent, or failing a rule."""

from __future__ import annotations

from geom.intake.survey.fairness import customary_limits, lean_rows
from geom.refit import Refit
from geom.rules.finding import Finding

_ORDER = ", "


def post_remarks(refit: Refit) -> dict[str, tuple[str, ...]]:
    """Return the remarks of each post: how it stands, rules it fails by clause, waived ones marked as such.

    Args:
        refit: the boat as calculated.
    """
    # What is designed is not bent.
    measured = refit.boat.survey == "as measured"
    bent = {row.post for row in lean_rows(refit.boat, customary_limits()[1]) if row.bent and measured}
    remarks = {}
    for name, post in refit.placed.posts.items():
        failed = dict.fromkeys(
            f"{_clause(finding)}{' (waived)' if finding.waivers else ''}"
            for finding in refit.findings
            if finding.post == name and finding.verdict == "fail" and finding.binding
        )
        folds = post.spec.brace is not None and post.spec.brace.folds is not None
        remarks[name] = (
            *((post.spec.stands,) if post.spec.stands is not None else ()),
            *(("brace folds: holds while locked",) if folds else ()),
            *(("probably bent",) if name in bent else ()),
            *((f"fails {_ORDER.join(failed)}",) if failed else ()),
        )
    return remarks


def _clause(finding: Finding) -> str:
    """Return document and clause, a clause without a number by its subject."""
    if any(letter.isdigit() for letter in finding.clause):
        return f"{finding.document} {finding.clause}"
    return f"{finding.document} ({finding.subject})"
