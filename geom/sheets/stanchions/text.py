"""Text of the stanchion sheets: headings in capitals, directions in words, since a sign is easily misread in a shop."""

from __future__ import annotations

from geom.placement.tube_cut import Way

HELD = "open items {numbers}"
THROUGH = "stanchions"
BRACED = "stanchions, braced and altered"
SUBTITLE = "{ids}: tube, holes, foot"
FEW = "{first} +{count}"
MANY = "{first} and {count} more"
STANCHIONS = "{count} stanchions"
ON_HOLD = "{posts}: on hold, make nothing."
# In the row of a stanchion on other sheets.
ROW_ON_HOLD = "{post} on hold"
HEAD = "STANCHIONS {ids}"
TABULATED = "tabulated; drawn as {post}, {side}"
DESCRIPTION = "Stanchions of this sheet: {ids}."

TUBE = "TUBE"
TUBE_LINE = "axis vertical, seen from outboard"
FROM_AFT = "FITTED, FROM AFT"
FROM_OUTBOARD = "FITTED, FROM OUTBOARD"
FITTED_LINE = "tube from plumb; deck slopes down"
ACROSS = "SECTION X-X"
ACROSS_LINE = "at a hole, looking down the tube"
ALONG = "SECTION Y-Y"
ALONG_LINE = "along tube and hole"
FOOT = "FOOT {word}"
FOOT_FROM = "{ids}; {post} from {seen}"
SEEN = {True: "outboard", False: "aft"}
SECTION_ACROSS, SECTION_ALONG = "X", "Y"

LONG_POINT: dict[Way | None, str] = {
    "aft": "LONG POINT AFT",
    "forward": "LONG POINT FORWARD",
    "inboard": "LONG POINT INBOARD",
    "outboard": "LONG POINT OUTBOARD",
    None: "SQUARE",
}
AFT_MARK = "AFT mark"
AFT = "AFT"
SCRIBE = "scribe name"
ZERO = "ZERO"
ZERO_AT = "tube foot, on axis"
ZERO_DECK = "deck, on tube axis"
CAP_STATED = "cap"
HOLE = "hole {level}"
BRACE = "brace {letter}"
PAD = "pad, sheet F3"
WELD_LEG = "z{leg}"
LEAN = "lean {value}"
RAKE = "rake {value}"
DECK = "deck {value}"

STANCHION = "STANCHION"
QTY = "QTY"
LENGTH = "LENGTH\non axis"
LENGTH_DECK = "LENGTH\nfrom deck"
LONG = "TO LONG\nPOINT"
HOLE_AT = "HOLE {level}"
HOLE_SIZE = "HOLE Ø"
CLOCKING = "{letter} CLOCKING°"
TILT = "{letter} TILT°, aft end"
MITRE = "MITRE°"
LONG_POINT_HEAD = "LONG POINT,\n° from AFT mark"
BRACE_AT = "BRACE"
LEAN_HEAD = "LEAN°"
RAKE_HEAD = "RAKE°"
EDGE = "HOLE EDGE\nor bush"
BASE = "BASE"
ACTION = "ACTION"
ACTIONS = {"hold": "HOLD", "alter": "alter: {work}", "leave": "leave", "make": "make"}
WORK_HOLE = {False: "hole {level}", True: "hole {level} smaller, new tube"}
WORK_ATTITUDE = "to lean {lean}, rake {rake}"
TBC = "TBC"
BUSH = "bush Ø{bore} x {length}"
EDGE_RADIUS = "R{radius}"
SLEEVED = "{edge}, sleeve Ø{width} on line"

NOTES = "GENERAL NOTES, unless otherwise specified"
TOLERANCES = (
    "Lengths ±{length}; {letter} ±{clocking}°; tube to plate ±{plate}°; Ø H13 where drilled (common practice, "
    "no source)."
)
ZERO_NOTE = "Lengths from ZERO on the tube axis."
ZERO_LONG = "Lengths from ZERO on the tube axis; with the tape hooked at the long point add {long} less {axis}."
ZERO_DECK_NOTE = "Base TBC by designer; lengths from the deck on the tube axis; do not cut before."
CLOCKING_NOTE = "{letter}, {tilt}: aft end of the hole from the AFT mark, and up or down the tube."
COMPUTED = (
    "{letter}, {tilt}: aft end of the hole from the AFT mark, up or down the tube; calculated, not measured. Do not "
    "redrill existing holes."
)
COMPUTED_SOME = (
    "{letter}, {tilt}: aft end of the hole from the AFT mark, up or down the tube; calculated, not measured, where "
    "sheet G4 has computed. Do not redrill existing holes."
)
MARK = "Scribe name and AFT (along the deck) before cutting."
MIRROR = "Port mirrors starboard; the words hold on both sides."
BRACE_NOTE = "{letter}: brace axis on tube axis; brace on sheet F3."
WELD = "Weld all round{leg}."
WELD_LEG_NOTE = ", leg {leg}"
EDGES = "Break edges, deburr."
EDGES_ROPE = " Rope holes: polish to {polish} grit."
EDGES_CHOSEN = " Rope holes: edge or bush as tabulated, polish to {polish} grit."
EDGES_TBC = (
    "Rope holes need edges R{radius} min; which way is not chosen: through-tube, bush, sleeve, or the {wall} wall "
    "polished full round. Holes are figured bare."
)
MATERIAL = "{grade}; top square."
TO_COME = "TBC by designer: {what}."
# What is asked for here, of the stanchions of the sheet.
ASKED = ("shop.weld_leg", "shop.weld", "shop.bush_material", "shop.cap", "shop.finish")
FINISHED = "Finish {finish}."
