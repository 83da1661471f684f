"""Text of the base plate sheets."""

from __future__ import annotations

TITLE = "{word}, {side}, {number} of {count}"
KIND = "Base plate"
PLAN = "seen from above, on the plate's upper face"
EDGE_AFT = "EDGE, seen from aft"
EDGE_OUTBOARD = "EDGE, seen from outboard"
EDGE_TO_SUIT = "tube drawn at the lean of {post}; lean of each post by the table"
EDGE_SQUARE = "pad drawn for {post}"
TOLERANCE = "tube to plate ±{value:g}°"
NOT_STATED = "not stated"
DECK = "DECK"
PAD_DRAWN = "PAD"
TUBE = "tube Ø{od}: no hole"
# Note on the joint, by the angle of tube to plate.
JOINT = {"to suit the post": "weld: not stated", "square to the plate": "joint: not stated"}
WELD = "fillet weld all round, leg {leg}"
IN_SOCKET = "in a socket, no weld"
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
EACH = "{count}, {each} per plate"
PLATE_SIZE = "{length} fore-and-aft x {width} x {thickness} thick"
BOLT_SIZE = "Ø{bolt}; thread and length not stated"
PAD_SIZE = "outline, {count} holes as the plate; thickness by the table"
TUBE_SIZE = "Ø{od} x {wall} wall; length by the table"
FEET_TITLE = "EACH TUBE ON ITS PLATE ({unit}, deg)"
FEET_HEAD = ("POST", "TUBE LEAN ON THE PLATE", "AT {height}", "OFF CENTRE", "FOOT", "TUBE OVER PLATE")
PADS_TITLE = "PAD UNDER EACH PLATE ({unit}): thickness at the corners and on the tube's axis"
PADS_HEAD = ("POST", "FWD OUT", "AFT OUT", "AFT IN", "FWD IN", "ON AXIS", "TUBE OVER PLATE")
ALIKE = "The bare plate is identical port and starboard; the {what} is not: keep the sides apart."
MIRRORED = "Port and starboard plates are mirror images: keep the sides apart."
ANGLE, PAD = "tube's angle", "pad"
COMMON = (
    "Seen from above, bow up. {alike}",
    "Holes are dimensioned from the plate's centre, 0. Dashed circle: position of the tube; no hole is bored there.",
)
TO_SUIT = (
    "The plate's lower face lies on the deck; the tube's axis goes through the centre of that face.",
    "LEAN: tube off square to the plate. AT {height}: its axis off square, across / fore-and-aft, that far above the "
    "lower face; in the same directions as the lean.",
    "OFF CENTRE: where the axis goes through the upper face, across / fore-and-aft; the same directions.",
    "FOOT: edge of the tube where a plane along the plate cuts it. TUBE OVER PLATE: upper face to top, on the axis.",
)
SQUARE = (
    "The tube is square to the plate, its axis through the plate's centre. A pad takes up the deck's slope.",
    "Pad: measured square to the plate, at the sharp corners. No feather edge: its thinnest corner is {least} "
    "({sure}), which is in ON AXIS and off TUBE OVER PLATE.",
    "TUBE OVER PLATE: on the axis, from the plate's upper face to the top.",
)
NOT_INTERCHANGEABLE = "The pads of {posts} are NOT INTERCHANGEABLE: mark each with its post."
INTERCHANGEABLE = "The pads of {posts} are alike."
SOCKET = (
    "SOCKET, bought: Ø{od} outside, bore Ø{bore}, {height} over the plate. The tube goes in {depth}. "
    "Retained by: {retention}{pin}."
)
SOCKET_DEPTH = "{depth}, from its mouth: cut length {cut}"
SOCKET_ON_PLATE = "to the plate: depth not stated"
SOCKET_PIN = ", pin hole Ø{hole}, its axis {height} over the plate"
SET_SCREW_ALONE = "A set screw alone lets go: pin or bolt the tube through."
DRAIN = "DRAIN: Ø{least} to {largest}, at the lowest point inside, where water stands (common practice, no source)."
DRILL = "Do not drill from this sheet: use the base plate drill template, full size, with a bar each way to check."
BENT = "{posts}: PROBABLY BENT (see sides and survey). Resolve this before a plate is made to this angle."
BRACE = "{posts}: braced. For the foot of the brace see the post card; its foot plate, bolts and tube are not stated."
UNSAID = "Not stated by the boat file: finish, bedding, {joint}limits of the plate's own sizes."
UNSAID_JOINT = "how tube and plate are joined, "
