"""Sizes that no guard line has: mostly another unit than meant, and nothing that a sheet could hold.

Source of the limits: data/file_limits.csv.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from geom.boat.faults import LocatedFault
from geom.boat.model import Boat, GuardLine
from geom.boat.tree import Location
from geom.data import table


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield sizes outside the limits of a boat file, braids and eyes that cannot be made."""
    for row in table.rows("file_limits"):
        low, high = float(row["min"]), float(row["max"])
        for place, value in _values(boat, row["key"].split("."), ()):
            if not low <= value <= high:
                advice = "; check its unit" if row["unit"] else ""
                message = f"implausibly {'small' if value < low else 'large'}{advice}"
                valid = f"{low:.10g} to {high:.10g} {row['unit']}".rstrip()
                yield LocatedFault(place, message, valid=valid)
    for name, line in boat.lines.items():
        # Fewer strands than eight make no hollow braid; common practice, no source.
        if line.strands is not None and (line.strands < 8 or line.strands != int(line.strands) or line.strands % 2):
            yield LocatedFault(("lines", name, "strands"), "not a hollow braid", valid="an even number: 8, 12 or 16")
    yield from _eyes(boat)


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
            valid = f"at least {2.0 * made.throat_to_pin:g} mm, twice `throat_to_pin`"
            yield LocatedFault(place, "shorter than the eye there and back", valid=valid)
        # Half a turn of the line's axis round a pin of the line's own thickness.
        elif name in thickest and made.eye_girth < math.pi * thickest[name].diameter:
            valid = f"at least {math.pi * thickest[name].diameter:.1f} mm"
            yield LocatedFault(place, "shorter than half a turn round a pin as thick as the line", valid=valid)


def _values(node: Any, keys: list[str], place: Location) -> Iterator[tuple[Location, float]]:
    """Yield every number of a boat at a dotted key, `*` for each entry, with its location."""
    if node is None:
        return
    if not keys:
        yield place, float(node)
        return
    key, *rest = keys
    if key != "*":
        yield from _values(getattr(node, key), rest, (*place, key))
    elif isinstance(node, Mapping):
        for name, inner in node.items():
            yield from _values(inner, rest, (*place, name))
    else:
        for index, inner in enumerate(node):
            yield from _values(inner, rest, (*place, index))
