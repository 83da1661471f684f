"""How a line lengthens under its set tension: elastic stretch, and the bedding-in that is still to come."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import GuardLine
from geom.data import table
from geom.errors import OutsideTableError

_INCH = 25.4
_LBF = 4.4482216152605


@dataclass(frozen=True)
class Share:
    """A share of a line's length, least and most, with its source."""

    least: float
    most: float
    source: str

    @property
    def expected(self) -> float:
        """Middle of the range."""
        return (self.least + self.most) / 2.0


def stiffness(line: GuardLine) -> tuple[float, str] | None:
    """Return the pull that would double a line's length [N] and its source; None where nobody knows it.

    Source: stretch % = W G / D2 with W in lb and D in in, two wire suppliers' tables; data/wire_stretch.csv.
    """
    if line.stiffness is not None:
        return line.stiffness.ea, line.stiffness.source
    try:
        factor = table.datum("wire_stretch", construction=line.construction, quantity="stretch factor")
    except OutsideTableError:
        return None
    return 100.0 / factor.value * (line.diameter / _INCH) ** 2 * _LBF, factor.source


def elastic_share(line: GuardLine, pull: float) -> float | None:
    """Return the elastic stretch under a pull [N] as a share of the length; None where the stiffness is unknown."""
    known = stiffness(line)
    return None if known is None else pull / known[0]


def bedding_in(line: GuardLine) -> Share | None:
    """Return the bedding-in that is still to come, as shares of the length; None where nobody knows it."""
    if line.bedding_in is not None:
        told = line.bedding_in
        return Share(told.least_percent / 100.0, told.most_percent / 100.0, told.source)
    try:
        least = table.datum("wire_stretch", construction=line.construction, quantity="bedding-in least")
        most = table.datum("wire_stretch", construction=line.construction, quantity="bedding-in most")
    except OutsideTableError:
        return None
    return Share(least.value / 100.0, most.value / 100.0, most.source)
