"""The families of fittings and their size tables: a new size is a block of rows, a new family one line here."""

from __future__ import annotations

import math
from dataclasses import fields

from geom.data.table import Datum, rows
from geom.errors import OutsideTableError
from geom.parts.families.base import BaseSpec
from geom.parts.families.bush import BushSpec
from geom.parts.families.cap import CapSpec
from geom.parts.families.eyes import EyeStudSpec, GateEyeSpec, RailEyeSpec
from geom.parts.families.gate_hook import HookBodySpec, HookLeverSpec, RivetSpec
from geom.parts.families.post import PostSpec
from geom.parts.families.rope_ends import LashingSpec, SoftEyeSpec, StopKnotSpec
from geom.parts.families.shackle import PinSpec, ShackleSpec
from geom.parts.families.sleeve import SleeveSpec
from geom.parts.families.terminals import (
    CompressionTerminalSpec,
    SwagedStudSpec,
    TerminalEyeSpec,
    TerminalForkSpec,
)
from geom.parts.families.thimble import ThimbleSpec
from geom.parts.families.toggle import ToggleSpec
from geom.parts.families.turnbuckle import TurnbuckleSpec
from geom.parts.part import Part

# Table in data/parts -> family. The rail is left out: its sizes are points of one boat.
FAMILIES: dict[str, type[Part]] = {
    "post": PostSpec,
    "cap": CapSpec,
    "base": BaseSpec,
    "bush": BushSpec,
    "rail_eye": RailEyeSpec,
    "eye_stud": EyeStudSpec,
    "gate_eye": GateEyeSpec,
    "shackle": ShackleSpec,
    "pin": PinSpec,
    "toggle": ToggleSpec,
    "thimble": ThimbleSpec,
    "turnbuckle": TurnbuckleSpec,
    "swaged_stud": SwagedStudSpec,
    "compression_terminal": CompressionTerminalSpec,
    "terminal_eye": TerminalEyeSpec,
    "terminal_fork": TerminalForkSpec,
    "gate_hook_body": HookBodySpec,
    "gate_hook_lever": HookLeverSpec,
    "rivet": RivetSpec,
    "stop_knot": StopKnotSpec,
    "soft_eye": SoftEyeSpec,
    "lashing": LashingSpec,
    "sleeve": SleeveSpec,
}
# Unit word of a row -> factor to mm or rad; counts stay as they are.
_FACTORS = {"mm": 1.0, "in": 25.4, "deg": math.pi / 180.0, "turns": 1.0}


def sizes(table: str) -> tuple[str, ...]:
    """Return the names of the sizes of a family, in the order of its table."""
    return tuple(dict.fromkeys(row["size"] for row in rows(f"parts/{table}")))


def data_of(table: str, size: str) -> dict[str, Datum]:
    """Return the rows of one size by dimension, each with its source and confidence.

    Raises:
        OutsideTableError: the table has no such size.
    """
    found = {
        row["dimension"]: Datum(
            value=float(row["value"]),
            unit=row["unit"],
            source=row["source"],
            edition=row["edition"],
            clause_or_page=row["clause_or_page"],
            sure=row["sure"],
        )
        for row in rows(f"parts/{table}")
        if row["size"] == size
    }
    if not found:
        raise OutsideTableError(f"table parts/{table} has no size {size!r}: it has {', '.join(sizes(table))}")
    return found


def to_mm(datum: Datum) -> float:
    """Return the value of a size row in internal units [mm or rad]; a count is unchanged."""
    return datum.value * _FACTORS[datum.unit]


def part(table: str, size: str, **changes: float) -> Part:
    """Return a fitting of a listed size.

    Args:
        table: a key of FAMILIES.
        size: one of sizes(table).
        changes: sizes that differ from the listed ones, by field name [mm, rad].

    Raises:
        OutsideTableError: there is no such family or size.
        GeometryError: the sizes are impossible.
    """
    if table not in FAMILIES:
        raise OutsideTableError(f"there is no family {table!r}: there are {', '.join(FAMILIES)}")
    family = FAMILIES[table]
    whole = {field.name for field in fields(family) if field.type == "int"}  # type: ignore[arg-type]
    values: dict[str, float] = {}
    for dimension, datum in data_of(table, size).items():
        name = dimension.replace(" ", "_")
        value = to_mm(datum)
        values[name] = int(value) if name in whole else value
    return family(**{**values, **changes})
