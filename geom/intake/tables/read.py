"""Spreadsheet tables of posts, holes, eyes, deck edge and tapes to a plain tree for the boat file."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import PurePath
from typing import Any

from geom.boat.tree import shown
from geom.errors import Fault, InputError
from geom.intake.tables.grid import Cell, Grid, read_csv, read_xlsx
from geom.intake.tables.headings import Column, Headed, head, table_of
from geom.units import QuantityError, read_quantity

_SIDES = {"s": "S", "stb": "S", "stbd": "S", "starboard": "S", "p": "P", "port": "P"}
_LEVELS = {"u": "U", "upper": "U", "m": "M", "middle": "M", "l": "L", "lower": "L"}
_LEVEL_WORDS = {"U": "upper", "M": "middle", "L": "lower"}
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


def read_tables(files: dict[str, bytes], units: dict[str, str]) -> Tables:
    """Read tables from CSV files or workbooks.

    Args:
        files: bytes by file name; a CSV file's name, or a workbook sheet's name, is that of the table.
        units: the unit of a number in a column whose heading states none, by kind (`length`, `angle`);
            a kind that is missing must be stated in the headings.

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
        which = table_of(grid.name)
        if which is None:
            known = "posts, holes, eyes, deck edge, tapes"
            tables.notes.append(f"{grid.source}: '{shown(grid.name)}' is not one of {known}")
            continue
        if which in tables.rows:
            raise InputError(grid.source, [Fault("duplicate table", read=which)])
        if not grid.rows:
            continue
        headed = head(grid, which)
        tables.notes += [
            f"{grid.source} {cell.place}: the column '{shown(cell.text)}' is unknown and was not read"
            for cell in headed.unknown
        ]
        tables.rows[which] = _rows(headed, units)
        tables.columns[which] = frozenset(column.key for column in headed.columns.values())
    if not tables.rows:
        raise InputError(", ".join(files), [Fault("no table found", valid="posts, holes, eyes, deck edge or tapes")])
    return tables


def _rows(headed: Headed, units: dict[str, str]) -> list[Row]:
    """Return a table's rows with every cell read, or all faults of the table at once."""
    faults: list[Fault] = []
    rows = []
    for cells in headed.rows:
        row: Row = {"cell": f"row {cells[0].row}"}
        for cell in cells:
            column = headed.columns.get(cell.column)
            if column is None:
                if cell.text and not any(cell.column == known.column for known in headed.unknown):
                    faults.append(Fault("a cell without a heading", key=cell.place, read=shown(cell.text)))
                continue
            if cell.text:
                try:
                    row[column.key] = _value(cell, column, units)
                except QuantityError as error:
                    faults.append(Fault(str(error), key=cell.place, read=shown(cell.text), valid=error.valid))
        rows.append(row)
    for row in rows:
        faults += _gaps(headed, row)
    faults += _resolve_sides(headed.table, rows)
    if faults:
        raise InputError(headed.grid.source, faults)
    return rows


def _value(cell: Cell, column: Column, units: dict[str, str]) -> Any:
    if column.kind in ("length", "angle"):
        value, _ = read_quantity(cell.text, column.kind, column.unit or units.get(column.kind))
        return value
    listed: Callable[[dict[str, str]], str] = lambda valid: ", ".join(dict.fromkeys(valid))  # noqa: E731
    for kind, valid in (("side", _SIDES), ("level", _LEVELS)):
        if column.kind == kind:
            if cell.text.lower() not in valid:
                raise QuantityError(f"not a {kind}", listed(valid))
            return valid[cell.text.lower()]
    return cell.text


def _gaps(headed: Headed, row: Row) -> list[Fault]:
    from geom.data import table

    faults = []
    for entry in table.rows("table_headings"):
        if entry["table"] == headed.table and entry["need"] == "must" and entry["key"] not in row:
            column = next(known for known in headed.columns.values() if known.key == entry["key"])
            faults.append(Fault(f"no {entry['key']}", key=f"{row['cell']}, column {column.heading.text}"))
    if {"y", "out"} & {column.key for column in headed.columns.values()} and not {"y", "out"} & set(row):
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
        post["holes"] = own_holes if "holes" not in tables.rows else {**dict.fromkeys("UML"), **own_holes}
        if "brace along" in columns:
            post["brace"] = None
        if "brace along" in row:
            post["brace"] = {"foot": _point(row, "brace "), "along": mm(row["brace along"])}
        posts.append(post)
    return posts


def _short_holes(row: Row, faults: list[Fault]) -> dict[str, Any]:
    """Return holes given in the table of posts: distance along and diameter as found for each level."""
    holes = {}
    for level, word in _LEVEL_WORDS.items():
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
