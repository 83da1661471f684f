"""Directions and numbers of posts in words: a sign is a trap in a shop."""

from __future__ import annotations

from geom.boat.model import Side
from geom.errors import OutsideTableError
from geom.figure import Across, Numbers
from geom.runs.shop import h13
from geom.schedules.placing import PLATE_RULE_LENGTH
from geom.sheets import words
from geom.units import decimal, degrees


def ways_from_outboard(side: Side) -> tuple[str, str]:
    """Return what lies at paper left and right seen from outboard."""
    return (words.AFT, words.FORWARD) if side == "S" else (words.FORWARD, words.AFT)


def ways_from_aft(side: Side) -> tuple[str, str]:
    """Return what lies at paper left and right seen from aft, looking forward."""
    return (words.INBOARD, words.OUTBOARD) if side == "S" else (words.OUTBOARD, words.INBOARD)


def across_of(direction: float) -> Across:
    """Return how a text is anchored that runs towards a paper direction, + to the right."""
    return "left" if direction > 0.0 else "right"


def length(value: float, how: Numbers, finer: int = 0) -> str:
    """Return a length [mm] as the sheet writes it, inches to `finer` more decimals."""
    return decimal(value / how.mm, how.decimals + (finer if how.unit == "in" else 0))


def rule_words(how: Numbers) -> str:
    """Return the length above the plate at which offsets are taken, with its unit."""
    return f"{PLATE_RULE_LENGTH:g} mm" if how.unit == "mm" else f"{length(PLATE_RULE_LENGTH, how)} {how.unit}"


def _with_word(text: str, above: bool, words_of: tuple[str, str]) -> str:
    if float(text) == 0.0:
        return text
    return f"{text} {words_of[0] if above else words_of[1]}"


def angle(value: float, plus: str, minus: str, decimals: int = 2) -> str:
    """Return an angle [rad] with the word of its direction in place of a sign: `2.00° inboard`."""
    text = decimal(abs(degrees(value)), decimals)
    word = "" if float(text) == 0.0 else f" {plus if value > 0.0 else minus}"
    return f"{text}°{word}"


def offset(value: float, plus: str, minus: str, how: Numbers) -> str:
    """Return an offset [mm] with the word of its direction: `20.9 inboard`."""
    return _with_word(length(abs(value), how), value > 0.0, (plus, minus))


def turned(value: float) -> str:
    """Return which way a hole's aft end is turned."""
    if decimal(abs(degrees(value)), 1) == "0.0":
        return "fore-and-aft"
    return "outboard" if value > 0.0 else "inboard"


def tilted(value: float) -> str:
    """Return how a hole's aft end is tilted along the tube [rad]."""
    text = decimal(abs(degrees(value)), 1)
    return "square" if text == "0.0" else f"{text}° {'up' if value > 0.0 else 'down'}"


def hole_limits(diameter: float, how: Numbers) -> str:
    """Return the limits H13 of a hole [mm], `-` where the table does not hold its size."""
    try:
        upper = h13(diameter)
    except OutsideTableError:
        return "-"
    return f"+{decimal(upper / how.mm, 2 if how.unit == 'mm' else 3)} / 0"
