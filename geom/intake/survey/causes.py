"""The likely cause of a wrong reading, named in a surveyor's words from what it reads and what it should read."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from geom.data import table
from geom.units import Mm

# Digits that are taken for each other in handwriting or on a wet tape.
LOOK_ALIKE = ("17", "38", "69", "56", "27", "08")


@dataclass(frozen=True)
class Cause:
    """A cause that explains a reading: its name, and what the reading would be without it [mm]."""

    name: str
    would_be: Mm

    def __str__(self) -> str:
        return f"{self.name} (would be {self.would_be:.1f} mm)"


def digits_of(value: Mm, text: str) -> tuple[str, float]:
    """Return the number that was written down, and how many mm make one of its unit.

    Args:
        value: the reading as held [mm].
        text: what the file says; empty where it is not known, then whole mm are taken.
    """
    match = re.match(r"\s*[+-]?(\d+(?:\.\d+)?)", text)
    # Feet with inches, and fractions, hold no row of decimal digits to confuse.
    plain = re.fullmatch(r"\s*[+-]?\d+(?:\.\d+)?\s*[a-zA-Z\"'″′]*\s*", text)
    if match is None or plain is None or float(match.group(1)) == 0.0:
        return f"{abs(value):.0f}", 1.0
    return match.group(1), abs(value) / float(match.group(1))


def likely_causes(
    read: Mm, computed: Mm, tolerance: Mm, text: str = "", elsewhere: Mapping[str, Mm] | None = None
) -> tuple[Cause, ...]:
    """Return the causes that bring a reading to what was computed, likeliest first; none where nothing fits.

    Args:
        read: the reading [mm].
        computed: what it should be by all other readings [mm].
        tolerance: how near a cause must bring it [mm].
        text: the reading as written.
        elsewhere: what the tape would read if an end had been hooked to another point [mm], by that point's name.
    """
    found: list[tuple[int, float, Cause]] = []

    def offer(rank: int, name: str, would_be: Mm) -> None:
        if abs(would_be - computed) <= tolerance:
            found.append((rank, abs(would_be - computed), Cause(name, would_be)))

    digits, unit = digits_of(read, text)
    size = abs(read)
    sign = -1.0 if read < 0.0 else 1.0
    for swapped in _swapped(digits):
        offer(0, "digits transposed", sign * float(swapped) * unit)
    for row in table.rows("survey_blunders"):
        value = float(row["value"])
        if row["kind"] == "factor":
            offer(1, row["cause"], read * value)
        else:
            # A zero that is not at the tape's end makes it read long, a misread whole step reads either way.
            offer(2, row["cause"], sign * (size - value))
            if "started" not in row["cause"]:
                offer(2, row["cause"], sign * (size + value))
    for name, length in sorted((elsewhere or {}).items()):
        if abs(length - read) <= tolerance:
            found.append((3, abs(length - read), Cause(f"hooked to {name} instead", computed)))
    for other in _misread(digits):
        offer(4, "one digit misread", sign * float(other) * unit)
    offer(5, "wrong sign", -read)
    return tuple(cause for _, _, cause in sorted(found, key=lambda item: (item[0], item[1], item[2].name)))


def _swapped(digits: str) -> list[str]:
    """Return the numbers made by changing two neighbouring digits over, the decimal point left in place."""
    places = [index for index, mark in enumerate(digits) if mark.isdigit()]
    made = []
    for first, second in pairwise(places):
        if digits[first] != digits[second]:
            marks = list(digits)
            marks[first], marks[second] = marks[second], marks[first]
            made.append("".join(marks))
    return made


def _misread(digits: str) -> list[str]:
    """Return the numbers made by taking one digit for one that looks like it."""
    made = []
    for index, mark in enumerate(digits):
        for pair in LOOK_ALIKE:
            if mark in pair:
                made.append(digits[:index] + pair.replace(mark, "") + digits[index + 1 :])
    return made
