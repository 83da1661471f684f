"""Words of the rigger's sheets of each line."""

from __future__ import annotations

from geom.drafting.ruling import KEPT
from geom.placement.eyes import Verdict

SINGLE_LINE = "guard lines, both sides"
ACROSS, INBOARD = "lines across", "inboard lines"
BOW, PORT = "BOW", "PORT"
SUBTITLE = {True: "Run {names}", False: "Runs {names}"}
HEADER = {1: "{line}, 1 run", 0: "{line}, {count} runs"}
DESCRIPTION = "Runs {names}: length off the reel, marks from the end made first, splices, holes and steps; bow at left."
BOW = "BOW"

OFF_REEL = "From reel"
EYE_FROM_THROAT = "EYE from throat"
FINISHED = "Finished length"
MARKED = "Marked length"
ERROR = "Error"
ERROR_RANGE = "Error, adjusts"
ADJUSTS = "Adjusts"

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
    "bears": "bearing",
    "lashed": "lashed",
}
ZERO, ZERO_FULL = "ZERO", "ZERO, MEASURE FROM HERE"
THREAD = {"forward": "THREAD FORWARD", "aft": "THREAD AFT"}
NO_HOLES = "NO STANCHION HOLES"
PASSES: dict[Verdict, str] = {
    "passes": "passes",
    "squeeze": "squeeze, messenger",
    "trial": "on trial only",
    "in place": "does not pass",
    "line does not pass": "line does not pass",
    "cannot tell": "not determined",
}
BORE = "Ø{bore}"
BUSHED = "{size} bush"
BORE_NEEDS = "{size}, needs {needs}"
VERDICT = "{size}: {verdict}"
PROVED = "passed on trial"
ITEM_THERE = "slide on {item}"
MADE = {
    "first": "made first",
    "second": "made second",
    "board": "made on board",
}
MADE_AS = "{made}: {end}"
SPLICE = "SPLICE {number}"
FITTING = "{name} {planned}"
RANGE = f"{{text}}{KEPT}({{minimum}}{KEPT}to{KEPT}{{maximum}})"

BURY = "bury"
OVERLAP = "overlap"
APART = "between"

BENCH = "ON THE BENCH"
BOARD = "ON BOARD"
DECIDE = "decide {held} first"
# Steps whose figure or place stands in the column of the run; other steps are worded as everywhere.
STEPS = {
    "step.off_the_reel": "cut from the reel",
    "step.pre_stretch": "pre-stretch at {pull}",
    "step.cut_trim": "trim {trim_mm} off the first end",
    "step.long_marks": "mark EYE to EYE at the marking tension, {pull}",
    "step.mark_rope": "mark the line at the marking tension, {pull}",
    "step.mark_wire_under": "lay the wire out, mark it at the marking tension, {pull}",
    "step.set_pull": "set pull {pull}",
    "step.milk_again": "milk",
    "step.keep_beyond_eye": "keep {eye_mm} beyond EYE, cut off about {rest_mm}",
    "step.haul_at_tension": "haul taut at the marking tension",
    "step.mark_eye_again": "mark EYE again at that tension, from throat unless shifted",
    "step.free_end_through": "thread the free end, taped, through",
    "step.finished_end_through": "draw the finished end with a messenger through",
    "step.try": "try it on board",
    "step.try_through": "try it on board, free end through",
    "step.fasten": "fasten the {which} end by the {fittings}",
    "step.fasten_pin": "pin the {which} end",
    "step.fasten_again": "fasten the {which} end again",
    "step.fasten_again_pin": "pin the {which} end again",
    "step.take_off": "unfasten the {which} end",
    "step.take_off_pin": "unpin the {which} end",
    "step.slack_off": "slack off {slack_mm} for the bury",
    "step.stopper": "set pull {pull} by a long gripping hitch on plain rope",
    "step.bring_back": "take the line off",
    "step.thimble_in": "thimble into the {which} eye",
    "step.slide_on_for": "slide on {item} for",
    "step.check_marks": "check the marks against the layout, mark again, cut",
    "step.check_from_throat": "check EYE from the made eye's throat, mark again",
}
# These begin a line of their own.
NEXT_LINE = ("step.never_through", "step.never_through_yields")
# What the sheet of splices says of every splice.
ON_SPLICE_SHEET = ("step.bury", "step.splice_marks")
LOCKS = {
    "locked Brummel": "locked Brummel",
    "one-ended": "one-ended lock",
    "stitched bury": "lock-stitched straight bury",
}
# Shorter words for the pulls of steps.
SHORT_PULLS = {
    "pull.pre_stretch": "pull.pre_stretch_short",
    "pull.set": "pull.set_of_unknown_break",
    "pull.marking_practice": "pull.marking_short",
}
SET_YIELDS = "do not set before the designer agrees: at these tensions yields"
SET, SET_RECOMMENDED = "set the line, write the log", "set the line as recommended, write the log"
MAKE = "{which} end{board}: {made}"
WHICH = {True: "first", False: "second"}
ON_BOARD = " on board"
MEASURE = {
    "first eye": "throat to EYE",
    "on board": "boat governs: stop unless EYE is short of the pin by",
    "second eye": "bearing to bearing at the marking tension",
}
BEYOND = "boat governs: stop unless EYE is short of the pin (minus: beyond it) by"
ALL_BEYOND = "boat governs: stop unless EYE is beyond the pin by"
# The same where the figure stands within the sentence.
SENTENCES = {
    MEASURE["on board"]: "EYE {figure} short of the pin; else stop, the boat governs",
    BEYOND: "EYE {figure} short of the pin (minus: beyond it); else stop, the boat governs",
    ALL_BEYOND: "EYE {figure} beyond the pin; else stop, the boat governs",
}
REJECT = {
    "first eye": "else shift the other EYE as much; splice again under, over",
    "second eye": "reject under, over",
}
FROM_TO = "{low} to {high}"
LOW_HIGH = "{low}, {high}"
OF_RUN = "{run} {figure}"
WITH_FIGURE = "{text}: {figure}"

NOTE_MARKS = {
    "mm": "Marks in millimetres along the finished line.",
    "in": "Marks in inches along the finished line.",
}
NOTE_SPLICE = "Throat: eye closes. Taper: tail starts to taper. Bury: tail ends."
NOTE_WIRE = "Wire: its end inside the terminal."
NOTE_TAKE_UP = "Take-up {each} {unit} a splice, as measured on {runs}: the lengths are corrected by it."
NOTE_WIDTH = "Widths not to scale."
NOTE_BARE = "Edges of holes not chosen: bores are of bare holes; a bush leaves less and may change how an end is made."
NOTE_HOLES = "Holes: bore, and what the finished end{thimble} needs ({source})."

LOG_TITLE = "making log"
LOG_KIND = "Form to fill in by hand"
LOG_UNITS = {"mm": "mm, N", "in": "inches, lbf [N]"}
LOG_FORCE = {"mm": "N", "in": "lbf"}
# What is measured when a step of the log is done.
LOG_MEASURES = {
    "log.first_splice": "first eye",
    "log.mark_cut": "on board",
    "log.thread_mark_cut": "on board",
    "log.second_splice": "second eye",
    "log.second_splice_on_board": "second eye",
}
LOG_HEADS = ("RUN", "STEP", "WANTED", "AS MEASURED, {unit}, {force}", "DATE", "BY")
