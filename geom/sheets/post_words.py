"""The words of the sheets about posts, and directions in words: a sign is a trap in a shop."""

from __future__ import annotations

from geom.boat.model import Side
from geom.errors import OutsideTableError
from geom.figure import Across, Numbers
from geom.runs.shop import h13
from geom.schedules.placing import PLATE_RULE_LENGTH
from geom.units import decimal, degrees

FORWARD = "FORWARD"
AFT = "AFT"
OUTBOARD = "OUTBOARD"
INBOARD = "INBOARD"
AFT_END = "AFT END"
CARD_TITLE = "post {ids}"
CARD_KIND = "Post card"
TUBE_VIEW = "tube upright, from outboard"
ONLY_SHOP = "shop limits on this sheet"
DECK = "DECK"
FROM_OUTBOARD = "on deck, from outboard"
FROM_AFT = "on deck, from aft"
LOOKING_DOWN = "looking down the tube"
DIRECTION = "direction: {basis}"
ALONG_HOLE = "cut along tube and hole"
AS_FOUND = "AS FOUND"
AS_PLANNED = "AS PLANNED"
PART = "PART"
ATTITUDE = "ATTITUDE"
SHOP_LIMITS = "SHOP LIMITS"
HOLES = "HOLES"
NOT_TOLD = "not told"
CARD_NOTES = (
    "1  Lengths along the tube count from the deck at its axis: the underside of a plate that lies there.",
    "2  CLOCK: the hole's aft end off the plate's fore-and-aft mark; ARC: the same along the tube's face.",
    "3  FWD, AFT FACE: where the hole's centre comes out. Mark both, drill from both sides.",
    "4  Offsets: the tube's axis off square to the deck, {rule} above it. Check them after welding.",
    "5  {views} Do not scale this print.",
)
CARD_VIEWS = "Views stand by their captions, neither first nor third angle."
CARD_VIEWS_IN = "B and C stand in {projection} angle to each other, A and the holes by their captions."
SCHEDULE_TITLE = "posts and holes"
SCHEDULE_KIND = "Post schedule"
SCHEDULE_NOTES = (
    "1  X aft from the stem head on the centreline at deck, Y to starboard, Z up from {z_zero}.",
    "2  LEAN, OUT + outboard; RAKE, AFT + aft; PLATE: tube off square to the deck, in the deck's own directions.",
    "3  OUT, AFT AT {rule}: the tube's axis off square to the deck at {rule} above it. LENGTH, ALONG: along the tube "
    "from the deck. H FOOT, H EDGE: vertical height above the deck at the foot, above the deck edge.",
    "4  CLOCK, TILT: axis the hole is to have, + aft end outboard, + aft end up; TURN: of the line at the hole. "
    "Counted about the tube; post cards count CLOCK from the plate's mark, some tenths of a degree apart.",
    "5  ALIKE: posts of one letter are alike within tube length ±{length}, hole position ±{length}, clocking and tilt "
    "±{clocking}, tube to plate ±{plate} (common practice, no source); same side, tube, base and hole sizes.",
)
PLATES_TITLE = "{word}, {side}"
PLATES_KIND = "Base plates"
PLATE_VIEW = "seen from above"
ONLY_BASE = "as the bolts on board ask"
BOW = "BOW"
PLATE_NOTES = (
    "1  Seen from above, bow up. Port and starboard have a sheet each: they are not the same.",
    "2  Bolts count from the middle of the plate, where the tube's axis goes through its lower face.",
    "3  FOOT: tube cut by the deck's plane; TURNED: its long axis from aft towards outboard.",
    "4  Pad: thickness at the sharp corners, square to the plate, the thinnest counted as 0.",
    "    Add the pad's own least thickness to every figure of its row.",
    "5  TUBE OVER PLATE: on its axis, for a tube that stands on the plate's upper face.",
)
FIXTURE_TITLE = "checks after welding"
FIXTURE_KIND = "Fixture sheet"
FIXTURE_NOTES = (
    "1  Lengths are true, hole centre to hole centre. Measure with the posts bolted down, before the lines go on.",
    "2  OUT, AFT: a hole's centre off a plumb line through the tube's foot, + outboard, + aft; DROP is plumb.",
    "3  The blank beside a figure is for the length as made: a pair of diagonals tells which way a post leans.",
    "4  ±: what the shop's {plate} of tube to plate moves a hole by (common practice, no source).",
)
PROFILES_TITLE = "profiles"
PROFILES_KIND = "Profiles"
PROFILE_VIEW = "{side} PROFILE, seen from {lower}"
ROW_POST = "POST"
ROW_FOOT = "{level} ABOVE FOOT"
ROW_EDGE = "{level} ABOVE EDGE"
ROW_OPENING = "OPENING {between}"
ROW_SPAN = "SPAN {level}"
ROW_LOWEST = "LOWEST {level}"
ROW_AT = "AT X"
PROFILE_NOTES = (
    "1  Heights are vertical: ABOVE FOOT from the deck at the post's foot, ABOVE EDGE from the deck edge abreast.",
    "2  OPENING: vertical, deck to the lowest hole, then hole to hole, at the post.",
    "3  SPAN: true length from hole to hole or pin. LOWEST: least height of the straight line over the deck edge, at X "
    "aft of the stem head; marked by a triangle on the drawing. A dash: the deck edge was not taken that far.",
)


def ways_from_outboard(side: Side) -> tuple[str, str]:
    """Return what lies at paper left and right seen from outboard."""
    return (AFT, FORWARD) if side == "S" else (FORWARD, AFT)


def ways_from_aft(side: Side) -> tuple[str, str]:
    """Return what lies at paper left and right seen from aft, looking forward."""
    return (INBOARD, OUTBOARD) if side == "S" else (OUTBOARD, INBOARD)


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
    return f"+{decimal(upper / how.mm, 2 if how.unit == 'mm' else 4)} / 0"
