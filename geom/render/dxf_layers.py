"""A written DXF document put on a yard's own layers: names changed, every pen and line type as it was."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from geom.errors import GeometryError
from geom.figure import LAYERS, VIEWPORT_LAYER


def rename_layers(doc: Any, names: Mapping[str, str]) -> None:
    """Rename the layers of a document and of everything that stands on them; tags stay as they are.

    Where two of our layers come on one, the first in the order of LAYERS gives the layer its pen, and what
    comes from the other says its own colour, line type and width itself, so that it looks as before.

    Args:
        doc: the document, all its entities written.
        names: our layer names -> those that stand in the file; names that differ by capitals only are one.

    Raises:
        GeometryError: a layer to be renamed does not exist.
    """
    ours = (*LAYERS, VIEWPORT_LAYER)
    unknown = [name for name in names if name not in ours]
    if unknown:
        raise GeometryError(f"there is no layer {unknown[0]!r} (valid: {', '.join(ours)})")
    if not names:
        return
    found = [name for name in ours if name in doc.layers]
    first: dict[str, str] = {}
    for name in found:
        first.setdefault(names.get(name, name).casefold(), name)
    theirs = {name: _spelt(names, first, name) for name in found}
    pens = {name: _pen(doc.layers.get(name)) for name in found}
    for entity in doc.entitydb.values():
        layer = entity.dxf.get("layer") if entity.dxf.is_supported("layer") else None
        if layer in theirs:
            entity.dxf.layer = theirs[layer]
            lead = first[theirs[layer].casefold()]
            if pens[layer] != pens[lead]:
                _say(entity, pens[layer])
    _rename_table(doc, found, theirs)
    current = doc.header["$CLAYER"]
    doc.header["$CLAYER"] = theirs.get(current, current)


def _spelt(names: Mapping[str, str], first: Mapping[str, str], name: str) -> str:
    """Return what a layer is called in the file, spelt as by the first of ours that comes on it."""
    lead = first[names.get(name, name).casefold()]
    return names.get(lead, lead)


def _pen(entry: Any) -> dict[str, Any]:
    keys = ("color", "true_color", "linetype", "lineweight", "plot")
    return {key: entry.dxf.get(key) for key in keys if entry.dxf.hasattr(key)}


def _say(entity: Any, pen: Mapping[str, Any]) -> None:
    """Write a pen on an entity itself, which otherwise takes its layer's."""
    for key, value in pen.items():
        if key != "plot" and entity.dxf.is_supported(key):
            entity.dxf.set(key, value)


def _rename_table(doc: Any, found: list[str], theirs: Mapping[str, str]) -> None:
    """Give the table of layers its new names: every entry anew, so that their order stays."""
    entries = [(theirs[name], _pen(doc.layers.get(name))) for name in found]
    for name in found:
        doc.layers.remove(name)
    for name, pen in entries:
        if name not in doc.layers:
            doc.layers.new(name, dxfattribs=pen)
