"""A table with headings and kinds of value, and how it is written on paper, on screen and as CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import Literal

from geom.boat.model import Boat
from geom.units import LengthFormat, decimal

Value = str | float | None


@dataclass(frozen=True)
class Column:
    """One column: its CSV heading (unit in the heading), its short heading, and what kind of value it holds.

    A fine length is one that a file gives as a fraction of an inch: it is written to a further decimal there.
    """

    key: str
    head: str
    kind: Literal["text", "length", "fine length", "angle", "number"] = "text"
    decimals: int = 1


@dataclass(frozen=True)
class Schedule:
    """A table with an id for each row; lengths in mm, angles in degrees, None where nothing can be told."""

    name: str
    title: str
    columns: tuple[Column, ...]
    ids: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def numbers(boat: Boat) -> LengthFormat:
    """Return how lengths are written for a boat: inches with two decimals where its file counts in inches or feet."""
    if boat.units.length in ("in", "ft"):
        return LengthFormat("in", 25.4, 2)
    return LengthFormat()


def written(value: Value, column: Column, fmt: LengthFormat) -> str:
    """Return one value as it stands on paper and screen; `-` where nothing can be told."""
    if value is None:
        return "-"
    if isinstance(value, str):
        return value
    if column.kind in ("length", "fine length"):
        finer = column.kind == "fine length" and fmt.unit == "in"
        return decimal(value / fmt.mm, fmt.decimals + finer)
    return decimal(value, column.decimals)


def cells(schedule: Schedule, fmt: LengthFormat) -> tuple[tuple[str, ...], ...]:
    """Return all rows of a schedule as they stand on paper and screen."""
    return tuple(
        tuple(written(value, column, fmt) for value, column in zip(row, schedule.columns, strict=True))
        for row in schedule.rows
    )


def csv_bytes(schedule: Schedule) -> bytes:
    """Return a schedule as CSV: millimetres and degrees to three decimals, empty where nothing can be told."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow([column.key for column in schedule.columns])
    for row in schedule.rows:
        writer.writerow(["" if v is None else v if isinstance(v, str) else decimal(v, 3) for v in row])
    return stream.getvalue().encode("utf-8")
