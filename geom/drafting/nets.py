"""Nets as they are drawn under lines and lettering: square meshes, lightly."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.figure import Hatch, Item, Point
from geom.placement.nets import PlacedNet

_PITCH = 2.5


def meshes(net: PlacedNet, across: int, up: int, turn: float = 1.0) -> Iterator[Item]:
    """Yield the meshes of a net in a view, each bay of netting for itself.

    Args:
        net: the net.
        across: index of the coordinate that runs along the paper.
        up: index of the coordinate that runs up it.
        turn: -1 where the first runs to the left.
    """
    for number, outline in enumerate(net.outlines, start=1):
        corners: tuple[Point, ...] = tuple((turn * point[across], point[up]) for point in outline)
        for angle in (math.pi / 4.0, -math.pi / 4.0):
            yield Hatch(corners, "UNDERLAY", _PITCH, angle, tag=f"net:{net.id}:{number}")
