"""The clauses of an edition with their limits, ready to be applied to a boat."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from geom.data.editions import Edition, numbers
from geom.rules.finding import Clause, ClauseCheck, Limit


@cache
def limits(word: str) -> Mapping[tuple[str, str], Mapping[str, Limit]]:
    """Return the limits of a document by edition and clause; a clause without limits has an empty entry."""
    return {
        place: {
            key: Limit(
                one.value, one.unit, one.as_printed, one.source, one.sure, one.contested, one.also, one.also_printed
            )
            for key, one in of_clause.items()
        }
        for place, of_clause in numbers(word).items()
    }


def clause_check(of: Edition, clause: Clause, binding: bool = True) -> ClauseCheck | None:
    """Return a clause of an edition with its limits; None where its text was not read in that edition.

    Args:
        of: the edition.
        clause: the clause.
        binding: whether the document is binding for the boat.
    """
    found = limits(of.word).get((of.edition, clause.clause))
    if found is None:
        return None
    # Ids of common-practice findings have no document prefix.
    word = "" if of.word == "common-practice" else of.word
    return ClauseCheck(word, of.title, of.edition, clause.clause, clause.title, found, binding)
