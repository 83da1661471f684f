"""Export of a boat's posts, holes, eyes, deck edge and tapes to CSV or XLSX, and import into a boat file."""

from __future__ import annotations

import csv
import io
import math
import zipfile
from collections.abc import Iterator
from typing import Any

from geom.boat.file import read_boat
from geom.boat.model import Axes, Boat, Hole, Post, Units
from geom.boat.quantity import Reading
from geom.boat.tree import read_tree
from geom.boat.turn import to_file_axes
from geom.errors import Fault, InputError
from geom.intake.merge import Merge
from geom.intake.tables.read import Tables, boat_parts

# Heading with its unit -> key of the row.
POSTS = (
    "id", "X [mm]", "Y [mm]", "Z [mm]", "lean [deg]", "rake [deg]", "intended lean [deg]", "intended rake [deg]",
    "falls aft [deg]", "falls outboard [deg]", "tube", "base", "top [mm]",
    "brace X [mm]", "brace Y [mm]", "brace Z [mm]", "brace along [mm]",
)  # fmt: skip
HOLES = (
    "post", "level", "along [mm]", "found diameter [mm]", "found clocking [deg]", "found tilt [deg]",
    "found lip [mm]", "condition", "planned diameter [mm]", "planned clocking [deg]", "planned tilt [deg]",
    "planned lip [mm]", "liner bore [mm]", "liner length [mm]", "liner mouth [mm]",
)  # fmt: skip
EYES = ("id", "on", "X [mm]", "Y [mm]", "Z [mm]")
EDGE = ("side", "X [mm]", "Y [mm]", "Z [mm]")
TAPES = ("start", "end", "length [mm]")


def boat_tables(boat: Boat) -> dict[str, list[tuple[str, ...]]]:
    """Return a boat's tables, headings first, with numbers exact enough for a round trip."""
    tables: dict[str, list[tuple[str, ...]]] = {
        "posts": [POSTS, *(_post_row(post) for post in boat.posts)],
        "holes": [HOLES, *(row for post in boat.posts for row in _hole_rows(post))],
        "eyes": [EYES, *((eye.id, eye.on, *_mm(*eye.at)) for eye in boat.eyes)],
        "deck edge": [EDGE, *_edge_rows(boat)],
    }
    if boat.tapes:
        tables["tapes"] = [TAPES, *((tape.start, tape.end, *_mm(tape.length)) for tape in boat.tapes)]
    return tables


def csv_files(boat: Boat) -> dict[str, bytes]:
    """Return a boat's tables as CSV files by name: comma, decimal point, UTF-8."""
    files = {}
    for name, rows in boat_tables(boat).items():
        text = io.StringIO()
        csv.writer(text, lineterminator="\r\n").writerows(rows)
        files[f"{name.replace(' ', '-')}.csv"] = text.getvalue().encode("utf-8")
    return files


def workbook(boat: Boat) -> bytes:
    """Return a boat's tables as one XLSX workbook, a sheet each; the same boat gives the same bytes."""
    from datetime import datetime

    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for name, rows in boat_tables(boat).items():
        sheet = book.create_sheet(name)
        for number, row in enumerate(rows):
            sheet.append([_cell(text, number, heading) for text, heading in zip(row, rows[0], strict=True)])
    # The library writes the time of day; a fixed date keeps the bytes the same.
    fixed = datetime(2000, 1, 1)
    book.properties.creator = ""
    book.properties.created = book.properties.modified = fixed
    raw = io.BytesIO()
    book.save(raw)
    return _same_bytes(raw.getvalue())


def _same_bytes(data: bytes) -> bytes:
    """Repack a workbook with fixed dates on its parts and in its properties."""
    import re

    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for part in sorted(old.namelist()):
            body = old.read(part)
            if part == "docProps/core.xml":
                body = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>2000-01-01T00:00:00Z", body)
            info = zipfile.ZipInfo(part, (2000, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, body)
    return packed.getvalue()


def _cell(text: str, row: int, heading: str) -> Any:
    if row == 0 or "[" not in heading:
        return text
    return float(text) if text else None


def _number(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _mm(*values: float | None) -> tuple[str, ...]:
    return tuple("" if value is None else _number(value, 8) for value in values)


def _deg(*values: float | None) -> tuple[str, ...]:
    return tuple("" if value is None else _number(math.degrees(value), 9) for value in values)


def _post_row(post: Post) -> tuple[str, ...]:
    intended = (None, None) if post.intended is None else (post.intended.lean, post.intended.rake)
    brace = (None,) * 4 if post.brace is None else (*post.brace.foot, post.brace.along)
    return (
        post.id,
        *_mm(*post.foot),
        *_deg(post.lean, post.rake, *intended, post.deck_falls.aft, post.deck_falls.outboard),
        post.tube,
        post.base or "",
        *_mm(post.top, *brace),
    )


def _hole_rows(post: Post) -> Iterator[tuple[str, ...]]:
    for level, hole in post.holes.items():
        yield (post.id, level, *_mm(hole.along), *_found(hole), *_planned(hole))


def _found(hole: Hole) -> tuple[str, ...]:
    found = hole.as_found
    if found is None:
        return ("",) * 5
    direction = None if isinstance(found.direction, str) else found.direction
    angles = (None, None) if direction is None else (direction.clocking, direction.tilt)
    condition = "" if found.condition == "unknown" else found.condition
    return (*_mm(found.diameter), *_deg(*angles), *_mm(found.lip_radius), condition)


def _planned(hole: Hole) -> tuple[str, ...]:
    planned = hole.planned
    if planned is None:
        return ("",) * 7
    direction = None if isinstance(planned.direction, str) else planned.direction
    angles = (None, None) if direction is None else (direction.clocking, direction.tilt)
    liner = planned.liner
    bush = (None,) * 3 if liner is None else (liner.bore, liner.length, liner.mouth_radius)
    return (*_mm(planned.diameter), *_deg(*angles), *_mm(planned.lip_radius, *bush))


def _edge_rows(boat: Boat) -> Iterator[tuple[str, ...]]:
    for side, edge in (("S", boat.deck_edge.starboard), ("P", boat.deck_edge.port)):
        for point in edge or ():
            yield (side, *_mm(*point))


def into_boat_file(data: bytes, source: str, tables: Tables) -> bytes:
    """Return a boat file with posts, eyes, deck edge and tapes from the tables, its comments kept.

    Entries are matched by id and keep their comments; parts that the tables do not contain stay unchanged.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        tables: the tables as read, in boat axes.

    Raises:
        InputError: the tables are inconsistent, or the new file fails the boat file's own checks.
    """
    from ruamel.yaml import YAML

    tree = read_tree(data, source)
    if tree.root.get("mirror") is not None:
        raise InputError(source, [Fault("the file has `mirror: true`; tables contain both sides")])
    bare = _bare_units(tree.root)
    parts = boat_parts(_in_file_axes(tables, tree.root, bare))
    yaml = YAML(typ="rt")
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.indent(mapping=2, sequence=4, offset=2)
    document = yaml.load(data.decode("utf-8-sig"))
    merge = Merge(bare)
    for key, part in parts.items():
        if key in document:
            document[key] = merge.merged(document[key], part)
        else:
            document[key] = merge.fresh(part)
    text = io.StringIO()
    yaml.dump(document, text)
    new = text.getvalue().encode("utf-8")
    read_boat(new, f"{source} with the tables merged")
    return new


def _bare_units(root: dict[str, Any]) -> dict[str, str]:
    units = Units.model_validate(root.get("units") or {})
    return {kind: unit for kind, unit in (("length", units.length), ("angle", units.angle)) if unit is not None}


def _in_file_axes(tables: Tables, root: dict[str, Any], bare: dict[str, str]) -> Tables:
    """Return the tables with every point converted from boat axes to the file's own."""
    axes = Axes.model_validate(root["axes"], context=Reading(bare))
    converted = Tables(notes=tables.notes, columns=tables.columns)
    for name, rows in tables.rows.items():
        converted.rows[name] = [dict(row) for row in rows]
        for row in converted.rows[name]:
            for prefix in ("", "brace "):
                keys = [f"{prefix}{axis}" for axis in "xyz"]
                if all(key in row for key in keys):
                    x, y, z = (row[key] for key in keys)
                    row.update(zip(keys, to_file_axes(axes, (x, y, z)), strict=True))
    return converted
