"""A sheet written as DXF: with live dimensions for CAD, or as plain strokes and lettering for any other reader."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import lru_cache
from typing import Any, Literal

from geom.errors import Fault, InputError
from geom.figure import VIEWPORT_LAYER, Border, LengthFormat, Rect, Sheet, Text, View
from geom.render.dxf_frame import (
    YardFrame,
    check_entities,
    check_room,
    check_size,
    fill_in,
    frame_block,
    frame_unit,
    strokes_of,
)
from geom.render.dxf_layers import rename_layers
from geom.render.dxf_tables import INSUNITS, UNIT_WORDS, DimStyles, add_tables, mark, set_header
from geom.render.explode import clean, pieces
from geom.render.faults import model_window
from geom.render.pieces import Place

Flavour = Literal["cad", "plain"]
_VERSIONS = {"cad": "R2010", "plain": "R2000"}
_LOCKED = 0x4000
# No other names: layers keep ours.
OUR_NAMES: Mapping[str, str] = {}
# A tag whose number has more than six decimals: its group code in one line, its value in the next.
_LONG_FLOAT = re.compile(r"^( *\d+)\n(-?\d+(?:\.\d{7,}|(?:\.\d+)?e-\d+))$", re.MULTILINE)
# Group codes of places and lengths, rounded to 1e-6 mm; the rest of the floats are angles, ratios, bulges, directions.
_LENGTHS = range(10, 41)
# Group code of DIMLFAC in a dimension style.
_DIMENSION_FACTOR = 144
_FLOATS = (*range(41, 60), *range(110, 150), *range(210, 240), *range(460, 470), *range(1010, 1060))


@contextmanager
def fixed_metadata() -> Iterator[Any]:
    """Yield the DXF library with fixed dates and ids, and restore its setting afterwards."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield ezdxf
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def dxf_bytes(
    sheet: Sheet, flavour: Flavour, layers: Mapping[str, str] = OUR_NAMES, yard: YardFrame | None = None
) -> bytes:
    """Return a sheet as a DXF file in the sheet's unit.

    Args:
        sheet: the sheet.
        flavour: "cad": R2010, every view at full size in model space with live dimensions, the sheet as a
            layout with a viewport for each view at its exact scale. "plain": R2000, model space only, the
            sheet as lines, arcs and lettering, scaled so that the first view is at full size, its (0, 0) at the
            origin.
        layers: our layer names -> those in the file; a layer that is not listed keeps its name.
        yard: a frame drawing whose frame and title block replace ours in the "cad" flavour.

    Returns:
        The same bytes for the same sheet, names and frame.

    Raises:
        GeometryError: the sheet contains an item that cannot be written (see `explode.pieces`), a block name
            is used for two shapes, or a layer to be renamed does not exist.
        InputError: the frame drawing cannot be used for this sheet.
    """
    from geom.render.dxf_shapes import add_shape

    drawn = pieces(sheet)
    with fixed_metadata() as ezdxf:
        unit = sheet.unit
        doc = ezdxf.new(_VERSIONS[flavour], units=INSUNITS[unit])
        add_tables(doc)
        main = sheet.views[0] if sheet.views else None
        scale, numbers = (main.scale, main.numbers) if main else (1.0, LengthFormat())
        if flavour == "cad":
            style = DimStyles(doc, unit).name(scale, numbers)
            set_header(doc, scale, numbers, style, unit)
            framed = yard is not None and sheet.border is not None
            _write_cad(doc, sheet, without_border=framed)
        else:
            set_header(doc, scale, numbers, "", unit)
            origin = main.origin if main else (0.0, 0.0)
            blow = 1.0 / (scale * unit)
            place = Place(blow, (-origin[0] * blow, -origin[1] * blow))
            for shape in [piece.shape for piece in drawn] + [_unit_note(sheet, main)]:
                add_shape(doc.modelspace(), shape, place, blow)
            corner, across = place.paper((0.0, 0.0)), place.paper((sheet.width, sheet.height))
            _look_at(doc, Rect(*corner, *across))
        for name, value in sheet.keywords:
            doc.header.custom_vars.append(clean(name), clean(value))
        rename_layers(doc, layers)
        if flavour == "cad" and yard is not None and sheet.border is not None:
            _set_frame(doc, sheet, sheet.border, yard, layers.get("FRAME", "FRAME"))
        return document_bytes(doc)


def document_bytes(doc: Any) -> bytes:
    """Return the bytes of a document's file, the same for the same document."""
    # The library lists the entity types in use in the order of a set; added here first, their order is fixed.
    for kind in sorted(doc.entitydb.dxf_types_in_use()):
        doc.classes.add_class(kind)
    stream = io.StringIO()
    doc.write(stream)
    encoding: str = doc.output_encoding
    return _LONG_FLOAT.sub(_rounded, stream.getvalue()).encode(encoding, errors="dxfreplace")


def _rounded(tag: re.Match[str]) -> str:
    """Return a tag with its number rounded: the last digits of a float are not the same on every Python."""
    code, value = int(tag[1]), float(tag[2])
    if code in _LENGTHS:
        return f"{tag[1]}\n{round(value, 6) + 0.0}"
    # The factor of a dimension multiplies a length of metres: in nine digits an inch ordinate would be off by 3e-6.
    digits = 15 if code == _DIMENSION_FACTOR else 9
    return f"{tag[1]}\n{round(value, digits) + 0.0}" if code in _FLOATS else tag[0]


def _unit_note(sheet: Sheet, main: View | None) -> Text:
    note = f"1 unit = 1 {UNIT_WORDS[sheet.unit]}"
    if main is not None:
        note += f", true for the view {main.title or main.name}"
        if any(view.scale != main.scale for view in sheet.views):
            note += " only"
    return Text((0.0, -6.0), note, 2.5, "NOTE", tag="unit-note")


@lru_cache(maxsize=4)
def _frame_document(yard: YardFrame) -> Any:
    """Return a frame drawing as a document of the DXF library.

    Raises:
        InputError: too large, not DXF, or blocks that hold too much.
    """
    from ezdxf import recover

    check_size(yard)
    try:
        doc, auditor = recover.read(io.BytesIO(yard.data))
    except Exception:  # on a file that is not DXF the library may raise any error
        raise InputError(yard.source, [Fault("not readable as DXF", valid="a DXF file")]) from None
    if auditor.has_errors:
        faults = [Fault(f"broken DXF: {error.message}") for error in auditor.errors[:3]]
        raise InputError(yard.source, faults)
    check_entities(yard, doc)
    return doc


def check_frame(yard: YardFrame) -> None:
    """Check that a frame drawing can be used, before anything is drawn.

    Raises:
        InputError: too large, not DXF, or blocks that hold too much.
    """
    _frame_document(yard)


def _set_frame(doc: Any, sheet: Sheet, border: Border, yard: YardFrame, layer: str) -> None:
    """Insert a yard's frame in the layout; layers and styles already in the document stay unchanged."""
    from ezdxf import disassemble, xref

    source = _frame_document(yard)
    block, unit = frame_block(yard, source, border), frame_unit(yard, source)
    check_room(yard, block, strokes_of(block, disassemble), unit, sheet)
    if block.name in doc.blocks:
        fault = Fault("a block of the drawing has this name", block.name, valid="another name for the frame's block")
        raise InputError(yard.source, [fault])
    loader = xref.Loader(source, doc, xref.ConflictPolicy.KEEP)
    loader.load_block_layout(block)
    loader.execute()
    paper = next(layout for layout in doc.layouts if not layout.is_modelspace)
    fill_in(paper, block.name, unit / sheet.unit, border, layer)


def _write_cad(doc: Any, sheet: Sheet, without_border: bool) -> None:
    from ezdxf.math import OCS

    from geom.render.dxf_items import Frame, ItemWriter

    unit = sheet.unit
    writer = ItemWriter(doc, DimStyles(doc, unit), OCS)
    model = doc.modelspace()
    for view in sheet.views:
        writer.write(model, view.items, Frame(view.scale, view.model_at, view.numbers, unit))
    paper = doc.layout("Layout1")
    doc.layouts.rename("Layout1", re.sub(r'[<>/\\":;?*|=,`]+', "-", clean(sheet.name)) or "sheet")
    page_unit = {"mm": "mm", "in": "inch"}[UNIT_WORDS[unit]]
    paper.page_setup(size=(sheet.width / unit, sheet.height / unit), margins=(0, 0, 0, 0), units=page_unit)
    # The layout's own flag overrides $PSLTSCALE: dashes are in model size, not scaled by viewports.
    paper.dxf_layout.dxf.layout_flags = 0
    for viewport in paper.viewports():
        viewport.dxf.layer = VIEWPORT_LAYER
    own = sheet.items[sheet.border.items :] if without_border and sheet.border else sheet.items
    writer.write(paper, own, Frame(unit=unit))
    for view in sheet.views:
        window, seen = _in_units(view.window, unit), _in_units(model_window(view), unit)
        viewport = paper.add_viewport(
            center=((window.left + window.right) / 2.0, (window.bottom + window.top) / 2.0),
            size=(window.width, window.height),
            view_center_point=((seen.left + seen.right) / 2.0, (seen.bottom + seen.top) / 2.0),
            view_height=window.height / view.scale,
            dxfattribs={"layer": VIEWPORT_LAYER},
        )
        viewport.dxf.flags |= _LOCKED
        mark(viewport, f"view:{view.name}")
    windows = [_in_units(model_window(view), unit) for view in sheet.views]
    if windows:
        _look_at(
            doc,
            Rect(
                min(window.left for window in windows),
                min(window.bottom for window in windows),
                max(window.right for window in windows),
                max(window.top for window in windows),
            ),
        )


def _in_units(rect: Rect, unit: float) -> Rect:
    return Rect(rect.left / unit, rect.bottom / unit, rect.right / unit, rect.top / unit)


def _look_at(doc: Any, seen: Rect) -> None:
    """Set the part of model space that a reader shows on opening."""
    low, high = (seen.left, seen.bottom, 0.0), (seen.right, seen.top, 0.0)
    doc.modelspace().reset_extents(low, high)
    # The library keeps the extents of the header separate from those of the layout.
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = low, high
    height = max(seen.height, seen.width / 1.5) * 1.05
    doc.set_modelspace_vport(height, center=((seen.left + seen.right) / 2.0, (seen.bottom + seen.top) / 2.0))
