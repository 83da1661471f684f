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
def row(name: str, **wanted: str) -> dict[str, str]:
    """Return the first row with the given texts.

    Args:
        name: path below this folder without the ending.
        wanted: heading -> text.

    Raises:
        OutsideTableError: there is no such row.
    """
    for candidate in rows(name):
        if all(candidate[heading] == text for heading, text in wanted.items()):
            return candidate
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
    entry = row(name, **wanted)
    return Datum(
        value=float(entry["value"]),
        unit=entry["unit"],
        source=entry["source"],
        edition=entry["edition"],
        clause_or_page=entry["clause_or_page"],
        sure=entry["sure"],
    )
