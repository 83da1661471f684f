"""Headings of a spreadsheet matched with the columns of our tables, with the unit stated in each."""

from __future__ import annotations

import re
from collections.abc import Container
from dataclasses import dataclass

from geom.boat.faults import closest, match_of
from geom.data import table
from geom.errors import Fault, InputError
from geom.intake.tables.grid import Cell, Grid
from geom.units import QuantityError, read_quantity, words

_UNIT = re.compile(r"^(?P<name>.*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])]|[,/]\s*(?P<tail>[A-Za-z°\"\']+))\s*$")
_LAST_WORD = re.compile(r"^(?P<name>.+?)\s+(?P<unit>[A-Za-z°\"\']+)\s*$")
# What an operating system puts behind the name of a second copy.
_COPY = re.compile(r"\s*(?:\(\d+\)|copy|kopie|copie)$")
_TITLE_ROWS = 10


@dataclass(frozen=True)
class Column:
    """A recognised column: its key, kind of value, and the unit in its heading, if any."""

    key: str
    kind: str
    unit: str | None
    heading: Cell


@dataclass(frozen=True)
class HeadedTable:
    """A table with its headings matched: columns by position, rows below, unknown headings."""

    grid: Grid
    table: str
    columns: dict[int, Column]
    rows: tuple[tuple[Cell, ...], ...]
    unknown: tuple[Cell, ...]


def table_of(name: str) -> str | None:
    """Return the table that a sheet's or a file's name stands for, None where it is none of ours."""
    return said("names").get(_COPY.sub("", _plain(name)))


def table_names() -> tuple[str, ...]:
    """Return the names of the tables in our own words."""
    return tuple(dict.fromkeys(said("names").values()))


def said(table_name: str) -> dict[str, str]:
    """Return the words of a table in every language, each with its key.

    Args:
        table_name: a table's name, or `names`, `sides`, `levels`.
    """
    return {
        _plain(word): row["key"]
        for row in table.rows("table_words")
        if row["table"] == table_name
        for word in row["words"].split("|")
    }


def _plain(text: str) -> str:
    return re.sub(r"[\s_.]+", " ", text.strip().lower().replace("-", " ")).strip()


def _accepted_headings(which: str) -> dict[str, tuple[str, str]]:
    """Return the accepted headings of a table, each with its key and kind."""
    kinds = {row["key"]: row["kind"] for row in table.rows("table_headings") if row["table"] == which}
    return {word: (key, kinds[key]) for word, key in said(which).items()}


def _split(text: str, known: Container[str]) -> tuple[str, str | None]:
    """Return a heading's name and its unit: in brackets, after a comma, a stroke or a space."""
    if _plain(text) in known:
        return text, None
    match = _UNIT.match(text)
    if match is not None:
        return match.group("name"), match.group("unit") or match.group("tail")
    last = _LAST_WORD.match(text)
    if last is not None and _plain(last.group("name")) in known and is_unit(last.group("unit")):
        return last.group("name"), last.group("unit")
    return text, None


def is_unit(text: str) -> bool:
    """Return whether a text is a unit of length or angle."""
    return any(_unit_of(kind, text) for kind in ("length", "angle"))


def _unit_of(kind: str, text: str) -> bool:
    try:
        read_quantity(f"1 {text}", kind, None)
    except QuantityError:
        return False
    return True


def head(grid: Grid, which: str) -> HeadedTable:
    """Return a table with its row of headings matched; rows above it are a title, one below it may hold the units.

    Raises:
        InputError: no row of headings, a duplicate heading, an unknown unit, a required column missing.
    """
    known = _accepted_headings(which)
    for position, row in enumerate(grid.rows[:_TITLE_ROWS]):
        hits = [cell for cell in row if cell.text and _plain(_split(cell.text, known)[0]) in known]
        if len(hits) >= 2:
            return _match(grid, which, row, grid.rows[position + 1 :])
    seen = ", ".join(cell.text for row in grid.rows[:3] for cell in row if cell.text)[:120]
    valid = ", ".join(dict.fromkeys(key for key, _ in known.values()))
    raise InputError(grid.source, [Fault("no row of headings", key=f"table {which}", read=seen, valid=valid)])


def _match(grid: Grid, which: str, row: tuple[Cell, ...], below: tuple[tuple[Cell, ...], ...]) -> HeadedTable:
    known = _accepted_headings(which)
    columns: dict[int, Column] = {}
    unknown, faults = [], []
    units, below = _units_row(below)
    for cell in row:
        if not cell.text:
            continue
        name, unit = _split(cell.text, known)
        unit = unit or units.get(cell.column)
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
    return HeadedTable(grid, which, columns, below, tuple(unknown))


def _unit_fault(cell: Cell, kind: str, unit: str) -> Fault | None:
    if kind not in ("length", "angle"):
        return Fault("a unit on a column of text", key=cell.place, read=cell.text)
    if not _unit_of(kind, unit):
        return Fault(f"not a unit of {kind}", key=cell.place, read=unit, valid=", ".join(words(kind)))
    return None


def _units_row(rows: tuple[tuple[Cell, ...], ...]) -> tuple[dict[int, str], tuple[tuple[Cell, ...], ...]]:
    """Return the units by column where the first row below the headings holds nothing but units, and the rows left."""
    filled = [cell for cell in rows[0] if cell.text] if rows else []
    units = {cell.column: cell.text.strip("[]() ") for cell in filled}
    if not units or not all(map(is_unit, units.values())):
        return {}, rows
    return units, rows[1:]


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
