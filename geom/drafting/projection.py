"""First- and third-angle projection: the symbol in the title block, and the position of a view."""

from __future__ import annotations

from typing import Literal

from geom.figure import Circle, Item, Line, Point, Polyline

Projection = Literal["first", "third"]
# Source: ISO 5456-2:1996 annex A (cone of diameters h and 2h, 2h long, gap h, lines h/10), from memory, verify.
HEIGHT = 2.5
_BEYOND = 0.8
WIDTH = 5.0 * HEIGHT + 2.0 * _BEYOND


def projection_symbol(centre: Point, projection: Projection) -> tuple[Item, ...]:
    """Return the symbol of a projection method: a truncated cone from the side and from its small end.

    In first angle the end view is at the right of the cone, in third angle at its left; the small end
    is at the cone's left in both.

    Args:
        centre: centre of the symbol [paper mm].
        projection: the method.
    """
    h, tag = HEIGHT, f"projection:{projection}"
    left, y = centre[0] - 2.5 * h, centre[1]
    cone, ends = (left, left + 4.0 * h) if projection == "first" else (left + 3.0 * h, left + h)
    corners = ((cone, y - 0.5 * h), (cone + 2.0 * h, y - h), (cone + 2.0 * h, y + h), (cone, y + 0.5 * h))
    reach = h + _BEYOND
    return (
        Polyline(corners, "THIN", closed=True, tag=tag),
        Line((cone - _BEYOND, y), (cone + 2.0 * h + _BEYOND, y), "CENTRE"),
        Circle((ends, y), 0.5 * h, "THIN", tag),
        Circle((ends, y), h, "THIN", tag),
        Line((ends - reach, y), (ends + reach, y), "CENTRE"),
        Line((ends, y - reach), (ends, y + reach), "CENTRE"),
    )
