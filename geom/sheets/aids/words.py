"""All words that stand on the full-size aids, in one place."""

from __future__ import annotations

WRAP = "TUBE WRAP"
GAUGE = "HOLE GAUGE"
STRIP = "SPLICE STRIP"
PLATE = "BASE PLATE DRILL TEMPLATE"

PAGE = "PAGE {page} OF {pages}"
REJECT = (
    "SCALE 1:1, mm. Print at 100 %, not fitted to the page.",
    "REJECT THIS PRINT when either bar is off by more than 0.5 mm, along or up.",
)
BAR_MM = "100 mm"
BAR_INCH = "4 in"
BOTH_SIDES = "PORT AND STARBOARD"

SEAM = "SEAM"
UP = "UP"
FOOT = "FOOT: the tube's axis meets the deck, 0"
TOP = "TOP OF TUBE: {length}"
PRINTED_SIDE_OUT = "PRINTED SIDE OUT"
ROUND = "{width} mm once round = pi x {size}"
EDGES = "the two cut edges just meet: no gap, no lap"
WRAP_NOTES = (
    "Cut along the outline. Foot edge at the tube's foot, word UP towards the top. Wrap with the printed side out.",
    "Join: cut the upper tile along the broken line, lay it on the lower one so that the crosses are whole; tape.",
    "Punch both centres before drilling; the outline is the hole's true edge on the outside of the tube.",
)
HOLE_HEAD = ("HOLE", "Ø", "ALONG", "CLOCK", "TILT", "AFT EXIT UP", "FWD EXIT UP", "ROUND", "AXIS")
FOUND_ONLY = "as found; axis {basis}"

GAUGE_NOTES = (
    "Each circle is a hole at full size, measured at the middle of its line; in it the line folded once (two diameters).",
    "Paper proves nothing: drill the size in scrap plate, break and polish both edges, and draw a trial eye through it.",
)
GAUGE_COMMON = "COMMON HOLE SIZES"
GAUGE_OWN = "HOLES OF THIS BOAT"

STRIP_NOTES = (
    "Lay the strip along the rope, slack and straight, its 0 at the rope's end. Marks count from the rope's end.",
    "Join: cut the next piece along the broken line, lay it on the one before so that the crosses are whole; tape.",
)
