"""Lines and fittings: material, diameter, strength, lashing gaps."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from geom.boat.model import GuardLine
from geom.data import table
from geom.frozen import frozen
from geom.placement.placed import Placed
from geom.placement.stack import closes_gap
from geom.remark import Remark
from geom.rules.finding import Measure

Kind = Literal["wire", "HMPE", "other fibre"]


@frozen
class UsedLine:
    """A line used by at least one run: its name in the boat file, kind of construction, and whether it is coated."""

    name: str
    spec: GuardLine
    kind: str
    coated: bool

    @property
    def in_inches(self) -> bool:
        """Whether its diameter is an inch size: a whole number of 1/32 in."""
        parts = self.spec.diameter / 25.4 * 32.0
        return abs(parts - round(parts)) < 1e-3

    def measure(self, quantity: str, value: float | None, unit: str = "mm", *notes: Remark) -> Measure:
        """Return a measure of this line.

        Args:
            quantity: its code, without the prefix `quantity`.
            value: in `unit` (mm where none is given), None where not determined.
            unit: of the value.
            *notes: notes on the measure.
        """
        return Measure(self.name, Remark(f"quantity.{quantity}"), value, unit, notes=notes)


def used_lines(placed: Placed, kind: Kind | None = None) -> tuple[UsedLine, ...]:
    """Return the lines used by runs, or those of one kind.

    Raises:
        OutsideTableError: a construction is not in the table.
    """
    names = dict.fromkeys(run.spec.line for run in placed.runs.values())
    found = []
    for name in names:
        spec = placed.boat.lines[name]
        row = table.row("rules/constructions", construction=spec.construction)
        if kind in (None, row["kind"]):
            found.append(UsedLine(name, spec, row["kind"], row["coated"] == "yes"))
    return tuple(found)


def stainless(line: UsedLine) -> bool | None:
    """Return whether the material of a wire is stainless steel; None where that is not stated."""
    words = line.spec.material.lower()
    if any(word in words for word in ("galvani", "carbon", "plain steel")):
        return False
    return True if any(word in words for word in ("stainless", "304", "316", "cres")) else None


def breaking_load(line: UsedLine) -> Measure:
    """Return the breaking load of a line as stated in the boat file [N]."""
    load = line.spec.breaking_load
    if load is None:
        return line.measure("breaking_load", None, "N", Remark("strength.no_breaking_load"))
    return line.measure("breaking_load", load.value, "N", Remark("strength.stated_from", source=load.source))


def lashing_gaps(placed: Placed) -> Iterator[Measure]:
    """Yield the planned gap of each lashing and rope tail [mm]."""
    for run in placed.runs.values():
        for where, part, end in (("forward", "start", run.spec.start), ("aft", "finish", run.spec.finish)):
            for name in end.fittings:
                fitting = placed.boat.fittings[name]
                if closes_gap(fitting):
                    maximum = fitting.length.max
                    notes = () if maximum is None else (Remark("lashing.let_out", max_mm=maximum),)
                    yield Measure(
                        f"{run.id}-{where}", Remark("quantity.lashing_gap"), fitting.length.planned, run=run.id,
                        notes=notes, where=Remark("place.run_end", run=run.id, end=part),
                    )  # fmt: skip


def clearances(placed: Placed) -> Iterator[tuple[Measure, float]]:
    """Yield the bore of each hole with the diameter of the line through it [mm]."""
    for hole_id, line in placed.lines_in_holes.items():
        run, hole = placed.runs[line.run], line.passage.hole
        pinched = line.on_axis is not None and line.on_axis.touches_both_lips
        notes = (Remark("lips.both_touched"),) if pinched else ()
        quantity = Remark("quantity.bore_against_line")
        yield Measure(hole_id, quantity, hole.bore, run=run.id, post=hole.post, notes=notes), placed.line(run).outside
