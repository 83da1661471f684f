"""How stiff a line is, as a range with its sources, and the slack that bedding-in and warmth give it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import GuardLine
from geom.data.table import Datum, datum
from geom.errors import OutsideTableError
from geom.runs.stretch import bedding_in, stiffness


@dataclass(frozen=True)
class Stiffness:
    """Axial stiffness EA of a line, least and most [N], with where it was read and how sure that is."""

    least: float
    most: float
    source: str
    sure: str

    @property
    def middle(self) -> float:
        """Middle of the range [N]."""
        return 0.5 * (self.least + self.most)


def stiffness_range(line: GuardLine) -> Stiffness | None:
    """Return a line's EA; None where nobody knows it: then nothing is worked out from it.

    As the file tells it; else for wire between the stretch tables and the European trade modulus; else
    for rope as a multiple of the breaking load that the file gives.
    """
    known = stiffness(line)
    if line.stiffness is not None and known is not None:
        return Stiffness(known[0], known[0], known[1], "told by the boat file")
    least, most = _row(line, "low"), _row(line, "high")
    if known is not None and least is not None:
        other = least.value * 0.25 * math.pi * line.diameter**2
        pair = sorted((other, known[0]))
        return Stiffness(pair[0], pair[1], f"{known[1]}; {least.source}", f"found; {least.sure}")
    if known is not None:
        return Stiffness(known[0], known[0], known[1], "found")
    if least is None or most is None or least.unit != "-" or line.breaking_load is None:
        return None
    load = line.breaking_load.value
    return Stiffness(least.value * load, most.value * load, f"{least.source}; {most.source}", least.sure)


def _row(line: GuardLine, bound: str) -> Datum | None:
    try:
        return datum("elasticity", construction=line.construction, bound=bound)
    except OutsideTableError:
        return None


def bedding_slack(line: GuardLine, length: float) -> tuple[float, float] | None:
    """Return the slack that bedding-in still has to give [mm], least and most; None where nobody knows it.

    Args:
        line: the rope or wire.
        length: of the line between its ends [mm].
    """
    share = bedding_in(line)
    return None if share is None else (share.least * length, share.most * length)


def warmth_slack(line_material: str, hull_material: str, length: float, warmer: float) -> float:
    """Return the slack that a change of temperature gives a line on a hull of another material [mm].

    Args:
        line_material: word of data/expansion.csv, such as `stainless wire`.
        hull_material: word of the same table, such as `aluminium hull`.
        length: of the run [mm].
        warmer: rise of temperature of both since the line was set [K]; negative for a fall.

    Raises:
        OutsideTableError: a material is not in the table.
    """
    line = datum("expansion", material=line_material).value
    hull = datum("expansion", material=hull_material).value
    return (line - hull) * warmer * length
