"""Screw threads by their designations."""

from __future__ import annotations

import re
from fractions import Fraction

_INCH = 25.4
_METRIC = re.compile(r"M\s*(\d+(?:\.\d+)?)(?:\s*[xX]\s*\d+(?:\.\d+)?)?(?:\s.*|-.*)?")
_UNIFIED = re.compile(r"(\d+(?:\s+\d+/\d+)?|\d+/\d+)\s*-\s*\d+(?:\s.*|-.*)?")
# Number sizes end at 12; a whole number of inches has no thread of so many turns on a boat.
_LAST_NUMBER_SIZE = 12


def major_diameter(designation: str) -> float | None:
    """Return the major diameter of a thread by its designation [mm]; None where it is not read.

    Source: ISO 261 (M8, M10 x 1.25) and ASME B1.1 (3/8-24 UNF; number sizes are 0.060 in and 0.013 in a number), from
    memory, verify.

    Args:
        designation: as the boat file states it.
    """
    stated = designation.strip()
    metric = _METRIC.fullmatch(stated)
    if metric is not None:
        return float(metric[1])
    unified = _UNIFIED.fullmatch(stated)
    if unified is None:
        return None
    if "/" not in unified[1] and int(unified[1]) <= _LAST_NUMBER_SIZE and int(unified[1]) > 1:
        return (0.060 + 0.013 * int(unified[1])) * _INCH
    return float(sum(Fraction(part) for part in unified[1].split())) * _INCH
