"""Stanchions on hold as the sheets say it: one note with the open items, and a mark in each row of theirs."""

from __future__ import annotations

from collections.abc import Mapping

from geom.figure import Cell
from geom.open_items import OpenItem
from geom.sheets.stanchions import text as words

# So many are named in a note; more are counted.
_NAMED = 4

Held = Mapping[str, tuple[OpenItem, ...]]


def listed(held: Held) -> str:
    """Return the names of stanchions on hold, many of them as a number."""
    return ", ".join(held) if len(held) <= _NAMED else words.STANCHIONS.format(count=len(held))


def note(held: Held) -> str:
    """Return the note that nothing is made for them."""
    return words.ON_HOLD.format(posts=listed(held))


def stopped_by(held: Held) -> tuple[int, ...]:
    """Return the numbers of the open items that stop the work on them."""
    return tuple(sorted({item.number for items in held.values() for item in items}))


def name_cell(post: str, tag: str, held: Held) -> Cell:
    """Return the cell that names the stanchion of a row, marked where it is on hold.

    Args:
        post: the stanchion.
        tag: id of the cell.
        held: the stanchions on hold.
    """
    if post not in held:
        return Cell(post, tag, weight="semibold")
    return Cell(words.ROW_ON_HOLD.format(post=post), tag, weight="semibold", layer="HOLD")
