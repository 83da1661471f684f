"""Readings in the short form from a spreadsheet: a row for each post or rail, a column for each kind of reading."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from geom.errors import Fault, InputError
from geom.intake.survey.short import NOTHING_READ, Entry
from geom.intake.tables.decimals import plain_numbers
from geom.intake.tables.grid import Cell, Grid, read_csv, read_xlsx

_OF = ("post", "rail", "post or rail", "name")


def read_entries(path: Path) -> tuple[Entry, ...]:
    """Read a table of readings: the first column names posts and rails (`S-S1`, `P-PULPIT`), the others what was read.

    Args:
        path: a CSV file, or a workbook with one sheet.

    Raises:
        InputError: a file that cannot be read, no such headings, a name without its side.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(str(path), [Fault(f"cannot be read: {error.strerror}")]) from None
    grid = read_xlsx(data, str(path))[0] if path.suffix.lower() == ".xlsx" else read_csv(data, str(path), path.stem)
    head = next((row for row in grid.rows[:10] if row[0].text.lower() in _OF), None)
    if head is None:
        fault = Fault("no row of headings", valid="a first column 'post', then headings such as 'staff U', 'mast L'")
        raise InputError(grid.source, [fault])
    return _entries(grid, head)


def _entries(grid: Grid, head: tuple[Cell, ...]) -> tuple[Entry, ...]:
    headings = {cell.column: " ".join(cell.text.split()) for cell in head[1:] if cell.text}
    rows = grid.rows[grid.rows.index(head) + 1 :]
    cells = [cell for row in rows for cell in row[1:] if cell.text and cell.text not in NOTHING_READ]
    texts = plain_numbers(grid.source, ((cell, "length", "mm") for cell in cells))
    entries, faults = [], []
    for row in rows:
        name = row[0].text
        sides: dict[str, Literal["S", "P"]] = {"S-": "S", "P-": "P"}
        if name[:2] not in sides:
            fault = Fault("a post or rail without its side", key=row[0].place, read=name, valid="S-S1, P-PULPIT")
            faults.append(fault)
            continue
        for cell in row[1:]:
            if not cell.text or cell.text in NOTHING_READ:
                continue
            if cell.column not in headings:
                faults.append(Fault("a cell without a heading", key=cell.place, read=cell.text))
                continue
            number = texts.get(cell, cell.text)
            place = f"{grid.source} {cell.place}"
            entries.append(Entry(sides[name[:2]], name[2:], headings[cell.column], number, place))
    if faults:
        raise InputError(grid.source, faults)
    return tuple(entries)
