"""Sizes that no guard line has, mostly through a wrong unit, and that no sheet could show.

Source of the limits: data/file_limits.csv.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from geom.boat.faults import LocatedFault, in_file_unit
from geom.boat.model import Boat, GuardLine, LineEnd
from geom.boat.tree import Location
from geom.data import table

# Lengths of a file are stated to this [mm].
_ROUNDING = 0.051


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield sizes outside the limits of a boat file, braids and eyes that cannot be made."""
    for keys, low, high, unit in _limits():
        for place, value in _values(boat, keys):
            if not low <= value <= high:
                advice = "; check its unit" if unit else ""
                message = f"implausibly {'small' if value < low else 'large'}{advice}"
                valid = f"{low:.10g} to {high:.10g} {unit}".rstrip()
                yield LocatedFault(place, message, valid=valid)
    for name, line in boat.lines.items():
        # Fewer strands than eight make no hollow braid; common practice, no source.
        if line.strands is not None and (line.strands < 8 or line.strands != int(line.strands) or line.strands % 2):
            yield LocatedFault(("lines", name, "strands"), "not a hollow braid", valid="an even number: 8, 12 or 16")
        if line.over_coating is not None:
            place = ("lines", name, "over_coating")
            if not line.coated:
                yield LocatedFault(place, f"{line.construction} has no coating", valid="with coated wire")
            elif line.over_coating <= line.diameter:
                valid = f"over {in_file_unit(line.diameter, boat)}"
                yield LocatedFault(place, "no larger than the wire in it", valid=valid)
    yield from _eyes(boat)
    yield from _wire_ends(boat)


@cache
def _limits() -> tuple[tuple[tuple[str, ...], float, float, str], ...]:
    """Return the keys of each limited size, its minimum, its maximum and their unit."""
    rows = table.rows("file_limits")
    return tuple((tuple(row["key"].split(".")), float(row["min"]), float(row["max"]), row["unit"]) for row in rows)


def _eyes(boat: Boat) -> Iterator[LocatedFault]:
    """Yield eyes whose line is shorter than its way round them."""
    thickest: dict[str, GuardLine] = {}
    for run in boat.runs:
        for end in (run.start, run.finish):
            line = boat.lines.get(run.line)
            if line is not None and (end.end not in thickest or thickest[end.end].diameter < line.diameter):
                thickest[end.end] = line
    for name, made in boat.ends.items():
        if made.eye_girth is None:
            continue
        place: Location = ("ends", name, "eye_girth")
        if made.throat_to_pin is not None and made.eye_girth < 2.0 * made.throat_to_pin:
            valid = f"at least {in_file_unit(2.0 * made.throat_to_pin, boat)}, twice `throat_to_pin`"
            yield LocatedFault(place, "shorter than the eye there and back", valid=valid)
        # Half a turn of the line's axis round a pin of the line's own thickness.
        elif name in thickest and made.eye_girth < math.pi * thickest[name].diameter:
            valid = f"at least {in_file_unit(round(math.pi * thickest[name].diameter, 1), boat)}"
            yield LocatedFault(place, "shorter than half a turn round a pin as thick as the line", valid=valid)


def _wire_ends(boat: Boat) -> Iterator[LocatedFault]:
    """Yield keys of wire ends that their family does not have, and diameters or lengths that contradict each other."""
    kinds = {row["family"]: row["kind"] for row in table.rows("end_families")}
    for name, made in boat.ends.items():
        kind, place = kinds.get(made.family), ("ends", name)
        for key, value, has in (
            ("insertion", made.insertion, ("terminal",)),
            ("swage", made.swage, ("terminal", "wire eye")),
            ("tail", made.tail, ("wire eye",)),
        ):
            if value is not None and kind is not None and kind not in has:
                valid = ", ".join(family for family, known in kinds.items() if known in has)
                yield LocatedFault((*place, key), f"a {made.family} has none", valid=f"with {valid}")
        if made.swage is not None:
            yield from _swage(boat, made, place)
        if made.rigid_length is not None and made.insertion is not None and made.deduction is not None:
            whole = made.deduction + made.insertion
            if made.rigid_length < whole - _ROUNDING:
                valid = f"at least {in_file_unit(whole, boat)}, `deduction` and `insertion` together"
                yield LocatedFault((*place, "rigid_length"), "shorter than from bearing point to mouth", valid=valid)


def _swage(boat: Boat, made: LineEnd, place: Location) -> Iterator[LocatedFault]:
    """Yield diameters of a swage that are not in order: NO GO, GO, before, and GO within the end's own width."""
    swage = made.swage
    assert swage is not None
    go = in_file_unit(swage.go, boat)
    if swage.before is not None and swage.before <= swage.go:
        yield LocatedFault((*place, "swage", "before"), "no larger than GO", valid=f"over {go}")
    if swage.no_go is not None and swage.no_go >= swage.go:
        yield LocatedFault((*place, "swage", "no_go"), "no smaller than GO", valid=f"under {go}")
    if made.width is not None and made.width < swage.go - _ROUNDING:
        valid = f"at least {go}, its shank after swaging"
        yield LocatedFault((*place, "width"), "narrower than its own shank", valid=valid)


def _values(boat: Boat, keys: tuple[str, ...]) -> list[tuple[Location, float]]:
    """Return every number of a boat at a dotted key, `*` for each entry, with its location."""
    found: list[tuple[Location, Any]] = [((), boat)]
    for key in keys:
        if key == "*":
            found = [((*place, name), inner) for place, node in found for name, inner in _entries(node)]
        else:
            found = [((*place, key), getattr(node, key)) for place, node in found]
        found = [(place, node) for place, node in found if node is not None]
    return found


def _entries(node: Any) -> Iterable[tuple[str | int, Any]]:
    return node.items() if isinstance(node, dict) else enumerate(node)
