"""The cord of a lashing, from the boat file or common practice: one value for sheets, order and model."""

from __future__ import annotations

from geom.boat.model import Fitting
from geom.data import table
from geom.frozen import frozen
from geom.units import Mm, Ratio

_BOAT_FILE = "boat file"


@frozen
class LashingCord:
    """Diameter and length of a lashing's cord [mm], its number of turns, and the sources."""

    diameter: Mm
    turns: Ratio
    length: Mm
    source: str
    length_source: str


def lashing_cord(fitting: Fitting) -> LashingCord:
    """Return the cord of a lashing.

    Source: data/splice_practice.csv, keys lashing_cord, lashing_cord_diameter and lashing_turns, where the boat file
    does not state them.
    """
    usual = {
        key: table.datum("splice_practice", key=key)
        for key in ("lashing_cord", "lashing_cord_diameter", "lashing_turns")
    }
    stated = fitting.cord
    diameter = usual["lashing_cord_diameter"].value if stated is None else stated.diameter
    turns = usual["lashing_turns"].value if stated is None else stated.turns
    source = usual["lashing_cord_diameter"].source if stated is None else _BOAT_FILE
    if stated is None or stated.length is None:
        return LashingCord(diameter, turns, usual["lashing_cord"].value, source, usual["lashing_cord"].source)
    return LashingCord(diameter, turns, stated.length, source, _BOAT_FILE)
