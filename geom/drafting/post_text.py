"""Text of the sheets of posts; directions are in words, since signs are easily misread in a workshop."""

from __future__ import annotations

from geom.boat.model import Side
from geom.errors import OutsideTableError
from geom.figure import Across, LengthFormat
from geom.placement.fabrication import h13
from geom.units import decimal, degrees

FORWARD = "FORWARD"
AFT = "AFT"
OUTBOARD = "OUTBOARD"
INBOARD = "INBOARD"
CARD_TITLE = "post {ids}, {state}"
CARD_KIND = "Post card"
CARD_TOLERANCE = "new tube ±{length}, clocking ±{clocking}"
NEW, FOUND = "new", "as found"
NEW_POST = "NEW POST, to be made from this card"
FOUND_POST = "POST AS FOUND: record, and pattern for a new one"
FOUND_WITH_WORK = "POST AS FOUND, with work to be done: {work}"
SECTION = "SECTION {letter}-{letter}"
TUBE_VIEW = "tube upright, from outboard"
ONLY_SHOP = "shop limits on this sheet"
DECK = "DECK"
FROM_OUTBOARD = "on deck, from outboard"
FROM_AFT = "on deck, from aft"
LOOKING_DOWN = "hole {level}, looking down the tube"
ALONG_HOLE = "hole {level}, along tube and hole"
ON_PLATE = "AFT, on the plate's mark"
ALONG_DECK = "AFT, along the deck"
ENDS_OF_HOLE = {True: "aft end", False: "forward end"}
TUBE = "TUBE"
PAD = "PAD"
PLUMB = "PLUMB"
BRACE = "brace"
BASE_NOT_STATED = ("foot cut: base", "not stated")
FOOT_SQUARE = ("foot cut", "square")
FOOT_OFF = ("foot cut {angle}", "off square")
CUT_LENGTH = "CUT LENGTH <>"
AS_FOUND = "AS FOUND"
AS_PLANNED = "AS PLANNED"
PART = "PART"
ATTITUDE = "ATTITUDE"
SHOP_LIMITS = "LIMITS, NEW TUBE"
HOLES = "HOLES"
NOT_GIVEN = "not given"
CARD_NOTES = (
    "Lengths along the tube are from the deck at its axis; CUT LENGTH from its foot on the plate or in its socket.",
    "CLOCKING: the hole's aft end off the mark, the deck's fore-and-aft line; ARC: on the tube's face.",
    "FWD, AFT FACE: along the tube to where the hole's centre comes out; TILT: of its aft end.",
    "TO DECK, OFFSET: the tube's axis off square to the deck; F-AND-A: fore-and-aft along the deck.",
)
NOTE_COMPUTED = "In brackets: computed, not measured; for a new tube only. Do not redrill existing holes."
NOTE_DRILL = "Holes to be made: mark both faces and drill from both sides. Check the offsets after welding."
NOTE_LIMITS = "Limits: {source}."
NOTE_BRACE = "BRACE: its foot from the post's foot, horizontal and vertical; SLANT from there to the tube's axis."
NOTE_SEE = "See also: {base}tube wrap and hole gauge at full size."
NOTE_SEE_BASE = "the base plate sheets for plate, bolts and pad; "
CARD_VIEWS = "Views: neither first nor third angle. Do not scale this print."
CARD_VIEWS_IN = "Only B and C are in {projection} angle. Do not scale this print."
SCHEDULE_TITLE = "posts and holes"
SCHEDULE_KIND = "Post schedule"
SCHEDULE_NOTES = (
    "1  X aft from the stem head on the centreline at deck, Y to starboard, Z up from {z_zero}. LENGTH, ALONG: along "
    "the tube from the deck at its axis.",
    "2  LEAN, OUT + outboard, RAKE, AFT + aft; OFF PLUMB, TOTAL: the whole angle. TO DECK: the tube off square to the "
    "deck. TO PLATE: 0 on a base made square, whose pad takes up the slope.",
    "3  SQUARE, PLUMB: offset of the tube's axis at {height}, from square to the deck and from plumb.",
    "4  ALIKE (same letter, same side), MIRROR IMAGE: same tube, base and hole sizes; length ±{length}, hole "
    "along ±{holes}, clocking and tilt ±{clocking}, to plate (without a base: to deck) ±{plate} (common practice, no "
    "source).",
)
SCHEDULE_TERMS = (
    "ABOVE FOOT, ABOVE EDGE: height over the deck at the post's foot, over the deck edge abreast. OPENING: vertical, "
    "down to the next hole or the deck. TURN: change of direction of the line.",
    "CLOCKING, HOLE TILT: of the hole's axis, + aft end outboard, + aft end up. TUBE: off the tube's own fore-and-aft, "
    "as on the deck plan. MARK: off the deck's, as on the post cards.",
    "AXIS: computed for the runs named where the direction was not measured. FREE TO: angle off that axis at which the "
    "line still clears both lips of the hole.",
    "CLEAR: largest straight line that clears both lips, on that axis; IF SQUARE: the same for a hole square to the "
    "tube, fore-and-aft; touches: this boat's line bears on both lips.",
    "FINISHED END: whether it goes through; trial: try a test piece first; on board: made after threading. FREE "
    "TO to FINISHED END are for {bore}.",
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
    return decimal(value / fmt.mm, fmt.decimals + (finer if fmt.unit == "in" else 0))


def height_words(height: float, fmt: LengthFormat) -> str:
    """Return the round height at which offsets are taken [mm], with its unit."""
    return f"{round(height / fmt.mm, 3):g} {fmt.unit}"


def _with_word(text: str, above: bool, words_of: tuple[str, str]) -> str:
    if float(text) == 0.0:
        return text
    return f"{text} {words_of[0] if above else words_of[1]}"


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


def offset(value: float, plus: str, minus: str, fmt: LengthFormat) -> str:
    """Return an offset with the word of its direction: `20.9 inboard`.

    Args:
        value: the offset [mm].
        plus: word for a positive offset.
        minus: word for a negative offset.
        fmt: format of lengths.
    """
    return _with_word(length(abs(value), fmt), value > 0.0, (plus, minus))


def bracketed(text: str, computed: bool) -> str:
    """Return a text, in brackets where it is computed and not measured."""
    return f"({text})" if computed else text


def tilted(value: float) -> str:
    """Return the tilt of a hole's aft end along the tube [rad] as text."""
    text = decimal(abs(degrees(value)), 1)
    return "square" if text == "0.0" else f"{text}° {'up' if value > 0.0 else 'down'}"


def hole_limits(diameter: float, fmt: LengthFormat) -> str:
    """Return the H13 limits of a hole's diameter [mm], `-` where the size is outside the table."""
    try:
        upper = h13(diameter)
    except OutsideTableError:
        return "-"
    return f"+{decimal(upper / fmt.mm, 2 if fmt.unit == 'mm' else 4)} / 0"
