"""Tables of the schedules on the page: each cell in millimetres and in inches, with its place in the CSV file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from markupsafe import Markup, escape

from geom.page.figures import both
from geom.page.value import INCHES
from geom.tables.table import Column, Table, cells
from geom.units import LengthFormat

_LENGTHS = ("length", "fine length", "gauge")


# A cell with more letters than these, in both units together, is broad or long.
_BROAD, _LONG = 15, 28


@dataclass(frozen=True)
class Cell:
    """A cell: what it shows, and whether that is empty, broad or long; an empty word where it is none of these."""

    shown: Markup
    width: str


@dataclass(frozen=True)
class ListedTable:
    """A table of the page: headings, and rows of cells."""

    name: str
    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def listed(
    table: Table,
    keep: Callable[[str], bool] | None = None,
    leave: tuple[str, ...] = (),
    ends: Mapping[str, str] | None = None,
) -> ListedTable:
    """Return a table for the page, without columns that hold nothing in the rows shown.

    Args:
        table: of the schedules.
        keep: returns whether a row is shown, from its id; all are where None.
        leave: keys of columns that are not shown.
        ends: where the ends of a run are made fast, named in place of its start and its finish.
    """
    kept = [index for index, name in enumerate(table.ids) if keep is None or keep(name)]
    ours = replace(
        table, results=tuple(table.results[index] for index in kept), ids=tuple(table.ids[index] for index in kept)
    )
    metric, inch = _evenly(ours, cells(ours, LengthFormat())), cells(ours, INCHES)
    shown = [
        (place, column)
        for place, column in enumerate(ours.columns)
        if column.key not in leave and any(row[place] not in (None, "") for row in ours.rows)
    ]
    rows = tuple(
        tuple(
            _cell(ours, index, column, _end(column, row[place], ends), (metric[index][place], inch[index][place]))
            for place, column in shown
        )
        for index, row in enumerate(ours.rows)
    )
    return ListedTable(table.name, table.title, tuple(column.heading for _, column in shown), rows)


def _evenly(table: Table, texts: tuple[tuple[str, ...], ...]) -> list[list[str]]:
    """Return cells in millimetres, without tenths in columns whose lengths have none, as rope is ordered."""
    rows = [list(row) for row in texts]
    for place, column in enumerate(table.columns):
        if column.kind in _LENGTHS and all(row[place].endswith((".0", "-")) for row in rows):
            for row in rows:
                row[place] = row[place].removesuffix(".0")
    return rows


def _end(column: Column, value: object, ends: Mapping[str, str] | None) -> object:
    return ends[str(value)] if ends is not None and column.key == "end" else value


def _cell(table: Table, index: int, column: Column, value: object, texts: tuple[str, str]) -> Cell:
    if value in (None, ""):
        return Cell(Markup(""), "empty")
    metric, inch = (str(value), str(value)) if column.key == "end" else texts
    if isinstance(value, float) and column.kind in _LENGTHS:
        metric, inch = f"{metric}\u00a0mm", f"{inch}\u00a0in"
    shown = Markup(f"<span {_place(table.name, table.ids[index], column.key)}>{both(metric, inch)}</span>")
    letters = len(metric) + (len(inch) if inch != metric else 0)
    width = "long" if letters > _LONG else "broad" if letters > _BROAD and metric == inch else ""
    return Cell(shown, width)


@lru_cache(maxsize=1 << 14)
def _place(table: str, row: str, column: str) -> str:
    """Return the attributes that say where a cell stands."""
    return f'data-table="{escape(table)}" data-row="{escape(row)}" data-column="{escape(column)}"'
