"""Comparison of lines for the same runs: strength, stretch, mass, cost, eyes, service life, notices."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Boat, GuardLine
from geom.data import table
from geom.errors import Fault, InputError, OutsideTableError
from geom.mechanics.stretch import elastic_strain
from geom.mechanics.tension import max_by_hand
from geom.placement.eyes import ORDER, Verdict, bare_eye, limits
from geom.placement.place import PlacedRun
from geom.purchasing.order import mass_per_metre
from geom.remark import Remark
from geom.rigging.lengths import is_rope
from geom.rigging.strength import Link, line_strength
from geom.units import Gram, Mm, Money, Years


@dataclass(frozen=True)
class LineOption:
    """One line for all runs compared; None where not known.

    `stretch` is that of the total length at the highest set tension by hand [mm], `mass` [g] and `cost` are for the
    total path, `eye` is the worst verdict of a bare eye in the holes of the runs, for wire that of the bare line.
    `service_years` are minimum and maximum.
    """

    line: str
    construction: str
    diameter: Mm
    strength: Link
    stretch: Mm | None
    mass: Gram | None
    cost: Money | None
    eye: Verdict | None
    worst_hole: str
    service_years: tuple[Years, Years | None] | None
    notices: tuple[Remark, ...]


def compare_lines(boat: Boat, runs: tuple[PlacedRun, ...], names: tuple[str, ...]) -> tuple[LineOption, ...]:
    """Return the lines to compare, in the order of their names.

    Args:
        boat: the boat file.
        runs: the runs on which they are compared.
        names: names of lines in the boat file.

    Raises:
        InputError: a name is not that of a line in the boat file.
    """
    unknown = [name for name in names if name not in boat.lines]
    if unknown:
        faults = [Fault("no such line", "compare", read=name, valid=", ".join(boat.lines)) for name in unknown]
        raise InputError("compare", faults)
    return tuple(_option(boat, runs, name, boat.lines[name]) for name in names)


def _option(boat: Boat, runs: tuple[PlacedRun, ...], name: str, line: GuardLine) -> LineOption:
    length = math.fsum(run.path for run in runs)
    strain = elastic_strain(line, max_by_hand().value)
    per_metre = mass_per_metre(line)
    eye, hole = _worst_eye(boat, runs, line)
    return LineOption(
        line=name,
        construction=line.construction,
        diameter=line.diameter,
        strength=line_strength(line),
        stretch=None if strain is None else strain * length,
        mass=None if per_metre is None else per_metre * length / 1000.0,
        cost=None if line.price_per_m is None else line.price_per_m * length / 1000.0,
        eye=eye,
        worst_hole=hole,
        service_years=_service(line),
        notices=_notices(line),
    )


def _worst_eye(boat: Boat, runs: tuple[PlacedRun, ...], line: GuardLine) -> tuple[Verdict | None, str]:
    rule = limits(boat.eye_factors)
    worst: tuple[Verdict | None, str] = (None, "")
    for run in runs:
        for passage in run.passages:
            bore = passage.hole.bore
            if is_rope(line):
                verdict = bare_eye(bore, line.diameter, rule).verdict
            else:
                verdict = "passes" if bore + rule.tolerance >= line.diameter else "line does not pass"
            if worst[0] is None or ORDER.index(verdict) > ORDER.index(worst[0]):
                worst = (verdict, passage.hole.id)
    return worst


def _service(line: GuardLine) -> tuple[float, float | None] | None:
    try:
        minimum = table.datum("service_life", material=line.material, quantity="min").value
    except OutsideTableError:
        return None
    try:
        return minimum, table.datum("service_life", material=line.material, quantity="max").value
    except OutsideTableError:
        return minimum, None


def _notices(line: GuardLine) -> tuple[Remark, ...]:
    found = []
    if is_rope(line):
        found.append(Remark("option.rope_by_rule"))
    if line.construction.startswith("coated"):
        found.append(Remark("option.coated_wire"))
    if line.breaking_load is None:
        found.append(Remark("option.no_breaking_load"))
    return tuple(found)
