"""Renaming the layers of a DXF document to a yard's names, with pens and line types unchanged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from geom.errors import GeometryError
from geom.figure import LAYERS, VIEWPORT_LAYER


def rename_layers(doc: Any, names: Mapping[str, str]) -> None:
    """Rename the layers of a document and of all its entities; tags stay unchanged.

    Where two of our layers are mapped to one, the first in the order of LAYERS gives the layer its pen, and
    entities of the other get their own colour, line type and width, so that they look as before.

    Args:
        doc: the document, all its entities written.
        names: our layer names -> those in the file; names that differ in case only are the same.

    Raises:
        GeometryError: a layer to be renamed does not exist.
    """
    ours = (*LAYERS, VIEWPORT_LAYER)
    unknown = [name for name in names if name not in ours]
    if unknown:
        raise GeometryError(f"there is no layer {unknown[0]!r} (valid: {', '.join(ours)})")
    if not names:
        return
    present = [name for name in ours if name in doc.layers]
    first: dict[str, str] = {}
    for name in present:
        first.setdefault(names.get(name, name).casefold(), name)
    theirs = {name: _spelt(names, first, name) for name in present}
    pens = {name: _pen(doc.layers.get(name)) for name in present}
    for entity in doc.entitydb.values():
        layer = entity.dxf.get("layer") if entity.dxf.is_supported("layer") else None
        if layer in theirs:
            entity.dxf.layer = theirs[layer]
            lead = first[theirs[layer].casefold()]
            if pens[layer] != pens[lead]:
                _set_pen(entity, pens[layer])
    _rename_table(doc, present, theirs)
    current = doc.header["$CLAYER"]
    doc.header["$CLAYER"] = theirs.get(current, current)


def _spelt(names: Mapping[str, str], first: Mapping[str, str], name: str) -> str:
    """Return a layer's name in the file, in the spelling of the first of our layers mapped to it."""
    lead = first[names.get(name, name).casefold()]
    return names.get(lead, lead)


def _pen(entry: Any) -> dict[str, Any]:
    keys = ("color", "true_color", "linetype", "lineweight", "plot")
    return {key: entry.dxf.get(key) for key in keys if entry.dxf.hasattr(key)}


def _set_pen(entity: Any, pen: Mapping[str, Any]) -> None:
    """Set a pen on an entity itself, in place of its layer's."""
    for key, value in pen.items():
        if key != "plot" and entity.dxf.is_supported(key):
            entity.dxf.set(key, value)


def _rename_table(doc: Any, present: list[str], theirs: Mapping[str, str]) -> None:
    """Rename the entries of the layer table; all are created again, so that their order is kept."""
    entries = [(theirs[name], _pen(doc.layers.get(name))) for name in present]
    for name in present:
        doc.layers.remove(name)
    for name, pen in entries:
        if name not in doc.layers:
            doc.layers.new(name, dxfattribs=pen)
