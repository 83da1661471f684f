"""The words that a boat file may use for what is bought or made: constructions, ends, fittings."""

from __future__ import annotations

from functools import cache
from typing import Literal

from geom.data import table

WordKind = Literal["construction", "end", "fitting"]


@cache
def known_words(kind: WordKind) -> tuple[str, ...]:
    """Return the words of a kind in the order of the data; the ends are the families that an eye check knows.

    Args:
        kind: construction of a line, family of a made-up end, family of a fitting.
    """
    if kind == "end":
        return tuple(row["family"] for row in table.rows("end_families"))
    return tuple(row["word"] for row in table.rows("words") if row["kind"] == kind)
