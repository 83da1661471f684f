"""The tables of a DXF document: layers, line types, lettering, dimension styles, header variables.

A document is passed in; the DXF library itself is imported only by the module that writes the file.
"""

from __future__ import annotations

import math
from typing import Any

from geom.figure import LAYERS, VIEWPORT_LAYER, Layer, LengthFormat
from geom.lettering import Weight
from geom.render.style import DRAFTING, dashes

APPID = "TOERAIL"
# Group code of a text in extended data.
TAG_CODE = 1000
LETTERING = "LETTERING"
# $INSUNITS (DXF reference) by the length of a drawing's unit [mm].
INSUNITS = {1.0: 4, 25.4: 1}
UNIT_WORDS = {1.0: "mm", 25.4: "in"}
# Faces that CAD readers have, condensed so far that nothing overflows the room of our own.
_CONDENSED = 0.82
STYLES: dict[Weight, tuple[str, str]] = {
    "regular": (LETTERING, "arial.ttf"),
    "semibold": (f"{LETTERING}-BOLD", "arialbd.ttf"),
}


# Names known to every CAD reader: some draw by the name and not by the pattern in the file.
_LINETYPES = {
    "continuous": "CONTINUOUS",
    "dashed": "DASHED",
    "short-dashed": "HIDDEN",
    "chain": "CENTER",
    "double-chain": "DIVIDE",
}
# Width of the layers whose broken lines have those names [mm].
_USUAL = {"dashed": 0.25, "short-dashed": 0.35, "chain": 0.18, "double-chain": 0.25}


def linetype_name(layer: Layer) -> str:
    """Return the name of a layer's line type in the file; broken lines of another than the usual width get a suffix."""
    name = _LINETYPES[layer.linetype]
    usual = layer.linetype == "continuous" or layer.width == _USUAL[layer.linetype]
    return name if usual else f"{name}-{round(layer.width * 100):03d}"


def mark(entity: Any, tag: str) -> Any:
    """Attach a tag to an entity as extended data and return the entity."""
    if tag:
        entity.set_xdata(APPID, [(TAG_CODE, tag)])
    return entity


def add_tables(doc: Any) -> None:
    """Add layers with their pens, line types, the lettering style and the application id of tags."""
    for layer in LAYERS.values():
        name = linetype_name(layer)
        if layer.linetype != "continuous" and name not in doc.linetypes:
            parts = [part if index % 2 == 0 else -part for index, part in enumerate(dashes(layer))]
            description = f"{layer.linetype} line of ISO 128-2, width {layer.width} mm"
            doc.linetypes.add(name, [math.fsum(map(abs, parts)), *parts], description=description)
        entry = doc.layers.add(layer.name, color=layer.aci, lineweight=round(layer.width * 100), linetype=name)
        if layer.rgb != (0, 0, 0) and doc.dxfversion >= "AC1018":
            entry.rgb = layer.rgb
    doc.layers.add(VIEWPORT_LAYER, color=8, plot=False)
    for name, face in STYLES.values():
        doc.styles.add(name, font=face, dxfattribs={"width": _CONDENSED})
    doc.appids.add(APPID)


def ratio(scale: float) -> str:
    """Return a drawing scale, a factor, as used in names: `1_40`, `2_1`."""
    return f"{scale:.6g}_1" if scale > 1.0 else f"1_{1.0 / scale:.6g}"


def dim_variables(scale: float, numbers: LengthFormat, unit: float = 1.0) -> dict[str, Any]:
    """Return every variable of a dimension style: sizes in paper millimetres, enlarged to the model by DIMSCALE.

    DIMRND keeps its default of 0, which is no rounding.

    Args:
        scale: drawing scale, a factor.
        numbers: format of measured values.
        unit: of the drawing [mm].
    """
    style = DRAFTING
    return {
        "dimscale": 1.0 / (scale * unit),
        "dimlfac": unit / numbers.mm,
        "dimdec": numbers.decimals,
        "dimtdec": numbers.decimals,
        "dimlunit": 2,
        "dimdsep": ord("."),
        # 4: no leading zero, as in the figures of inch sheets.
        "dimzin": 4 if numbers.unit == "in" else 0,
        "dimasz": style.arrow_length,
        "dimtxt": style.text_height,
        "dimexo": style.extension_gap,
        "dimexe": style.extension_beyond,
        "dimgap": style.text_gap,
        "dimdli": 7.0,
        "dimtad": 1,
        "dimjust": 0,
        "dimtih": 0,
        "dimtoh": 0,
        "dimtix": 1,
        "dimtofl": 1,
        "dimtmove": 2,
        "dimtxsty": LETTERING,
    }


class DimStyles:
    """One dimension style for each scale and number format, created on first use.

    Args:
        doc: the document.
        unit: of the drawing [mm].
    """

    def __init__(self, doc: Any, unit: float = 1.0) -> None:
        self.doc = doc
        self.unit = unit

    def name(self, scale: float, numbers: LengthFormat, dot: bool = False) -> str:
        """Return the name of a style, which is added to the document if it is new.

        Args:
            scale: drawing scale, a factor.
            numbers: format of measured values.
            dot: whether leaders end in a dot.

        Raises:
            ValueError: the unit word is used for two lengths on one sheet.
        """
        name = f"{numbers.unit.upper()}_{ratio(scale)}_{numbers.decimals}{'_DOT' if dot else ''}"
        if name not in self.doc.dimstyles:
            variables = dim_variables(scale, numbers, self.unit)
            if dot:
                variables["dimasz"] = 2.0 * DRAFTING.dot_radius
            style = self.doc.dimstyles.add(name, dxfattribs=variables)
            if dot:
                style.set_arrows(ldrblk="DOT")
        elif self.doc.dimstyles.get(name).dxf.dimlfac != self.unit / numbers.mm:
            raise ValueError(f"the unit word {numbers.unit!r} is used for two lengths on one sheet")
        return name


def set_header(doc: Any, scale: float, numbers: LengthFormat, style: str, unit: float = 1.0) -> None:
    """Set units and drafting variables in the header, with the dimension variables for readers that ignore styles.

    Args:
        doc: the document.
        scale: drawing scale, a factor.
        numbers: format of measured values.
        style: name of the dimension style, none where empty.
        unit: of the drawing [mm].
    """
    header = doc.header
    header["$INSUNITS"] = INSUNITS[unit]
    header["$MEASUREMENT"] = int(unit == 1.0)
    header["$LUNITS"] = 2
    header["$LTSCALE"] = 1.0
    header["$PSLTSCALE"] = 0
    header["$LWDISPLAY"] = 1
    header["$TEXTSTYLE"] = LETTERING
    header["$CLAYER"] = "OUTLINE"
    if style:
        header["$DIMSTYLE"] = style
    for name, value in dim_variables(scale, numbers, unit).items():
        header[f"${name.upper()}"] = value
