"""Spreadsheet tables of posts, holes, eyes, deck edge and tapes to a plain tree for the boat file."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import PurePath
from typing import Any

from geom.boat.model import LEVELS
from geom.boat.tree import shown
from geom.data import table
from geom.errors import Fault, InputError
from geom.intake.tables.decimals import Sign, plain_numbers
from geom.intake.tables.grid import Cell, Grid, read_csv, read_xlsx
from geom.intake.tables.headings import Column, HeadedTable, head, is_unit, said, table_names, table_of
from geom.units import QuantityError, read_quantity

Row = dict[str, Any]


@dataclass
class Tables:
    """Tables as read: rows by table, lengths in mm and angles in rad; notes on what was not read.

    Each row has its own reference under the key `cell`. `columns` are the keys that a table has a column for: an
    empty cell there means that there is none, while a table without the column leaves the file's value.
    """

    rows: dict[str, list[Row]] = field(default_factory=dict)
    columns: dict[str, frozenset[str]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def echo(self) -> list[str]:
        """Return one line for each table read, and the notes."""
        return [*(f"{name}: {len(rows)} rows" for name, rows in self.rows.items()), *self.notes]


def read_tables(
    files: dict[str, bytes],
    units: dict[str, str],
    decimal: Sign | None = None,
    named: Mapping[str, str] | None = None,
) -> Tables:
    """Read tables from CSV files or workbooks.

    Args:
        files: bytes by file name; a CSV file's name, or a workbook sheet's name, is that of the table.
        units: the unit of a number in a column whose heading states none, by kind (`length`, `angle`);
            a kind that is missing must be stated in the headings.
        decimal: the decimal sign of every file, None to find it from the cells of each.
        named: tables by the name of a CSV file or a workbook's sheet whose own name does not tell.

    Raises:
        InputError: unusable content, with file, row and column.
    """
    grids: list[Grid] = []
    for name, data in files.items():
        ending = PurePath(name).suffix.lower()
        if ending == ".xlsx":
            grids += read_xlsx(data, name)
        elif ending in (".csv", ".txt"):
            grids.append(read_csv(data, name, PurePath(name).stem))
        else:
            raise InputError(name, [Fault("not a table that can be read", valid=".csv or .xlsx")])
    tables = Tables()
    for grid in grids:
        which = (named or {}).get(grid.name) or table_of(grid.name)
        if which is None:
            known = ", ".join(table_names())
            tables.notes.append(f"{grid.source}: '{shown(grid.name)}' is not one of {known}")
            continue
        if which in tables.rows:
            raise InputError(grid.source, [Fault("duplicate table", read=which)])
        if not grid.rows:
            continue
        headed = head(grid, which)
        tables.notes += grid.notes
        tables.notes += [
            f"{grid.source} {cell.place}: the column '{shown(cell.text)}' is unknown and was not read"
            for cell in headed.unknown
        ]
        tables.rows[which] = _rows(headed, units, decimal)
        tables.columns[which] = frozenset(column.key for column in headed.columns.values())
    if not tables.rows:
        raise InputError(
            ", ".join(files),
            [Fault("no table found", read=", ".join(grid.name for grid in grids),
                   valid=f"a file or sheet named {', '.join(table_names())}, or --sheet posts=NAME")],
        )  # fmt: skip
    return tables


def _rows(headed: HeadedTable, units: dict[str, str], decimal: Sign | None) -> list[Row]:
    """Return a table's rows with every cell read, or all faults of the table at once."""
    _refuse_split_numbers(headed)
    texts = plain_numbers(headed.grid.source, _numbers(headed, units), decimal)
    faults: list[Fault] = []
    rows, spoiled = [], []
    for cells in headed.rows:
        row: Row = {"cell": f"row {cells[0].row}"}
        bad = set()
        for cell in cells:
            column = headed.columns.get(cell.column)
            if column is None:
                if cell.text and not any(cell.column == known.column for known in headed.unknown):
                    faults.append(Fault("a cell without a heading", key=cell.place, read=shown(cell.text)))
                continue
            if cell.text:
                try:
                    row[column.key] = _value(replace(cell, text=texts.get(cell, cell.text)), column, units)
                except QuantityError as error:
                    faults.append(Fault(str(error), key=cell.place, read=shown(cell.text), valid=error.valid))
                    bad.add(column.key)
        rows.append(row)
        spoiled.append(bad)
    for row, bad in zip(rows, spoiled, strict=True):
        faults += _gaps(headed, row, bad)
    faults += _resolve_sides(headed.table, rows)
    if faults:
        raise InputError(headed.grid.source, faults)
    return rows


def _numbers(headed: HeadedTable, units: dict[str, str]) -> Iterator[tuple[Cell, str, str | None]]:
    for cells in headed.rows:
        for cell in cells:
            column = headed.columns.get(cell.column)
            if column is not None and cell.text and column.kind in ("length", "angle"):
                yield cell, column.kind, column.unit or units.get(column.kind)


def _refuse_split_numbers(headed: HeadedTable) -> None:
    """Refuse a table with commas between cells where an unknown column behind a column of numbers holds digits only."""
    faults = []
    for heading in headed.unknown if headed.grid.commas else ():
        before = headed.columns.get(heading.column - 1)
        texts = [cell.text for row in headed.rows for cell in row if cell.column == heading.column and cell.text]
        if before is not None and before.kind in ("length", "angle") and texts and all(map(str.isdigit, texts)):
            faults.append(
                Fault(
                    f"are these the decimals of {before.heading.text}, behind a decimal comma",
                    key=heading.place,
                    read=f"{heading.text}: {', '.join(texts[:3])}",
                    valid="semicolons between cells, or the column taken out",
                )
            )
    if faults:
        raise InputError(headed.grid.source, faults)


def _value(cell: Cell, column: Column, units: dict[str, str]) -> Any:
    if column.kind in ("length", "angle"):
        unit = column.unit or units.get(column.kind)
        if cell.unit:
            if not is_unit(cell.unit) or (
                unit is not None and _size_of(cell.unit, column.kind) != _size_of(unit, column.kind)
            ):
                raise QuantityError(
                    f"the workbook shows '{cell.unit}' behind it, and the column is in {unit}", "numbers without it"
                )
            unit = cell.unit
        if unit is None and cell.text.replace(".", "").isdigit():
            word = {"length": "mm", "angle": "deg"}[column.kind]
            raise QuantityError(f"a number without a unit, and column {column.heading.text} states none",
                                f"a heading such as '{column.heading.text} [{word}]'")  # fmt: skip
        value, _ = read_quantity(cell.text, column.kind, unit)
        if column.key == "length" and value <= 0.0:
            raise QuantityError("a tape must be longer than zero", "615 mm")
        return value
    for kind in ("side", "level"):
        if column.kind == kind:
            valid = said(f"{kind}s")
            if cell.text.lower() not in valid:
                raise QuantityError(f"not a {kind}", ", ".join(valid))
            return valid[cell.text.lower()]
    return cell.text


def _size_of(unit: str, kind: str) -> float:
    """Return one of a unit in the held unit of its kind."""
    return read_quantity(f"1 {unit}", kind, None)[0]


def _gaps(headed: HeadedTable, row: Row, bad: set[str]) -> list[Fault]:
    """Return a fault for each value that a row lacks; `bad` are the keys of cells that were refused already."""
    faults = []
    for entry in table.rows("table_headings"):
        if entry["table"] == headed.table and entry["need"] == "must" and entry["key"] not in row:
            if entry["key"] in bad:
                continue
            column = next(known for known in headed.columns.values() if known.key == entry["key"])
            faults.append(Fault(f"no {entry['key']}", key=f"{row['cell']}, column {column.heading.text}"))
    if {"y", "out"} & {column.key for column in headed.columns.values()} and not {"y", "out"} & {*row, *bad}:
        faults.append(Fault("no y", key=row["cell"]))
    return faults


def _resolve_sides(which: str, rows: list[Row]) -> list[Fault]:
    """Convert side and half-breadth columns to ids and signed Y, and return faults of sides and duplicate names."""
    faults = []
    seen: dict[Any, str] = {}
    for row in rows:
        side = row.get("side")
        if which in ("posts", "eyes") and side is not None and not str(row.get("id", "")).startswith(("S-", "P-")):
            row["id"] = f"{side}-{row.get('id', '')}"
        named = str(row.get("id", ""))
        side = side or (named[0] if named.startswith(("S-", "P-")) else None)
        if "out" in row and "y" not in row:
            if side is None:
                faults.append(Fault("a half-breadth without a side", key=row["cell"], valid="a column 'side'"))
            row["y"] = -row["out"] if side == "P" else row["out"]
        if which in ("posts", "eyes", "deck edge") and side is not None and "y" in row:
            row["side"] = side
            wrong = row["y"] > 0.0 if side == "P" else row["y"] < 0.0
            if wrong:
                valid = "Y to starboard +, or a column 'half breadth'"
                faults.append(Fault(f"Y is not on the side of {named or side}", key=row["cell"], valid=valid))
        name = {
            "posts": row.get("id"),
            "eyes": row.get("id"),
            "holes": (row.get("post"), row.get("level")),
        }.get(which)
        if name is not None and name in seen:
            shown_name = name if isinstance(name, str) else "-".join(str(part) for part in name)
            faults.append(Fault(f"{shown_name} is also in {seen[name]}", key=row["cell"], valid="each name once"))
        if name is not None:
            seen[name] = row["cell"]
    return faults


def boat_parts(tables: Tables) -> dict[str, Any]:
    """Return the parts of a boat file that tables contain, as a plain tree with quantities as text.

    None means that the entry is to be removed.

    Args:
        tables: the tables as read.

    Raises:
        InputError: holes of a post that is not in the table of posts, or posts without holes.
    """
    parts: dict[str, Any] = {}
    faults: list[Fault] = []
    if "posts" in tables.rows:
        parts["posts"] = _posts(tables, faults)
    elif "holes" in tables.rows:
        faults.append(Fault("a table of holes without a table of posts"))
    if "eyes" in tables.rows:
        parts["eyes"] = [
            {"id": row["id"], "on": str(row["on"]).lower(), "at": _point(row)} for row in tables.rows["eyes"]
        ]
    if "deck edge" in tables.rows:
        edge: dict[str, list[list[str]]] = {}
        for row in tables.rows["deck edge"]:
            edge.setdefault("starboard" if row["side"] == "S" else "port", []).append(_point(row))
        parts["deck_edge"] = edge
    if "tapes" in tables.rows:
        parts["tapes"] = [
            {"start": row["start"], "end": row["end"], "length": mm(row["length"])} for row in tables.rows["tapes"]
        ]
    if faults:
        raise InputError("tables", faults)
    return parts


def mm(value: float) -> str:
    """Return a length [mm] as exact text for a boat file."""
    return f"{_plain(value, 9)} mm"


def deg(value: float) -> str:
    """Return an angle [rad] as exact text in degrees for a boat file."""
    return f"{_plain(math.degrees(value), 10)} deg"


def _plain(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _point(row: Row, prefix: str = "") -> list[str]:
    return [mm(row[f"{prefix}{axis}"]) for axis in "xyz"]


def _posts(tables: Tables, faults: list[Fault]) -> list[dict[str, Any]]:
    holes: dict[str, dict[str, Any]] = {}
    ids = [row["id"] for row in tables.rows["posts"]]
    for row in tables.rows.get("holes", []):
        if row["post"] not in ids:
            faults.append(Fault("a hole of a post that is not in the table", key=row["cell"], read=row["post"]))
        holes.setdefault(row["post"], {})[row["level"]] = _hole(row, tables.columns.get("holes", frozenset()))
    posts = []
    columns = tables.columns.get("posts", frozenset())
    for row in tables.rows["posts"]:
        own_holes = holes.get(row["id"]) or _short_holes(row, faults)
        if not own_holes:
            faults.append(Fault(f"{row['id']} has no hole", key=row["cell"], valid="'upper along' or a table of holes"))
        post: dict[str, Any] = {
            "id": row["id"],
            "foot": _point(row),
            "lean": deg(row["lean"]),
            "rake": deg(row["rake"]),
        }
        if "intended lean" in columns:
            post["intended"] = None
        if "intended lean" in row and "intended rake" in row:
            post["intended"] = {"lean": deg(row["intended lean"]), "rake": deg(row["intended rake"])}
        post["deck_falls"] = {"aft": deg(row["falls aft"]), "outboard": deg(row["falls outboard"])}
        post["tube"] = row["tube"]
        if "base" in columns:
            post["base"] = row.get("base")
        post["top"] = mm(row["top"])
        post["holes"] = own_holes if "holes" not in tables.rows else {**dict.fromkeys(LEVELS), **own_holes}
        if "brace along" in columns:
            post["brace"] = None
        if "brace along" in row:
            post["brace"] = {"foot": _point(row, "brace "), "along": mm(row["brace along"])}
        posts.append(post)
    return posts


def _short_holes(row: Row, faults: list[Fault]) -> dict[str, Any]:
    """Return holes given in the table of posts: distance along and diameter as found for each level."""
    holes: dict[str, Any] = {}
    for level, word in LEVELS.items():
        if f"{word} along" in row:
            if f"{word} diameter" not in row:
                faults.append(Fault(f"{row['id']}: no {word} diameter", key=row["cell"]))
                continue
            holes[level] = {
                "along": mm(row[f"{word} along"]),
                "as_found": {"diameter": mm(row[f"{word} diameter"])},
            }
    return holes


def _hole(row: Row, columns: frozenset[str]) -> dict[str, Any]:
    hole: dict[str, Any] = {"along": mm(row["along"])}
    for key, state in (("as_found", "found"), ("planned", "planned")):
        if f"{state} diameter" in columns:
            hole[key] = None
        if f"{state} diameter" in row:
            hole[key] = _drilled(row, columns, state)
    if hole.get("as_found") is not None and "condition" in columns:
        hole["as_found"]["condition"] = row.get("condition")
    if hole.get("planned") is not None:
        if "liner bore" in columns:
            hole["planned"]["liner"] = None
        if "liner bore" in row:
            hole["planned"]["liner"] = {
                "bore": mm(row["liner bore"]),
                "length": mm(row.get("liner length", 0.0)),
                "mouth_radius": mm(row.get("liner mouth", 0.0)),
            }
    return hole


def _drilled(row: Row, columns: frozenset[str], state: str) -> dict[str, Any]:
    """Return a hole's diameter, direction and lip, as found or as planned."""
    drilled: dict[str, Any] = {"diameter": mm(row[f"{state} diameter"])}
    if f"{state} clocking" in columns:
        drilled["direction"] = None
    if f"{state} clocking" in row and f"{state} tilt" in row:
        drilled["direction"] = {"clocking": deg(row[f"{state} clocking"]), "tilt": deg(row[f"{state} tilt"])}
    if f"{state} lip" in columns:
        drilled["lip_radius"] = mm(row[f"{state} lip"]) if f"{state} lip" in row else None
    return drilled
