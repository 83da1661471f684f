"""Text of the sheets for checking posts after welding and bolting down."""

from __future__ import annotations

ALONE = "installation check"
TITLE = "installation check, {what}{part}"
HEAD = "INSTALLATION CHECK"
HEAD_LINE = "{what}; stanchions bolted down, lines off"
PART = ", {number} of {count}"
WHOLE = "sides, across, plumb"
ALONG = "sides"
ACROSS = "across"
KIND = "lengths and plumb offsets after welding"
SIDE_VIEW = "seen from outboard"
ACROSS_VIEW = ("ACROSS", "seen from aft, starboard at the right")
PLUMB_VIEW = ("PLUMB, not to scale", "OUT, AFT, HEIGHT as measured")
FROM_AFT, FROM_STARBOARD = "from aft", "from starboard"
OUT, AFT, HEIGHT = "OUT", "AFT", "HEIGHT"
CHECKS = "LENGTHS, {what} ({unit})"
CHECKS_HEAD = ("NO.", "FROM", "TO", "CENTRES", "FACES", "±", "AS MADE")
ACROSS_TABLE = "STARBOARD TO PORT"
FOOT = "{post} foot"
NOT_MOVED = "-"
PLUMB_TABLE = "HOLES OFF PLUMB THROUGH THE FOOT ({unit})"
PLUMB_HEAD = ("HOLE", "OUT", "AS MADE", "AFT", "AS MADE", "±", "HEIGHT", "AS MADE", "±")
INBOARD = "{value} inboard"
FORWARD = "{value} fwd"
LETTERS = "a: upper to upper, b: {low} to {low}, c and d: diagonals."
CIRCLES = "Circle: a hole's centre."
CENTRES = (
    "CENTRES: straight, {marks}. FACES: tape between the tubes' near faces, abreast of {face}; plug the holes flush."
)
MARKS = {False: "hole centre to hole centre", True: "hole centre, or the foot: the tube's axis at the deck"}
FACE = {False: "the holes' centres", True: "the hole's centre or at the deck"}
AS_ALONG = "CENTRES, FACES and ± of lengths: as noted on the sheet of the sides."
LIMIT = "± of a length: from {plate} of tube to plate at both stanchions (common practice, no source), bases in place."
LIMITS = (
    "±: from {plate} of tube to plate, bases in place; of HEIGHT also ±{place} {unit} of the hole along the tube "
    "(common practice, no source)."
)
DOUBT = (
    "{number}a to {number}d: {start} to {end} taped {taped}, by coordinates {computed} {unit}: measure again before "
    "these are used."
)
LIMIT_FOOT = " A dash: not affected."
LEVEL = (
    "OUT, AFT: a hole off plumb through the foot, boat level (Z from {z_zero}; 1° moves {hole} by {moved} {unit}); "
    "else check square to the deck by the stanchion sheets."
)
PLUMB_LIMIT = (
    "± of OUT, AFT: {plate} of tube to plate; of HEIGHT: also ±{place} {unit} of the hole along the tube (common "
    "practice, no source)."
)
HELD = "{posts}: on hold; figures as in the boat file."
LEANS_IN = "inboard: as in the boat file; confirm before fabrication."
