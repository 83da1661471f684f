"""Text of the sheets of posts; directions are in words, since signs are easily misread in a workshop."""

from __future__ import annotations

from geom.boat.model import Side
from geom.figure import Across, LengthFormat
from geom.units import decimal, degrees

FORWARD = "FORWARD"
AFT = "AFT"
OUTBOARD = "OUTBOARD"
INBOARD = "INBOARD"
ONLY_SHOP = "shop limits on this sheet"
SCHEDULE_TITLE = "Stanchion schedule"
SCHEDULE_KIND = "feet, attitude, holes"
SCHEDULE_NOTES = (
    "X aft from the stem head on the centreline at deck, Y to starboard, Z up from {z_zero}. TOP, ALONG: along the "
    "tube from the deck at its axis.",
    "LEAN, OUT + outboard, RAKE, AFT + aft; OFF PLUMB, TOTAL: the whole angle. TO DECK: the tube off square to the "
    "deck.{to_plate}",
    "SQUARE, PLUMB: offset of the tube's axis at {height}, from square to the deck and from plumb.",
    "{alike}MIRROR IMAGE: same tube, base and hole sizes; length ±{length}, hole along "
    "±{holes}, clocking and tilt ±{clocking}, to plate (without a base: to deck) ±{plate} (common practice, no "
    "source).",
    "ABOVE FOOT, ABOVE EDGE: height over the deck at the foot, over the deck edge abreast. OPENING: vertical, down to "
    "the next hole or the deck. TURN: change of direction of the line.",
    "CLOCKING, HOLE TILT: of the hole's axis, + aft end outboard, + aft end up. TUBE: off the tube's own "
    "fore-and-aft. MARK: off the AFT mark, as on the stanchion sheets.",
)
ALIKE = "ALIKE (same letter, same side), "
TO_PLATE = " TO PLATE: 0 on a base made square, whose pad takes up the slope."
SCHEDULE_TERMS_HEAD = "FINISHED END IN THE HOLE"
SCHEDULE_TERMS = (
    "AXIS: computed for these runs where the direction was not measured. FREE TO: angle off it at which the line "
    "still clears both lips.",
    "CLEAR: largest straight line that clears both lips. IF SQUARE: in a hole square to the tube; touches: this line "
    "bears on both lips.",
    "FINISHED END: squeeze: drawn through with a messenger; trial: where a trial piece passed only; on board: "
    "made after threading.",
    "FREE TO to FINISHED END are for {bore}.",
)
BARE_BORE = "the bare hole, whose edge is not chosen"
BORE_LEFT = "the bore left: of the bush where there is one, else of the hole"


def ways_from_outboard(side: Side) -> tuple[str, str]:
    """Return the directions at paper left and right, seen from outboard."""
    return (AFT, FORWARD) if side == "S" else (FORWARD, AFT)


def ways_from_aft(side: Side) -> tuple[str, str]:
    """Return the directions at paper left and right, seen from aft."""
    return (INBOARD, OUTBOARD) if side == "S" else (OUTBOARD, INBOARD)


def across_of(direction: float) -> Across:
    """Return the anchor of a text that runs in a direction on paper, by the sign of a factor: + to the right."""
    return "left" if direction > 0.0 else "right"


def length(value: float, fmt: LengthFormat, finer: int = 0) -> str:
    """Return a length in the sheet's unit.

    Args:
        value: the length [mm].
        fmt: format of lengths.
        finer: number of additional decimals for inches.
    """
    return fmt.figure(value, fmt.decimals + (finer if fmt.unit == "in" else 0))


def height_words(height: float, fmt: LengthFormat) -> str:
    """Return the round height at which offsets are taken [mm], with its unit."""
    return f"{round(height / fmt.mm, 3):g} {fmt.unit}"


def angle(value: float, plus: str, minus: str, decimals: int = 2) -> str:
    """Return an angle with the word of its direction instead of a sign: `2.00° inboard`.

    Args:
        value: the angle [rad].
        plus: word for a positive angle.
        minus: word for a negative angle.
        decimals: of the degrees.
    """
    text = decimal(abs(degrees(value)), decimals)
    word = "" if float(text) == 0.0 else f" {plus if value > 0.0 else minus}"
    return f"{text}°{word}"
