"""A sheet written as SVG: true millimetres, one group for each view and layer, its letters as outlines.

Many readers take no font from the file, so that a sheet shows outlines, over which its texts stand unseen: they are
found, marked and read aloud as text.
"""

from __future__ import annotations

import base64
import io
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any
from xml.etree.ElementTree import Element

from geom import lettering
from geom.figure import LAYERS, Arc, Circle, Hatch, Line, Point, Polyline, Sheet, Text
from geom.lettering import WEIGHTS, Weight
from geom.render.explode import SHEET, Group, clean, explode
from geom.render.font import FAMILY, subset
from geom.render.plane import Shape, arc_sweep, baseline
from geom.render.style import dashes
from geom.render.svg_letters import outlined

# The same face where it is installed, and faces about as narrow, for readers that ignore an embedded font.
_FALLBACK = "'IBM Plex Sans Condensed','Arial Narrow','Liberation Sans Narrow',sans-serif"
_CSS_WEIGHT: dict[Weight, int] = {"regular": 400, "semibold": 600}


def _n(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _id(*words: str) -> str:
    """Return an XML id: letters, digits, `-`, `_` and `.`, a letter first."""
    text = re.sub(r"[^A-Za-z0-9_.-]+", "_", "-".join(words))
    return text if text[:1].isalpha() else f"v{text}"


class _Drawn:
    """A shape of a drawing, written as it is: the library checks and converts each value, thousands of them."""

    def __init__(self, name: str, text: str = "", **values: str) -> None:
        self.name = name
        self.text = text
        self.values = values

    def get_xml(self) -> Element:
        """Return the shape as the library's writer takes it, its attributes in order."""
        element = Element(self.name, dict(sorted(self.values.items())))
        element.text = self.text or None
        return element


class _Writer:
    """Writer of shapes as elements; y runs up on paper and down in the file."""

    def __init__(self, drawing: Any, height: float) -> None:
        self.drawing = drawing
        self.height = height

    def at(self, point: Point) -> tuple[str, str]:
        return _n(point[0]), _n(self.height - point[1])

    def chain(self, points: Iterable[Point]) -> str:
        return " ".join(",".join(self.at(point)) for point in points)

    def element(self, shape: Shape) -> _Drawn:
        if isinstance(shape, Line):
            (x1, y1), (x2, y2) = self.at(shape.start), self.at(shape.end)
            return _Drawn("line", x1=x1, y1=y1, x2=x2, y2=y2)
        if isinstance(shape, Circle):
            x, y = self.at(shape.centre)
            return _Drawn("circle", cx=x, cy=y, r=_n(shape.radius))
        if isinstance(shape, Arc):
            return _Drawn("path", d=self.arc(shape))
        if isinstance(shape, Polyline):
            return _Drawn("polygon" if shape.closed else "polyline", points=self.chain(shape.points))
        fill = "rgb({},{},{})".format(*LAYERS[shape.layer].rgb)
        if isinstance(shape, Hatch):
            return _Drawn("polygon", points=self.chain(shape.outline), fill=fill, stroke="none")
        return self.text(shape, fill)

    def arc(self, arc: Arc) -> str:
        begin, end = (
            self.at((arc.centre[0] + arc.radius * math.cos(a), arc.centre[1] + arc.radius * math.sin(a)))
            for a in (arc.start, arc.end)
        )
        large = 1 if arc_sweep(arc) > math.pi else 0
        radius = _n(arc.radius)
        return f"M{begin[0]},{begin[1]} A{radius},{radius} 0 {large} 0 {end[0]},{end[1]}"

    def text(self, text: Text, fill: str) -> _Drawn:
        x, y = self.at(baseline(text))
        element = _Drawn("text", clean(text.text), x=x, y=y, fill=fill, stroke="none")
        values = element.values
        values["font-size"] = _n(lettering.em_size(text.height))
        # In another face it is as long.
        values["textLength"] = _n(lettering.width(text.text, text.height, text.weight))
        if text.weight != "regular":
            values["font-weight"] = str(_CSS_WEIGHT[text.weight])
        if text.across != "left":
            values["text-anchor"] = {"centre": "middle", "right": "end"}[text.across]
        if abs(text.rotation) > 1e-9:
            values["transform"] = f"rotate({_n(-math.degrees(text.rotation))} {x} {y})"
        return element

    def group(self, group: Group) -> Any:
        layer = LAYERS[group.layer]
        element = self.drawing.g(id=_id(group.view, group.layer), class_=group.layer)
        element["fill"] = "none"
        element["stroke"] = "rgb({},{},{})".format(*layer.rgb)
        element["stroke-width"] = _n(layer.width)
        element["stroke-linejoin"] = "round"
        # Round caps keep the dots of a chain on a coarse screen.
        element["stroke-linecap"] = "round"
        pattern = dashes(layer)
        if pattern:
            element["stroke-dasharray"] = ",".join(_n(part) for part in pattern)
        for shape in group.items:
            child = self.element(shape)
            if shape.tag:
                child.values["data-tag"] = clean(shape.tag)
            element.add(child)
        return element


# How letters are set; a page that shows a sheet has this rule once for all.
LETTERED = f'text{{font-family:"{FAMILY}",{_FALLBACK};font-kerning:none;white-space:pre}}'


def font_faces(letters: Mapping[Weight, str]) -> str:
    """Return the CSS of the lettering font, of each weight the letters used.

    Args:
        letters: the letters of each weight, with or without repeats.
    """
    faces = []
    for weight in WEIGHTS:
        if letters.get(weight):
            font = base64.b64encode(subset(letters[weight], weight)).decode("ascii")
            faces.append(
                f'@font-face{{font-family:"{FAMILY}";font-weight:{_CSS_WEIGHT[weight]};'
                f'src:url(data:font/ttf;base64,{font}) format("truetype")}}'
            )
    return "".join(faces)


# Texts over outlines of their letters: any face, as long as the outlines, found and marked but not seen.
_UNSEEN = f"text{{font-family:{_FALLBACK};font-kerning:none;white-space:pre;fill-opacity:0}}"


def svg_bytes(sheet: Sheet, with_letters: bool = True) -> bytes:
    """Return a sheet as an SVG file.

    Args:
        sheet: the sheet; its size in millimetres becomes the size of the file.
        with_letters: whether it carries the outlines of its letters; a page that shows the sheet has their font.

    Returns:
        UTF-8 bytes, the same for the same sheet.

    Raises:
        GeometryError: the sheet contains an item that cannot be written (see `explode.pieces`).
    """
    import svgwrite

    groups = explode(sheet)
    size = (_n(sheet.width), _n(sheet.height))
    drawing = svgwrite.Drawing(size=(f"{size[0]}mm", f"{size[1]}mm"), viewBox=f"0 0 {size[0]} {size[1]}", debug=False)
    drawing["role"] = "img"
    drawing["font-family"] = f"{FAMILY},{_FALLBACK}"
    drawing.set_desc(title=clean(sheet.title), desc=clean(sheet.description) or None)
    if with_letters:
        drawing.defs.add(drawing.style(_UNSEEN))
    drawing.add(drawing.rect(insert=("0", "0"), size=size, fill="rgb(255,255,255)", stroke="none", id="paper"))
    writer = _Writer(drawing, sheet.height)
    for view in (*sheet.views, None):
        name = SHEET if view is None else view.name
        holder = drawing.g(id=_id(name))
        if view is not None:
            holder["role"] = "group"
            holder.set_desc(title=clean(view.title), desc=clean(view.description) or None)
        for group in groups:
            if group.view == name:
                holder.add(writer.group(group))
        drawing.add(holder)
    stream = io.StringIO()
    drawing.write(stream)
    written = stream.getvalue()
    if with_letters:
        # Thousands of references, for which the writer's own elements are too slow.
        texts = [shape for group in groups for shape in group.items if isinstance(shape, Text)]
        written = f"{written.removesuffix('</svg>')}{outlined(texts, sheet.height, _n)}</svg>"
    return written.encode("utf-8")
