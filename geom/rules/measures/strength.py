"""Strength of line ends and fittings, as stated in the boat file or by the cord of a lashing."""

from __future__ import annotations

from collections.abc import Iterator

from geom.boat.model import Fitting
from geom.data import table
from geom.data.table import datum
from geom.errors import OutsideTableError
from geom.mechanics.weakest_link import lashing_strength
from geom.placement.placed import Placed
from geom.remark import Remark, Stated
from geom.rules.finding import Limit, Measure
from geom.units import read_quantity


def weakest_wire(required: Limit, inches: bool) -> Limit:
    """Return the breaking load of the weakest wire of the diameter that a rule requires [N].

    Args:
        required: the diameter [mm], with the inch size printed beside it.
        inches: whether by the table of inch sizes, not by that of metric sizes.

    Raises:
        OutsideTableError: no table holds the size.
    """
    if inches:
        table_of, heading, size = "wire_strength", "diameter_in", required.also_printed.removesuffix(" in")
    else:
        table_of, heading, size = "wire_breaking_metric", "diameter_mm", f"{required.value:g}"
    rows = [row for row in table.rows(table_of) if row[heading] == size]
    if not rows:
        raise OutsideTableError(f"table {table_of} has no wire of {heading} {size}")
    weakest = min(rows, key=lambda row: float(row["value"]))
    load, _ = read_quantity(f"{weakest['value']} {weakest['unit']}", "force", None)
    sure = required.sure if required.sure.startswith("memory") else weakest["sure"]
    printed = Remark(
        "printed.of_required_wire", construction=weakest["construction"], source=weakest["source"],
        size=required.also_printed if inches else f"{size} mm",
    )  # fmt: skip
    return Limit(load, "N", printed, weakest["source"], sure)


def end_strengths(placed: Placed, line: str | None = None) -> Iterator[Measure]:
    """Yield the strength of each kind of end in use, or of those on one line [N]; None where not stated."""
    used = [
        end.end
        for run in placed.runs.values()
        for end in (run.spec.start, run.spec.finish)
        if line in (None, run.spec.line)
    ]
    for word in dict.fromkeys(used):
        stated = placed.boat.ends[word].strength
        says = Remark("strength.not_stated") if stated is None else stated.source
        value, note = None if stated is None else stated.value, Remark("part.says", part=word, says=says)
        where = Remark("place.named", name=word)
        yield Measure(f"end-{word}", Remark("quantity.strength_of_end"), value, "N", notes=(note,), where=where)


def fitting_strengths(placed: Placed) -> Iterator[Measure]:
    """Yield the strength of each kind of fitting in use [N]; that of a lashing by its cord where stated."""
    used = [word for run in placed.runs.values() for end in (run.spec.start, run.spec.finish) for word in end.fittings]
    for word in dict.fromkeys(used):
        value, says = _strength(placed.boat.fittings[word])
        note, where = Remark("part.says", part=word, says=says), Remark("place.named", name=word)
        yield Measure(f"fitting-{word}", Remark("quantity.strength_of_fitting"), value, "N", notes=(note,), where=where)


def _strength(fitting: Fitting) -> tuple[float | None, Stated]:
    if fitting.strength is not None:
        return fitting.strength.value, fitting.strength.source
    cord = fitting.cord
    if cord is None or cord.breaking_load is None:
        return None, Remark("strength.not_stated")
    share = datum("line_strength", key="lashing_share")
    strength = lashing_strength(cord.turns, cord.breaking_load.value, share.value)
    return strength, Remark("strength.of_lashing", turns=cord.turns, share=share.value, source=share.source)
