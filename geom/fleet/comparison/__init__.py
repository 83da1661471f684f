"""What a revision changes: figures old and new, sheets and papers to be issued again, what is made already and lost."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain

from geom.changes import Change, changes
from geom.export import check_report
from geom.fleet.comparison.made import LostWork, lost
from geom.intake.as_built import AsBuilt
from geom.paperwork.papers import papers
from geom.refit import Refit
from geom.sheets import compared_sheets
from geom.sheets.revision.issued import SheetIssue, State, as_of
from geom.tables import numbers


@dataclass(frozen=True)
class PaperIssue:
    """A paper of the package by the name of its file, and what a revision makes of it."""

    name: str
    state: State


@dataclass(frozen=True)
class Comparison:
    """Two states of a boat file, the later against the earlier.

    `lost` is what was made to the earlier state and no longer fits, by an as-built record; without a record the lines
    that would be too short are marked among `changed`.
    """

    before: Refit
    after: Refit
    changed: tuple[Change, ...]
    sheets: tuple[SheetIssue, ...]
    papers: tuple[PaperIssue, ...]
    lost: tuple[LostWork, ...]
    with_record: bool

    @property
    def same_data(self) -> bool:
        """Whether both files hold the same data: they differ in comments, spelling or axes at most."""
        return self.before.loaded.data_sha256 == self.after.loaded.data_sha256

    @property
    def same_mark(self) -> bool:
        """Whether both have one revision although a sheet has to be issued again."""
        marks = {one.boat.revision.mark for one in (self.before, self.after)}
        return len(marks) == 1 and any(one.state != "same" for one in self.sheets)


def compare(before: Refit, after: Refit, record: AsBuilt | None) -> Comparison:
    """Return what a revision changes.

    Args:
        before: the refit of the state before.
        after: the refit.
        record: what was made to the state before; None where there is no record.
    """
    report, now = check_report(before), check_report(after)
    return Comparison(
        before,
        after,
        changes(report, now, numbers(after.boat).unit == "in"),
        compared_sheets(before, after),
        _papers(before, after),
        () if record is None else tuple(lost(before, after, record)),
        record is not None,
    )


def _papers(before: Refit, after: Refit) -> tuple[PaperIssue, ...]:
    old, new = papers(before), papers(as_of(after, before))
    found = []
    for name in dict.fromkeys(chain(new, old)):
        state: State = "new" if name not in old else "withdrawn" if name not in new else "changed"
        if name in old and name in new and old[name] == new[name]:
            state = "same"
        found.append(PaperIssue(name, state))
    return tuple(found)
