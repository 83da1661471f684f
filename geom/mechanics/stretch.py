"""Elongation of a line under its set tension: elastic stretch and remaining bedding-in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import GuardLine
from geom.data.table import Datum, datum, known_datum
from geom.frozen import frozen
from geom.remark import Remark, Stated

_INCH = 25.4
_LBF = 4.4482216152605


@dataclass(frozen=True)
class Strain:
    """A strain, minimum and maximum (dimensionless), with its source."""

    minimum: float
    maximum: float
    source: str

    @property
    def expected(self) -> float:
        """Mean of minimum and maximum (dimensionless ratio)."""
        return (self.minimum + self.maximum) / 2.0


def stiffness(line: GuardLine) -> tuple[float, str] | None:
    """Return the axial stiffness EA of a line [N] and its source; None where not known.

    Source: stretch % = W G / D2 with W in lb and D in in, two wire suppliers' tables; data/wire_stretch.csv.
    """
    if line.stiffness is not None:
        return line.stiffness.ea, line.stiffness.source
    factor = known_datum("wire_stretch", construction=line.construction, quantity="stretch factor")
    if factor is None:
        return None
    return 100.0 / factor.value * (line.diameter / _INCH) ** 2 * _LBF, factor.source


def elastic_strain(line: GuardLine, pull: float) -> float | None:
    """Return the elastic strain under a pull [N], as a ratio of lengths; None where the stiffness is not known."""
    known = stiffness(line)
    return None if known is None else pull / known[0]


def bedding_in(line: GuardLine) -> Strain | None:
    """Return the remaining bedding-in as a strain; None where not known."""
    if line.bedding_in is not None:
        stated = line.bedding_in
        return Strain(stated.min_percent / 100.0, stated.max_percent / 100.0, stated.source)
    minimum = known_datum("wire_stretch", construction=line.construction, quantity="min bedding-in")
    maximum = known_datum("wire_stretch", construction=line.construction, quantity="max bedding-in")
    if minimum is None or maximum is None:
        return None
    return Strain(minimum.value / 100.0, maximum.value / 100.0, maximum.source)


@frozen
class Stiffness:
    """Axial stiffness EA of a line, minimum and maximum [N], with its source and confidence."""

    minimum: float
    maximum: float
    source: Stated
    sure: Stated

    @property
    def mean(self) -> float:
        """Mean of minimum and maximum [N]."""
        return 0.5 * (self.minimum + self.maximum)


def stiffness_range(line: GuardLine) -> Stiffness | None:
    """Return the axial stiffness of a line; None where not known.

    It is as stated in the boat file; else for wire between the stretch tables and the European trade modulus; else for
    rope a multiple of the stated breaking load.
    Source: data/wire_stretch.csv and data/elasticity.csv.
    """
    known = stiffness(line)
    if line.stiffness is not None and known is not None:
        return Stiffness(known[0], known[0], known[1], Remark("source.boat_file"))
    minimum, maximum = _row(line, "low"), _row(line, "high")
    if known is not None and minimum is not None:
        other = minimum.value * 0.25 * math.pi * line.diameter**2
        pair = sorted((other, known[0]))
        return Stiffness(pair[0], pair[1], _both(known[1], minimum.source), _both("found", minimum.sure))
    if known is not None:
        return Stiffness(known[0], known[0], known[1], "found")
    if minimum is None or maximum is None or minimum.unit != "-" or line.breaking_load is None:
        return None
    load = line.breaking_load.value
    return Stiffness(minimum.value * load, maximum.value * load, _both(minimum.source, maximum.source), minimum.sure)


def _both(first: str, second: str) -> Remark:
    return Remark("source.both", sources=(first, second))


def _row(line: GuardLine, bound: str) -> Datum | None:
    return known_datum("elasticity", construction=line.construction, bound=bound)


def bedding_slack(line: GuardLine, length: float) -> tuple[float, float] | None:
    """Return the slack from the remaining bedding-in, minimum and maximum [mm]; None where not known.

    Args:
        line: the rope or wire.
        length: of the line between its ends [mm].
    """
    share = bedding_in(line)
    return None if share is None else (share.minimum * length, share.maximum * length)


def thermal_slack(line_material: str, hull_material: str, length: float, temperature_rise: float) -> float:
    """Return the slack from a change of temperature of a line on a hull of another material [mm].

    Source: data/expansion.csv.

    Args:
        line_material: material in the table, such as `stainless wire`.
        hull_material: material in the table, such as `aluminium hull`.
        length: of the run [mm].
        temperature_rise: of line and hull since the line was set, negative for a fall [K].

    Raises:
        OutsideTableError: a material is not in the table.
    """
    line = datum("expansion", material=line_material).value
    hull = datum("expansion", material=hull_material).value
    return (line - hull) * temperature_rise * length
