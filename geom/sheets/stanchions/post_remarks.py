"""Remarks on a post before it is copied: on hold, removable, probably bent, or failing a rule."""

from __future__ import annotations

from geom.intake.survey.fairness import customary_limits, lean_rows
from geom.open_items import open_items
from geom.open_items.concerns import held_posts
from geom.refit import Refit
from geom.rules.finding import Finding

_ORDER = ", "
_ON_HOLD = "on hold"


def post_remarks(refit: Refit) -> dict[str, tuple[str, ...]]:
    """Return the remarks of each post: how it stands, rules it fails by clause, waived ones marked as such.

    Args:
        refit: the boat as calculated.
    """
    # What is designed is not bent.
    measured = refit.boat.survey == "as measured"
    bent = {row.post for row in lean_rows(refit.boat, customary_limits()[1]) if row.bent and measured}
    held = held_posts(refit, open_items(refit))
    remarks = {}
    for name, post in refit.placed.posts.items():
        failed = dict.fromkeys(
            f"{_clause(finding)}{' (waived)' if finding.waivers else ''}"
            for finding in refit.findings
            if finding.post == name and finding.verdict == "fail" and finding.binding
        )
        folds = post.spec.brace is not None and post.spec.brace.folds is not None
        remarks[name] = (
            *((_ON_HOLD,) if name in held else ()),
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
