"""Fabrication tolerances: of a post against its card, and of a drilled hole."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.data import table
from geom.errors import OutsideTableError


@dataclass(frozen=True)
class ShopLimits:
    """Plus-or-minus tolerances of tube length and hole position [mm], clocking and tube to plate [rad].

    `edge_radius` is the minimum radius of a hole's edges [mm], `polish` their finish as a grit number; `drain` are the
    least and the largest diameter of a drain hole, `pad_thickness` the least of a pad under a base [mm].
    """

    tube_length: float
    hole_position: float
    clocking: float
    tube_to_plate: float
    edge_radius: float
    polish: float
    drain: tuple[float, float]
    pad_thickness: float
    pad_source: str
    source: str


def shop_limits() -> ShopLimits:
    """Return the tolerances printed on the cards.

    Source: common practice, no source.
    """

    def value(key: str) -> float:
        return table.datum("shop_limits", key=key).value

    return ShopLimits(
        tube_length=value("tube length"),
        hole_position=value("hole position"),
        clocking=math.radians(value("clocking")),
        tube_to_plate=math.radians(value("tube to plate")),
        edge_radius=value("edge radius"),
        polish=value("polish"),
        drain=(value("drain hole, least"), value("drain hole, largest")),
        pad_thickness=value("pad thickness"),
        pad_source=table.datum("shop_limits", key="pad thickness").source.partition(":")[0],
        source=table.datum("shop_limits", key="clocking").sure,
    )


def h13(diameter: float) -> float:
    """Return the upper deviation of an H13 hole [mm]; the lower deviation is zero.

    Source: ISO 286-1:2010 table 1, IT13, read second hand.

    Args:
        diameter: nominal size [mm].

    Raises:
        OutsideTableError: the size is outside the table.
    """
    for row in table.rows("iso_286_h13"):
        if float(row["over"]) < diameter <= float(row["up_to"]):
            return float(row["value"])
    raise OutsideTableError(f"no H13 deviation in the table for a hole of {diameter:g} mm (over 1 up to 50 mm)")
