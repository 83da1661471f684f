"""The neutral drawing: shapes in millimetres, on layers, in views, on a sheet.

A sheet's own items stand in paper millimetres, origin at the lower left corner of the trimmed
sheet, x to the right, y up. A view's items stand in the view's millimetres at full size, oriented
as they appear on paper; the view has their scale and position. Text heights, arrow sizes
and dimension offsets are always paper millimetres. Every item may carry a `tag`, the id by which the
written file is checked against the model ("span:S-F-U:1", "post:S-S2").
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from geom.lettering import Weight
from geom.units import LengthFormat as LengthFormat

Point = tuple[float, float]
Point3 = tuple[float, float, float]
Across = Literal["left", "centre", "right"]
Upright = Literal["base", "middle", "top"]


@dataclass(frozen=True)
class Layer:
    """A named layer with its pen: width [mm], line type, colour (red, green, blue) and DXF colour index."""

    name: str
    width: float
    linetype: Literal["continuous", "dashed", "short-dashed", "chain", "double-chain"] = "continuous"
    rgb: tuple[int, int, int] = (0, 0, 0)
    aci: int = 7


_GREY, _BLUE, _RED = (107, 107, 107), (11, 59, 130), (163, 22, 15)
# Pens of the ISO 128-2 series. The lines of the boat stand out, what measures them is thin: upper guard line 0.7, cut
# faces 0.5, edges 0.35, plates 0.25, dimensions 0.18, witness lines and rules of tables 0.13. A colour never says
# anything that the form does not: blue is rope, red an open item or a hold, grey what is read second.
LAYERS: dict[str, Layer] = {
    layer.name: layer
    for layer in (
        Layer("SHADE", 0.13, rgb=(236, 236, 232), aci=254),
        Layer("UNDERLAY", 0.13, rgb=(205, 205, 205), aci=254),
        Layer("WITNESS", 0.13, rgb=(150, 150, 150), aci=9),
        Layer("OUTLINE", 0.5),
        Layer("DECK-EDGE", 0.35, rgb=_GREY, aci=8),
        Layer("POST", 0.5),
        Layer("RAIL", 0.35),
        Layer("FAR", 0.25, rgb=_GREY, aci=8),
        Layer("GUARD-LINE-U", 0.7, rgb=_BLUE, aci=5),
        Layer("GUARD-LINE-M", 0.5, rgb=_BLUE, aci=5),
        Layer("GUARD-LINE-LM", 0.5, "dashed", rgb=_BLUE, aci=5),
        Layer("GUARD-LINE-L", 0.35, "short-dashed", rgb=_BLUE, aci=5),
        Layer("ROPE", 0.25, rgb=_BLUE, aci=5),
        Layer("ROPE-FILL", 0.13, rgb=(200, 212, 232), aci=151),
        Layer("FITTING", 0.35),
        Layer("SYMBOL", 0.25),
        Layer("THIN", 0.18),
        Layer("EDGE", 0.25),
        Layer("HIDDEN", 0.25, "dashed"),
        Layer("CENTRE", 0.18, "chain"),
        Layer("ADJACENT", 0.25, "double-chain"),
        Layer("HATCH", 0.13),
        Layer("DIM", 0.18),
        Layer("HOLD", 0.25, rgb=_RED, aci=1),
        Layer("OPEN-ITEM", 0.25, rgb=_RED, aci=1),
        Layer("TEXT", 0.35),
        Layer("NOTE", 0.25),
        Layer("SECOND", 0.25, rgb=_GREY, aci=8),
        Layer("RULE", 0.13, rgb=(150, 150, 150), aci=9),
        Layer("TABLE", 0.25),
        Layer("HEAD-RULE", 0.5),
        Layer("FRAME", 0.7),
        Layer("GRID", 0.13, rgb=_GREY, aci=8),
        Layer("TITLE", 0.25),
        Layer("CUT", 0.25, rgb=(200, 0, 0), aci=1),
        Layer("MARK", 0.25, rgb=(0, 0, 200), aci=5),
    )
}
# Layers of what lies under the drawing, on which lettering may stand.
UNDER = ("SHADE", "UNDERLAY")
# Layer of the viewports in a DXF layout, displayed and never printed.
VIEWPORT_LAYER = "VIEWPORT"


@dataclass(frozen=True)
class Line:
    """A straight line; ends [mm]."""

    start: Point
    end: Point
    layer: str
    tag: str = ""


@dataclass(frozen=True)
class Circle:
    """A full circle; centre and radius [mm]."""

    centre: Point
    radius: float
    layer: str
    tag: str = ""


@dataclass(frozen=True)
class Arc:
    """A circular arc, counter-clockwise from one angle to the other [rad]; centre and radius [mm]."""

    centre: Point
    radius: float
    start: float
    end: float
    layer: str
    tag: str = ""


@dataclass(frozen=True)
class Polyline:
    """A chain of straight lines; points [mm]."""

    points: tuple[Point, ...]
    layer: str
    closed: bool = False
    tag: str = ""


@dataclass(frozen=True)
class Polyline3:
    """A chain of straight lines in space [mm]: drawn by its x and y, written to DXF with its z."""

    points: tuple[Point3, ...]
    layer: str
    tag: str = ""


@dataclass(frozen=True)
class Hatch:
    """A closed outline, filled solid (pitch None) or with parallel lines at a pitch [paper mm] and an angle [rad]."""

    outline: tuple[Point, ...]
    layer: str
    pitch: float | None = None
    angle: float = 0.7853981633974483
    tag: str = ""


@dataclass(frozen=True)
class Text:
    """One line of lettering: `at` is its anchor, `height` the capital height [paper mm], `rotation` [rad].

    `weight` is that of the font: semibold for what is read first.
    """

    at: Point
    text: str
    height: float
    layer: str = "TEXT"
    across: Across = "left"
    upright: Upright = "base"
    rotation: float = 0.0
    tag: str = ""
    weight: Weight = "regular"


@dataclass(frozen=True)
class Dimension:
    """A linear dimension from one point to another.

    `offset` is the distance of the dimension line [paper mm], to the left of start -> end when positive;
    `along` fixes the measured direction [rad] (None: aligned with the two points). `text` replaces
    the number, with "<>" standing for the measured value. `shift` moves the number along the
    line [paper mm], for spans too short for it. `levels` are the heights of the two ends
    out of the view's plane [view mm]: an aligned dimension measures the true length between them.
    `bare` ends have no extension line, since a neighbour's serves them. `height` is that of the number [paper mm],
    None for the drafting style's.
    """

    start: Point
    end: Point
    offset: float
    along: float | None = None
    text: str = "<>"
    shift: float = 0.0
    levels: tuple[float, float] = (0.0, 0.0)
    bare: tuple[bool, bool] = (False, False)
    layer: str = "DIM"
    tag: str = ""
    height: float | None = None
    weight: Weight = "regular"


@dataclass(frozen=True)
class Ordinate:
    """One value of an ordinate dimension: the distance of `at` from `zero` along x or y, written at `end`.

    `height` is that of its lettering [paper mm], None for the drafting style's.
    """

    zero: Point
    at: Point
    end: Point
    axis: Literal["x", "y"]
    text: str = "<>"
    layer: str = "DIM"
    tag: str = ""
    height: float | None = None
    weight: Weight = "regular"


@dataclass(frozen=True)
class Leader:
    """A leader from a feature (first point) to its note, with an arrow or a dot at the feature; `height` [paper mm]."""

    points: tuple[Point, ...]
    text: str = ""
    head: Literal["arrow", "dot", "none"] = "arrow"
    height: float = 2.5
    layer: str = "DIM"
    tag: str = ""
    weight: Weight = "regular"


@dataclass(frozen=True)
class Cell:
    """One cell of a table: its text and the id it is checked by.

    `layer` is that of the lettering where it is not the table's own: OPEN-ITEM for what needs somebody's attention.
    """

    text: str
    tag: str = ""
    across: Across = "left"
    weight: Weight = "regular"
    layer: str = ""


@dataclass(frozen=True)
class Block:
    """A named group placed at a point, with attributes for CAD readers (id, coordinates, sizes)."""

    name: str
    at: Point
    items: tuple[Item, ...]
    attributes: tuple[tuple[str, str], ...] = ()
    layer: str = "POST"
    tag: str = ""


Item = Line | Circle | Arc | Polyline | Polyline3 | Hatch | Text | Dimension | Ordinate | Leader | Block


@dataclass(frozen=True)
class Rect:
    """A rectangle along the axes, by its lower left and upper right corner [paper mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """The width [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """The height [mm]."""
        return self.top - self.bottom


@dataclass(frozen=True)
class View:
    """A window on full-size geometry.

    `scale` is paper over full size, a factor; `origin` the paper point of the view's (0, 0) [mm], `model_at` its
    position in DXF model space [mm].
    """

    name: str
    title: str
    scale: float
    origin: Point
    window: Rect
    items: tuple[Item, ...]
    model_at: Point = (0.0, 0.0)
    numbers: LengthFormat = field(default_factory=LengthFormat)
    description: str = ""


@dataclass(frozen=True)
class Border:
    """Frame and title block of a sheet, so that a yard's frame can replace them.

    `items` is the number of the sheet's first items that belong to them, `fields` the entries of the title block by
    the names of its attributes, `clear` the drawing space [mm].
    """

    items: int
    fields: tuple[tuple[str, str], ...]
    clear: tuple[Rect, ...]


# Sheets are compared by identity, so that what is derived from their thousands of items can be cached by sheet.
@dataclass(frozen=True, eq=False)
class Sheet:
    """One sheet of paper: a size [mm], a frame, views at scale and items in paper millimetres.

    `group` says who it is for; the sheets of a group make a pack of their own. `for_cad` is whether a drawing file is
    wanted of it: of what is drawn to scale, not of lists. `unit` is the unit of its drawing files [mm].
    """

    name: str
    title: str
    width: float
    height: float
    items: tuple[Item, ...]
    views: tuple[View, ...] = ()
    frame: Rect | None = None
    description: str = ""
    keywords: tuple[tuple[str, str], ...] = ()
    full_size: bool = False
    border: Border | None = None
    group: str = ""
    for_cad: bool = True
    unit: float = 1.0
