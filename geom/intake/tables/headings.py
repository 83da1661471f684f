"""Headings of a spreadsheet matched with the columns of our tables, with the unit stated in each."""

from __future__ import annotations

import re
from dataclasses import dataclass

from geom.boat.faults import closest, match_of
from geom.data import table
from geom.errors import Fault, InputError
from geom.intake.tables.grid import Cell, Grid
from geom.units import QuantityError, read_quantity, words

# Names of a sheet or a file for each table.
TABLES = {
    "posts": ("posts", "post", "stanchions", "stanchion", "stanchion schedule"),
    "holes": ("holes", "hole", "hole schedule"),
    "eyes": ("eyes", "eye", "rail eyes"),
    "deck edge": ("deck edge", "edge", "deck", "sheer", "sheer line"),
    "tapes": ("tapes", "tape", "check tapes", "closure"),
}
_UNIT = re.compile(r"^(?P<name>.*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])]|,\s*(?P<tail>[A-Za-z]+))\s*$")


@dataclass(frozen=True)
class Column:
    """A recognised column: its key, kind of value, and the unit in its heading, if any."""

    key: str
    kind: str
    unit: str | None
    heading: Cell


@dataclass(frozen=True)
class Headed:
    """A table with its headings matched: columns by position, rows below, unknown headings."""

    grid: Grid
    table: str
    columns: dict[int, Column]
    rows: tuple[tuple[Cell, ...], ...]
    unknown: tuple[Cell, ...]


def table_of(name: str) -> str | None:
    """Return the table that a sheet's or a file's name stands for, None where it is none of ours."""
    plain = _plain(name)
    return next((table for table, names in TABLES.items() if plain in names), None)


def _plain(text: str) -> str:
    return re.sub(r"[\s_.]+", " ", text.strip().lower().replace("-", " ")).strip()


def _accepted_headings(which: str) -> dict[str, tuple[str, str]]:
    """Return the accepted headings of a table, each with its key and kind."""
    accepted = {}
    for row in table.rows("table_headings"):
        if row["table"] == which:
            for word in (row["key"], *row["words"].split("|")):
                accepted[_plain(word)] = (row["key"], row["kind"])
    return accepted


def _split(text: str) -> tuple[str, str | None]:
    """Return a heading's name and the unit in brackets or after a comma."""
    match = _UNIT.match(text)
    if match is None:
        return text, None
    return match.group("name"), match.group("unit") or match.group("tail")


def head(grid: Grid, which: str) -> Headed:
    """Return a table with its row of headings matched; rows above it with a single cell are a title.

    Raises:
        InputError: no row of headings, a duplicate heading, an unknown unit, a required column missing.
    """
    known = _accepted_headings(which)
    for position, row in enumerate(grid.rows[:10]):
        filled = [cell for cell in row if cell.text]
        hits = [cell for cell in filled if _plain(_split(cell.text)[0]) in known]
        if len(hits) >= 2:
            return _match(grid, which, row, grid.rows[position + 1 :])
        if len(filled) > 1:
            break
    seen = ", ".join(cell.text for row in grid.rows[:3] for cell in row if cell.text)[:120]
    valid = ", ".join(dict.fromkeys(key for key, _ in known.values()))
    raise InputError(grid.source, [Fault("no row of headings", key=f"table {which}", read=seen, valid=valid)])


def _match(grid: Grid, which: str, row: tuple[Cell, ...], below: tuple[tuple[Cell, ...], ...]) -> Headed:
    known = _accepted_headings(which)
    columns: dict[int, Column] = {}
    unknown, faults = [], []
    for cell in row:
        name, unit = _split(cell.text)
        if not cell.text:
            continue
        if _plain(name) not in known:
            unknown.append(cell)
            continue
        key, kind = known[_plain(name)]
        duplicate = next((column for column in columns.values() if column.key == key), None)
        if duplicate is not None:
            message = f"two columns for {key}, the other in {duplicate.heading.place}"
            faults.append(Fault(message, key=cell.place, read=cell.text))
        if unit is not None:
            fault = _unit_fault(cell, kind, unit)
            if fault is not None:
                faults.append(fault)
        columns[cell.column] = Column(key, kind, unit, cell)
    faults += _missing(which, {column.key for column in columns.values()}, row, unknown)
    if faults:
        raise InputError(grid.source, faults)
    return Headed(grid, which, columns, below, tuple(unknown))


def _unit_fault(cell: Cell, kind: str, unit: str) -> Fault | None:
    if kind not in ("length", "angle"):
        return Fault("a unit on a column of text", key=cell.place, read=cell.text)
    try:
        read_quantity(f"1 {unit}", kind, None)
    except QuantityError:
        return Fault(f"not a unit of {kind}", key=cell.place, read=unit, valid=", ".join(words(kind)))
    return None


def _missing(which: str, present: set[str], row: tuple[Cell, ...], unknown: list[Cell]) -> list[Fault]:
    faults = []
    groups: dict[str, list[str]] = {}
    for entry in table.rows("table_headings"):
        if entry["table"] == which and entry["need"] != "may":
            group = entry["key"] if entry["need"] == "must" else entry["need"]
            groups.setdefault(group, []).append(entry["key"])
    place = f"row {row[0].row}" if row else ""
    for keys in groups.values():
        if not present & set(keys):
            missing = " or ".join(keys)
            headings = list(dict.fromkeys(cell.text for cell in unknown))
            read = ", ".join(cell.text for cell in unknown)
            similar = len(headings) > 1 and match_of(keys[0], headings) is not None
            faults.append(
                Fault(
                    f"table {which} has no column for {missing}",
                    key=place,
                    read=f"unknown headings: {read}" if read else "",
                    valid=f"a heading such as '{missing}'" + (f"; {closest(keys[0], headings)}" if similar else ""),
                )
            )
    return faults
