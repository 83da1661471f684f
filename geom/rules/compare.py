"""Comparison of two editions of a document for a boat."""

from __future__ import annotations

from dataclasses import dataclass

from geom.data.editions import edition
from geom.errors import OutsideTableError
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.applied import DOCUMENTS, AppliedEdition, findings_of
from geom.rules.edition import clause_check
from geom.rules.finding import Finding


@dataclass(frozen=True)
class ComparedClause:
    """One clause at one place in two editions; `only` is the reason why one of them has no finding."""

    clause: str
    place: str
    first: Finding | None
    second: Finding | None
    only: Remark | None

    @property
    def differs(self) -> bool:
        """Whether verdict or limit differ between the editions."""
        if self.first is None or self.second is None:
            return True
        return (self.first.verdict, self.first.limit) != (self.second.verdict, self.second.limit)


def compare(placed: Placed, document: str, edition_a: str, edition_b: str) -> tuple[ComparedClause, ...]:
    """Return the findings of two editions of a document for a boat, in the order of its clauses.

    Args:
        placed: the boat in space.
        document: a key of data/rules/documents.csv.
        edition_a: the first edition.
        edition_b: the second edition.

    Raises:
        OutsideTableError: document or edition is not known.
    """
    if document not in DOCUMENTS:
        raise OutsideTableError(f"no document '{document}'; known are {', '.join(DOCUMENTS)}")
    both = (edition(document, edition_a), edition(document, edition_b))
    found = [{finding.id: finding for finding in findings_of(placed, AppliedEdition(one, chosen=True))} for one in both]
    not_read = {
        clause.clause: one.edition
        for clause in DOCUMENTS[document]
        for one in both
        if clause_check(one, clause) is None
    }
    order = {clause.clause: index for index, clause in enumerate(DOCUMENTS[document])}
    ids = sorted(dict.fromkeys((*found[0], *found[1])), key=lambda one: order.get(_either(one, found).clause, -1))
    return tuple(_compared(one, found, not_read) for one in ids)


def _compared(finding_id: str, found: list[dict[str, Finding]], not_read: dict[str, str]) -> ComparedClause:
    clause = _either(finding_id, found).clause
    return ComparedClause(
        clause=clause,
        place=finding_id.partition(":")[2],
        first=found[0].get(finding_id),
        second=found[1].get(finding_id),
        only=Remark("edition.not_read", edition=not_read[clause]) if clause in not_read else None,
    )


def _either(finding_id: str, found: list[dict[str, Finding]]) -> Finding:
    return found[0].get(finding_id) or found[1][finding_id]
