"""Text of the sheet of bases, pads and brace feet."""

from __future__ import annotations

TITLE = "bases, pads, brace feet"
SUBTITLE = "{words}: plates, tubes on them, pads, braces"
HEAD = "BASES"
HEAD_LINE = "drawn for {side}, bow up; {projection} angle"
DRAWN_FOR = {frozenset("S"): "starboard", frozenset("P"): "port"}
DRAWN_FOR_EACH = "the side of its stanchion each"
SIZE = "{length} x {width} x {thickness}, {count} x Ø{hole}{material}; {quantity}"
MATERIAL = "; {material}"
EDGE_AFT = "{post} FROM AFT"
EDGE_OUTBOARD = "{post} FROM OUTBOARD"
DESCRIPTION = "Bases {words}: plates, tubes on them, pads and brace feet."
DECK = "DECK"
PAD_DRAWN = "PAD"
WELD_LEG = "z{leg}"
HOLES = "{count} x Ø{hole}"
CORNERS = "4 x R{radius}"
ZERO = "0"
BOW = "BOW"
AFT_MARK = "AFT mark"
CORNER = {
    "forward outboard": "FWD OUT",
    "aft outboard": "AFT OUT",
    "aft inboard": "AFT IN",
    "forward inboard": "FWD IN",
}
FEET = "TUBES ON PLATES MADE TO SUIT"
FEET_GROUPS = ("TUBE-TO-PLATE ANGLE°", "AXIS OFF CENTRE, UPPER FACE")
ACROSS, FORE = "ATHWARTSHIPS", "FORE AND AFT"
STANCHION, BASE, QTY = "STANCHION", "BASE", "QTY"
# By whether the pads of a base may be exchanged.
PADS = {True: "PAD THICKNESS", False: "PAD THICKNESS: NOT INTERCHANGEABLE"}
ON_AXIS = "ON\nAXIS"
BRACES = "BRACE FEET, FROM THE STANCHION'S FOOT"
BRACE_COLUMNS = ("FORE AND AFT", "ATHWARTSHIPS", "HEIGHT", "SLANT\nto tube axis", "ANGLE°\nto tube", "TUBE, FOOT")
TBC, NOTED = "TBC", "as noted"
LEVEL = "level"

NOTES = "NOTES"
TOLERANCE = "Tube to plate ±{plate}° (common practice, no source). Dashed: the tube, no hole."
ALIKE = "Bare plates are identical P & S; tube angles and pads are not: do not interchange P & S."
MIRRORED = "Port plates mirror starboard: do not interchange P & S."
ONE_SIDED = "Plates of one side only are drawn for that side: do not mirror {words}."
TO_SUIT = "Made to suit: lower face on deck, axis through its centre."
SQUARE = (
    "Pads: square to the plate at its sharp corners, outline and holes as the plate; no feather edge, thinnest corner "
    "{least} ({sure})."
)
SOCKET = "{base}: bought socket, tube {depth}, held by {retention}; no weld."
SOCKET_DEPTH, SOCKET_ON_PLATE = "{depth} deep from its mouth", "on the plate"
SET_SCREW_ALONE = "{base}: a set screw alone can work loose; pin or bolt the tube through."
DRAIN = "Drain Ø{least} to {largest} at the lowest point inside tube or socket (common practice, no source)."
WELD = "Weld all round{leg}. Scribe AFT on the plate's after edge."
LEG = ", leg {leg}"
DRILL = "Drill from the full-size template."
TO_COME = "TBC by designer: {what}."
# What is asked for here, of the stanchions of the sheet.
ASKED = (
    "shop.weld_leg", "shop.weld", "shop.plate_material", "shop.base_bolts", "shop.pad_material", "shop.brace",
)  # fmt: skip
BENT = "{posts} bent: make no plate to its angles."
MANY = "{count} stanchions"
