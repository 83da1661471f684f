"""The words of a boat file for constructions, ends, fittings and rail eyes."""

from __future__ import annotations

from functools import cache
from typing import Literal

from geom.data import table

WordKind = Literal["construction", "end", "fitting", "eye"]


@cache
def known_words(kind: WordKind) -> tuple[str, ...]:
    """Return the words of a kind in the order of the data tables; ends are the families of the eye check.

    Args:
        kind: construction of a line, family of a finished end, family of a fitting, family of an eye on a rail.
    """
    if kind == "end":
        return tuple(row["family"] for row in table.rows("end_families"))
    if kind == "fitting":
        return tuple(row["word"] for row in table.rows("fitting_families"))
    if kind == "eye":
        return tuple(row["word"] for row in table.rows("boat_parts") if row["key"] == "eyes: family")
    return tuple(row["word"] for row in table.rows("words") if row["kind"] == kind)
