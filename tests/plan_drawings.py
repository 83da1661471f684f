"""Deck plans of a demonstration boat drawn as DXF in several units, versions and ways of lying."""

from __future__ import annotations

import io
import math

import ezdxf

from geom.boat.model import Boat

PER_MM = {"mm": 1.0, "cm": 0.1, "m": 0.001, "in": 1.0 / 25.4, "ft": 1.0 / 304.8}
CODES = {"mm": 4, "cm": 5, "m": 6, "in": 1, "ft": 2}


class Plan:
    """A drawing in which the stem lies at (1234.5, -876) mm and the bow points a given way."""

    def __init__(self, unit: str, bow: str, mirrored: bool = False) -> None:
        self.k = PER_MM[unit]
        # Turn of the aft direction from the drawing's own X, counter-clockwise.
        self.turn = {"left": 0.0, "bottom": 90.0, "right": 180.0, "top": 270.0, "askew": 33.0}[bow]
        self.over = -1.0 if mirrored else 1.0

    def at(self, point, flat: bool = False):
        """Return a point of the boat in the drawing: aft turned, starboard a quarter turn left of aft from above."""
        x, y, z = point
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        y *= self.over
        u, v = x * c - y * s + 1234.5, x * s + y * c - 876.0
        return (u * self.k, v * self.k, 0.0 if flat else z * self.k)


def drawn(
    boat: Boat,
    unit: str,
    bow: str,
    version: str = "R2010",
    mirrored: bool = False,
    units: int | None = None,
    scale: float = 1.0,
):
    """Return the bytes of a plan made with a general drawing library, and the drawing place of X 9000."""
    plan = Plan(unit, bow, mirrored)
    plan.k *= scale
    document = ezdxf.new(version, units=CODES[unit] if units is None else units)
    space = document.modelspace()
    for layer in ("POSTS", "EYES", "EDGE", "REF"):
        document.layers.add(layer)
    for name in ("POST", "EYE"):
        document.blocks.new(name).add_circle((0, 0), 12.0 * plan.k)
    space.add_point(plan.at((0.0, 0.0, 0.0)), dxfattribs={"layer": "REF"})
    for post in boat.posts:
        place = plan.at(post.foot)
        insert = space.add_blockref("POST", place, dxfattribs={"layer": "POSTS"})
        insert.add_attrib("ID", post.id, place)
        insert.add_attrib("LEAN", repr(math.degrees(post.lean)), place)
        insert.add_attrib("RAKE", repr(math.degrees(post.rake)), place)
    for eye in boat.eyes:
        place = plan.at(eye.at)
        space.add_blockref("EYE", place, dxfattribs={"layer": "EYES"}).add_attrib("ID", eye.id, place)
    for side in ("S", "P"):
        space.add_polyline3d([plan.at(point) for point in boat.edge(side)], dxfattribs={"layer": "EDGE"})
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8"), plan.at((9000.0, 0.0, 0.0))[:2]


def written_r12(boat: Boat) -> bytes:
    """Return a plan as R12 text written by hand, group by group: no header, mm, bow to the left, heights in Z."""
    plan = Plan("mm", "left")
    lines: list[str] = []

    def group(*pairs):
        for code, value in pairs:
            lines.extend((f"{code:3d}", f"{value:.6f}" if isinstance(value, float) else str(value)))

    def place(point, first=10):
        return [(first + 10 * axis, value) for axis, value in enumerate(plan.at(point))]

    group((0, "SECTION"), (2, "BLOCKS"), (0, "BLOCK"), (8, "0"), (2, "POST"), (70, 2), (10, 0.0), (20, 0.0), (30, 0.0))
    group((0, "CIRCLE"), (8, "0"), (10, 0.0), (20, 0.0), (30, 0.0), (40, 12.0), (0, "ENDBLK"), (8, "0"), (0, "ENDSEC"))
    group((0, "SECTION"), (2, "ENTITIES"), (0, "POINT"), (8, "STEM"), *place((0.0, 0.0, 0.0)))
    group((0, "CIRCLE"), (8, "AFT"), *place((9000.0, 0.0, 0.0)), (40, 5.0))
    for post in boat.posts:
        group((0, "INSERT"), (8, "POSTS"), (66, 1), (2, "POST"), *place(post.foot))
        for tag, text in (("ID", post.id[2:]), ("LEAN", repr(math.degrees(post.lean)))):
            group((0, "ATTRIB"), (8, "POSTS"), *place(post.foot), (40, 20.0), (1, text), (2, tag), (70, 0))
        group((0, "SEQEND"), (8, "POSTS"))
    for side in ("S", "P"):
        group((0, "POLYLINE"), (8, "EDGE"), (66, 1), (70, 8), (10, 0.0), (20, 0.0), (30, 0.0))
        # From the stern to the bow, as some draw it.
        for point in reversed(boat.edge(side)):
            group((0, "VERTEX"), (8, "EDGE"), *place(point), (70, 32))
        group((0, "SEQEND"), (8, "EDGE"))
    group((0, "ENDSEC"), (0, "EOF"))
    return ("\n".join(lines) + "\n").encode("ascii")
