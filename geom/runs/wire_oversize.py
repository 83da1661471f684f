"""Wire rope is drawn to its nominal diameter or over: a hole has to clear the largest that it may be."""

from __future__ import annotations

from fractions import Fraction

from geom.boat.model import Boat
from geom.data import table
from geom.errors import OutsideTableError
from geom.runs.cut_terms import is_rope
from geom.runs.place import PlacedRun
from geom.runs.remark import Remark

_INCH = 25.4


def largest_diameter(diameter: float) -> float | None:
    """Return the largest diameter of a wire of a nominal one [mm]; None for a size that the table does not hold.

    Source: FAA Advisory Circular 43.13-1B (1998), table 7-3; data/wire_oversize.csv.
    """
    size = Fraction(round(diameter / _INCH * 64), 64)
    if abs(float(size) * _INCH - diameter) > 1e-6:
        return None
    try:
        over = table.datum("wire_oversize", diameter_in=str(size)).value
    except OutsideTableError:
        return None
    return diameter + over * _INCH


def wire_remarks(boat: Boat, run: PlacedRun) -> tuple[Remark, ...]:
    """Return the holes that a wire at its nominal diameter enters and at its largest does not."""
    line = boat.lines[run.told.line]
    largest = None if is_rope(line) or not line.construction.endswith("wire") else largest_diameter(line.diameter)
    if largest is None:
        return ()
    source = "FAA Advisory Circular 43.13-1B (1998), table 7-3"
    return tuple(
        Remark(
            "wire-oversize", "notice", run.id, passage.hole.id,
            f"{passage.hole.id}: the wire may be {largest:.2f} mm thick and the bore is {passage.hole.bore:.2f} mm",
            passage.hole.bore, largest, "mm", source,
        )
        for passage in run.passages
        if passage.hole.bore < largest
    )  # fmt: skip
