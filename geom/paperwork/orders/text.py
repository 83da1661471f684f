"""The text of the orders."""

from __future__ import annotations

NONE, TBC = "-", "TBC"
END = {"start": "forward", "finish": "after"}

WIRE = "order: wire lines made up"
WIRE_KIND = "Order to the maker of wire lines"
WIRE_DESCRIPTION = "Wire lines to be made elsewhere: length pin to pin, terminals, what is to be marked and delivered."
WIRE_CHAIN = "LENGTHS ({unit}), each line from its forward pin to its after pin"
WIRE_GROUPS = (("", 1), ("FORWARD", 2), ("", 1), ("AFTER", 2), ("", 2))
WIRE_CHAIN_HEADS = (
    "LINE", "FITTINGS AS SET", "TERMINAL ADDS", "WIRE", "TERMINAL ADDS", "FITTINGS AS SET", "PIN TO PIN", "STRETCH",
)  # fmt: skip
WIRE_LINES = "LINES"
WIRE_LINE_HEADS = ("LINE", "WIRE", "MADE UNDER", "SET AT", "TAKES UP", "LETS OUT", "PLUS OR MINUS")
WIRE_OF = "{construction}, {material}, {diameter}"
WIRE_ENDS = "ENDS ({unit}); an empty cell: the maker fills it in and sends it back"
WIRE_END_HEADS = (
    "LINE", "END", "TERMINAL", "THREAD", "HAND", "FORK PLANE", "MADE", "MAX Ø", "Ø MADE", "MARK AT",
)  # fmt: skip
WIRE_FITTINGS = "FITTINGS AS SET ({unit}), pin to pin"
WIRE_FITTING_HEADS = ("FITTING", "KIND", "SET AT", "OPENED BY", "MIN", "MAX", "ON LINES")
WIRE_HELD = "ON HOLD, NOT ORDERED"
WIRE_HELD_HEADS = ("LINE", "WHY")
MADE = {"ashore": "ashore", "on board": "after threading"}
PLANE = "turned {turn} deg, leaning {lean} deg"
PLUS_MINUS = "±{value}"
LESS_TAKE_UP = (
    "TAKES UP is less than LETS OUT on {runs}: a line only lengthens in use, so a longer setting leaves more take-up "
    "(length, planned, of the fitting in the boat file)."
)
WIRE_NOTES = (
    "PIN TO PIN: FITTINGS + TERMINAL + WIRE + TERMINAL + FITTINGS, hooks closed, turnbuckles as set, under the tension "
    "MADE UNDER. STRETCH: what the line lengthens by from there to the tension SET AT; PIN TO PIN and STRETCH are the "
    "path on the boat.",
    "OPENED BY: of a turnbuckle or hook, from screwed right in to SET AT, all its threads together.",
    "TERMINAL ADDS: from the end of the wire to where the terminal bears.",
    "TAKES UP, LETS OUT: what the fittings of the line shorten and lengthen by from this setting, together.",
    "Tolerance: {source}.",
    "MARK AT: mark on the wire, before swaging, how far it goes into each terminal, by its own bore where the cell is "
    "empty. Ø MADE: measured after swaging, twice, square across. Both are to be sent back with the line.",
    "A certificate with the minimum breaking load of the wire, and the lot of wire and terminals, are to come with "
    "the line; breaking loads are never taken from a size.",
    "MAX Ø: of the finished terminal, with which the holes that it passes were checked.",
    "MADE after threading: that terminal is fitted by hand on board; a swage that would have to be made there puts its "
    "line on hold.",
)

ROPE = "order: rope and cord"
ROPE_KIND = "Order to the supplier of rope"
ROPE_DESCRIPTION = "Rope and cord as sold, with the reel plan and the pieces that it is cut into."
ROPE_BUY = "TO BUY"
ROPE_BUY_HEADS = ("LINE", "WHAT", "Ø {unit}", "LENGTH", "AS SOLD", "BREAKING LOAD, FROM")
ROPE_REELS = "REEL PLAN ({unit})"
ROPE_REEL_HEADS = ("REEL", "LENGTH", "PIECES IN ORDER", "LEFT OVER")
ROPE_PIECES = "PIECES ({unit})"
ROPE_PIECE_HEADS = ("PIECE", "LINE", "LENGTH")
BY_LENGTH, REELS = "by the {unit}", "reels: {lengths}"
CORD = "CORD AND TWINE ({unit})"
CORD_HEADS = ("WHAT", "QTY", "Ø", "LENGTH EACH", "FOR")
ROPE_NOTES = (
    "A certificate with the minimum breaking load, and the lot, are to come with the delivery.",
    "Lengths are those of sheet R7; lines on hold are not in them.",
)

FITTINGS = "order: fittings"
FITTINGS_KIND = "Order to the supplier of fittings"
FITTINGS_DESCRIPTION = "Fittings, terminals, thimbles and small parts to buy, with what is known of them."
PARTS = "TO BUY ({unit})"
PART_HEADS = ("QTY", "PART", "KIND", "KNOWN", "MATERIAL", "BREAKING LOAD", "TBC BY SUPPLIER", "FOR")
FITTINGS_NOTES = (
    "An empty cell is to be filled in by the supplier.",
    "Parts of lines on hold are not in the quantities: {held}.",
    "Whatever is loaded by a guard line is to come with a certificate.",
)
NONE_HELD = "there are none"

NETS = "order: nets"
NETS_KIND = "Order to the maker of nets"
NETS_DESCRIPTION = "Nets with their meshes, edges and lacing, bay by bay."
NET_LIST = "NETS, square meshes ({unit})"
NET_HEADS = (
    "NET",
    "BAR OF MESH",
    "MESHES ALONG",
    "MESHES UP",
    "AREA {area}",
    "EDGE CORD Ø",
    "LENGTH",
    "LACING Ø",
    "LENGTH",
)
AREA = {"mm": ("m2", 1000.0**2), "in": ("ft2", 304.8**2)}
BAYS = "BAYS ({unit})"
BAY_HEADS = ("NET", "BAY", "FROM", "TO", "UPPER EDGE", "FOOT", "HEIGHT AT FROM", "HEIGHT AT TO", "CUT OUT FOR")
BRACES = {0: "", 1: "1 brace"}
MORE_BRACES = "{count} braces"
NET_EDGES = "EDGES ({unit})"
NET_EDGE_HEADS = ("NET", "EDGE", "LENGTH", "LACED TO Ø", "LACING CORD")
NETS_NOTES = (
    "Sizes are those of the edges as they lie on the boat: nothing is taken off for lacing or stretch. MESHES: at the "
    "most. An empty cell is not known: TBC by the rigger.",
    "A certificate of the netting with its breaking load, and its lot, are to come with the delivery.",
)

TUBES = "order: tubes and plates"
TUBES_KIND = "Order to the fabricator"
TUBES_DESCRIPTION = "Tubes by cut length and plates for the stanchions that are to be made, to sheets F1 to F6."
TUBE_PARTS = "TO MAKE ({unit})"
TUBE_HEADS = ("QTY", "PART", "CUT", "SIZES", "MATERIAL", "FOR")
TUBES_NOTES = (
    "CUT: over the long point. Made to sheets F1 to F6, which govern; what is on hold there is not ordered here.",
    "A material certificate is to come with them.",
)
