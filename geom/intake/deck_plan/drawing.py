"""Reading DXF: a drawing's points, circles, inserts and polylines as plain records.

Only the drawing's units and coordinate systems are interpreted here; see reading.py for the rest.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import count
from typing import Any

from geom.errors import Fault, InputError
from geom.render.dxf_count import expanded_count
from geom.vec import Vec

MAX_BYTES = 20_000_000
MAX_ENTITIES = 100_000
MAX_DEPTH = 5
# Blocks within blocks of a drawing that is read at all; those beyond MAX_DEPTH are not looked into.
MAX_LEVELS = 20
# Records of a file, of every kind: entities, their vertices, table entries. A record begins with group code 0.
MAX_RECORDS = 150_000
_RECORD, _BINARY_RECORD = re.compile(rb"(?m)^ *0\r?\n[A-Z]"), re.compile(rb"\0\0[A-Z]")
# $INSUNITS of the DXF reference -> our unit words.
_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
_UNITLESS = 0


@dataclass(frozen=True)
class Mark:
    """A point entity: position [drawing units], layer, block and attributes by tag.

    `serial` numbers the entities of a drawing; `inside` are the serials of the inserts that contain it.
    """

    kind: str
    at: Vec
    layer: str
    block: str
    handle: str
    attributes: dict[str, str] = field(default_factory=dict)
    serial: int = 0
    inside: tuple[int, ...] = ()

    @property
    def place(self) -> str:
        """The entity's description for messages."""
        return f"{self.kind} #{self.handle} on layer {self.layer}"


@dataclass(frozen=True)
class Chain:
    """A line or polyline by its points [drawing units]; `bulged` where it contains arcs."""

    points: tuple[Vec, ...]
    layer: str
    handle: str
    bulged: bool

    @property
    def place(self) -> str:
        """The entity's description for messages."""
        return f"polyline #{self.handle} on layer {self.layer}"


@dataclass(frozen=True)
class Drawing:
    """The useful content of a DXF file; `units` is the unit in its header, None where it states none."""

    source: str
    version: str
    units: str | None
    marks: tuple[Mark, ...]
    chains: tuple[Chain, ...]
    layers: tuple[str, ...]
    blocks: tuple[str, ...]
    notes: tuple[str, ...]


def read_drawing(data: bytes, source: str) -> Drawing:
    """Read a DXF, text or binary, R12 to R2018.

    Args:
        data: the file's bytes.
        source: its name, for messages.

    Raises:
        InputError: too large, not a DXF, units that are not read, too many entities.
    """
    if len(data) > MAX_BYTES:
        megabytes = len(data) / 1e6
        fault = Fault(
            "the drawing is too large",
            read=f"{megabytes:.0f} MB",
            valid=f"at most {MAX_BYTES // 1_000_000} MB; the deck plan alone, without hatches and images",
        )
        raise InputError(source, [fault])
    records = sum(1 for _ in (_BINARY_RECORD if data.startswith(b"AutoCAD Binary DXF") else _RECORD).finditer(data))
    if records > MAX_RECORDS:
        valid = f"at most {MAX_RECORDS}; the deck plan alone, without hatches and images"
        raise InputError(source, [Fault("too many entities", read=f"{records}", valid=valid)])
    document, notes = _open(data, source)
    expanded = expanded_count(document, document.modelspace(), MAX_LEVELS)
    if expanded is None or expanded > MAX_ENTITIES:
        read = f"{expanded} with blocks expanded" if expanded is not None else "blocks within blocks too deep"
        valid = f"at most {MAX_ENTITIES}, and {MAX_LEVELS} levels of blocks"
        raise InputError(source, [Fault("too many entities", read=read, valid=valid)])
    code = int(document.header.get("$INSUNITS", _UNITLESS))
    if code != _UNITLESS and code not in _UNITS:
        fault = Fault("the drawing's header states units that are not read", read=f"$INSUNITS {code}")
        raise InputError(source, [fault])
    marks: list[Mark] = []
    chains: list[Chain] = []
    for serial, (entity, layer, inside) in enumerate(_walk(document.modelspace(), count())):
        if serial >= MAX_ENTITIES:
            raise InputError(source, [Fault("too many entities", valid=f"at most {MAX_ENTITIES}")])
        _take(entity, layer, marks, chains)
        if marks and marks[-1].serial < 0:
            marks[-1] = replace(marks[-1], serial=serial, inside=inside)
    return Drawing(
        source=source,
        version=document.acad_release,
        units=_UNITS.get(code),
        marks=tuple(marks),
        chains=tuple(chains),
        layers=tuple(sorted({mark.layer for mark in marks} | {chain.layer for chain in chains})),
        blocks=tuple(sorted({mark.block for mark in marks if mark.block})),
        notes=notes,
    )


def _open(data: bytes, source: str) -> tuple[Any, tuple[str, ...]]:
    import ezdxf
    from ezdxf import recover

    try:
        document, auditor = recover.read(io.BytesIO(data))
    except (OSError, ezdxf.DXFError):
        raise InputError(source, [Fault("not readable as DXF", valid="DXF R12 to R2018")]) from None
    except Exception as error:
        # On damaged files the DXF reader raises other errors than its own.
        raise InputError(source, [Fault(f"not readable as DXF ({type(error).__name__})")]) from None
    damaged = len(auditor.errors)
    return document, ((f"the drawing contains {damaged} damaged entities, left out",) if damaged else ())


def _walk(
    layout: Any, serials: Iterator[int], insert_layer: str | None = None, inside: tuple[int, ...] = ()
) -> Iterator[tuple[Any, str, tuple[int, ...]]]:
    """Yield entities with their effective layer and the inserts that contain them, an insert before its parts.

    Entities on layer 0 of a block take the layer of the insert (DXF reference).
    """
    for entity in layout:
        layer = insert_layer if insert_layer is not None and entity.dxf.layer == "0" else entity.dxf.layer
        serial = next(serials)
        yield entity, layer, inside
        if entity.dxftype() == "INSERT" and len(inside) < MAX_DEPTH:
            yield from _walk(entity.virtual_entities(), serials, layer, (*inside, serial))


def _take(entity: Any, layer: str, marks: list[Mark], chains: list[Chain]) -> None:
    kind = entity.dxftype()
    handle = entity.dxf.handle or _origin(entity).dxf.handle or "?"
    if kind == "POINT":
        marks.append(Mark("point", _vec(entity.dxf.location), layer, "", handle, serial=-1))
    elif kind == "CIRCLE":
        marks.append(Mark("circle", _vec(entity.ocs().to_wcs(entity.dxf.center)), layer, "", handle, serial=-1))
    elif kind == "INSERT":
        attributes = {attribute.dxf.tag.upper(): attribute.dxf.text.strip() for attribute in entity.attribs}
        at = _vec(entity.ocs().to_wcs(entity.dxf.insert))
        marks.append(Mark("insert", at, layer, entity.dxf.name, handle, attributes, -1))
    elif kind == "LINE":
        chains.append(Chain((_vec(entity.dxf.start), _vec(entity.dxf.end)), layer, handle, False))
    elif kind == "LWPOLYLINE":
        points = tuple(_vec(point) for point in entity.vertices_in_wcs())
        bulged = any(abs(point[4]) > 1e-9 for point in entity.get_points())
        chains.append(Chain(points, layer, handle, bulged))
    elif kind == "POLYLINE" and (entity.is_2d_polyline or entity.is_3d_polyline):
        bulged = bool(entity.is_2d_polyline and any(abs(vertex.dxf.bulge) > 1e-9 for vertex in entity.vertices))
        chains.append(Chain(tuple(_vec(point) for point in entity.points_in_wcs()), layer, handle, bulged))


def _vec(point: Any) -> Vec:
    at = (float(point[0]), float(point[1]), float(point[2]) if len(point) > 2 else 0.0)
    return at if all(math.isfinite(value) for value in at) else (math.nan, math.nan, math.nan)


def _origin(entity: Any) -> Any:
    """Return the block's entity that a part of an insert was copied from."""
    return entity.source_of_copy if entity.source_of_copy is not None else entity
