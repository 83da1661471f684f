"""Schedules as ruled tables: chosen columns, spread over a width, each cell with the id it is checked by."""

from __future__ import annotations

import math
from collections.abc import Mapping

from geom.figure import Across, Cell, Point, Table
from geom.refit import Refit
from geom.tables import Schedule, cells, numbers

LETTERING = 2.5


def schedule_table(
    refit: Refit, schedule: Schedule, shares: Mapping[str, float], at: Point, width: float, pitch: float = 5.0
) -> Table:
    """Return the chosen columns of a schedule as a table.

    Args:
        refit: the boat as calculated, for the format of numbers.
        schedule: the rows.
        shares: key of each column to show -> its share of the width.
        at: upper left corner [mm].
        width: the table's width [mm].
        pitch: row height [mm].
    """
    fmt = numbers(refit.boat)
    chosen = [index for index, column in enumerate(schedule.columns) if column.key in shares]
    shown = [schedule.columns[index] for index in chosen]
    widths = [shares[column.key] for column in shown]
    rows = tuple(
        tuple(
            Cell(row[index], f"{schedule.name}:{row_id}:{schedule.columns[index].key}", _across(schedule, index))
            for index in chosen
        )
        for row_id, row in zip(schedule.ids, cells(schedule, fmt), strict=True)
    )
    return Table(
        at=at,
        widths=tuple(width * share / math.fsum(widths) for share in widths),
        head=tuple(column.head for column in shown),
        rows=rows,
        pitch=pitch,
        height=LETTERING,
        title=f"{schedule.title} ({fmt.unit}, deg)",
        tag=f"table:{schedule.name}",
    )


def table_height(table: Table) -> float:
    """Return the height of a table with title and headings [mm]."""
    return (len(table.rows) + 2) * table.pitch


def _across(schedule: Schedule, index: int) -> Across:
    return "left" if schedule.columns[index].kind == "text" else "right"
