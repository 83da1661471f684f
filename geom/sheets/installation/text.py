"""Text of the sheets for checking posts after welding and bolting down."""

from __future__ import annotations

TITLE = "welding checks, {what}{part}"
PART = ", {number} of {count}"
ALONG = "sides"
ACROSS = "across"
KIND = "Inspection sheet"
SIDE_VIEW = "seen from outboard"
ACROSS_VIEW = ("ACROSS", "seen from aft, looking forward: starboard at the right")
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
LETTERS = "a: upper to upper, b: {low} to {low}, c and d: the diagonals; they show which way a post is out."
CIRCLES = "Circle: a hole's centre."
CENTRES = (
    "CENTRES: straight, {marks}. FACES: what a tape reads between the near faces of both tubes, abreast of {face}; "
    "plug the holes flush. Bolt the posts down first, lines off."
)
MARKS = {False: "hole centre to hole centre", True: "hole centre, or the foot: the tube's axis at the deck"}
FACE = {False: "the holes' centres", True: "the hole's centre or at the deck"}
AS_ALONG = "CENTRES, FACES and ± of lengths: as noted on the sheet of the sides."
LIMIT = (
    "± of a length: its largest change from {plate} of tube to plate at both posts (common practice, no source), "
    "without errors in the position of the bases."
)
DOUBT = (
    "{number}a to {number}d: {start} to {end} was taped {taped}, by coordinates it is {computed} {unit}. Measure again "
    "before these are used."
)
LIMIT_FOOT = " A dash: not affected."
LEVEL = (
    "OUT, AFT: a hole's centre off a plumb line through the tube's foot. Boat upright and level fore and aft, Z from "
    "{z_zero}: 1° moves {hole} by {moved} {unit}; else check square to the deck by the post cards."
)
PLUMB_LIMIT = (
    "± after AFT, of OUT and AFT: {plate} of tube to plate. ± of HEIGHT: that and ±{place} {unit} of the hole along "
    "the tube (common practice, no source)."
)
LEANS_IN = "inboard: as in the boat file; confirm before fabrication."
