"""Published numbers: rows of the CSV tables in this folder, each with its source and how sure it is."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from geom.errors import OutsideTableError


@dataclass(frozen=True)
class Datum:
    """One number of a table with its unit and where it was read."""

    value: float
    unit: str
    source: str
    edition: str
    clause_or_page: str
    sure: str


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table as they stand, text by heading.

    Args:
        name: path below this folder without the ending, such as `eye_factors`.
    """
    text = resources.files("geom.data").joinpath(f"{name}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def row(name: str, **wanted: str) -> dict[str, str]:
    """Return the one row that holds the wanted texts.

    Raises:
        OutsideTableError: no row does; nothing is put in its place.
    """
    for candidate in rows(name):
        if all(candidate[heading] == text for heading, text in wanted.items()):
            return candidate
    asked = ", ".join(f"{heading} {text}" for heading, text in wanted.items())
    raise OutsideTableError(f"table {name} has no row for {asked}")


def datum(name: str, **wanted: str) -> Datum:
    """Return the number of the one row that holds the wanted texts.

    Raises:
        OutsideTableError: no row does.
    """
    found = row(name, **wanted)
    return Datum(
        value=float(found["value"]),
        unit=found["unit"],
        source=found["source"],
        edition=found["edition"],
        clause_or_page=found["clause_or_page"],
        sure=found["sure"],
    )
