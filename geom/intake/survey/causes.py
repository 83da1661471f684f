"""The likely cause of a wrong reading, from its value and the computed one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from geom.data import table
from geom.units import Mm

# Digits that are confused in handwriting or on a wet tape.
LOOK_ALIKE = ("17", "38", "69", "56", "27", "08")


@dataclass(frozen=True)
class Cause:
    """A cause that explains a reading: its name, and the reading without it [mm, or rad for an angle]."""

    name: str
    would_be: Mm

    def __str__(self) -> str:
        return f"{self.name} (would be {self.would_be:.1f} mm)"


# A number as on a tape, with a fraction or without, and its unit; feet with inches are not compared by digits.
_WRITTEN = re.compile(r"\s*[+-]?(\d+(?:\.\d+)?)(?:\s+(\d+/[1-9]\d*))?\s*[a-zA-Z\"'″′]*\s*")


def digits_of(value: Mm, text: str) -> tuple[str, Mm, Mm]:
    """Return the digits of a number as written, the length of its unit, and that of the fraction after it [mm].

    Args:
        value: the reading [mm].
        text: the reading as in the file; empty where not known, then whole mm are assumed.
    """
    match = _WRITTEN.fullmatch(text)
    if match is None or float(match.group(1)) == 0.0:
        return f"{abs(value):.0f}", 1.0, 0.0
    fraction = float(Fraction(match.group(2) or 0))
    unit = abs(value) / (float(match.group(1)) + fraction)
    return match.group(1), unit, fraction * unit


def tape_of(text: str, unit: Mm) -> Literal["metric", "inch"] | None:
    """Return the kind of tape that a reading was taken with, by the unit that it is written in; None if not known.

    Args:
        text: the reading as written; empty where not known.
        unit: the length of its unit [mm].
    """
    if not text:
        return None
    return "inch" if re.search(r"in|ft|[\"'″′]", text) or min(abs(unit - 25.4), abs(unit - 304.8)) < 0.01 else "metric"


def likely_causes(
    read: Mm,
    computed: Mm,
    tolerance: Mm,
    text: str = "",
    elsewhere: Sequence[tuple[str, Mm]] = (),
    *,
    hooked: bool = True,
) -> tuple[Cause, ...]:
    """Return the causes that explain the difference of a reading from the computed value, likeliest first.

    Args:
        read: the reading [mm].
        computed: the value from all misread readings [mm].
        tolerance: permitted difference between the corrected and the computed value [mm].
        text: the reading as written.
        elsewhere: other points with the reading of a tape hooked to each, or of a staff held there [mm].
        hooked: whether it is a tape, whose hook may be moved or held wrongly, and not a staff or square.
    """
    candidates: list[tuple[int, float, Cause]] = []

    def add_if_close(rank: int, name: str, would_be: Mm) -> None:
        if abs(would_be - computed) <= tolerance:
            candidates.append((rank, abs(would_be - computed), Cause(name, would_be)))

    digits, unit, fraction = digits_of(read, text)
    size = abs(read)
    sign = -1.0 if read < 0.0 else 1.0
    for transposed in _transposed(digits):
        add_if_close(0, "digits transposed", sign * (float(transposed) * unit + fraction))
    tape = tape_of(text, unit)
    for row in table.rows("survey_blunders"):
        # Nobody misreads a foot on a tape of millimetres.
        if tape not in (None, row["tape"]):
            continue
        value = float(row["value"])
        if row["kind"] == "factor":
            add_if_close(1, row["cause"], read * value)
        else:
            # An offset zero makes a tape read long; a misread whole step may be long or short. A staff has no hook.
            if row["kind"] == "slip":
                add_if_close(3, row["cause"], sign * (size - value))
                add_if_close(3, row["cause"], sign * (size + value))
            elif hooked:
                add_if_close(2, row["cause"], sign * (size - value))
    for name, length in elsewhere:
        if abs(length - read) <= tolerance:
            verb = "hooked to" if hooked else "held at"
            candidates.append((4, abs(length - read), Cause(f"{verb} {name} instead", computed)))
    for misread in _misread(digits):
        add_if_close(5, "one digit misread", sign * (float(misread) * unit + fraction))
    add_if_close(6, "wrong sign", -read)
    return tuple(cause for _, _, cause in sorted(candidates, key=lambda item: (item[0], item[1], item[2].name)))


def _transposed(digits: str) -> list[str]:
    """Return the numbers with two neighbouring digits transposed, the decimal point left in place.

    A nought that came first is not written: 92 may be 902.
    """
    digits = f"0{digits}"
    positions = [index for index, character in enumerate(digits) if character.isdigit()]
    variants = []
    for first, second in pairwise(positions):
        if digits[first] != digits[second]:
            characters = list(digits)
            characters[first], characters[second] = characters[second], characters[first]
            variants.append("".join(characters))
    return variants


def _misread(digits: str) -> list[str]:
    """Return the numbers with one digit replaced by one that looks like it; a nought that came first is not written."""
    variants = []
    digits = f"0{digits}"
    for index, mark in enumerate(digits):
        for pair in LOOK_ALIKE:
            if mark in pair:
                variants.append(digits[:index] + pair.replace(mark, "") + digits[index + 1 :])
    return variants
