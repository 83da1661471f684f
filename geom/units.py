"""Text with units to plain floats and back; the only module that uses pint.

Inside the program lengths are millimetres, forces newtons, stresses megapascals, angles radians.
The grammar of a number is ours; pint sees only the unit word, once for each word, and no word that data/units.txt
defines as a plain factor.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Annotated

if TYPE_CHECKING:
    import pint


@dataclass(frozen=True)
class Unit:
    """The unit in which a value leaves the program: its ending in a key, its symbol, how many of it the held unit is.

    An empty ending is of a plain number: a ratio, money, or a value whose unit stands beside it.
    """

    ending: str = ""
    symbol: str = ""
    factor: float = 1.0


MM = Unit("mm", "mm")
SQUARE_METRE = Unit("m2", "m2", 1e-6)
DEG = Unit("deg", "deg", 180.0 / math.pi)
NEWTON = Unit("n", "N")
NEWTON_METRE = Unit("nm", "N m", 1e-3)
MEGAPASCAL = Unit("mpa", "MPa")
GRAM = Unit("g", "g")
YEAR = Unit("years", "years")
RATIO = Unit()
CURRENCY = Unit()
STATED = Unit()

# What a float is held in, on the fields of results: the annotation carries the unit that it leaves in.
Mm = Annotated[float, MM]
Mm2 = Annotated[float, SQUARE_METRE]
Rad = Annotated[float, DEG]
N = Annotated[float, NEWTON]
NMm = Annotated[float, NEWTON_METRE]
MPa = Annotated[float, MEGAPASCAL]
Gram = Annotated[float, GRAM]
Years = Annotated[float, YEAR]
Ratio = Annotated[float, RATIO]
Money = Annotated[float, CURRENCY]
# In the unit that its object names beside it.
InItsUnit = Annotated[float, STATED]


@dataclass(frozen=True)
class LengthFormat:
    """Format of lengths: unit word, millimetres per unit, decimals."""

    unit: str = "mm"
    mm: float = 1.0
    decimals: int = 1

    def figure(self, value: Mm, decimals: int | None = None) -> str:
        """Return a length as a figure of the drawing, without its unit, `609.0` or `.39`.

        Args:
            value: the length [mm].
            decimals: where they are not those of the format.
        """
        return without_zero(decimal(value / self.mm, self.decimals if decimals is None else decimals), self.unit)

    def gauge(self, value: Mm) -> str:
        """Return a size that is gauged as a figure: to a hundredth of a millimetre, or to a thousandth of an inch.

        Args:
            value: the size [mm].
        """
        return self.figure(value, 2 if self.unit == "mm" else 3)


# Rounding tolerance of the arithmetic [any unit]: 600 mm converted from inches is 600 mm.
ROUNDING = 1e-6
# Largest number of additional decimals that tell two values apart: the rounding tolerance in metres.
_MAX_MORE = 9

# Kind of quantity -> its unit inside the program.
HELD_IN = {
    "length": "mm",
    "angle": "rad",
    "mass": "g",
    "force": "N",
    "stress": "MPa",
    "mass per length": "g/m",
    "temperature": "K",
}
# Kind of quantity -> valid ones, for messages.
_EXAMPLES = {"length": "615 mm, 1/2 in, 6 ft 2 1/2 in", "angle": "2.5 deg", "force": "350 N, 25 kN"}
# Marks used as a unit after a number, with the unit's word.
_MARKS = {'"': "in", "'": "ft", "°": "deg", "″": "in", "′": "ft"}
_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_PAIR = re.compile(rf"\s*({_NUMBER})\s*([A-Za-z]+(?:/[A-Za-z]+)?|[\"'°″′])", re.ASCII)
# Fractions of one letter, the halves to eighths of the Unicode standard.
_FRACTIONS = {"\u00bd": "1/2", "\u00bc": "1/4", "\u00be": "3/4", "\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8",
              "\u215e": "7/8"}  # fmt: skip
_FOOT_HYPHEN = re.compile(r"(\d\s*(?:'|\u2032|ft))\s*-\s*(?=\d)")
_POWER = re.compile(r"\d[eE][+-]?\d", re.ASCII)
_FIGURE = re.compile(r"[+-]?\d+(?:\.\d+)?", re.ASCII)
_BARE = re.compile(rf"\s*({_NUMBER})\s*", re.ASCII)


class QuantityError(ValueError):
    """A text that is not a quantity of the expected kind; `valid` is the description of a valid one."""

    def __init__(self, message: str, valid: str) -> None:
        self.valid = valid
        super().__init__(message)


def _definitions() -> list[str]:
    text = resources.files("geom").joinpath("data/units.txt").read_text("utf-8")
    return [line for line in text.splitlines() if line and not line.startswith("#")]


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None, cache_folder=None)
    registry.load_definitions(_definitions())
    return registry


@cache
def _plain_units() -> dict[str, tuple[str, float, str]]:
    """Return each word defined as a factor of a held unit: its shortest name, that factor, and the held unit.

    So the words of most files are read without pint, which takes a tenth of a second to load; a test compares them.
    """
    found = {}
    for line in _definitions():
        name, definition, *aliases = (part.strip() for part in line.split("="))
        factor, _, held = (part.strip() for part in definition.partition("*"))
        plain = (name, 1.0, name) if definition.startswith("[") else (name, float(factor), held)
        found.update(dict.fromkeys((name, *aliases), plain))
    return found


@cache
def words(kind: str) -> tuple[str, ...]:
    """Return the unit words accepted for a kind of quantity, the shortest names only.

    Args:
        kind: a key of HELD_IN.
    """
    if kind == "mass per length":
        return ("g/m", "kg/m", "lb/ft")
    registry = _registry()
    wanted = registry.get_dimensionality(HELD_IN[kind])
    names = [name for name in dir(registry) if name in registry._units and name == str(registry.Unit(name))]
    found = {name for name in names if registry.get_dimensionality(name) == wanted}
    return tuple(sorted(found, key=lambda name: (_factor(name, kind), name)))


@cache
def _factor(word: str, kind: str) -> float:
    """Return the factor from the word's unit to the held unit."""
    plain = _plain_units().get(word)
    if plain is not None and plain[2] == HELD_IN[kind]:
        return plain[1]
    registry = _registry()
    for part in word.split("/"):
        if part not in registry._units:
            raise QuantityError(f"unknown unit '{part}'", f"one of {', '.join(words(kind))}")
    if registry.get_dimensionality(word) != registry.get_dimensionality(HELD_IN[kind]):
        raise QuantityError(f"'{word}' is not a unit of {kind}", f"one of {', '.join(words(kind))}")
    return float(registry.Quantity(1.0, word).to(HELD_IN[kind]).magnitude)


def _number(text: str) -> float:
    """Return `12`, `12.5`, `1/2` or `2 1/2` as a float."""
    try:
        value = float(sum(Fraction(part) for part in text.split())) if "/" in text else float(text)
    except (ZeroDivisionError, OverflowError, ValueError):
        raise QuantityError(f"'{text}' is not a finite number", "digits such as 615.5 or 2 1/2") from None
    if not math.isfinite(value) or abs(value) > 1e9:
        raise QuantityError(f"'{text}' is too large to be a measure", "less than 1e9")
    return value


def read_number(text: str) -> float | None:
    """Return a bare number, dimensionless, or None where the text holds anything else."""
    sign, body = _sign(text)
    match = _BARE.fullmatch(body)
    return None if match is None else sign * _number(match.group(1))


def _as_typed(text: str) -> str:
    """Return a text with fractions of one letter written out, and `6'-2"` as `6' 2"`."""
    if text.isascii():
        return _FOOT_HYPHEN.sub(r"\1 ", text) if "-" in text else text
    for letter, fraction in _FRACTIONS.items():
        text = re.sub(rf"(?<=\d)\s*{letter}", f" {fraction}", text).replace(letter, fraction)
    return _FOOT_HYPHEN.sub(r"\1 ", text)


def _sign(text: str) -> tuple[float, str]:
    body = text.strip()
    if body[:1] in "+-":
        return (-1.0 if body[:1] == "-" else 1.0), body[1:]
    return 1.0, body


def example_of_kind(kind: str) -> str:
    """Return valid quantities of a kind, for messages, in the units in which they are usually written.

    Args:
        kind: a key of HELD_IN.
    """
    return _EXAMPLES.get(kind) or f"12 {HELD_IN[kind]}"


def read_quantity(text: str, kind: str, bare_unit: str | None) -> tuple[float, str]:
    """Read a quantity such as `615 mm`, `6 ft 2 1/2 in`, `24.5"` or a bare number.

    Args:
        text: as in the file.
        kind: a key of HELD_IN.
        bare_unit: the unit declared for bare numbers, None where none is declared.

    Returns:
        The value in the held unit, and the unit word of the text.

    Raises:
        QuantityError: not a finite quantity of that kind.
    """
    if len(text) > 80:
        raise QuantityError("too long to be a quantity", "such as 615 mm")
    if bare_unit is not None and _FIGURE.fullmatch(text):
        # Most quantities of a file are one figure in its own unit.
        word = _MARKS.get(bare_unit, bare_unit)
        return _number(text) * _factor(word, kind), word
    text = _as_typed(text)
    example = _EXAMPLES.get(kind) or f"such as {example_of_kind(kind)}"
    if "," in text:
        raise QuantityError("a comma is not read, neither as decimal sign nor between thousands", "a point: 615.5 mm")
    if _POWER.search(text):
        raise QuantityError("powers of ten are not read", "written out: 1200 mm")
    sign, body = _sign(text)
    bare = _BARE.fullmatch(body)
    if bare is not None:
        if bare_unit is None:
            if kind not in ("length", "angle"):
                raise QuantityError("a number without a unit", example)
            raise QuantityError("a number without a unit, and the file declares none", f"{example}; or a `units` entry")
        if kind == "length" and "/" in body and _MARKS.get(bare_unit, bare_unit) != "in":
            raise QuantityError(
                f"a fraction without a unit, where the unit of numbers is {bare_unit}", f"{body.strip()} in"
            )
        word = _MARKS.get(bare_unit, bare_unit)
        return sign * _number(bare.group(1)) * _factor(word, kind), word
    pairs = []
    position = 0
    while position < len(body.rstrip()):
        match = _PAIR.match(body, position)
        if match is None:
            raise QuantityError("not a number with a unit", example)
        word = _MARKS.get(match.group(2), match.group(2))
        pairs.append((_number(match.group(1)), word, _factor(word, kind)))
        position = match.end()
    if not pairs:
        raise QuantityError("empty", example)
    if len(pairs) > 1:
        names = [_plain_units()[word][0] for _, word, _ in pairs if word in _plain_units()]
        if names != ["ft", "in"] or pairs[1][0] >= 12.0:
            raise QuantityError("only feet and inches stand together", "6 ft 2 1/2 in")
    return sign * math.fsum(value * factor for value, _, factor in pairs), pairs[-1][1]


def in_unit(value: float, unit: str, kind: str = "length") -> float:
    """Return a value in another unit of its kind.

    Args:
        value: in the held unit of its kind [mm, rad, N, MPa or g].
        unit: the other unit's word.
        kind: a key of HELD_IN.
    """
    return value / _factor(unit, kind)


def decimal(value: float, decimals: int) -> str:
    """Return a number of any unit, or dimensionless, with fixed decimals, halves rounded away from zero, never `-0`."""
    if not math.isfinite(value):
        return f"{value:.{decimals}f}"
    # A half that binary floats hold as a little less, such as 19.05, is a half all the same.
    exact = Decimal(f"{value:.{max(decimals + 3, 9)}f}").quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    text = f"{exact:f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def without_zero(text: str, unit: str) -> str:
    """Return an inch figure without its leading zero, any other as it is (ASME Y14.5, from memory, verify).

    Args:
        text: the figure.
        unit: its unit.
    """
    sign, figure = (text[0], text[1:]) if text.startswith(("-", "+")) else ("", text)
    return f"{sign}{figure[1:]}" if unit == "in" and figure.startswith("0.") and float(text) else text


def decimals_apart(value: float, other: float, write: Callable[[int], tuple[str, str]]) -> int:
    """Return how many additional decimals write two values that differ with different figures.

    A value of 599.96 against a limit of 600 is written as 599.96 against 600.00, never as 600.0 against 600.0.

    Args:
        value: [any unit].
        other: [the same unit]; equal where it differs by no more than the rounding tolerance.
        write: from a number of additional decimals to the texts of both, each a number or the same in several units.
    """
    if abs(value - other) <= ROUNDING:
        return 0
    return next((more for more in range(_MAX_MORE) if not _read_alike(*write(more))), _MAX_MORE)


def _read_alike(text: str, other: str) -> bool:
    """Return whether any figure of a text reads as the one at its place in the other."""
    figures = ([float(figure) for figure in _FIGURE.findall(one)] for one in (text, other))
    return any(a == b for a, b in zip(*figures, strict=True))


def raised(value: float, decimals: int) -> str:
    """Return a number with fixed decimals, rounded up, so that a minimum tension stays a minimum.

    Args:
        value: the number, of any unit or dimensionless.
        decimals: number of decimals.
    """
    steps = 10.0**decimals
    return decimal(math.ceil(value * steps - 1e-9) / steps, decimals)


def to_compare(value: float) -> float:
    """Return a number of any unit, or dimensionless, to nine significant digits, in which ties are ties."""
    return float(f"{value:.9g}")


def pounds_force(newtons: N, up: bool = False, more: int = 0) -> str:
    """Return a force in lbf without its unit: whole from 20 lbf, else to a tenth.

    Args:
        newtons: the force.
        up: whether it is rounded up.
        more: further decimals.
    """
    pounds = in_unit(newtons, "lbf", "force")
    return (raised if up else decimal)(pounds, (0 if pounds >= 20.0 else 1) + more)


def inch_fraction(value: Mm, denominator: int = 32) -> str:
    """Return a length as inches and a reduced fraction, to the nearest part, halves up: `206 21/32`."""
    parts = int(decimal(value / 25.4 * denominator, 0))
    whole, rest = divmod(abs(parts), denominator)
    sign = "-" if parts < 0 else ""
    if rest == 0:
        return f"{sign}{whole}"
    fraction = Fraction(rest, denominator)
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def feet_and_inches(value: Mm) -> str:
    """Return a length as feet and whole inches, rounded up: `36 ft 7 in`."""
    feet, inches = divmod(math.ceil(value / 25.4 - 1e-6), 12)
    parts = [f"{count} {unit}" for count, unit in ((feet, "ft"), (inches, "in")) if count]
    return " ".join(parts) or "0 in"


def degrees(value: Rad) -> float:
    """Return an angle in degrees."""
    return math.degrees(value)
