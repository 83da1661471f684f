"""Text of the deck plan."""

from __future__ import annotations

from geom.figure import LengthFormat
from geom.units import decimal, inch_fraction

TITLE = "Deck plan"
SUBTITLE, WITH_GATES = "stanchions, guard lines", "stanchions, guard lines, gates"
HEAD = "DECK PLAN"
VIEW = "{scale}   seen from above, bow to the left"
SPANS = "Spans are true lengths in space, hole centre to hole centre, or to the pin of an end. {levels}."
LEVEL = "{level} {word} line"
MAST = "MAST"
GATE_CLEAR = "CLEAR OPENING"

FEET = "STANCHION FEET, LINE HEIGHTS ABOVE DECK"
FEET_HEADS = ("STANCHION", "X", "Y", "Z", "LEAN°", "RAKE°")
ITEM = "ITEM"
PINS, PINS_OF_ALL = "PINS ON PULPIT AND PUSHPIT", "PINS ON RAILS AND FITTINGS"
PIN_HEADS = ("EYE", "X", "Y", "Z")
ELSEWHERE = "Stanchion feet and line heights: sheet G4"
SYMBOLS = "SYMBOLS"
LINE, HELD, EDGE = "{level} line", "line on hold, drawn hollow", "deck edge"
VERDICTS = {
    "passes": "finished end passes the hole",
    "squeeze": "squeezed through with a messenger",
    "trial": "on trial only, else made on board",
    "in place": "does not pass: made on board",
    "line does not pass": "the line does not pass",
    "cannot tell": "not determined",
}
FLAG = "open item, listed on G1"
NOTES = "NOTES"
AXES = (
    "X aft from the stem head, Y to starboard, Z up from {z_zero}. Lean + outboard, rake + aft, both from the vertical."
)
KNOWN = "Assumed survey accuracy ±{xy} {unit} and ±{lean}°. Lengths rounded to {step}: cut from the R sheets."
DESIGNED = "As designed: nothing was measured on board. Lengths rounded to {step}: cut from the R sheets."
GATE_PINS = "Pins at the gate stanchions stand {value} off the tube axis, in the guard line."
TUBES = "Tubes {tubes}."
SOME_DIRECTIONS = (
    "Hole directions not measured where G4 has computed: the verdicts take the axis calculated for the line."
)
DIRECTIONS = "Hole directions not measured: the verdicts take the axis calculated for the line."
FIGURED = "Figured dimensions govern; do not scale this print."


def rounded(value: float, fmt: LengthFormat) -> str:
    """Return a length as the plan gives it: to 1 mm, or to 1/16 in.

    Args:
        value: the length [mm].
        fmt: format of lengths.
    """
    return inch_fraction(value, 16) if fmt.unit == "in" else decimal(value, 0)


def step(fmt: LengthFormat) -> str:
    """Return the rounding of the plan's lengths in words."""
    return "1/16 in" if fmt.unit == "in" else "1 mm"


# Size of a tube in the data of a post for CAD readers.
TUBE_SIZE = "{od} x {wall}"
