"""Text of the full-size aids."""

from __future__ import annotations

WRAP = "TUBE WRAP"
GAUGE = "HOLE GAUGE"
STRIP = "SPLICE STRIP"
PLATE = "BASE PLATE DRILL TEMPLATE"

PAGE = "PAGE {page} OF {pages}"
REJECT = "SCALE 1:1, mm. Print at 100 %. REJECT THIS PRINT when either bar, along or up, is off by more than 0.5 mm."
BAR_MM = "100 mm"
BAR_INCH = "4 in"
BOTH_SIDES = "PORT AND STARBOARD"

SEAM = "SEAM"
UP = "UP"
FOOT = "FOOT 0: the tube's axis at the deck"
TUBE_ENDS = "TUBE ENDS ON THIS LINE: plate's upper face"
TOP = "TOP OF TUBE {length}"
PRINTED_SIDE_OUT = "PRINTED SIDE OUT"
ROUND = "{width} circumference: edges butt, no overlap"
WRAP_NOTES = (
    "Width: pi x {size}. Cut out; wrap with the printed side out, UP to the top of the tube.",
    "Join: cut the upper tile along its lower dashed line, lay it over the lower tile, crosses aligned, tape.",
    "Punch both centres, then drill; the outline is the hole's true edge on the outside of the tube.",
    "AFT UP, FWD UP: exits above the foot, check each by tape. ROUND: exits from the AFT and FWD lines, + aft exit "
    "outboard.",
    "Carry the AFT and OUTBOARD lines onto tube and plate before the wrap comes off.",
)
STAYS = "Do not redrill existing holes: where a hole is as found, the wrap is for a new tube."
HOLE_HEAD = ("HOLE", "Ø", "ALONG", "CLOCKING", "TILT", "AFT UP", "FWD UP", "ROUND", "AXIS")
FOUND_ONLY = "as found: {basis}"

GAUGE_NOTES = (
    "Each ring is a hole at full size, to the centre of its line; dashed: the end to go through, a bare eye as two "
    "ropes side by side, any other end at its own width.",
    "Paper is no proof: drill the size in scrap plate, break and polish both edges, draw a trial eye through it.",
)
GAUGE_COMMON = "COMMON HOLE SIZES"
GAUGE_OWN = "HOLES OF THIS BOAT"

STRIP_NOTES = (
    "Lay the strip along the rope, slack and straight, its 0 at the rope's end: once the trim is off (splice sheet).",
    "Join: cut the next piece along the dashed line, lay it on the one before, crosses aligned; tape.",
)
PLATE_NOTES = (
    "Seen from above on the plate's upper face. Punch and drill the crossed holes; cut along the solid edge.",
    "Dashed ring: the tube's edge on the plate. Chain lines: fore-and-aft (arrow to the BOW) and athwartships.",
    "Carry both chain lines onto the plate: the tube's AFT and OUTBOARD lines stand on them.",
)
TAPER = "TAPER: cut one strand at each mark, L left, R right"
TAIL = "TAIL, buried"
EYE = "EYE {girth}"
STANDING = "STANDING PART, over the buried tail"
ROPES_END = "0  ROPE'S END"
ROPE_EDGE = "ROPE ALONG THE LOWER EDGE"
TOP_WORD = "TOP"

# Notes on a plate that is cut: how many, thickness and material in millimetres, as the file is.
PLATE_COUNT = "{count} OFF"
PLATE_OF = "{thickness} mm, {material}"
NO_MATERIAL = "material TBC"
