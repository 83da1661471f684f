"""The tables of the deck plan: stanchion feet with the heights of the lines, and the pins on the rails."""

from __future__ import annotations

from collections.abc import Mapping

from geom.boat.model import LEVELS, Level
from geom.drafting.boat_view import OTHER_SIDES, SIDES
from geom.drafting.columns import Column, ColumnTable
from geom.figure import Cell, LengthFormat
from geom.refit import Refit
from geom.sheets.deck_plan import text as own
from geom.units import decimal, degrees

ROW = 4.7


def feet(refit: Refit, fmt: LengthFormat, items_at: Mapping[str, tuple[int, ...]]) -> ColumnTable:
    """Return the stanchions: foot, attitude, height of each line over the deck, the open items at it.

    Args:
        refit: the boat as calculated.
        fmt: format of lengths.
        items_at: numbers of open items by post.
    """
    levels = levels_of(refit)
    heads = [Column(own.FEET_HEADS[0]), *(Column(head, across="right") for head in own.FEET_HEADS[1:])]
    heads += [Column(level, across="right") for level in levels]
    shown = any(items_at.values())
    if shown:
        heads.append(Column(own.ITEM, across="right"))
    rows = []
    for summary in refit.posts:
        post = summary.post
        name = post.id
        row = [Cell(name, f"posts:{name}:post", weight="semibold")]
        row += [
            Cell(own.rounded(value, fmt), f"posts:{name}:foot_{axis}_mm", "right")
            for axis, value in zip("xyz", post.foot, strict=True)
        ]
        row += [
            Cell(decimal(degrees(value), 1), f"posts:{name}:{key}", "right")
            for key, value in (("lean_out_deg", post.lean), ("rake_aft_deg", post.rake))
        ]
        for level in levels:
            hole = summary.hole(level)
            text = "" if hole is None else own.rounded(hole.height.above_foot, fmt)
            row.append(Cell(text, f"posts:{name}:height_{LEVELS[level].replace(' ', '_')}_mm", "right"))
        if shown:
            numbers = ", ".join(map(str, items_at.get(name, ())))
            row.append(Cell(numbers, f"posts:{name}:items", "right", layer="OPEN-ITEM"))
        rows.append(tuple(row))
    return ColumnTable(tuple(heads), tuple(rows), "table:posts", ROW)


def pins(refit: Refit, fmt: LengthFormat) -> ColumnTable:
    """Return the eyes on pulpit and pushpit with the coordinates of their bearing points.

    Args:
        refit: the boat as calculated.
        fmt: format of lengths.
    """
    heads = (Column(own.PIN_HEADS[0]), *(Column(head, across="right") for head in own.PIN_HEADS[1:]))
    eyes = [eye for side in (*SIDES, *OTHER_SIDES) for eye in refit.boat.eyes if eye.side == side]
    rows = tuple(
        (
            Cell(eye.id, f"eyes:{eye.id}:eye", weight="semibold"),
            *(
                Cell(own.rounded(value, fmt), f"eyes:{eye.id}:{axis}", "right")
                for axis, value in zip("xyz", eye.at, strict=True)
            ),
        )
        for eye in eyes
    )
    return ColumnTable(heads, rows, "table:eyes", ROW)


def levels_of(refit: Refit) -> tuple[Level, ...]:
    """Return the levels at which posts have holes, from the highest down."""
    found = {hole.level for post in refit.placed.posts.values() for hole in post.holes}
    return tuple(level for level in LEVELS if level in found)
