"""The words of the base plate sheets."""

from __future__ import annotations

TITLE = "{word}, {side}, {number} of {count}"
KIND = "Base plate"
PLAN = "seen from above, on the plate's upper face"
EDGE_AFT = "EDGE, seen from aft"
EDGE_OUTBOARD = "EDGE, seen from outboard"
EDGE_TO_SUIT = "tube drawn as {post} leans; each post's own lean by the table"
EDGE_SQUARE = "pad drawn for {post}, its thinnest corner as 0"
TOLERANCE = "tube to plate ±{value:g}°"
NOT_STATED = "not stated"
DECK = "DECK"
PAD_DRAWN = "PAD"
TUBE = "tube Ø{od}: no hole"
# What is said of the joint, by how the tube stands on the plate.
JOINT = {"to suit the post": "weld: not stated", "square to the plate": "joint: not stated"}
WELD = "fillet weld all round, leg {leg}"
HOLES = "{count} x Ø{hole}"
CORNERS = "4 x R{radius}"
ZERO = "0"
BOW = "BOW"
CORNER = {
    "forward outboard": "FWD OUT",
    "aft outboard": "AFT OUT",
    "aft inboard": "AFT IN",
    "forward inboard": "FWD IN",
}
PARTS_TITLE = "PARTS FOR {posts} ({unit})"
PARTS_HEAD = ("PART", "COUNT", "SIZE", "MATERIAL")
PARTS_PLATE = "plate, {word}"
EACH = "{count}, {each} to a plate"
PLATE_SIZE = "{length} fore-and-aft x {width} x {thickness} thick"
BOLT_SIZE = "Ø{bolt}; thread and length not stated"
PAD_SIZE = "outline, {count} holes as the plate; thickness by the table"
TUBE_SIZE = "Ø{od} x {wall} wall; length by the table"
FEET_TITLE = "EACH TUBE ON ITS PLATE ({unit}, deg)"
FEET_HEAD = ("POST", "TUBE LEANS ON THE PLATE", "AT {height}", "OFF MIDDLE", "FOOT", "TUBE OVER PLATE")
PADS_TITLE = "PAD UNDER EACH PLATE ({unit}): thickness at the corners and on the tube's axis"
PADS_HEAD = ("POST", "FWD OUT", "AFT OUT", "AFT IN", "FWD IN", "ON AXIS", "TUBE OVER PLATE")
ALIKE = "The bare plate is alike port and starboard; the {what} is not: keep the sides apart."
MIRRORED = "Port and starboard plates are mirror images: keep the sides apart."
ANGLE, PAD = "tube's angle", "pad"
COMMON = (
    "Seen from above, bow up. {alike}",
    "Holes count from the plate's middle, 0. Broken circle: where the tube stands; no hole is bored there.",
)
TO_SUIT = (
    "The plate's lower face lies on the deck; the tube's axis goes through the middle of that face.",
    "LEANS: tube off square to the plate. AT {height}: its axis off square, across / fore-and-aft, that far above the "
    "lower face; the same ways as it leans.",
    "OFF MIDDLE: where the axis goes through the upper face, across / fore-and-aft; the same ways.",
    "FOOT: edge of the tube where a plane along the plate cuts it. TUBE OVER PLATE: upper face to top, on the axis.",
)
SQUARE = (
    "The tube stands square on the plate, its axis through the plate's middle. A pad takes up the deck's slope.",
    "Pad: measured square to the plate, at the sharp corners; the thinnest corner counts as 0. Where the made pad "
    "is thicker there, add that to the four corners and to ON AXIS; take it off TUBE OVER PLATE.",
    "TUBE OVER PLATE: on the axis, from the plate's upper face to the top.",
)
DRILL = "Do not drill from this sheet: use the base plate drill template, full size, with a bar each way to check."
BENT = "{posts}: PROBABLY BENT (see sides and survey). Settle that before a plate is made to this angle."
BRACE = (
    "{posts}: a brace stands beside. Where its foot stands, see the post card; its foot plate, bolts and tube are not "
    "stated."
)
UNSAID = (
    "Not stated by the boat file: finish, bedding, how tube and plate are joined, {pad}limits of the plate's own sizes."
)
UNSAID_PAD = "least thickness of the pad, "
