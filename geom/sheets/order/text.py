"""The text of the order list."""

from __future__ import annotations

from geom.sheets.compliance.text import SURE_WORDS

TITLE = "order list"
SAID = "rope and wire from the reel, parts to buy, test pieces, cord and twine"
KIND = "rope, wire, parts, cord"
TOLERANCE = "not applicable: a list"
# Units in the order in which the title block names them.
UNITS = ("mm", "inches", "m", "ft", "kN", "lbf", "N", "lb", "g")
UNIT_NAME = {"mm": "mm", "in": "inches"}
LOAD_UNIT = {"mm": "kN", "in": "lbf"}
MASS_UNIT = {"mm": "g", "in": "lb"}
DESCRIPTION = (
    "What is to be bought: rope and wire with their pieces, parts with what is known of them, cord, what waits."
)

REEL_CAPTION = "LENGTHS TO ORDER"
REEL_SCALE = "1:{mm}"
REEL_LINE = "{line}: {construction} {diameter}"
METRES = "{length} m"
LENGTH_UNITS = {"mm": "m", "in": "ft"}
NO_STOCK = "{count} end to end, as ordered"
REEL_OF = "reel {number} of {count}, {stock}; left over {left}"
TOO_LONG = "no stock length holds: {names}"
NOTHING_TO_CUT = "no piece to order: see ON HOLD"
ROUNDED = "rounded up"
WITHOUT = "rounded up, without {count} on hold"
PIECE_WORDS = ("piece", "pieces")
LINE_WORDS = ("line", "lines")

# In a list to be filled in, a cell that stays empty.
NOTHING = "-"

BUY = "TO BUY ({unit})"
LOAD_HEAD = "BREAKING LOAD, FROM"
BUY_HEADS = ("QTY", "ON HOLD", "PART", "KIND", "KNOWN", "MATERIAL", LOAD_HEAD, "TBC", "WHERE")
LOAD_KN = "{kilo:.1f} kN"
LOAD_LBF = "{pounds:.0f} lbf [{kilo:.1f} kN]"
LOAD_FROM = "{load}: {source}"
SEE_PIECES = "see PIECES"
ENDS = {"start": "forward end: {runs}", "finish": "after end: {runs}", "both": "both ends: {runs}"}

REELS = "REELS ({unit})"
REELS_HEADS = ("LINE", "REELS", "BOUGHT", "LEFT OVER")
REELS_OF = "{count} of {stock}"

PIECES = "PIECES ({unit})"
PIECES_HEADS = ("RUN", "LINE", "IN LINE", "TAKE-UP SPARE", "TRIM", "WORKING TAIL", "FROM REEL", "REEL")

ON_HOLD = "ON HOLD, NOT ORDERED (see the sheet of the run)"
ON_HOLD_HEADS = ("RUN", "LINE", "OPEN ITEMS")

MEASURE = "TO MEASURE ON THE PART AND WRITE IN ({unit})"
MEASURE_HEADS = ("RUN", "END", "AT", "PART", "KIND", "MIN", "SET AT", "MAX", "PIN", "JAW", "THREAD", "HAND")
END = {"start": "forward", "finish": "after"}

SMALL = "CORD, SLEEVES, SMALL PARTS ({unit})"
SMALL_HEADS = ("QTY", "PART", "Ø", "LENGTH EACH", "TOTAL", "TURNS", "MATERIAL", "PRICE EACH", "FOR", "LENGTH FROM")

SUMS = {"mass": "MASS of what is known", "cost": "COST of what is known", "both": "MASS AND COST of what is known"}
SUMS_HEADS = ("", "SUM", "NOT COUNTED", "FROM")
SUM_OF_MASS = {"mm": "mass, g", "in": "mass, lb [g]"}
MASS = {"mm": "{grams}", "in": "{pounds} [{grams}]"}
SUM_OF_COST = "cost"
SUM_OF_COST_IN = "cost, {currency}"
COUNTED = "{count} x {kind}"

# Stanchions on hold in the list of parts to buy.
HELD_POSTS = "{posts} on hold, open items {numbers}: their parts are counted; order them when these are closed."

COMPARE = "LINES SIDE BY SIDE for all runs ({unit})"
COMPARE_UNITS = {"mm": ("N", "g"), "in": ("lbf", "lb")}
COMPARE_HEADS = (
    "LINE", "CONSTRUCTION", "Ø", "BREAKS AT {force}", "STRETCH AT {pull} {force}", "MASS {mass}", "COST",
    "EYE, WORST HOLE", "YEARS", "NOTICES",
)  # fmt: skip

# KEY of a sheet by the id of the list: a line, and the text that must be on the sheet for it to appear.
KEY = {
    "order-buy": (
        ("Tubes, brace tubes, plates, pads: sheet F6.", "base bolt"),
        ("MATERIAL, BREAKING LOAD: where empty, ask the supplier. TBC: sizes to be found out.", ""),
        ("GIRTH of a thimble: round its groove, where the rope lies.", "girth"),
        ("OFF THE CUT: what a terminal takes off the length of its wire.", "off the cut"),
        ("Breaking loads are never taken from a size: ask for the certificate.", ""),
    ),
    "order-lines": (("REELS: the longest piece first, each from the first reel that holds it.", ""),),
    "order-pieces": (
        ("TAKE-UP SPARE: for a take-up that is not measured on this rope.", "TAKE-UP SPARE"),
        (
            "WORKING TAIL: to hold and pull by where an end is made on board; common practice, no source.",
            "WORKING TAIL",
        ),
    ),
    "order-small": (("TURNS: of one lashing. Cord is renewed every year; common practice, no source.", "TURNS"),),
    "order-sums": (
        ("NOT COUNTED: mass or price not stated.", ""),
        *((f"{mark}.", f"({name})") for name, mark in SURE_WORDS.items() if name.startswith("memory")),
    ),
    "order-ends": (
        ("Empty cells: measure them on the part; a dash: nothing to write in. MIN, SET AT, MAX: pin to pin.", ""),
    ),
    "order-compare": (("YEARS: common practice where no source is named.", ""),),
}
