"""The documents with their editions, and the limits of each edition's clauses as the tables hold them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from geom.data import table
from geom.errors import OutsideTableError
from geom.rules.finding import Clause, ClauseCheck, Limit


@dataclass(frozen=True)
class Edition:
    """An edition of a document; `binds` names the only boats that it binds, empty where it is general."""

    word: str
    edition: str
    title: str
    default: bool
    binds: str
    note: str


@cache
def editions(word: str) -> tuple[Edition, ...]:
    """Return the known editions of a document, the oldest first."""
    return tuple(
        Edition(word, row["edition"], row["title"], row["default"] == "yes", row["binds"], row["note"])
        for row in table.rows("rules/documents")
        if row["word"] == word
    )


def edition(word: str, name: str | None = None) -> Edition:
    """Return an edition by its name; without one, the latest whose clauses could be read.

    Raises:
        OutsideTableError: no such edition is known.
    """
    known = editions(word)
    for candidate in known:
        if candidate.edition == name or (name is None and candidate.default):
            return candidate
    listed = ", ".join(one.edition for one in known) or "none"
    raise OutsideTableError(f"{word}: edition {name} is not known; known are {listed}")


@cache
def limits(word: str) -> Mapping[tuple[str, str], Mapping[str, Limit]]:
    """Return the limits of a document by edition and clause; a clause without numbers has an empty entry."""
    found: dict[tuple[str, str], dict[str, Limit]] = {}
    for row in table.rows(f"rules/{word}"):
        of_clause = found.setdefault((row["edition"], row["clause"]), {})
        if row["value"]:
            of_clause[row["key"]] = Limit(
                float(row["value"]), row["unit"], row["as_printed"], row["source"], row["sure"], row["contested"]
            )
    return found


def clause_check(of: Edition, clause: Clause, binding: bool = True) -> ClauseCheck | None:
    """Return a clause of an edition ready to be put to a boat; None where its text was not read there."""
    found = limits(of.word).get((of.edition, clause.clause))
    if found is None:
        return None
    # Findings of common practice carry no document in their ids.
    word = "" if of.word == "common-practice" else of.word
    return ClauseCheck(word, of.title, of.edition, clause.clause, clause.title, found, binding)
