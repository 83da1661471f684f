"""Words of the rigger's sheets of each line."""

from __future__ import annotations

from geom.placement.eyes import Verdict

TITLE = {"U": "{side} upper", "M": "{side} middle", "L": "{side} lower"}
SINGLE_LINE = "guard lines, both sides"
ACROSS, INBOARD = "lines across", "inboard lines"
BOW, PORT = "BOW", "PORT"
SUBTITLE = "Runs {names}"
HEADER = {1: "{line}, 1 run", 0: "{line}, {count} runs"}
DESCRIPTION = "Runs {names}: length off the reel, marks from the end made first, splices, holes and steps; bow at left."
BOW = "BOW"

# What heads the box of a run: of rope, of wire.
BOX = {True: "FROM REEL", False: "CUT"}
EYE_FROM_THROAT = "EYE from throat"
FINISHED = "Finished length"
MARKED = "Marked length"
BY_MARKING = "By marking pull"
ERROR = "Error"
ERROR_RANGE = "Error, range"
ERROR_THEN = "{first}, then ±{then}"
ADJUSTS = "Adjusting range"

ON_HOLD = "ON HOLD"
DO_NOT_CUT = "do not cut"
DO_NOT_CUT_ITEM = "do not cut: open item {number}"
ALL_ON_HOLD = "no line of this sheet may be cut yet"
OPTIONS_HEADS = ("DECISION REQUIRED", "FIGURES", "STILL TO CHECK")
OPTION = "{letter} {what}"
MISSING = "Not determined: {missing}."
REASON = "Why: {reason}."

# Beside a mark.
MARKS = {
    "throat": "throat",
    "taper begins": "taper",
    "bury ends": "bury",
    "hole": "hole",
    "wire ends": "wire",
    "pin": "pin",
    "bears": "bears",
    "lashed": "lashed",
}
ZERO, ZERO_FULL = "ZERO", "ZERO, MEASURE FROM HERE"
THREAD = {"forward": "THREAD FORWARD", "aft": "THREAD AFT"}
NO_HOLES = "NO STANCHION HOLES"
PASSES: dict[Verdict, str] = {
    "passes": "passes",
    "squeeze": "squeezed, with a messenger",
    "trial": "trial piece first",
    "in place": "does not pass",
    "line does not pass": "line does not pass",
    "cannot tell": "not determined",
}
BORE = "Ø{bore}"
BUSHED = "{size} bush"
BORE_NEEDS = "{size}, needs {needs}"
PROVED = "passed on trial"
ITEM_THERE = "slide on {item}"
MADE = {
    "first": "made first, on the bench",
    "second": "made second, on the bench",
    "board": "made on board",
}
MADE_AS = "{made}: {end}"
SPLICE = "SPLICE {number}"
SPLICE_SHEET = ", SPLICE {number} on sheet R5"
LASHED = "lashed at {planned}"
FITTING = "{name} {planned}"
RANGE = "{text} ({minimum} to {maximum})"
THIMBLE = "{pattern} thimble"

BURY = "bury"
OVERLAP = "overlap"
APART = "between"
FINISHED_HELD = "<> finished; two buries need {needs}"
FINISHED_ONLY = "<> finished"

BENCH = "ON THE BENCH"
BOARD = "ON BOARD"
DECIDE = "Before cutting, decide {run}: one piece with this line, or not?"

NOTE_MARKS = {
    "mm": "Marks in millimetres along the finished line.",
    "in": "Marks in inches along the finished line.",
}
NOTE_SPLICE = "Throat: eye closes. Taper: tail thins. Bury: tail ends."
NOTE_WIRE = "Wire: its end inside the terminal."
NOTE_WIDTH = "Widths not to scale."
NOTE_BARE = "Edges of holes not chosen: bores are of bare holes; a bush leaves less and may change how an end is made."
NOTE_HOLES = "Holes: bore, and what the finished end{thimble} needs ({source})."

LOG_TITLE = "making log"
LOG_KIND = "Form to fill in by hand"
LOG_HEADS = ("RUN", "STEP", "WANTED", "AS MEASURED, {unit}", "DATE", "BY")
NO_TOLERANCE = "not applicable"
