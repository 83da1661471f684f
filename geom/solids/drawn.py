"""Which shape stands for a family of the boat file: the column `drawn_as` of the tables of families.

A cell names tables of sizes joined by ` + `, the leading shape first; or `envelope`, a plain body of the stated
length and width; or `line`, where the line itself is all that there is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType

from geom.data import table
from geom.errors import OutsideTableError
from geom.parts.catalogue import FAMILIES

ENVELOPE = "envelope"
LINE = "line"
# Table of families -> the heading under which a family's word stands.
TABLES: Mapping[str, str] = MappingProxyType(
    {"end_families": "family", "fitting_families": "word", "boat_parts": "word"}
)
_JOINED = " + "


def shapes_of(name: str, word: str, available: Iterable[str]) -> tuple[str, ...]:
    """Return the shapes of a family, the leading one first; the whole table is checked before.

    Args:
        name: table of families, a key of TABLES.
        word: the family.
        available: the leading shapes that can be made for this table, with `envelope`.

    Raises:
        OutsideTableError: there is no such family, or a row of the table names a shape that cannot be drawn.
    """
    return _checked(name, tuple(available))[_word(name, word)]


def _word(name: str, word: str) -> str:
    return table.row(name, **{TABLES[name]: word})[TABLES[name]]


@cache
def _checked(name: str, available: tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """Return the shapes of every family of a table."""
    found = {}
    for row in table.rows(name):
        word, said = row[TABLES[name]], row["drawn_as"]
        shapes = tuple(said.split(_JOINED))
        unknown = next((shape for shape in shapes[1:] if shape not in FAMILIES), None)
        if shapes[0] not in available:
            unknown = shapes[0]
        if unknown is not None:
            raise OutsideTableError(
                f"table {name}, row '{word}': drawn_as '{unknown}' is no shape that can be drawn - valid: "
                + ", ".join(available)
            )
        found[word] = shapes
    return found
