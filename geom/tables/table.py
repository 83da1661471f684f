"""Tables as columns over results, written on paper, on screen and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from geom.boat.model import Boat
from geom.frozen import cached_property
from geom.remark import Remark
from geom.tables.field import field
from geom.units import DEG, MM, NEWTON, NEWTON_METRE, LengthFormat, decimal, in_unit, pounds_force
from geom.words import Units, worded

Value = str | float | int | None
# How a value is written: a fine length has one more decimal in inches, as boat files give it in fractions of an inch; a
# gauge is as finely graded as a micrometer.
Kind = Literal["text", "length", "fine length", "gauge", "angle", "force", "moment", "number"]
_KINDS: dict[Any, Kind] = {MM: "length", DEG: "angle", NEWTON: "force", NEWTON_METRE: "moment"}
# Unit of forces and moments beside lengths in inches or in millimetres.
_FORCES: dict[Kind, tuple[str, str]] = {"force": ("N", "lbf"), "moment": ("N m", "lbf ft")}
_FOOT = 0.3048


@dataclass(frozen=True)
class Column:
    """One column: its key (the heading in CSV), its heading, its kind, and the function that reads a row.

    `decimals` apply to angles and plain numbers. `said` reads a remark, or several, before it is worded; paper and
    screen word it in the units of the boat. `up` is whether a force is rounded up, as one that has to be reached.
    """

    key: str
    heading: str
    read: Callable[[Any], Value]
    kind: Kind = "text"
    decimals: int = 1
    said: Callable[[Any], Any] | None = None
    up: bool = False

    def head(self, fmt: LengthFormat) -> str:
        """Return the heading on paper and screen, a force or moment with its unit.

        Args:
            fmt: the length format, which names the system of units.
        """
        if self.kind not in _FORCES:
            return self.heading
        return f"{self.heading} {_FORCES[self.kind][fmt.unit == 'in']}"


@dataclass(frozen=True)
class Table:
    """A table: columns over results, one row each, with an id for each row; unknown values are None.

    `assumes` heads the table where its values assume something, such as set tensions; `note` stands below it.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    results: tuple[Any, ...]
    ids: tuple[str, ...]
    assumes: str = ""
    note: str = ""

    @cached_property
    def rows(self) -> tuple[tuple[Value, ...], ...]:
        """The values, row by row, in the units of their columns."""
        return tuple(tuple(column.read(result) for column in self.columns) for result in self.results)


def column(
    owner: Any,
    path: str,
    heading: str | None = None,
    kind: Kind | None = None,
    decimals: int = 1,
    of: Callable[[Any], Any] = lambda row: row,
) -> Column:
    """Return a column over one attribute of a result; key, unit and kind follow from the type of the attribute.

    Lengths and angles are in the units of the table, named in its title; any other unit is in the heading, that of
    forces by the system of the boat.

    Args:
        owner: the type of results.
        path: attributes joined by points, as `field` reads them.
        heading: without its unit; from the key where None.
        kind: where it differs from the kind of the unit.
        decimals: of angles and plain numbers.
        of: returns the result from a row, where the row is not the result itself.
    """
    found = field(owner, path)
    by_unit: Kind = "text" if found.unit is None else _KINDS.get(found.unit, "number")
    ending = "" if found.unit is None else f"_{found.unit.ending}"
    words = found.key.removesuffix(ending).replace("_", " ").upper() if heading is None else heading
    if found.unit is not None and by_unit == "number":
        words = f"{words} {found.unit.symbol}".rstrip()

    def said(row: Any) -> Any:
        result = of(row)
        return None if result is None else found.read(result)

    def read(row: Any) -> Value:
        value = said(row)
        return worded(value) if isinstance(value, Remark | tuple) else value

    return Column(found.key, words, read, kind or by_unit, decimals, said)


def numbered(first: Iterable[str]) -> tuple[str, ...]:
    """Return ids for rows numbered within each name: `S-F-U:1`, `S-F-U:2`."""
    counts: dict[str, int] = {}
    ids = []
    for name in first:
        counts[name] = counts.get(name, 0) + 1
        ids.append(f"{name}:{counts[name]}")
    return tuple(ids)


def numbers(boat: Boat) -> LengthFormat:
    """Return the length format of a boat: inches to two decimals where its file is in inches or feet, else mm."""
    if boat.units.length in ("in", "ft"):
        return LengthFormat("in", 25.4, 2)
    return LengthFormat()


def written(value: Value, shown: Column, fmt: LengthFormat) -> str:
    """Return one value as text for paper and screen; `-` where it is None.

    Args:
        value: lengths in mm, angles in degrees, forces in N, moments in N m.
        shown: its column.
        fmt: the length format.
    """
    if value is None:
        return "-"
    if isinstance(value, str | int):
        return str(value)
    if shown.kind == "force" and fmt.unit == "in":
        return pounds_force(value, shown.up)
    if shown.kind == "moment" and fmt.unit == "in":
        return decimal(in_unit(value / _FOOT, "lbf", "force"), shown.decimals)
    if shown.kind == "gauge":
        return fmt.gauge(value)
    if shown.kind in ("length", "fine length"):
        finer = shown.kind == "fine length" and fmt.unit == "in"
        return fmt.figure(value, fmt.decimals + finer)
    return decimal(value, shown.decimals)


def cells(table: Table, fmt: LengthFormat) -> tuple[tuple[str, ...], ...]:
    """Return all rows of a table as text for paper and screen, sentences in the units of the boat."""
    units = Units(fmt, millimetres=True, pounds=True)

    def text(result: Any, value: Value, shown: Column) -> str:
        said = shown.said(result) if shown.said is not None and isinstance(value, str) else None
        return worded(said, units) if isinstance(said, Remark | tuple) else written(value, shown, fmt)

    return tuple(
        tuple(text(result, value, shown) for value, shown in zip(row, table.columns, strict=True))
        for result, row in zip(table.results, table.rows, strict=True)
    )


def csv_bytes(table: Table) -> bytes:
    """Return a table as CSV: millimetres and degrees to three decimals, None as an empty field."""
    return b"".join(csv_lines(table.columns, table.rows))


def csv_lines(columns: Sequence[Column], rows: Iterable[Sequence[Value]]) -> Iterator[bytes]:
    """Yield the lines of a CSV file one by one, the heading first; numbers to three decimals, None as an empty field.

    Args:
        columns: of the table.
        rows: their values, in the units of the columns.
    """
    yield _csv_line([shown.key for shown in columns])
    for row in rows:
        yield _csv_line(["" if v is None else decimal(v, 3) if isinstance(v, float) else v for v in row])


def _csv_line(fields: Sequence[Value]) -> bytes:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerow(fields)
    return stream.getvalue().encode("utf-8")
