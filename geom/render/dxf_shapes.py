"""Plain shapes as DXF entities, each on its layer, with its tag as extended data."""

from __future__ import annotations

import math
from typing import Any

from geom.figure import Arc, Circle, Hatch, Line, Polyline, Text
from geom.render.dxf_tables import APPID, STYLES
from geom.render.pieces import Place
from geom.render.plane import Shape, arc_sweep, baseline

_ACROSS = {"left": 0, "centre": 1, "right": 2}


def mark(entity: Any, tag: str) -> Any:
    """Attach a tag to an entity as extended data and return the entity."""
    if tag:
        entity.set_xdata(APPID, [(1000, tag)])
    return entity


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
    across = _ACROSS[text.across]
    drawn = {
        "height": own.height,
        "rotation": math.degrees(text.rotation),
        "style": STYLES[text.weight][0],
        "insert": at,
    }
    if across:
        drawn |= {"halign": across, "align_point": at}
    return mark(space.add_text(text.text, dxfattribs={"layer": text.layer, **drawn}), text.tag)


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
        return mark(space.add_solid(points, dxfattribs=look), hatch.tag)
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
    if isinstance(shape, Line):
        entity = space.add_line(place.paper(shape.start), place.paper(shape.end), dxfattribs=look)
    elif isinstance(shape, Polyline):
        points = [place.paper(point) for point in shape.points]
        entity = space.add_lwpolyline(points, close=shape.closed, dxfattribs=look)
    elif isinstance(shape, Circle) or arc_sweep(shape) >= math.tau:
        entity = space.add_circle(place.paper(shape.centre), shape.radius * place.scale, dxfattribs=look)
    else:
        assert isinstance(shape, Arc)
        angles = math.degrees(shape.start), math.degrees(shape.end)
        entity = space.add_arc(place.paper(shape.centre), shape.radius * place.scale, *angles, dxfattribs=look)
    return mark(entity, shape.tag)
