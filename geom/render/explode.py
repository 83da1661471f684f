"""Every item of a sheet as plain strokes, fills and lettering in paper millimetres."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from weakref import WeakKeyDictionary

from geom import lettering
from geom.errors import GeometryError
from geom.figure import (
    LAYERS,
    Arc,
    Block,
    Circle,
    Dimension,
    Hatch,
    Item,
    Leader,
    Line,
    Ordinate,
    Point,
    Polyline,
    Polyline3,
    Sheet,
    Text,
)
from geom.render.annotate import dimension_parts, dimension_text, leader_parts, ordinate_parts
from geom.render.pieces import Part, Parts, Piece, Place
from geom.render.plane import Shape, arc_sweep, hatch_strokes

__all__ = ["Group", "clean", "dimension_text", "explode", "pieces"]

SHEET = "sheet"


@dataclass(frozen=True)
class Group:
    """All shapes of one view ("sheet" for the sheet's own items) on one layer."""

    view: str
    layer: str
    items: tuple[Shape, ...]


@lru_cache(maxsize=1 << 14)
def clean(text: str) -> str:
    """Return a text after checking that every file format can hold it.

    Raises:
        GeometryError: it contains a control character or half a surrogate pair.
    """
    for character in text:
        if unicodedata.category(character) in ("Cc", "Cs", "Cn"):
            raise GeometryError(f"a control character (U+{ord(character):04X}) in the text {text!r}")
    return text


def _moved(shape: Shape, place: Place) -> Shape:
    paper = place.paper
    if isinstance(shape, Line):
        return Line(paper(shape.start), paper(shape.end), shape.layer, shape.tag)
    if isinstance(shape, Polyline):
        return replace(shape, points=tuple(paper(point) for point in shape.points))
    if isinstance(shape, Hatch):
        return replace(shape, outline=tuple(paper(point) for point in shape.outline))
    if isinstance(shape, Text):
        return replace(shape, at=paper(shape.at))
    if isinstance(shape, Arc) and arc_sweep(shape) >= math.tau:
        shape = Circle(shape.centre, shape.radius, shape.layer, shape.tag)
    return replace(shape, centre=paper(shape.centre), radius=shape.radius * place.scale)


def _parts(item: Item, place: Place) -> Parts:
    if isinstance(item, Dimension):
        yield from dimension_parts(item, place)
    elif isinstance(item, Ordinate):
        yield from ordinate_parts(item, place)
    elif isinstance(item, Leader):
        yield from leader_parts(item, place)
    elif isinstance(item, Block):
        inner = place.within(item.at)
        for part in item.items:
            for shape, role in _parts(part, inner):
                yield (shape if shape.tag else replace(shape, tag=item.tag)), role
    elif isinstance(item, Polyline3):
        points = tuple((point[0], point[1]) for point in item.points)
        yield _moved(Polyline(points, item.layer, tag=item.tag), place), "shape"
    elif isinstance(item, Hatch) and item.pitch is not None:
        outline = [place.paper(point) for point in item.outline]
        for start, end in hatch_strokes(outline, item.pitch, item.angle):
            yield Line(start, end, item.layer, item.tag), "shape"
    else:
        yield _moved(item, place), "shape"


def _numbers(shape: Shape) -> Iterator[float]:
    if isinstance(shape, Line):
        yield from (*shape.start, *shape.end)
    elif isinstance(shape, Polyline | Hatch):
        points: tuple[Point, ...] = shape.points if isinstance(shape, Polyline) else shape.outline
        for point in points:
            yield from point
    elif isinstance(shape, Text):
        yield from (*shape.at, shape.height, shape.rotation)
    else:
        yield from (*shape.centre, shape.radius)


def _checked(part: Part) -> Part:
    shape = part[0]
    if shape.layer not in LAYERS:
        raise GeometryError(f"there is no layer {shape.layer!r} (valid: {', '.join(LAYERS)})")
    if not all(math.isfinite(value) for value in _numbers(shape)):
        name = f"{type(shape).__name__} ({shape.tag or shape.layer})"
        raise GeometryError(f"a {name} has a coordinate that is not a number")
    if isinstance(shape, Circle | Arc) and not shape.radius > 0.0:
        raise GeometryError(f"a {type(shape).__name__} ({shape.tag or shape.layer}) has no radius above zero")
    if isinstance(shape, Text):
        clean(shape.text)
        try:
            lettering.width(shape.text, shape.height, shape.weight)
        except ValueError as error:
            raise GeometryError(str(error)) from None
    clean(shape.tag)
    return part


# Each format, the placing of names and the layout check use the same pieces of a sheet.
_PIECES: WeakKeyDictionary[Sheet, tuple[Piece, ...]] = WeakKeyDictionary()


def pieces(sheet: Sheet) -> tuple[Piece, ...]:
    """Return every shape of a sheet on paper, with its view, item and role.

    Raises:
        GeometryError: an unknown layer, a coordinate that is not a number, a character without a glyph.
    """
    drawn = _PIECES.get(sheet)
    if drawn is None:
        drawn = _PIECES[sheet] = tuple(_pieces(sheet))
    return drawn


def _pieces(sheet: Sheet) -> Iterator[Piece]:
    names = [view.name for view in sheet.views]
    if len({*names, SHEET}) != len(names) + 1:
        raise GeometryError(f"the views of sheet {sheet.name!r} need names of their own, other than {SHEET!r}: {names}")
    source = 0
    for view in (*sheet.views, None):
        place = Place.of(view)
        for item in sheet.items if view is None else view.items:
            source += 1
            for part in _parts(item, place):
                shape, role = _checked(part)
                if isinstance(shape, Text) and not shape.text.strip():
                    continue
                yield Piece(shape, SHEET if view is None else view.name, source, role)


def explode(sheet: Sheet) -> tuple[Group, ...]:
    """Return a sheet as plain shapes in paper millimetres, grouped by view and layer.

    Views come first, in their order, then the sheet's own items; layers in the order of LAYERS.
    Nothing is clipped at a window: the layout check reports what leaves it.

    Raises:
        GeometryError: as for `pieces`.
    """
    shapes: dict[tuple[str, str], list[Shape]] = {}
    for piece in pieces(sheet):
        shapes.setdefault((piece.view, piece.shape.layer), []).append(piece.shape)
    return tuple(
        Group(view, layer, tuple(shapes[view, layer]))
        for view in (*(view.name for view in sheet.views), SHEET)
        for layer in LAYERS
        if (view, layer) in shapes
    )
