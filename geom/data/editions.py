"""Editions of the rule documents: which one is in force for a boat, and the numbers of its clauses.

Rules, mechanics and rigging read them here, so that a line is tested, tensioned and judged by one edition.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from geom.data import table
from geom.errors import OutsideTableError
from geom.frozen import frozen
from geom.units import read_quantity


@dataclass(frozen=True)
class Edition:
    """An edition of a document; `binds` names the only boats that it binds, empty where it is general."""

    word: str
    edition: str
    title: str
    default: bool
    binds: str
    note: str


@dataclass(frozen=True)
class Number:
    """A number of a clause in the unit it is held in: as its edition prints it, where it was read, how sure it is.

    `also` is the same length or force in the other unit that the edition prints beside it, None where it prints one.
    """

    value: float
    unit: str
    as_printed: str
    also: float | None
    also_printed: str
    source: str
    page: str
    sure: str
    contested: str
    edition: str


@frozen
class PushTest:
    """The push test of the edition in force: its force [N], and how far the upper and other lines may give [mm]."""

    force: Number
    max_upper: Number
    max_other: Number


@cache
def editions(word: str) -> tuple[Edition, ...]:
    """Return the known editions of a document, the oldest first."""
    return tuple(
        Edition(word, row["edition"], row["title"], row["default"] == "yes", row["binds"], row["note"])
        for row in table.rows("rules/documents")
        if row["word"] == word
    )


@cache
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


def in_force(word: str, named: Mapping[str, str]) -> Edition:
    """Return the edition of a document that is in force for a boat.

    Args:
        word: of data/rules/documents.csv.
        named: editions that the boat file names, by document.

    Raises:
        OutsideTableError: the boat file names an edition that is not known.
    """
    return edition(word, named.get(word))


@cache
def numbers(word: str) -> Mapping[tuple[str, str], Mapping[str, Number]]:
    """Return the numbers of a document by edition and clause; a clause without numbers has an empty entry."""
    found: dict[tuple[str, str], dict[str, Number]] = {}
    for row in table.rows(f"rules/{word}"):
        of_clause = found.setdefault((row["edition"], row["clause"]), {})
        if row["value"]:
            of_clause[row["key"]] = Number(
                float(row["value"]), row["unit"], row["as_printed"], _also(row), row["also_printed"],
                row["source"], row["page"], row["sure"], row["contested"], row["edition"],
            )  # fmt: skip
    return found


def _also(row: Mapping[str, str]) -> float | None:
    kind = "force" if row["unit"] == "N" else "length"
    return read_quantity(row["also_printed"], kind, None)[0] if row["also_printed"] else None


def number(word: str, named: Mapping[str, str], clause: str, key: str) -> Number:
    """Return a number of a clause to work by, which is the one that the rule is judged by.

    It is that of the edition in force, from memory or not. Where that edition has none, it is that of the last edition
    before it, else of the first after it. The number says its edition and how sure it is.

    Args:
        word: of data/rules/documents.csv.
        named: editions that the boat file names, by document.
        clause: as the table calls it.
        key: the number's key in the table.

    Raises:
        OutsideTableError: no edition holds the number.
    """
    return _number(word, edition(word, named.get(word)).edition, clause, key)


@cache
def _number(word: str, in_force: str, clause: str, key: str) -> Number:
    known = [one.edition for one in editions(word)]
    at = known.index(in_force)
    for name in (*known[at::-1], *known[at + 1 :]):
        found = numbers(word).get((name, clause), {}).get(key)
        if found is not None:
            return found
    raise OutsideTableError(f"{word}, clause {clause}: no edition's table holds '{key}'")


def push_test(named: Mapping[str, str]) -> PushTest:
    """Return the push test of the offshore regulations that is in force for a boat.

    Source: OSR 3.14.2 a) and b) in its editions; data/rules/osr.csv.

    Args:
        named: editions that the boat file names, by document.
    """
    return PushTest(
        force=number("osr", named, "3.14.2 a)", "force"),
        max_upper=number("osr", named, "3.14.2 a)", "max deflection"),
        max_other=number("osr", named, "3.14.2 b)", "max deflection"),
    )
