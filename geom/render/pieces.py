"""A drawn stroke, fill or line of lettering with its origin, and the mapping of items to paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

from geom.figure import LengthFormat, Point, View
from geom.render.plane import Shape

Role = Literal["shape", "dimension line", "extension line", "arrow", "number", "leader", "note"]


@dataclass(frozen=True)
class Piece:
    """A shape in paper millimetres: its view ("sheet" for none), the number of its item, its role."""

    shape: Shape
    view: str
    source: int
    role: Role = "shape"


Part = tuple[Shape, Role]
Parts = Iterator[Part]


@dataclass(frozen=True)
class Place:
    """Mapping of items to paper: a scale factor, the paper point of (0, 0) [mm], and the format of measured values."""

    scale: float = 1.0
    origin: Point = (0.0, 0.0)
    numbers: LengthFormat = field(default_factory=LengthFormat)

    @classmethod
    def of(cls, view: View | None) -> Place:
        """Return the mapping of a view's items, or of the sheet's own items for None."""
        return cls() if view is None else cls(view.scale, view.origin, view.numbers)

    def paper(self, point: Point) -> Point:
        """Return the paper point of a view's point [mm]."""
        return (self.origin[0] + point[0] * self.scale, self.origin[1] + point[1] * self.scale)

    def within(self, point: Point) -> Place:
        """Return the mapping with (0, 0) at a point of the view, for the items of a block."""
        return replace(self, origin=self.paper(point))
