"""Full-size pages read by their tags, and their PDF by an independent reader."""

from __future__ import annotations

import io
import math
from functools import cache

import pdfplumber

from geom.figure import Line, Polyline, View
from geom.render.pdf import pdf_bytes
from tests.made import aids_of as sets_of
from tests.session import made

MM = 25.4 / 72.0


@cache
def pages_of(boat: str, name: str):
    """Return size, strokes of two points [mm from the page's lower left corner] and letters of each page."""
    return made(f"pages {boat} {name}", lambda: _pages(boat, name))


def _pages(boat: str, name: str):
    with pdfplumber.open(io.BytesIO(pdf_bytes(sets_of(boat)[name], "t"))) as pdf:
        found = []
        for page in pdf.pages:
            strokes = [tuple((x * MM, (float(page.height) - y) * MM) for x, y in line["pts"]) for line in page.lines]
            found.append((float(page.width) * MM, float(page.height) * MM, strokes, page.extract_text()))
        return found


def lines_of(view: View, tag: str) -> list[Line]:
    return [item for item in view.items if isinstance(item, Line) and item.tag.startswith(tag)]


def outlines_of(view: View, tag: str) -> list[Polyline]:
    return [item for item in view.items if isinstance(item, Polyline) and item.tag.startswith(tag)]


def on_page(strokes, start, end, within: float = 1e-3) -> bool:
    """Tell whether a page has a stroke between two points, either way round."""
    return any(
        (math.dist(a, start) < within and math.dist(b, end) < within)
        or (math.dist(b, start) < within and math.dist(a, end) < within)
        for a, b in strokes
    )
