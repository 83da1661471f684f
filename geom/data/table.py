"""Published numbers: rows of the CSV tables in this folder, each with its source and confidence."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from geom.errors import OutsideTableError


@dataclass(frozen=True)
class Datum:
    """One number of a table in `unit`, with its source and confidence."""

    value: float
    unit: str
    source: str
    edition: str
    clause_or_page: str
    sure: str


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table as text by heading.

    Args:
        name: path below this folder without the ending, such as `eye_factors`.
    """
    text = resources.files("geom.data").joinpath(f"{name}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def known_row(name: str, **wanted: str) -> dict[str, str] | None:
    """Return the first row with the given texts, None where there is no such row.

    Args:
        name: path below this folder without the ending.
        wanted: heading -> text.
    """
    for candidate in rows(name):
        if all(candidate[heading] == text for heading, text in wanted.items()):
            return candidate
    return None


@cache
def row(name: str, **wanted: str) -> dict[str, str]:
    """Return the first row with the given texts.

    Args:
        name: path below this folder without the ending.
        wanted: heading -> text.

    Raises:
        OutsideTableError: there is no such row.
    """
    found = known_row(name, **wanted)
    if found is not None:
        return found
    criteria = ", ".join(f"{heading} {text}" for heading, text in wanted.items())
    raise OutsideTableError(f"table {name} has no row for {criteria}")


@cache
def datum(name: str, **wanted: str) -> Datum:
    """Return the number of the first row with the given texts.

    Args:
        name: path below this folder without the ending.
        wanted: heading -> text.

    Raises:
        OutsideTableError: there is no such row.
    """
    return _datum(row(name, **wanted))


@cache
def known_datum(name: str, **wanted: str) -> Datum | None:
    """Return the number of the first row with the given texts, None where there is no such row.

    Args:
        name: path below this folder without the ending.
        wanted: heading -> text.
    """
    found = known_row(name, **wanted)
    return None if found is None else _datum(found)


def _datum(entry: dict[str, str]) -> Datum:
    return Datum(
        value=float(entry["value"]),
        unit=entry["unit"],
        source=entry["source"],
        edition=entry["edition"],
        clause_or_page=entry["clause_or_page"],
        sure=entry["sure"],
    )
