"""Odd deck plans: how each is drawn, and the correct answer: where its posts are, or why it is refused.

Each is a small plan with the stem at 0, 0 on layer STEM and a point 9 m aft of it on layer AFT, bow to the left.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise

import ezdxf

from tests.plan_drawings import CODES

POSTS = {"layer": "POSTS"}
EDGE = {"layer": "EDGE"}
BY_LAYER = "posts: {layer: POSTS}\n"
BY_NAME = "posts: {block: POST, name: ID, z: Z}\n"
WITH_EDGE = BY_LAYER + "deck_edge: {layer: EDGE}\n"
# Posts of most plans: two to starboard, two to port.
PLACES = ((2000.0, 1200.0), (4000.0, 1400.0), (2000.0, -1200.0), (4000.0, -1400.0))
FOUR = {"S-S1": PLACES[0], "S-S2": PLACES[1], "P-S1": PLACES[2], "P-S2": PLACES[3]}
SHEER = [(0.0, 0.0), (2000.0, 900.0), (5000.0, 1400.0), (9000.0, 1100.0)]
PORT = [(x, -y) for x, y in SHEER]


@dataclass(frozen=True)
class OddPlan:
    """An odd plan with its correct answer.

    `draw` draws on a document and its model space. `posts` and `edges` are their correct places, in mm; `refused` is a
    pattern of the refusal; `noted` a pattern of a note. `stated` is the mapping after its axis. `unit` is what the plan
    is drawn in, `header` what its header says (code of the DXF reference); `aft_x` is the distance
    of the aft point as measured on board, in mm; `bare` plans have no stem and aft point.
    """

    name: str
    draw: Callable[..., None]
    posts: dict[str, tuple[float, ...]] = field(default_factory=dict)
    edges: tuple[tuple[float, float], ...] = ()
    refused: str = ""
    noted: str = ""
    stated: str = BY_LAYER
    unit: float = 1.0
    header: int = CODES["mm"]
    aft_x: float = 9000.0
    bare: bool = False
    version: str = "R2010"
    binary: bool = False

    def data(self) -> bytes:
        """Return the plan as DXF."""
        document = ezdxf.new(self.version, units=self.header)
        space = document.modelspace()
        if not self.bare:
            space.add_point((0, 0), dxfattribs={"layer": "STEM"})
            space.add_point((9000 * self.unit, 0), dxfattribs={"layer": "AFT"})
        self.draw(document, space)
        if self.binary:
            stream = io.BytesIO()
            document.write(stream, fmt="bin")
            return stream.getvalue()
        text = io.StringIO()
        document.write(text)
        return text.getvalue().encode()

    def mapping(self) -> bytes:
        """Return the mapping, which finds stem and aft point by their layers."""
        axis = f"axis: {{stem: {{layer: STEM}}, aft: {{layer: AFT}}, aft_x: {self.aft_x} mm}}\n"
        return f"format: 1\n{axis}{self.stated}".encode()


def points(places=PLACES, unit=1.0, to="POSTS", more=None):
    """Return a drawing of points, and of what else is drawn."""

    def draw(document, space):
        for x, y, *z in places:
            space.add_point((x * unit, y * unit, *z), dxfattribs={"layer": to})
        if more is not None:
            more(document, space)

    return draw


def circles(document, space):
    for at in PLACES:
        space.add_circle(at, 12.0, dxfattribs=POSTS)


def seen_from_below(document, space):
    """Circles whose own plane faces down: its X runs the other way (DXF reference, arbitrary axis)."""
    for x, y in PLACES:
        space.add_circle((-x, y), 12.0, dxfattribs={**POSTS, "extrusion": (0, 0, -1)})


def outlines(document, space):
    for x, y in PLACES:
        corners = [(x - 12, y - 12), (x + 12, y - 12), (x + 12, y + 12), (x - 12, y + 12)]
        space.add_lwpolyline(corners, close=True, dxfattribs=POSTS)


def circles_of_arcs(document, space):
    for at in PLACES:
        for start in (0, 180):
            space.add_arc(at, 12.0, start, start + 180, dxfattribs=POSTS)


def block(document, name="POST"):
    if name not in document.blocks:
        made = document.blocks.new(name)
        made.add_circle((0, 0), 12.0)
        made.add_line((-20, 0), (20, 0))
        made.add_point((0, 0))
    return name


def named(names=("S-S1", "S-S2", "P-S1", "P-S2"), places=PLACES, **tags):
    """Return a drawing of blocks with an id, and other attributes."""

    def draw(document, space):
        for name, at in zip(names, places, strict=True):
            insert = space.add_blockref(block(document), at, dxfattribs=POSTS)
            for tag, text in {"ID": name, **tags}.items():
                if text is not None:
                    insert.add_attrib(tag, text, at)

    return draw


def array(turn=0.0):
    def draw(document, space):
        grid = {"row_count": 2, "column_count": 2, "row_spacing": 2400, "column_spacing": 2000, "rotation": turn}
        at = (2000, -1200) if turn == 0.0 else (4400, -1000)
        space.add_blockref(block(document), at, dxfattribs={**POSTS, **grid})

    return draw


def block_in_block(document, space):
    whole = document.blocks.new("WHOLE")
    for x, y in PLACES:
        whole.add_blockref(block(document), (x - 500, y), dxfattribs=POSTS)
    space.add_blockref("WHOLE", (500, 0))


def enlarged(document, space):
    """A plan in inches brought in at 25.4, heights in its attributes: bare in its inches, and with a unit."""
    whole = document.blocks.new("WHOLE")
    for name, (x, y), z in zip(("S-S1", "P-S1"), (PLACES[0], PLACES[2]), ("42.5", "1040 mm"), strict=True):
        at = (x / 25.4, y / 25.4)
        insert = whole.add_blockref(block(document), at, dxfattribs=POSTS)
        insert.add_attrib("ID", name, at)
        insert.add_attrib("Z", z, at)
    space.add_blockref("WHOLE", (0, 0), dxfattribs={"xscale": 25.4, "yscale": 25.4, "zscale": 25.4})


def mirrored_block(document, space):
    whole = document.blocks.new("HALF")
    for x, y in PLACES[:2]:
        whole.add_point((x, y), dxfattribs=POSTS)
    space.add_blockref("HALF", (0, 0))
    space.add_blockref("HALF", (0, 0), dxfattribs={"yscale": -1})


def too_deep(document, space):
    inner = block(document)
    for number in range(30):
        outer = document.blocks.new(f"LEVEL{number}")
        outer.add_blockref(inner, (0, 0))
        inner = outer.name
    space.add_blockref(inner, PLACES[0], dxfattribs=POSTS)


def too_many(document, space):
    grid = {"row_count": 1000, "column_count": 1000, "row_spacing": 1, "column_spacing": 1}
    space.add_blockref(block(document), (0, 0), dxfattribs={**POSTS, **grid})


def hidden(how):
    def more(document, space):
        if how == "invisible":
            space.add_point((3000, 1300), dxfattribs={**POSTS, "invisible": 1})
            return
        layer = document.layers.add("OLD")
        layer.freeze() if how == "frozen" else layer.off()
        for x, y in PLACES:
            space.add_point((x + 50, y), dxfattribs={"layer": "OLD"})

    return points(more=more)


def another_file(document, space):
    document.add_xref_def("other.dxf", "OTHER")
    space.add_blockref("OTHER", (0, 0), dxfattribs=POSTS)


def on_paper(document, space):
    for x, y in PLACES:
        document.layout("Layout1").add_point((x, y), dxfattribs=POSTS)


def nothing(document, space):
    pass


def edge_of(draw):
    return points(more=lambda document, space: draw(space))


def single_lines(space):
    for row in (SHEER, PORT[::-1]):
        for start, end in pairwise(row):
            space.add_line(start, end, dxfattribs=EDGE)


def shuffled_lines(space):
    for row in (SHEER, PORT):
        for start, end in list(pairwise(row))[::-1]:
            space.add_line(end, start, dxfattribs=EDGE)


def old_polylines(space):
    for row in (SHEER, PORT):
        space.add_polyline2d(row, dxfattribs=EDGE)


def splines(space):
    """A spline through points on a straight line is that line."""
    for sign in (1, -1):
        space.add_spline([(x, sign * x / 6.0, 0) for x in (0.0, 3000.0, 6000.0, 9000.0)], dxfattribs=EDGE)


def arcs(space):
    """The quarter of a circle of 9 m about a point on the centreline astern, on either side."""
    space.add_arc((9000, 0), 9000, 90, 180, dxfattribs=EDGE)
    space.add_arc((9000, 0), 9000, 180, 270, dxfattribs=EDGE)


def bulges(space):
    bulge = -math.tan(math.radians(22.5))
    space.add_lwpolyline([(9000, -9000, bulge), (0, 0, bulge), (9000, 9000, 0)], format="xyb", dxfattribs=EDGE)


def ellipses(space):
    """Quarters of an ellipse of 9 m by 1.5 m."""
    for start, end in ((0.5, 1.0), (1.0, 1.5)):
        space.add_ellipse((9000, 0), (9000, 0), 1500 / 9000, start * math.pi, end * math.pi, dxfattribs=EDGE)


def with_gap(space):
    for start, end in ((0, 1), (2, 3)):
        space.add_line(SHEER[start], SHEER[end], dxfattribs=EDGE)


def polyline(*corners, close=False):
    return lambda space: space.add_lwpolyline(corners, close=close, dxfattribs=EDGE)


def both(row):
    def draw(space):
        for chain in (row, [(x, -y) for x, y in row]):
            space.add_lwpolyline(chain, dxfattribs=EDGE)

    return draw


def side_view(*heights):
    """Return a drawing of named posts with marks of a side view 8 m under the plan."""

    def draw(document, space):
        named()(document, space)
        for x, z in heights:
            space.add_circle((x, -8000.0 + z), 5.0, dxfattribs={"layer": "SIDE"})

    return draw


PROFILE = BY_NAME + "profile: {marks: {layer: SIDE}, at: [0, -8000], x: 0 mm, z: 0 mm, bow: left}\n"
WITH_HEIGHTS = {name: (*at, 1000.0 if name.endswith("1") else 950.0) for name, at in FOUR.items()}

ODD_PLANS = (
    OddPlan("array of inserts", array(), FOUR | {"S-S2": (4000.0, 1200.0), "P-S2": (4000.0, -1200.0)}),
    OddPlan("turned array of inserts", array(90.0),
            {"S-S1": (2000.0, 1000.0), "S-S2": (4400.0, 1000.0), "P-S1": (2000.0, -1000.0), "P-S2": (4400.0, -1000.0)}),
    OddPlan("block within a block", block_in_block, FOUR),
    OddPlan("block mirrored to the other side", mirrored_block, FOUR),
    OddPlan("block enlarged, heights in its attributes", enlarged,
            {"S-S1": (*PLACES[0], 42.5 * 25.4), "P-S1": (*PLACES[2], 1040.0)}, stated=BY_NAME),
    OddPlan("blocks within blocks, thirty deep", too_deep, refused="blocks within blocks too deep"),
    OddPlan("array of a million", too_many, refused="too many entities"),
    OddPlan("symbols of circle, line and point", named(), FOUR, stated=BY_NAME),
    OddPlan("names in lower case", named(("s-s1", "s-s2", "p-s1", "p-s2")), FOUR, stated=BY_NAME),
    OddPlan("names without a side", named(("S1", "S2", "S1", "S2")), FOUR, stated=BY_NAME),
    OddPlan("names of no post", named(("S-S1", "S-S2", "P-S1", "2nd port")), refused="not the name of a post",
            stated=BY_NAME),
    OddPlan("one name twice", named(("S-S1", "S-S1", "P-S1", "P-S2")), refused="duplicate post name, also on insert",
            stated=BY_NAME),
    OddPlan("one name on the other side", named(("S-S1", "S-S2", "P-S1", "S-S4")), refused="S-S4 is drawn to port",
            stated=BY_NAME),
    OddPlan("every name on the other side", named(("P-S1", "P-S2", "S-S1", "S-S2")), refused="the plan is mirrored",
            stated=BY_NAME),
    OddPlan("mirrored, and stated so", named(("P-S1", "P-S2", "S-S1", "S-S2")), FOUR, noted="read as mirrored",
            stated="mirrored: true\n" + BY_NAME),
    OddPlan("a block without its name", named(ID=None), refused="the attribute ID is missing", stated=BY_NAME),
    OddPlan("a height that is no length", named(Z="high"), refused=r"insert #\w+ on layer POSTS, Z", stated=BY_NAME),
    OddPlan("heights with a unit", named(Z="41 in"), {name: (*at, 41 * 25.4) for name, at in FOUR.items()},
            stated=BY_NAME),
    OddPlan("circles", circles, FOUR),
    OddPlan("circles drawn from below", seen_from_below, FOUR),
    OddPlan("outlines", outlines, FOUR),
    OddPlan("circles of two arcs", circles_of_arcs, FOUR),
    OddPlan("points with heights", points([(*at, 1000.0) for at in PLACES]),
            {name: (*at, 1000.0) for name, at in FOUR.items()}),
    OddPlan("layer in lower case", points(to="Posts"), FOUR),
    OddPlan("binary file", points(), FOUR, binary=True),
    OddPlan("oldest version, no unit in its header", points(), FOUR, version="R12"),
    OddPlan("a point twice", points([*PLACES, (2000.01, 1200.0)]), refused="two posts at one place, the other is"),
    OddPlan("a post on the centreline", points([*PLACES, (3000.0, 0.0)]), refused="a post on the centreline"),
    OddPlan("frozen layer", hidden("frozen"), FOUR, noted=r"4 entities on layer OLD \(frozen\) were not read"),
    OddPlan("layer that is off", hidden("off"), FOUR, noted=r"4 entities on layer OLD \(off\) were not read"),
    OddPlan("frozen layer that the mapping names", hidden("frozen"), refused="no such layer in the drawing .read: OLD",
            stated="posts: {layer: OLD}\n"),
    OddPlan("invisible point", hidden("invisible"), FOUR, noted=r"on layer POSTS \(invisible\) were not read"),
    OddPlan("another file", another_file, refused=r"insert #\w+ on layer POSTS refers to another file .*other.dxf"),
    OddPlan("all in paper space", on_paper, refused="everything is in paper space .read: Layout1: 4", bare=True),
    OddPlan("empty", nothing, refused="the drawing is empty", bare=True),
    OddPlan("no stem", points(), refused="0 entities for the stem", bare=True),
    OddPlan("two stems", points(more=lambda document, space: space.add_point((5, 5), dxfattribs={"layer": "STEM"})),
            refused=r"2 entities for the stem .read: point #\w+ on layer STEM"),
    OddPlan("no such layer", points(to="STANCHIONS"), refused="no such layer in the drawing .read: POSTS"),
    OddPlan("no such block", points(), refused="no such block in the drawing .read: POST", stated=BY_NAME),
    OddPlan("posts as splines",
            lambda document, space: space.add_spline([(0, 0, 0), (1, 1, 0), (2, 0, 0)], dxfattribs=POSTS),
            refused=r"no posts on layer POSTS .read: 1 SPLINE. - valid: points, circles"),
    OddPlan("posts as blocks on a layer that has none", named(), refused=r"no posts on layer STEM .read: 1 POINT",
            stated="posts: {layer: STEM, block: POST, name: ID}\n"),
    OddPlan("aft point 300 mm off", points(), refused=r"drawn 9000\.0 mm from the stem and stated as 9300\.0 mm",
            aft_x=9300.0),
    OddPlan("half scale", points(unit=0.5), refused=r"drawn 4500\.0 mm .* stated as 9000\.0 mm: .* 0\.5 times the boat",
            unit=0.5),
    OddPlan("header says inches", points(), FOUR, noted="not in by its header: .* proves mm", header=1),
    OddPlan("header says nothing", points(unit=0.001), FOUR, unit=0.001, header=0),
    OddPlan("header says metres, drawn in inches", points(unit=1 / 25.4), FOUR, noted="not m by its header",
            unit=1 / 25.4, header=CODES["m"]),
    OddPlan("header in a unit that is not read", points(), refused="units that are not read", header=13),
    OddPlan("single lines", edge_of(single_lines), FOUR, tuple(SHEER), stated=WITH_EDGE),
    OddPlan("single lines in any order, from aft", edge_of(shuffled_lines), FOUR, tuple(SHEER), stated=WITH_EDGE),
    OddPlan("closed line round the boat", edge_of(polyline(*SHEER, *PORT[:0:-1], close=True)), FOUR, tuple(SHEER),
            stated=WITH_EDGE),
    OddPlan("one line from quarter to quarter", edge_of(polyline(*SHEER[::-1], *PORT[1:])), FOUR, tuple(SHEER),
            stated=WITH_EDGE),
    OddPlan("polylines of the oldest kind", edge_of(old_polylines), FOUR, tuple(SHEER), stated=WITH_EDGE),
    OddPlan("splines", edge_of(splines), FOUR, ((0.0, 0.0), (9000.0, 1500.0)), noted="spline .* is curved",
            stated=WITH_EDGE),
    OddPlan("arcs", edge_of(arcs), FOUR, ((0.0, 0.0), (9000.0, 9000.0)), noted="arc .* is curved", stated=WITH_EDGE),
    OddPlan("polyline of arcs", edge_of(bulges), FOUR, ((0.0, 0.0), (9000.0, 9000.0)), noted="polyline .* is curved",
            stated=WITH_EDGE),
    OddPlan("ellipses", edge_of(ellipses), FOUR, ((0.0, 0.0), (9000.0, 1500.0)), noted="ellipse .* is curved",
            stated=WITH_EDGE),
    OddPlan("edge with a gap", edge_of(with_gap), refused="several deck edges on side S that do not meet end to end",
            stated=WITH_EDGE),
    OddPlan("edge that turns back", edge_of(both([(0, 0), (3000, 900), (2000, 1000), (9000, 1100)])),
            refused="does not run from forward to aft", stated=WITH_EDGE),
    OddPlan("edge as text", edge_of(lambda space: space.add_text("SHEER", dxfattribs=EDGE)),
            refused="no deck edge .read: 1 TEXT.", stated=WITH_EDGE),
    OddPlan("eyes without names", edge_of(lambda space: space.add_point((800, 300), dxfattribs={"layer": "EYES"})),
            refused="eyes without names", stated=BY_LAYER + "eyes: {layer: EYES}\n"),
    OddPlan("heights from a side view", side_view((2000, 1000), (4001, 950)), WITH_HEIGHTS, stated=PROFILE),
    OddPlan("a side view with two heights of a post", side_view((2000, 1000), (2002, 1040), (4000, 950)),
            refused="several heights of S-S1 in the side view", stated=PROFILE),
    OddPlan("a side view without a post", side_view((2000, 1000)), refused="no height of S-S2 in the side view",
            stated=PROFILE),
)  # fmt: skip
