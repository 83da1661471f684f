"""Field types of a boat file: text with units is read to plain floats in mm, rad, N, MPa and g."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from geom.units import HELD_IN, QuantityError, example_of_kind, in_unit, read_number, read_quantity


class Scalar(str):
    """One scalar of a file as its exact text, with its line."""

    __slots__ = ("line",)
    line: int

    def __new__(cls, text: str, line: int) -> Scalar:
        """Return the text with its line."""
        scalar = str.__new__(cls, text)
        scalar.line = line
        return scalar


@dataclass(frozen=True)
class Echo:
    """A quantity given in another unit than the file's own: text as read, value in `unit` (mm or rad)."""

    line: int
    text: str
    value: float
    unit: str


@dataclass(frozen=True)
class Kind:
    """What a quantity of a boat file is: length, angle, force, stress, mass, or mass per length."""

    name: str


@dataclass
class Reading:
    """Context of reading a file: the units it declares, and the quantities met in other units."""

    bare_units: dict[str, str]
    echoes: list[Echo] = field(default_factory=list)


def _quantity(kind: str) -> Any:
    def read(value: Any, info: ValidationInfo) -> Any:
        if not isinstance(value, str):
            if isinstance(value, (int, float)) and not isinstance(value, bool):
                return value
            article = "an" if kind[0] in "aeiou" else "a"
            raise ValueError(f"expected {article} {kind} | one value such as {example_of_kind(kind)}")
        reading: Reading = info.context or Reading({})
        bare_unit = reading.bare_units.get(kind)
        try:
            held, unit = read_quantity(value, kind, bare_unit)
        except QuantityError as error:
            raise ValueError(f"{error} | {error.valid}") from None
        if bare_unit is None or bare_unit == unit or not isinstance(value, Scalar):
            return held
        if in_unit(1.0, unit, kind) != in_unit(1.0, bare_unit, kind):
            reading.echoes.append(Echo(value.line, str(value), held, HELD_IN[kind]))
        return held

    schema = {
        "anyOf": [{"type": "number"}, {"type": "string"}],
        "description": f"{kind}: text with a unit, or a bare number in the file's declared unit",
    }
    return Annotated[float, BeforeValidator(read), WithJsonSchema(schema), Kind(kind)]


def _read_count(value: Any) -> Any:
    if isinstance(value, str):
        number = read_number(value)
        if number is None:
            raise ValueError("expected a plain number | digits such as 0.1 or 12")
        return number
    return value


if TYPE_CHECKING:
    Length = float
    Angle = float
    Force = float
    Stress = float
    Mass = float
    MassPerLength = float
    Number = float
else:
    Length = _quantity("length")
    Angle = _quantity("angle")
    Force = _quantity("force")
    Stress = _quantity("stress")
    Mass = _quantity("mass")
    MassPerLength = _quantity("mass per length")
    Number = Annotated[
        float, BeforeValidator(_read_count), WithJsonSchema({"type": "number", "description": "a plain number"})
    ]
Point = tuple[Length, Length, Length]
