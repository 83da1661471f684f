"""Items as live DXF entities, at full size in model space: dimensions, leaders, blocks and shapes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from geom.errors import GeometryError
from geom.figure import (
    Block,
    Dimension,
    Hatch,
    Item,
    Leader,
    LengthFormat,
    Ordinate,
    Point,
    Point3,
    Polyline3,
    Text,
)
from geom.render.annotate import (
    dimension_line,
    dimension_number,
    dimension_parts,
    leader_parts,
    measured,
    number,
    ordinate_parts,
)
from geom.render.dxf_shapes import add_shape, attributes
from geom.render.dxf_tables import LETTERING, DimStyles, mark, ratio
from geom.render.pieces import Parts, Place
from geom.render.plane import add

# Types of DIMENSION, with the flag that its block is not shared (DXF reference, group code 70).
_ROTATED, _ALIGNED, _ORDINATE = 32, 33, 38
_ALONG_X, _MOVED_NUMBER = 64, 128
_LOCAL = (0.0, 0.0)
_ANSI31 = 3.175


@dataclass(frozen=True)
class Frame:
    """Mapping of items into a DXF space: drawing scale, position of their (0, 0), format of numbers, drawing unit.

    The position and the unit are in millimetres.
    """

    scale: float = 1.0
    at: Point = _LOCAL
    numbers: LengthFormat = field(default_factory=LengthFormat)
    unit: float = 1.0

    @property
    def blow(self) -> float:
        """Drawing units to a millimetre of paper."""
        return 1.0 / (self.scale * self.unit)

    @property
    def _origin(self) -> Point:
        return self.at[0] / self.unit, self.at[1] / self.unit

    @property
    def full(self) -> Place:
        """The mapping of an item's points into the space, at full size."""
        return Place(1.0 / self.unit, self._origin)

    @property
    def drawn(self) -> Place:
        """The mapping of items to paper millimetres about the frame's (0, 0)."""
        return Place(self.scale, _LOCAL, self.numbers)

    @property
    def blown(self) -> Place:
        """The mapping of those paper millimetres into the space."""
        return Place(self.blow, self._origin)


class ItemWriter:
    """Writer of items into the spaces of one document, with one block definition for each block name and scale."""

    def __init__(self, doc: Any, styles: DimStyles, plane_of: Callable[[Point3], Any]) -> None:
        self.doc = doc
        self.styles = styles
        self.plane_of = plane_of
        self.shapes: dict[tuple[str, float], tuple[str, tuple[Item, ...]]] = {}

    def write(self, space: Any, items: Iterable[Item], frame: Frame) -> None:
        """Add items to a space.

        Args:
            space: model space, a layout or a block.
            items: the items.
            frame: mapping of the items into the space.
        """
        for item in items:
            if isinstance(item, Dimension):
                self._dimension(space, item, frame)
            elif isinstance(item, Ordinate):
                self._ordinate(space, item, frame)
            elif isinstance(item, Leader):
                self._leader(space, item, frame)
            elif isinstance(item, Block):
                self._block(space, item, frame)
            elif isinstance(item, Polyline3):
                points = [(*frame.full.paper((x, y)), z / frame.unit) for x, y, z in item.points]
                look = attributes(item.layer, frame.blow)
                mark(space.add_polyline3d(points, dxfattribs=look), item.tag)
            elif isinstance(item, Hatch) and item.pitch is not None:
                self._hatch(space, item, frame)
            else:
                add_shape(space, item, frame.full, frame.blow)

    def _parts(self, space: Any, parts: Parts, frame: Frame) -> None:
        for shape, _ in parts:
            if not (isinstance(shape, Text) and not shape.text.strip()):
                add_shape(space, shape, frame.blown, frame.blow)

    def _picture(self, parts: Parts, frame: Frame) -> tuple[str, Text]:
        """Draw a dimension into a block; return the block's name and the lettering of the number on paper."""
        listed = list(parts)
        block = self.doc.blocks.new_anonymous_block(type_char="D")
        self._parts(block, iter(listed), frame)
        text = next(shape for shape, role in listed if role == "number" and isinstance(shape, Text))
        return block.name, text

    def _dimension(self, space: Any, item: Dimension, frame: Frame) -> None:
        picture, _ = self._picture(dimension_parts(item, frame.drawn), frame)
        _, last, run = dimension_line(item, frame.drawn)
        full = item.text.replace("<>", number(measured(item), frame.numbers))
        lettering = dimension_number(item, frame.drawn, full)
        up = (-math.sin(lettering.rotation), math.cos(lettering.rotation))
        entity = {
            "dimtype": (_ALIGNED if item.along is None else _ROTATED) | (_MOVED_NUMBER if item.shift else 0),
            "defpoint": frame.blown.paper(last),
            "defpoint2": frame.full.paper(item.start),
            "defpoint3": frame.full.paper(item.end),
            "angle": math.degrees(math.atan2(run[1], run[0])),
            "text_midpoint": frame.blown.paper(add(lettering.at, up, lettering.height / 2.0)),
        }
        if item.levels != (0.0, 0.0):
            entity |= self._sloping((item.levels[0] / frame.unit, item.levels[1] / frame.unit), entity)
        self._place(space, item, frame, picture, entity)

    def _sloping(self, levels: tuple[float, float], entity: dict[str, Any]) -> dict[str, Any]:
        """Return the entity's points in space, in a plane through its sloping chord, so that it measures true length.

        A DIMENSION measures in the plane square to its extrusion direction; this plane contains the sloping chord
        and the horizontal direction square to it.
        """
        (ax, ay), (bx, by), (low, high) = entity["defpoint2"], entity["defpoint3"], levels
        dx, dy, dz = bx - ax, by - ay, high - low
        plan, chord = math.hypot(dx, dy), math.hypot(dx, dy, dz)
        normal = (-dx * dz / plan / chord, -dy * dz / plan / chord, plan / chord)
        x, y = entity["text_midpoint"]
        return {
            "extrusion": normal,
            "defpoint": (*entity["defpoint"], high),
            "defpoint2": (ax, ay, low),
            "defpoint3": (bx, by, high),
            "text_midpoint": self.plane_of(normal).from_wcs((x, y, (low + high) / 2.0)),
        }

    def _ordinate(self, space: Any, item: Ordinate, frame: Frame) -> None:
        picture, lettering = self._picture(ordinate_parts(item, frame.drawn), frame)
        entity = {
            "dimtype": _ORDINATE | (_ALONG_X if item.axis == "x" else 0),
            "defpoint": frame.full.paper(item.zero),
            "defpoint2": frame.full.paper(item.at),
            "defpoint3": frame.full.paper(item.end),
            "text_midpoint": frame.blown.paper(lettering.at),
        }
        self._place(space, item, frame, picture, entity)

    def _place(
        self, space: Any, item: Dimension | Ordinate, frame: Frame, picture: str, entity: dict[str, Any]
    ) -> None:
        entity |= {
            "layer": item.layer,
            "geometry": picture,
            "dimstyle": self.styles.name(frame.scale, frame.numbers),
            "text": item.text,
            "attachment_point": 5,
            "actual_measurement": measured(item) / frame.numbers.mm,
        }
        mark(space.new_entity("DIMENSION", entity), item.tag)

    def _leader(self, space: Any, item: Leader, frame: Frame) -> None:
        points = [frame.full.paper(point) for point in item.points]
        entity = space.add_leader(
            points,
            dimstyle=self.styles.name(frame.scale, frame.numbers, dot=item.head == "dot"),
            dxfattribs={
                "layer": item.layer,
                "has_arrowhead": 0 if item.head == "none" else 1,
                "annotation_type": 3,
            },
        )
        mark(entity, item.tag)
        notes = (part for part in leader_parts(item, frame.drawn) if part[1] == "note")
        self._parts(space, notes, frame)

    def _hatch(self, space: Any, item: Hatch, frame: Frame) -> None:
        assert item.pitch is not None
        blow, usual = frame.blow, _ANSI31 / frame.unit
        entity = space.add_hatch(color=256, dxfattribs=attributes(item.layer, blow))
        entity.paths.add_polyline_path([frame.full.paper(point) for point in item.outline], is_closed=True)
        # ANSI31 is known to every reader: strokes at 45 degrees, 1/8 in apart at scale 1.
        leg = usual / math.sqrt(2.0)
        turn, size = math.degrees(item.angle) - 45.0, item.pitch * blow / usual
        strokes = [[45.0, (0.0, 0.0), (-leg, leg), []]]
        entity.set_pattern_fill("ANSI31", color=256, angle=turn, scale=size, definition=strokes)
        mark(entity, item.tag)

    def _block(self, space: Any, item: Block, frame: Frame) -> None:
        key = (item.name, frame.scale)
        if key not in self.shapes:
            taken = any(name == item.name for name, _ in self.shapes.values())
            name = f"{item.name}-{ratio(frame.scale)}" if taken else item.name
            self.shapes[key] = (name, item.items)
            definition = self.doc.blocks.new(name)
            self.write(definition, item.items, Frame(frame.scale, _LOCAL, frame.numbers, frame.unit))
            for row, (label, _) in enumerate(item.attributes):
                look = {"layer": item.layer, "height": 2.5 * frame.blow, "style": LETTERING, "flags": 1}
                definition.add_attdef(label, (0.0, -4.0 * row * frame.blow), dxfattribs=look)
        name, items = self.shapes[key]
        if items != item.items:
            raise GeometryError(f"the block name {item.name!r} is used for two different shapes")
        at = frame.full.paper(item.at)
        insert = mark(space.add_blockref(name, at, dxfattribs={"layer": item.layer}), item.tag)
        for row, (label, value) in enumerate(item.attributes):
            look = {"layer": item.layer, "height": 2.5 * frame.blow, "style": LETTERING, "flags": 1}
            insert.add_attrib(label, value, (at[0], at[1] - 4.0 * row * frame.blow), dxfattribs=look)
