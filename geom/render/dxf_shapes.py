"""Plain shapes as DXF entities, each on its layer, with its tag as extended data."""

from __future__ import annotations

import math
from itertools import chain
from typing import Any

from geom.figure import Circle, Hatch, Line, Polyline, Text
from geom.render.dxf_strokes import CORNERS, Stroke
from geom.render.dxf_tables import STYLES, mark
from geom.render.pieces import Place
from geom.render.plane import Shape, arc_sweep, baseline

_ACROSS = {"left": 0, "centre": 1, "right": 2}


def attributes(layer: str, blow: float) -> dict[str, Any]:
    """Return layer and line type scale of an entity whose paper sizes are enlarged by a factor."""
    return {"layer": layer, "ltscale": blow}


def add_text(space: Any, text: Text, place: Place, blow: float) -> Any:
    """Add one line of lettering, anchored on its base line.

    Args:
        space: model space, a layout or a block.
        text: the lettering; its anchor in the coordinates that `place` maps, its height in paper millimetres.
        place: mapping of the anchor to the space.
        blow: factor by which paper sizes are enlarged.
    """
    own = Text(
        place.paper(text.at), text.text, text.height * blow, text.layer, text.across, text.upright, text.rotation,
        weight=text.weight,
    )  # fmt: skip
    at = baseline(own)
    look = {"layer": text.layer, "rotation": math.degrees(text.rotation), "style": STYLES[text.weight][0]}
    values = {"insert": at, "height": own.height, "text": text.text}
    if across := _ACROSS[text.across]:
        look["halign"] = across
        values["align_point"] = at
    return _added(space, Stroke("TEXT", look, values, text.tag))


def _added(space: Any, stroke: Stroke) -> Stroke:
    space.add_entity(stroke)
    return stroke


def add_solid(space: Any, hatch: Hatch, place: Place, blow: float) -> Any:
    """Add a filled outline: a triangle as SOLID, which every reader fills, else a solid HATCH.

    Args:
        space: model space, a layout or a block.
        hatch: the outline.
        place: mapping of its points to the space.
        blow: factor by which paper sizes are enlarged.
    """
    points = [place.paper(point) for point in hatch.outline]
    look = attributes(hatch.layer, blow)
    if len(points) == 3:
        corners = {f"vtx{corner}": point for corner, point in enumerate((*points, points[-1]))}
        return _added(space, Stroke("SOLID", look, corners, hatch.tag))
    entity = space.add_hatch(color=256, dxfattribs=look)
    entity.paths.add_polyline_path(points, is_closed=True)
    return mark(entity, hatch.tag)


def add_shape(space: Any, shape: Shape, place: Place, blow: float) -> Any:
    """Add a plain shape to a space and return its entity.

    Args:
        space: model space, a layout or a block.
        shape: the shape.
        place: mapping of its points to the space.
        blow: factor by which paper sizes are enlarged.
    """
    if isinstance(shape, Text):
        return add_text(space, shape, place, blow)
    if isinstance(shape, Hatch):
        return add_solid(space, shape, place, blow)
    look = attributes(shape.layer, blow)
    if isinstance(shape, Polyline):
        corners = tuple(chain.from_iterable(map(place.paper, shape.points)))
        return _added(space, Stroke("LWPOLYLINE", look | {"flags": int(shape.closed)}, {CORNERS: corners}, shape.tag))
    if isinstance(shape, Line):
        ends = {"start": place.paper(shape.start), "end": place.paper(shape.end)}
        return _added(space, Stroke("LINE", look, ends, shape.tag))
    round_ = {"center": place.paper(shape.centre), "radius": shape.radius * place.scale}
    if isinstance(shape, Circle) or arc_sweep(shape) >= math.tau:
        return _added(space, Stroke("CIRCLE", look, round_, shape.tag))
    angles = {"start_angle": math.degrees(shape.start), "end_angle": math.degrees(shape.end)}
    return _added(space, Stroke("ARC", look, {**round_, **angles}, shape.tag))
