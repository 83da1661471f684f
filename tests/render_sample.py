"""A small invented sheet that holds every kind of item, for the tests of the written files."""

from __future__ import annotations

import math
from itertools import pairwise

from geom.drafting.columns import table_of
from geom.figure import (
    Arc,
    Block,
    Cell,
    Circle,
    Dimension,
    Hatch,
    Item,
    Leader,
    LengthFormat,
    Line,
    Ordinate,
    Point3,
    Polyline,
    Polyline3,
    Rect,
    Sheet,
    Text,
    View,
)

POSTS: tuple[Point3, ...] = (
    (700.0, -620.0, 610.0),
    (2165.2, -1215.5, 612.5),
    (3980.0, -1505.0, 615.0),
    (5790.5, -1490.0, 611.0),
    (7600.0, -1320.0, 618.0),
)
NAMES = ("PUL", "S-S1", "S-S2", "S-S3", "S-S4")


def post(name: str, x: float, y: float) -> Block:
    symbol = (
        Circle((0.0, 0.0), 40.0, "POST"),
        Line((-80.0, 0.0), (80.0, 0.0), "CENTRE"),
        Line((0.0, -80.0), (0.0, 80.0), "CENTRE"),
    )
    attributes = (("ID", name), ("X_MM", f"{x:.1f}"), ("Y_MM", f"{y:.1f}"))
    return Block("POST", (x, y), symbol, attributes, "POST", f"post:{name}")


def plan() -> View:
    line = [(x, y) for x, y, _ in POSTS]
    deck = ((0.0, 0.0), (750.0, -780.0), (2200.0, -1380.0), (4000.0, -1660.0), (5800.0, -1650.0), (8000.0, -1450.0))
    spans = tuple(
        Dimension(a, b, -16.0, tag=f"span:S-F-U:{index}") for index, (a, b) in enumerate(pairwise(line), start=1)
    )
    heights = tuple(
        Ordinate((0.0, 0.0), at, (at[0], 450.0), "x", tag=f"x:{name}") for at, name in zip(line, NAMES, strict=True)
    )
    items = (
        Line((-100.0, 0.0), (8200.0, 0.0), "CENTRE", "centreline"),
        Polyline(deck, "DECK-EDGE", tag="deck:S"),
        Polyline3(POSTS, "GUARD-LINE-U", "run:S-F-U"),
        *(post(name, x, y) for name, (x, y) in zip(NAMES, line, strict=True)),
        *spans,
        *heights,
        Leader(((4700.0, -1499.0), (4500.0, -600.0), (4600.0, -600.0)), "1x19 wire Ø5", tag="note:S-F-U"),
        Leader(((6900.0, -900.0), (6700.0, -500.0)), "hatch\nØ 600 × 40", head="dot", tag="note:hatch"),
        Hatch(((6600.0, -1100.0), (7200.0, -1100.0), (7200.0, -800.0), (6600.0, -800.0)), "HATCH", 3.0, tag="hatch:1"),
        Polyline(
            ((6600.0, -1100.0), (7200.0, -1100.0), (7200.0, -800.0), (6600.0, -800.0)), "OUTLINE", True, "hatch:1"
        ),
    )
    return View(
        "plan",
        "Plan, starboard",
        1.0 / 40.0,
        (45.0, 230.0),
        Rect(30.0, 150.0, 300.0, 270.0),
        items,
        description="Starboard guard line from above",
    )


def detail() -> View:
    ring = (Circle((0.0, 0.0), 12.7, "OUTLINE", "tube"), Circle((0.0, 0.0), 11.2, "HIDDEN"))
    hole = Dimension((-4.0, 0.0), (4.0, 0.0), -24.0, along=0.0, shift=11.0, tag="hole:S-S2-U")
    items = (
        *ring,
        Arc((0.0, 0.0), 17.0, math.radians(200.0), math.radians(340.0), "THIN"),
        Line((-20.0, 0.0), (20.0, 0.0), "CENTRE"),
        Line((0.0, -20.0), (0.0, 20.0), "CENTRE"),
        Hatch(((-4.0, -1.0), (4.0, -1.0), (4.0, 1.0), (-4.0, 1.0)), "HATCH", tag="slot"),
        Dimension((-12.7, 0.0), (12.7, 0.0), 32.0, tag="tube:width"),
        hole,
        Dimension((12.7, -12.7), (12.7, 12.7), -22.0, text="(<>)", tag="tube:height"),
        Text((0.0, -28.5), "SCALE 1:1", 3.5, across="centre", upright="top", tag="scale:detail"),
    )
    return View(
        "detail",
        "Tube at the hole",
        1.0,
        (345.0, 215.0),
        Rect(310.0, 180.0, 405.0, 275.0),
        items,
        model_at=(0.0, 6000.0),
        numbers=LengthFormat("in", 25.4, 3),
    )


def schedule() -> tuple[Item, ...]:
    rows = tuple(
        (Cell(name), Cell(f"{x:.1f}", f"post:{name}:x", "right"), Cell(f"{y:.1f}", f"post:{name}:y", "right"))
        for name, (x, y, _) in zip(NAMES, POSTS, strict=True)
    )
    return table_of("Posts, mm", ("post", "X aft", "Y starboard"), rows, "").items((30.0, 130.0), 85.0)


def sample_sheet() -> Sheet:
    frame = Rect(20.0, 10.0, 410.0, 287.0)
    corners = ((20.0, 10.0), (410.0, 10.0), (410.0, 287.0), (20.0, 287.0))
    items = (
        Polyline(corners, "FRAME", True),
        Text((165.0, 280.0), "Plan, starboard, 1:40 (mm)", 3.5, across="centre", upright="middle"),
        Text((357.0, 280.0), "Tube at the hole (in)", 3.5, across="centre", upright="middle"),
        *schedule(),
        Line((200.0, 40.0), (300.0, 40.0), "OUTLINE", "bar:100"),
        Line((200.0, 38.0), (200.0, 42.0), "OUTLINE"),
        Line((300.0, 38.0), (300.0, 42.0), "OUTLINE"),
        Text((250.0, 44.0), "100 mm when printed at full size", 2.5, "NOTE", "centre"),
        Text((28.0, 200.0), "readable from the right", 2.5, "NOTE", "centre", "base", math.pi / 2.0),
    )
    return Sheet(
        "sample",
        "Sample sheet",
        420.0,
        297.0,
        items,
        (plan(), detail()),
        frame,
        "Every kind of item once",
        (("revision", "A"), ("data", "0123abcd")),
    )
