"""One drawn stroke, fill or line of lettering with what it came from, and the place an item is drawn at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

from geom.figure import LengthFormat, Point, View
from geom.render.plane import Shape

Role = Literal["shape", "dimension line", "extension line", "arrow", "number", "rule", "cell", "leader", "note"]


@dataclass(frozen=True)
class Piece:
    """A shape in paper millimetres: the view it stands in ("sheet" for none), the number of its item, its role.

    `room` is the width [mm] that a text in a cell may fill.
    """

    shape: Shape
    view: str
    source: int
    role: Role = "shape"
    room: float | None = None


Part = tuple[Shape, Role, float | None]
Parts = Iterator[Part]


@dataclass(frozen=True)
class Place:
    """Where items are drawn: a scale, the paper point of (0, 0), and how measured values are written."""

    scale: float = 1.0
    origin: Point = (0.0, 0.0)
    numbers: LengthFormat = field(default_factory=LengthFormat)

    @classmethod
    def of(cls, view: View | None) -> Place:
        """Return the place of a view's items, of the sheet's own items for None."""
        return cls() if view is None else cls(view.scale, view.origin, view.numbers)

    def paper(self, point: Point) -> Point:
        """Return the paper point of a view's point [mm]."""
        return (self.origin[0] + point[0] * self.scale, self.origin[1] + point[1] * self.scale)

    def within(self, point: Point) -> Place:
        """Return the place whose (0, 0) stands on a view's point, for the items of a block."""
        return replace(self, origin=self.paper(point))
