"""Reading DXF: a drawing's points, circles, inserts and polylines as plain records.

Only the drawing's units and coordinate systems are interpreted here; see reading.py for the rest.
"""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import Any

from geom.errors import Fault, InputError
from geom.render.dxf_count import expanded_count
from geom.units import in_unit
from geom.vec import Vec

MAX_BYTES = 20_000_000
MAX_ENTITIES = 100_000
MAX_DEPTH = 5
# Blocks within blocks of a drawing that is read at all; those beyond MAX_DEPTH are not looked into.
MAX_LEVELS = 20
# Records of a file, of every kind: entities, their vertices, table entries. A record begins with group code 0.
MAX_RECORDS = 150_000
_BINARY = b"AutoCAD Binary DXF"
_RECORD, _BINARY_RECORD = re.compile(rb"(?m)^ *0\r?\n[A-Z]"), re.compile(rb"\0\0[A-Z]")
# $INSUNITS of the DXF reference -> our unit words.
_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
_UNITLESS = 0
# A block that stands for another file (DXF reference, flags of BLOCK).
_XREF = 4
# What a deck edge may be drawn as, with its word.
_CHAINS = {
    "LINE": "line", "LWPOLYLINE": "polyline", "POLYLINE": "polyline", "SPLINE": "spline", "ARC": "arc",
    "ELLIPSE": "ellipse",
}  # fmt: skip
# Arcs and splines are read as chords no further from them than this [mm].
_FLAT_WITHIN = 0.1


@dataclass(frozen=True)
class Mark:
    """A point entity: position [drawing units], layer, block and attributes by tag.

    `serial` numbers the entities of a drawing; `inside` are the serials of the inserts that contain it, `scale` is what
    they enlarge it by: numbers in its attributes are enlarged like its place.
    """

    kind: str
    at: Vec
    layer: str
    block: str
    handle: str
    attributes: dict[str, str] = field(default_factory=dict)
    serial: int = 0
    inside: tuple[int, ...] = ()
    scale: float = 1.0

    @property
    def place(self) -> str:
        """The entity's description for messages."""
        return f"{self.kind} #{self.handle} on layer {self.layer}"


@dataclass(frozen=True)
class Chain:
    """A line, polyline or curve by its points [drawing units]; `curved` where some stand for arcs or splines."""

    kind: str
    points: tuple[Vec, ...]
    layer: str
    handle: str
    curved: bool
    closed: bool = False

    @property
    def place(self) -> str:
        """The entity's description for messages."""
        return f"{self.kind} #{self.handle} on layer {self.layer}"


@dataclass(frozen=True)
class Drawing:
    """The useful content of a DXF file; `units` is the unit in its header, None where it states none.

    `kinds` is how many entities of each kind every layer holds, read or not. `strokes` is all that is drawn as lines,
    curves as chords, a point as itself [drawing units]; `unstroked` is how many entities of each kind it leaves out.
    """

    source: str
    version: str
    units: str | None
    marks: tuple[Mark, ...]
    chains: tuple[Chain, ...]
    layers: tuple[str, ...]
    blocks: tuple[str, ...]
    notes: tuple[str, ...]
    kinds: dict[str, dict[str, int]] = field(default_factory=dict)
    strokes: tuple[tuple[Vec, ...], ...] = ()
    unstroked: dict[str, int] = field(default_factory=dict)

    def contents(self, layer: str) -> str:
        """Return what a layer holds, for messages: `12 SPLINE, 1 TEXT`."""
        kinds = next((kinds for name, kinds in self.kinds.items() if name.lower() == layer.lower()), {})
        return ", ".join(f"{number} {kind}" for kind, number in sorted(kinds.items()))


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
    records = sum(1 for _ in (_BINARY_RECORD if data.startswith(_BINARY) else _RECORD).finditer(data))
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
    layout = document.modelspace()
    _refuse_empty(document, layout, source)
    hidden = {layer.dxf.name.lower(): _why_hidden(layer) for layer in document.layers if _why_hidden(layer)}
    flat_within = in_unit(_FLAT_WITHIN, _UNITS.get(code, "m"))
    marks: list[Mark] = []
    chains: list[Chain] = []
    strokes: list[tuple[Vec, ...]] = []
    unstroked: Counter[str] = Counter()
    kinds: dict[str, Counter[str]] = {}
    unseen: Counter[str] = Counter()
    for serial, seen in enumerate(_walk(layout, count(), source)):
        if serial >= MAX_ENTITIES:
            raise InputError(source, [Fault("too many entities", valid=f"at most {MAX_ENTITIES}")])
        why = "invisible" if seen.entity.dxf.get("invisible", 0) else hidden.get(seen.layer.lower())
        if why is not None:
            unseen[f"on layer {seen.layer} ({why})"] += 1
            continue
        kinds.setdefault(seen.layer, Counter())[seen.entity.dxftype()] += 1
        _take(seen, serial, marks, chains, flat_within)
        stroke = _stroke(seen.entity, flat_within)
        if stroke:
            strokes.append(stroke)
        elif seen.entity.dxftype() != "INSERT":
            unstroked[seen.entity.dxftype()] += 1
    notes += tuple(f"{number} entities {where} were not read" for where, number in sorted(unseen.items()))
    return Drawing(
        source=source,
        version=document.acad_release,
        units=_UNITS.get(code),
        marks=tuple(marks),
        chains=tuple(chains),
        layers=tuple(sorted(kinds)),
        blocks=tuple(sorted({mark.block for mark in marks if mark.block})),
        notes=notes,
        kinds={layer: dict(found) for layer, found in kinds.items()},
        strokes=tuple(strokes),
        unstroked=dict(sorted(unstroked.items())),
    )


def _refuse_empty(document: Any, layout: Any, source: str) -> None:
    """Refuse a drawing that has nothing in model space, with what its paper has."""
    if len(layout) > 0:
        return
    papers = {one.name: len(one) for one in document.layouts if one.name != "Model" and len(one) > 0}
    read = ", ".join(f"{name}: {number} entities" for name, number in papers.items())
    message = "everything is in paper space" if papers else "the drawing is empty"
    raise InputError(source, [Fault(message, read=read, valid="the deck plan in model space")])


def _why_hidden(layer: Any) -> str:
    return "frozen" if layer.is_frozen() else "off" if layer.is_off() else ""


def _open(data: bytes, source: str) -> tuple[Any, tuple[str, ...]]:
    import ezdxf
    from ezdxf import recover
    from ezdxf.document import Drawing as Document
    from ezdxf.lldxf.tagger import binary_tags_loader

    try:
        if data.startswith(_BINARY):
            document = Document.load(binary_tags_loader(data))
            auditor = document.audit()
        else:
            document, auditor = recover.read(io.BytesIO(data))
    except (OSError, ezdxf.DXFError):
        raise InputError(source, [Fault("not readable as DXF", valid="DXF R12 to R2018")]) from None
    except Exception as error:
        # On damaged files the DXF reader raises other errors than its own.
        raise InputError(source, [Fault(f"not readable as DXF ({type(error).__name__})")]) from None
    damaged = len(auditor.errors)
    return document, ((f"the drawing contains {damaged} damaged entities, left out",) if damaged else ())


@dataclass(frozen=True)
class _Seen:
    """An entity with its effective layer, the serials of the inserts around it, and what they enlarge it by."""

    entity: Any
    layer: str
    inside: tuple[int, ...]
    scale: float


def _walk(
    entities: Iterable[Any],
    serials: Iterator[int],
    source: str,
    insert_layer: str | None = None,
    inside: tuple[int, ...] = (),
    scale: float = 1.0,
) -> Iterator[_Seen]:
    """Yield entities, an insert before its parts and an insert in rows and columns once for each.

    Entities on layer 0 of a block take the layer of the insert (DXF reference).
    """
    for entity in entities:
        layer = insert_layer if insert_layer is not None and entity.dxf.layer == "0" else entity.dxf.layer
        if entity.dxftype() != "INSERT":
            next(serials)
            yield _Seen(entity, layer, inside, scale)
            continue
        _refuse_reference(entity, layer, source)
        for one in entity.multi_insert() if entity.mcount > 1 else (entity,):
            serial = next(serials)
            yield _Seen(one, layer, inside, scale)
            if len(inside) < MAX_DEPTH:
                enlarged = scale * abs(float(one.dxf.xscale))
                yield from _walk(one.virtual_entities(), serials, source, layer, (*inside, serial), enlarged)


def _refuse_reference(entity: Any, layer: str, source: str) -> None:
    block = entity.block()
    if block is not None and block.block.dxf.flags & _XREF:
        fault = Fault(
            f"insert #{entity.dxf.handle} on layer {layer} refers to another file",
            read=str(block.block.dxf.get("xref_path", "")) or entity.dxf.name,
            valid="that drawing bound into this one as a block",
        )
        raise InputError(source, [fault])


def _take(seen: _Seen, serial: int, marks: list[Mark], chains: list[Chain], flat_within: float) -> None:
    entity, layer = seen.entity, seen.layer
    kind = entity.dxftype()
    handle = entity.dxf.handle or _origin(entity).dxf.handle or "?"

    def mark(word: str, at: Vec, block: str = "", attributes: dict[str, str] | None = None) -> None:
        marks.append(Mark(word, at, layer, block, handle, attributes or {}, serial, seen.inside, seen.scale))

    if kind == "POINT":
        mark("point", _vec(entity.dxf.location))
    elif kind == "CIRCLE":
        mark("circle", _vec(entity.ocs().to_wcs(entity.dxf.center)))
    elif kind == "INSERT":
        attributes = {attribute.dxf.tag.upper(): attribute.dxf.text.strip() for attribute in entity.attribs}
        mark("insert", _vec(entity.ocs().to_wcs(entity.dxf.insert)), entity.dxf.name, attributes)
    elif _is_chain(entity):
        points, curved = _points_of(entity, flat_within)
        if len(points) > 1:
            chains.append(Chain(_CHAINS[kind], points, layer, handle, curved, _is_closed(entity)))


def _is_chain(entity: Any) -> bool:
    kind = entity.dxftype()
    return kind in _CHAINS and not (kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline))


def _is_closed(entity: Any) -> bool:
    return bool(getattr(entity, "is_closed", False) or getattr(entity, "closed", False))


def _stroke(entity: Any, flat_within: float) -> tuple[Vec, ...]:
    """Return an entity as a line to draw [drawing units], empty for one that is none, such as text."""
    kind = entity.dxftype()
    if kind == "POINT":
        return (_vec(entity.dxf.location),)
    if kind == "CIRCLE":
        return tuple(map(_vec, entity.flattening(flat_within)))
    if not _is_chain(entity):
        return ()
    points = _points_of(entity, flat_within)[0]
    return (*points, points[0]) if points and _is_closed(entity) else points


def _points_of(entity: Any, flat_within: float) -> tuple[tuple[Vec, ...], bool]:
    """Return a line's points, a curve's flattened within a distance [drawing units], and whether it is curved."""
    kind = entity.dxftype()
    if kind == "LINE":
        return (_vec(entity.dxf.start), _vec(entity.dxf.end)), False
    if kind in ("ARC", "ELLIPSE", "SPLINE"):
        return tuple(map(_vec, entity.flattening(flat_within))), True
    if not entity.has_arc:
        return tuple(map(_vec, _corners(entity))), False
    points = [_vec(_corners(entity)[0])]
    for part in entity.virtual_entities():
        more = _points_of(part, flat_within)[0]
        # An arc runs counter-clockwise, whichever way the polyline does.
        joins = math.dist(points[-1], more[0]) <= math.dist(points[-1], more[-1])
        points += (more if joins else more[::-1])[1:]
    return tuple(points), True


def _corners(polyline: Any) -> list[Any]:
    """Return the corners of a polyline in the drawing's own axes."""
    return list(polyline.vertices_in_wcs() if polyline.dxftype() == "LWPOLYLINE" else polyline.points_in_wcs())


def _vec(point: Any) -> Vec:
    at = (float(point[0]), float(point[1]), float(point[2]) if len(point) > 2 else 0.0)
    return at if all(math.isfinite(value) for value in at) else (math.nan, math.nan, math.nan)


def _origin(entity: Any) -> Any:
    """Return the block's entity that a part of an insert was copied from."""
    return entity.source_of_copy if entity.source_of_copy is not None else entity
