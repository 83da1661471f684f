"""Full-size pieces for cutters and engravers: closed outlines on three layers and nothing else."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import Any

from geom.errors import GeometryError
from geom.figure import LAYERS, Circle, Item, LengthFormat, Point, Polyline, Text
from geom.lettering import width
from geom.render.dxf import OUR_NAMES, document_bytes, fixed_metadata
from geom.render.dxf_layers import rename_layers
from geom.render.dxf_tables import APPID, set_header
from geom.render.explode import clean
from geom.render.font import outlines
from geom.render.plane import baseline

CUT_LAYERS = ("CUT", "MARK", "NOTE")


def cut_bytes(
    items: Iterable[Item], keywords: Sequence[tuple[str, str]] = (), layers: Mapping[str, str] = OUR_NAMES
) -> bytes:
    """Return closed outlines as a DXF file (R2000), 1 unit = 1 mm.

    Lettering is written as the outlines of its letters, on a layer of its own.

    Args:
        items: closed polylines, circles and lettering on the layers CUT, MARK and NOTE.
        keywords: names and values for the file's own properties.
        layers: our layer names -> those in the file.

    Returns:
        The same bytes for the same items and names.

    Raises:
        GeometryError: an item that is not a closed outline, has no extent, or is on another layer.
    """
    closed_chains = [(item, points) for item in items for points in _closed(item)]
    with fixed_metadata() as ezdxf:
        doc = ezdxf.new("R2000", units=4)
        for name in CUT_LAYERS:
            layer = LAYERS[name]
            doc.layers.add(name, color=layer.aci, lineweight=round(layer.width * 100))
        doc.appids.add(APPID)
        set_header(doc, 1.0, LengthFormat(), "")
        doc.header["$TEXTSTYLE"] = "Standard"
        doc.header["$CLAYER"] = "CUT"
        space = doc.modelspace()
        for item, points in closed_chains:
            space.add_entity(_stroke(item, points))
        corners = [point for _, points in closed_chains for point in points]
        if corners:
            low = (min(x for x, _ in corners), min(y for _, y in corners), 0.0)
            high = (max(x for x, _ in corners), max(y for _, y in corners), 0.0)
            space.reset_extents(low, high)
            doc.header["$EXTMIN"], doc.header["$EXTMAX"] = low, high
        for name, value in (*keywords, ("unit", "1 unit = 1 mm")):
            doc.header.custom_vars.append(clean(name), clean(value))
        rename_layers(doc, layers)
        return document_bytes(doc)


def _stroke(item: Item, points: Sequence[Point]) -> Any:
    from geom.render.dxf_strokes import CORNERS, Stroke

    look, tag = {"layer": item.layer}, clean(item.tag)
    if isinstance(item, Circle):
        return Stroke("CIRCLE", look, {"center": item.centre, "radius": item.radius}, tag)
    return Stroke("LWPOLYLINE", {**look, "flags": 1}, {CORNERS: tuple(chain.from_iterable(points))}, tag)


def _closed(item: Item) -> Iterator[Sequence[Point]]:
    """Yield the closed chains of an item; for a circle, two corners of its bounding square."""
    if item.layer not in CUT_LAYERS:
        raise GeometryError(f"a cut file has the layers {', '.join(CUT_LAYERS)}, not {item.layer!r}")
    if isinstance(item, Circle):
        (x, y), r = item.centre, item.radius
        if not (r > 0.0 and math.isfinite(x + y + r)):
            raise GeometryError(f"a circle of radius {r:g} ({item.tag or item.layer}) cannot be cut")
        yield ((x - r, y - r), (x + r, y + r))
    elif isinstance(item, Polyline):
        area = _area(item.points)
        if not item.closed or len(item.points) < 3 or not (math.isfinite(area) and abs(area) > 1e-6):
            raise GeometryError(f"an outline ({item.tag or item.layer}) is not closed round any area")
        yield item.points
    elif isinstance(item, Text):
        yield from _letters(item)
    else:
        raise GeometryError(f"a {type(item).__name__} is not a closed outline")


def _letters(text: Text) -> Iterator[Sequence[Point]]:
    x, y = baseline(text)
    back = {"left": 0.0, "centre": 0.5, "right": 1.0}[text.across] * width(text.text, text.height)
    cosine, sine = math.cos(text.rotation), math.sin(text.rotation)
    for outline in outlines(text.text, text.height):
        turned = ((x + (u - back) * cosine - v * sine, y + (u - back) * sine + v * cosine) for u, v in outline)
        # A micrometre is finer than any cutter needs, and short numbers keep the file small.
        yield tuple((round(u, 3), round(v, 3)) for u, v in turned)


def _area(points: Sequence[Point]) -> float:
    """Return the area within a closed chain [mm2], positive counter-clockwise."""
    return math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], *points[:1]), strict=True)) / 2.0
