"""A yard's frame in place of ours: a block of the yard's DXF file, its attributes filled in with our title fields.

The file holds a block for each paper size, its name ending in the size (`FRAME-A3`), its base point at the lower
left corner of the trimmed sheet, with an attribute for each field. A block with strokes inside our drawing space is
refused, since they would cross the drawing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from geom.errors import Fault, InputError
from geom.figure import Border, Point, Rect, Sheet
from geom.render.dxf_count import expanded_count
from geom.render.dxf_tables import mark

# Drawing units that a frame may be drawn in, by $INSUNITS (DXF reference) [mm].
_UNITS = {1: 25.4, 4: 1.0}
# Permitted overhang beyond the paper's edge [mm], and smallest share of its width and height that a frame covers.
_EDGE, _MIN_COVER = 0.5, 0.75
# Limits of a frame drawing: its bytes, the strokes of a block with all blocks in it expanded, blocks in blocks.
MAX_BYTES = 4_000_000
MAX_ENTITIES = 20_000
MAX_DEPTH = 5
_LETTERING = ("TEXT", "MTEXT", "ATTDEF", "ATTRIB")
_TINY, _ROUNDING = 1e-9, 0.01


@dataclass(frozen=True)
class YardFrame:
    """A yard's frame drawing: the name of its DXF file, for messages, and its bytes."""

    source: str
    data: bytes


def paper_name(border: Border) -> str:
    """Return the name of a sheet's paper size, as in its title block."""
    return dict(border.fields)["PAPER"]


def check_size(yard: YardFrame) -> None:
    """Check that a frame drawing is not too large to be read.

    Raises:
        InputError: it is.
    """
    if len(yard.data) > MAX_BYTES:
        valid = f"at most {MAX_BYTES // 1_000_000} MB: the frame alone, without drawings and images"
        raise _fault(yard, "the file is too large", "", f"over {MAX_BYTES / 1e6:.0f} MB", valid)


def check_entities(yard: YardFrame, doc: Any) -> None:
    """Check how much each block of a frame drawing holds, by counting alone: nothing is expanded.

    Args:
        yard: the frame drawing.
        doc: its document.

    Raises:
        InputError: a block holds too much, or blocks within blocks too deep, or itself.
    """
    for block in doc.blocks:
        if block.is_any_layout:
            continue
        total = expanded_count(doc, block, MAX_DEPTH)
        if total is None:
            valid = f"at most {MAX_DEPTH} levels of blocks in blocks, none within itself"
            raise _fault(yard, "blocks within blocks too deep", block.name, "", valid)
        if total > MAX_ENTITIES:
            raise _fault(yard, "too much in a block", block.name, f"{total} entities", f"at most {MAX_ENTITIES}")


def frame_block(yard: YardFrame, doc: Any, border: Border) -> Any:
    """Return the block of a frame drawing for a sheet's paper size.

    Args:
        yard: the frame drawing.
        doc: its document.
        border: frame and title block of the sheet.

    Raises:
        InputError: there is none, or more than one, or it lacks an attribute.
    """
    paper = paper_name(border)
    blocks = [block for block in doc.blocks if not block.is_any_layout and not block.name.startswith("*")]
    matches = [block for block in blocks if re.sub(r"[-_ ]+", " ", f" {block.name.upper()}").endswith(f" {paper}")]
    if len(matches) != 1:
        read = ", ".join(block.name for block in (matches or blocks)[:8]) or "no blocks"
        message = f"no block for paper {paper}" if not matches else f"more than one block for paper {paper}"
        raise _fault(yard, message, "", read, f"one block whose name ends in {paper}: FRAME-{paper.replace(' ', '-')}")
    tags = {str(entity.dxf.get("tag", "")).upper() for entity in matches[0].attdefs()}
    wanted = [tag for tag, _ in border.fields]
    missing = [tag for tag in wanted if tag not in tags]
    if missing:
        read = f"lacks {', '.join(missing)}"
        raise _fault(yard, "an attribute is missing", matches[0].name, read, f"a block with {', '.join(wanted)}")
    return matches[0]


def frame_unit(yard: YardFrame, doc: Any) -> float:
    """Return the length of a frame drawing's unit [mm].

    Raises:
        InputError: the file states no unit, or neither millimetres nor inches.
    """
    code = int(doc.header.get("$INSUNITS", 0))
    if code not in _UNITS:
        raise _fault(yard, "the drawing unit is not stated", "$INSUNITS", str(code), "4 (millimetres) or 1 (inches)")
    return _UNITS[code]


def check_room(yard: YardFrame, block: Any, strokes: Iterable[list[Point]], unit: float, sheet: Sheet) -> None:
    """Check that a frame fits a sheet's paper and leaves its drawing space clear.

    Args:
        yard: the frame drawing.
        block: its block for the paper.
        strokes: every stroke of the block as a chain of points, in the block's own units.
        unit: length of that unit [mm].
        sheet: the sheet.

    Raises:
        InputError: it does not fit.
    """
    base = block.base_point
    chains = [[((x - base.x) * unit, (y - base.y) * unit) for x, y in chain] for chain in strokes]
    xs, ys = ([point[axis] for chain in chains for point in chain] for axis in (0, 1))
    if not chains:
        raise _fault(yard, "nothing is drawn in the block", block.name, "", "a frame with its title block")
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    off = min(*xs, *ys) < -_EDGE or max(xs) > sheet.width + _EDGE or max(ys) > sheet.height + _EDGE
    if off or wide < _MIN_COVER * sheet.width or high < _MIN_COVER * sheet.height:
        read = f"{wide:.0f} x {high:.0f} mm from ({min(xs):.0f}, {min(ys):.0f})"
        valid = f"within {sheet.width:.0f} x {sheet.height:.0f} mm from the block's base point, and nearly filling it"
        raise _fault(yard, "the frame is not drawn for this paper", block.name, read, valid)
    assert sheet.border is not None
    for chain in chains:
        steps = pairwise(chain) if len(chain) > 1 else [(chain[0], chain[0])]
        for start, end in steps:
            for room in sheet.border.clear:
                if _crosses(start, end, room):
                    read = f"from ({start[0]:.0f}, {start[1]:.0f}) to ({end[0]:.0f}, {end[1]:.0f}) mm"
                    valid = "clear of " + " and ".join(_rect_text(space) for space in sheet.border.clear)
                    raise _fault(yard, "the frame crosses the drawing space", block.name, read, valid)


def strokes_of(block: Any, disassemble: Any) -> Iterator[list[Point]]:
    """Yield the strokes of a block as chains of points; of lettering only its anchor."""
    others = []
    for entity in block:
        if entity.dxftype() in _LETTERING:
            at = entity.dxf.get("align_point") if entity.dxf.get("halign", 0) else None
            at = at or entity.dxf.insert
            yield [(at.x, at.y)]
        else:
            others.append(entity)
    for primitive in disassemble.to_primitives(disassemble.recursive_decompose(others)):
        chain = [(point.x, point.y) for point in primitive.vertices()]
        if chain:
            yield chain


def fill_in(paper: Any, name: str, unit: float, border: Border, layer: str) -> None:
    """Insert a frame's block in a layout, its attributes filled in; the yard's other attributes keep their defaults.

    Args:
        paper: the layout.
        name: name of the block.
        unit: the frame drawing's unit over that of this drawing, a factor.
        border: frame and title block of the sheet, with the values of the fields.
        layer: layer of the insert.
    """
    look = {"layer": layer, "xscale": unit, "yscale": unit, "zscale": unit}
    insert = mark(paper.add_blockref(name, (0.0, 0.0), dxfattribs=look), "frame")
    values = dict(border.fields)
    tags = [entity.dxf.tag for entity in insert.block().attdefs() if entity.dxf.hasattr("tag")]
    insert.add_auto_attribs({tag: values[tag.upper()] for tag in tags if tag.upper() in values})
    for attribute in insert.attribs:
        mark(attribute, f"title:{attribute.dxf.tag}")


def _crosses(start: Point, end: Point, room: Rect) -> bool:
    """Return whether a straight stroke passes through a rectangle (Liang-Barsky clipping)."""
    low, high = 0.0, 1.0
    edges = ((start[0], end[0], room.left, room.right), (start[1], end[1], room.bottom, room.top))
    for a, b, edge, far in edges:
        minimum, maximum = edge + _ROUNDING, far - _ROUNDING
        if abs(b - a) < _TINY:
            if not minimum < a < maximum:
                return False
            continue
        enter, leave = sorted(((minimum - a) / (b - a), (maximum - a) / (b - a)))
        low, high = max(low, enter), min(high, leave)
    return low < high - _TINY


def _rect_text(room: Rect) -> str:
    return f"({room.left:.0f}, {room.bottom:.0f}) to ({room.right:.0f}, {room.top:.0f}) mm"


def _fault(yard: YardFrame, message: str, key: str, read: str, valid: str) -> InputError:
    return InputError(yard.source, [Fault(message, key, read=read, valid=valid)])
