"""Coverage of each document: clauses checked, clauses that cannot be computed, clauses not read."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat
from geom.data.editions import Edition
from geom.remark import Remark
from geom.rules.applied import DOCUMENTS, applied
from geom.rules.edition import clause_check


@dataclass(frozen=True)
class Coverage:
    """Coverage of one edition: clauses by number with their subjects, or with the reason where not computable."""

    document: str
    edition: str
    titled: tuple[tuple[str, str], ...]
    not_computable: tuple[tuple[str, Remark], ...]
    not_read: tuple[tuple[str, str], ...]

    @property
    def checked(self) -> tuple[str, ...]:
        """The numbers of the clauses checked."""
        return tuple(clause for clause, _ in self.titled)


def coverage(boat: Boat) -> tuple[Coverage, ...]:
    """Return the coverage of every edition applied to a boat."""
    return tuple(coverage_of(one.edition) for one in applied(boat))


def coverage_of(edition: Edition) -> Coverage:
    """Return the coverage of one edition, clauses in the order of the document."""
    checked, not_computable, not_read = [], [], []
    for clause in DOCUMENTS[edition.word]:
        if clause_check(edition, clause) is None:
            not_read.append((clause.clause, clause.title))
        elif clause.why_not is not None:
            not_computable.append((clause.clause, clause.why_not))
        else:
            checked.append((clause.clause, clause.title))
    return Coverage(edition.title, edition.edition, tuple(checked), tuple(not_computable), tuple(not_read))
