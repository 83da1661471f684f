"""All words that stand on the sheets, in one place."""

from __future__ import annotations

from geom.boat.model import Side

SIDE: dict[Side, str] = {"P": "PORT", "S": "STARBOARD"}

# ISO 7200 data fields, in our block's order.
OWNER = "Legal owner"
TITLE = "Title"
NUMBER = "Identification number"
REVISION = "Rev."
DATE = "Date of issue"
CREATOR = "Creator"
APPROVAL = "Approval person"
KIND = "Document type"
STATUS = "Document status"
SHEET = "Sheet"
LANGUAGE = "Lang."
SIZE = "Paper"
SCALE = "Scale"
UNITS = "Units"
SURVEY = "Survey"
TOLERANCE = "Tolerance"
DATA = "Data"

LEGEND = "MADE-UP END THROUGH THE HOLE (limits: {source})"
EYE_WORDS = {
    "passes": "passes",
    "squeeze": "squeezed through with a messenger",
    "trial": "trial piece first, else made in place",
    "in place": "made in place, after threading",
    "line does not pass": "the line itself does not pass",
    "cannot tell": "cannot tell: a measure is missing",
}
NOTES = "NOTES"
NOTE_LINES = (
    "1  X aft from the stem head on the centreline at deck, Y to starboard, Z up from {z_zero}.",
    "2  Spans are true lengths from hole centre to hole centre, or to the pin of the end.",
    "3  H: vertical height of a hole's centre above the deck at the post's foot.",
    "4  CLOCK, TILT: best hole axis about the tube; + aft end outboard, + aft end up.",
    "5  PL OUT, PL AFT: tube against the deck plate, + outboard, + aft. Do not scale this print.",
)
GATE = "GATE"
PICTORIAL_BOAT = "WHOLE BOAT, seen from aft, to starboard and above"
# What stands in place of a table that the sheet has no room for: stanchions, holes, runs.
ELSEWHERE = ("STANCHIONS: on the post schedule", "HOLES: on the post schedule", "RUNS: on the run cards")
ABOVE_BAR = "100 mm when printed at full size"
ABOVE_BAR_INCHES = "100 mm and, below, 4 in when printed at full size"

# Lists that flow over sheets.
CONTINUED = "{title} (continued)"
KEY = "KEY"

# Rule sheet, with what the sides and the survey have to say.
RULES_TITLE = "rules"
RULES_KIND = "Rule sheet"
AGREEMENT_TITLE = "sides and survey"
AGREEMENT_KIND = "Asymmetry and closure"
BANDS = {
    "summary": "DOCUMENTS PUT TO THIS BOAT",
    "comparison": "FOR COMPARISON: documents that bind other boats and that the boat file does not name",
    "coverage": "CLAUSES: checked here, not to be computed from a boat file, not read",
    "pairs": "PORT AGAINST STARBOARD ({unit}), over {limit} {unit}: DO NOT PAIR",
    "closure": "TAPES AGAINST COORDINATES ({unit}), flagged over {limit} {unit}",
    "as-found": "POSTS AS FOUND ({unit}, deg), judged over {fair} {unit} and {lean} deg",
}
MIRRORED = "{side} was not measured: it is mirrored from {given}, so that no difference can show"
DO_NOT_PAIR = "DO NOT PAIR"
ALIKE = "alike"
VERDICT_WORDS = {
    "fail": "FAIL",
    "cannot tell": "CANNOT TELL",
    "notice": "notice",
    "pass": "pass",
    "not applicable": "not applicable",
}
BINDS = "put to the boat"
COMPARED = "comparison"
RULE_KEY = (
    "Each failure and each waived finding stands alone; of others the tightest place stands, OF how many.",
    "MARGIN is positive where the limit is kept. A dash: not told by the boat file, or not a number.",
    "SURE, of the limit: found = text read; found-2 = read second hand; memory = from memory, verify;",
    "common practice = no source. A limit from memory makes a notice, never a verdict.",
    "CANNOT TELL: a measure is missing, or the limit lies within what is known. NOTE counts in mm and N.",
    "A waiver stands beside a finding and never changes it. Computed figures, not an approval.",
)
SURVEY_KEY = (
    "DIFFERENCE is starboard less port; a line, a tube or a base of one side does not fit the other where it says so.",
    "RESIDUAL is taped less computed from the coordinates. A cause is likely, not proved: tape again before cutting.",
    "OFF CURVE: foot off a curve through its neighbours; OFF FAMILY: distance to the deck edge less this boat's usual.",
    "OUT, AFT: upper hole off the place that the usual (or intended) lean and rake would give it, + outboard, + aft.",
    "Limits here are common practice, no source.",
)
FLAGGED = "FLAGGED"
CLOSES = "closes"
NO_CAUSE = "none found: tape again"
OFF_LINE = "OFF THE FAIR LINE"
PROBABLY_BENT = "PROBABLY BENT"
IN_FAMILY = "in family"

# Setting and test card.
SETTING_TITLE = "setting and test"
SETTING_KIND = "Setting card"
TEST_KIND = "Push test and test bar"
END = {"start": "forward", "finish": "aft"}
SETTINGS = "ADJUSTERS WHILE THE LINE IS MARKED ({unit}, pin to pin): set them to MARK AT first, then measure and mark"
NO_ADJUSTER = "no adjuster"
LOG = "LOG: tension (N) and how far the widest span gives ({unit})"
LOG_TIMES = ("WHEN SET:", "AFTER 1 DAY:", "AFTER 1 WEEK:", "AFTER 1 MONTH:")
LOG_BOXES = ("date", "N", "gives", "by")
SETTING_KEY = (
    "OPENED BY: beyond the shortest length, all studs together; PER STUD: on each of two.",
    "THREAD SHOWING: thread to be seen on each stud, where the file tells how much shows when closed.",
    "A dash: the boat file does not tell. Nothing is guessed: measure it and write it beside.",
    "Rope lengthens as it beds in: tighten again after 1 day, 1 week, 1 month (common practice, no source).",
    "Renew lashings every year (common practice, no source). Lock nuts and split pins are set last.",
)
PUSHES = "PUSH TESTS ({unit}, N): widest span aft of the mast, pushed midway, square to the line"
NO_MAST = "Push tests: cannot tell which spans are aft of the mast; the boat file does not say where the mast stands."
CANNOT_TELL = "cannot tell"
SLACK_PASSES = "passes slack"
MAST_BESIDE = "beside it"
MAST_FORWARD = "forward"
PUSH_KEY = (
    "SUPPORTS: between tube axes or eyes. MAST: forward of the span, or beside it (whether it then counts is open).",
    "SET N: tension that keeps the limit: on rigid ends, the line sliding free; and where ends may give (set to this).",
    "GIVES: what the stated tension lets expect, between the same bounds. Posts and ends lie between them.",
    "Forces and limits: {source}. Check the edition in force.",
)
BAR_TITLE = "TEST BAR on the widest span"
BLOCK_TITLE = "BLOCK"
BAR_STEPS = (
    "Lay the bar on the line so that it touches at both supports, and at no other place.",
    "Hang {new} ({new_kg}) at mid-span; {old} ({old_kg}) by rules before 2014.",
    "Offer the block up between bar and line at mid-span: its {upper} side for the upper or only line, "
    "its {other} side for the others.",
    "It goes in: the line gives more than the limit. It does not go in: the limit is kept.",
    "Write down what was found, the date and by whom.",
)
BAR_BLOCK = "block"
BAR_EDGE = "bar"
BAR_WEIGHT = "weight"

AS_SHOWN = "as shown"

# Blank measuring form.
FORM_TITLE = "measuring form"
FORM_KIND = "Survey form"
FORM_DATA = "blank form"
FORM_HEAD = (("BOAT", 3), ("DATE", 2), ("BY", 2))
FORM_TOOLS = (("TAPE AND LEVEL USED", 3), ("AFLOAT OR ASHORE", 2), ("Z COUNTS FROM", 2))
FORM_UNIT = {"mm": "All lengths in mm, angles in deg.", "in": "All lengths in inches, angles in deg."}
FORM_PLAN = "WHICH POINT IS WHICH"
FORM_MARKS = ("STEM = 0", "MAST MARK", "STERN MARK")
FORM_TOUCH = "WHICH POINT TO TOUCH"
FORM_SKETCHES = (
    ("FOOT", "tube's axis at the deck"),
    ("HOLE", "its centre, on the tube's axis"),
    ("EYE", "where pin or lashing bears"),
    ("LEAN, RAKE", "level on the straight tube"),
)
FORM_RULES = (
    "Measure PORT and STARBOARD: boats are not alike on both sides. Copy nothing across.",
    "X aft from the stem head, Y from the centreline (minus to port), Z up.",
    "Write every figure as read. Cross out, never rub out.",
    "Read each tape twice, from both ends. Dashed: the check tapes of the last sheets.",
    "No reading is a reading too: write a dash.",
)
FORM_USUAL = "{name} ± (usual {value})"
FORM_POSTS = "{side} POSTS"
FORM_POSTS_HOW = (
    "LEAN + outboard, RAKE + aft. DECK + falls aft, + falls outboard. ALONG, TOP: up the tube from its foot."
)
FORM_POST_BOXES = ("FOOT X", "FOOT Y", "FOOT Z", "LEAN", "RAKE", "DECK AFT", "DECK OUT")
FORM_EYES = "{side} EYES"
FORM_EYE_BOXES = ("X", "Y", "Z", "BAR OR HOLE Ø", "NOTE")
FORM_GATE = "{side} GATE"
FORM_GATE_BOXES = ("FORWARD POST", "AFT POST", "EYE OFF TUBE AXIS", "NOTE")
FORM_BRACES = ("FWD BRACE", "AFT BRACE")
FORM_BRACE_BOXES = ("FOOT X", "Y", "Z", "ALONG THE TUBE")
FORM_BOAT = "BOAT, TUBES, LINES"
FORM_BOAT_BOXES = (
    ("LENGTH OVERALL", "HULL LENGTH", "BEAM", "MAST X"),
    ("TUBE OUTSIDE Ø", "TUBE WALL", "LINE Ø", "TUBE GRADE"),
    ("PULPIT OPENING", "COCKPIT OPENING", "TOE RAIL HEIGHT", "TOE RAIL GAP"),
)
FORM_EDGE = "DECK EDGE: from the stem aft, a point beside every post and between"
FORM_EDGE_HEADS = ("", "X", "STARBOARD Y", "STARBOARD Z", "PORT Y", "PORT Z")
FORM_ALONG = "{side} {level} LINE, centre to centre: shows a wrong digit or a wrong hook"
FORM_STEM = "{side} FEET FROM THE STEM: hold X and Y together"
FORM_ACROSS = "ACROSS: holds the breadth"
FORM_DIAGONAL = "DIAGONALS: show a side that is shifted fore or aft"
FORM_TAPE = "{start} to {end}"
FORM_TAPE_HEADS = ("FROM, TO", "READ", "AGAIN")
LEVEL = {"U": "UPPER", "M": "MIDDLE", "L": "LOWER"}

# Run cards, splice sheet, threading plan, order list.
RUN_CARDS_TITLE = "run cards"
RUN_CARDS_KIND = "Run cards"
IN_PLACE = "IN PLACE"
ON_BENCH = "ON THE BENCH"
NOT_GIVEN = "not given"
RANGE = "{least} to {most}"
BUDGET_VERDICT = {
    "agreed": "RANGE COVERS THE ERROR",
    "refused": "RANGE DOES NOT COVER THE ERROR",
    "cannot tell": "RANGE OVER ERROR: CANNOT TELL",
    "notice": "SEE THE NOTICE",
}
BURIES_NEED = "the buries need {needs} {unit} of finished line, there are {has}"
CUT = "CUT, {unit}"
DO_NOT_CUT = ("DO NOT", "CUT")
NO_CUT = "NO CUT LENGTH"
CUT_RANGE = "cut {least} to {most}, by the take-up that is not measured"
FINISHED_LENGTH = "FINISHED {value}"
MARKED_LENGTH = "MARKED {value}"
FROM_TO = "{start} to {finish}"
UPPER_LINE = {"U": "UPPER LINE", "M": "MIDDLE LINE", "L": "LOWER LINE"}
FORWARD_END = "FORWARD END"
AFTER_END = "AFTER END"
ZERO = "ZERO"
MARK_WORDS = {
    "bears": "bears",
    "throat": "throat",
    "taper begins": "taper",
    "bury ends": "bury",
    "hole": "hole",
    "pin": "pin",
    "wire ends": "wire",
}
PIECES_SCALE = "along 1:{mm}{broken}; not across"
BROKEN = ", broken"
SUM = "SUM"
TERMS = "CUT LENGTH, {unit}"
CUT_UP = "cut, rounded up"
CUT_TO = {"in": "cut, to 1/32", "mm": "cut"}
ENDS = "ENDS"
ENDS_ROWS = {
    "at": "at", "made": "made", "end": "end", "splice": "splice", "fittings": "fittings set to", "range": "their range",
}  # fmt: skip
ERROR = "ERROR"
SHORTEN = "SHORTEN"
LENGTHEN = "LENGTHEN"
CAN = "CAN"
INSTEAD = "WHAT WOULD FIT INSTEAD"
FIGURES = "BY WHICH FIGURES"
STILL_TO_CHECK = "STILL TO BE CHECKED: nothing here is approved"
REMARK_KIND = {"refused": "REFUSED", "cannot tell": "CANNOT TELL", "notice": "Notice"}
NO_BEDDING = "Bedding-in is not stated by the file and is not in these figures."
MORE_REMARKS = "and {count} more: see the check of the boat"
RUN_KEY = (
    "ZERO: where the forward end bears; all marks count from it along the finished, set line. A minus lies "
    "forward of it.",
    "bears: on the pin or the lashing. pin: on the boat. throat: where the eye closes. wire: its end in the terminal.",
    "taper, bury: where the buried tail begins to be thinned, and where it ends. hole: its centre.",
    "ERROR: survey, making, bedding-in, coverage factor 2. SHORTEN, LENGTHEN: it asks this; CAN: fittings do this.",
    "The splice itself is marked from the rope's end: splice sheet. Computed figures, not an approval.",
)
SPLICE_TITLE = "splice {number}"
SPLICE_KIND = "Splice sheet"
SPLICE_HEAD = "SPLICE {number}: {lock}"
LOCK_WORDS = {
    "standing part passed": "eye locked by passing the standing part",
    "one-ended": "eye with a one-ended lock",
    "stitched bury": "straight bury, lock-stitched",
}
SPLICE_FOR = "{line}, for {ends}"
SPLICE_BIG = (("tail", "TAIL MARK"), ("eye", "EYE MARK"), ("exit", "EXIT, from the eye mark"))
ROPE_BEFORE = "A  THE ROPE BEFORE SPLICING: every mark from its end"
MADE_UP = "B  THE MADE-UP END: every mark from the throat, outside diameters below"
SPLICE_SCALE = "1:{mm}{broken}"
MARKS_HEAD = ("MARK", "FROM", "mm", "in")
TAPER_HEAD = ("TAPER CUT", "SIDE", "FROM END mm", "in", "STRANDS LEFT", "FROM THROAT mm", "OUTSIDE Ø mm")
SPLICE_MARKS = {
    "tail": ("tail mark", "rope's end"),
    "eye": ("eye mark, throat", "rope's end"),
    "exit": ("exit mark", "eye mark"),
    "tuck": ("second tuck", "first tuck"),
    "stitch-from": ("stitching from", "throat"),
    "stitch-to": ("stitching to", "throat"),
    "full": ("bury at full section, to", "throat"),
    "bury": ("bury ends", "throat"),
    "girth": ("rope round the fitting", "length"),
    "take-up": ("take-up, expected", "of the line"),
    "take-up-most": ("take-up, at most", "of the line"),
    "slack": ("slack to work in place", "of the line"),
    "fid": ("fid", "length"),
}
STEPS = "STEPS (common practice, no source)"
STEPS_MARK = (
    "Pre-stretch the rope. Mark it under the marking tension: TAIL {tail} and EYE {eye} from its end, "
    "EXIT {exit} from EYE.",
    "What has to be on the line goes on now: sleeves, liners, thimble, hook part. See the threading plan.",
)
STEPS_LOCK = {
    "standing part passed": (
        "Lay {girth} of rope round the fitting, TAIL to EYE. First tuck: the tail through the standing part at EYE, "
        "up to TAIL.",
        "Second tuck: open the tail {tuck} on from the first and pass the whole standing part through it. "
        "Draw both tight.",
    ),
    "one-ended": (
        "Lay {girth} of rope round the fitting, TAIL to EYE. First tuck: the tail through the standing part at EYE, "
        "up to TAIL.",
        "Second tuck {tuck} on from the first, turned so that the far end stays where it is. Draw both tight.",
    ),
    "stitched bury": (
        "Lay {girth} of rope round the fitting, TAIL to EYE. There is no lock: the stitching holds it at rest.",
    ),
}
STEPS_BURY = (
    "Taper the tail: cut {cuts} single strands, one at each mark, on alternate sides. One strand reaches the end.",
    "Fid in at the throat, out at EXIT. Draw the tail in and smooth the cover over it until the tail is gone inside.",
)
STEPS_STITCH = "Lock-stitch from {start} to {end} from the throat, then a second row square to the first."
STEPS_PROOF = "Proof-pull with {pull} N or more, measure and mark again, write it in the log."
THROAT = "throat"
SECOND_TUCK = "tuck 2"
STITCH = "stitch"
WARNINGS = "WARNINGS"
SOURCES = "SOURCES"
IN_SECTION = "Ø{value}"
THREADING_TITLE = "threading plan"
THREADING_KIND = "Threading plan"
HOLE_PASS_KIND = "Hole pass table, gates, log"
THREAD = {"forward": "THREAD FORWARD", "aft": "THREAD AFT"}
NO_HOLE = "NO HOLE ON THE WAY"
BOTH_ON_BENCH = "BOTH ENDS ON THE BENCH"
ONE_IN_PLACE = {"start": "FORWARD END MADE IN PLACE", "finish": "AFTER END MADE IN PLACE"}
STOPPED = "DO NOT CUT: {why}"
STEPS_HEAD = "STEPS: tick when done"
WHY = "WHY: {text}"
TOOLS = "TOOLS: {text}"
ON_THE_LINE = "ON THE LINE, IN THIS ORDER: {text}"
CAPTIVE = "CAPTIVE AFTERWARDS: {text}"
FID_ROOM = "ROOM FOR THE FID: from the throat {needed} {unit}, to the nearest hole {there}; slack {slack}"
NEEDS_OF = "{hole}: {verdict}, needs {needs} {unit} of {has}"
FID_ENOUGH = {True: "enough", False: "NOT ENOUGH"}
THREADING_KEY = (
    "Forward is at the left. Numbers over the holes: the order in which they are passed. The signs are those of",
    "the end that is drawn through: see the hole pass table. Filled end, IN PLACE: made on board, last.",
    "ON THE BENCH: made before threading.",
    "Common practice, no source: prove each passage with a trial piece before cutting.",
)
PASS_TITLE = "MADE-UP ENDS THROUGH THE HOLES ({unit})"
PASS_HEADS = (
    "HOLE", "RUN", "BORE", "LINE Ø", "FORWARD END", "NEEDS", "", "VERDICT", "AFTER END", "NEEDS", "", "VERDICT",
    "FACTOR", "SOURCE",
)  # fmt: skip
GATES_TITLE = "GATES OPEN ({unit}): what falls slack and how far it drops under a hand at mid-span"
GATE_HEADS = (
    "GATE", "LINE", "", "HANGS LOOSE", "WIDEST SPAN", "BETWEEN", "FREE, NO STOP", "DROPS", "FREE, STOP", "DROPS",
    "STOP IN FILE", "WHAT HAPPENS",
)  # fmt: skip
PLANNED = {True: "planned", False: "alternative"}
GATE_OWN = (
    "The lines before and behind end at {first} and {second} and stay taut; each post then takes one side's pull alone."
)
GATE_THROUGH = "Without a stop the whole side falls slack; a stop bears against the post and holds it."
MAKING_LOG = "LOG OF THE MAKING: date, by, as measured; setting and what follows: setting card"
PASS_KEY = (
    "NEEDS: least bore for the end, by FACTOR (d: the line's diameter) or by its own width. BORE: less any liner.",
    "BETWEEN: the supports of the widest span that is held. DROPS: straight V under a hand.",
    "alternative: what would happen if one line went on through the gate's post. Computed figures, not an approval.",
)
ORDER_TITLE = "order list"
ORDER_KIND = "Order list"
REEL_CAPTION = "REEL PLAN  1:{mm}"
REEL_LINE = "{line}: {construction} Ø{diameter}"
REEL_TOTAL = "{total} {unit}"
ORDER_UNITS = {"mm": ("m", 1000.0), "in": ("ft", 304.8)}
NO_STOCK = "stock lengths are not given: {count} pieces end to end"
REEL_OF = "reel {number} of {count}, {stock}; left over {left}"
TOO_LONG = "no stock length holds: {names}"
NOTHING_TO_CUT = "no piece to order: see HELD BACK"
LINES_ORDER = "ROPE AND WIRE ({unit})"
LINES_ORDER_HEADS = ("LINE", "CONSTRUCTION", "Ø", "PIECES", "TOTAL", "REELS", "BOUGHT", "WASTE", "MASS g", "COST")
PIECES_ORDER = "PIECES ({unit}): cut to order, with the greatest take-up; the cut itself stands on the run card"
PIECES_ORDER_HEADS = ("RUN", "LINE", "ORDER", "REEL", "CUT ON", "BY")
HELD_BACK = "HELD BACK: not ordered"
HELD_BACK_HEADS = ("RUN", "LINE", "WHY")
ENDS_ORDER = "FITTINGS BY RUN END ({unit}): blank where the boat file does not tell, to be measured and written in"
ENDS_ORDER_HEADS = (
    "RUN", "END", "AT", "PART", "FAMILY", "CLOSED", "SET", "OPEN", "PIN", "JAW", "THREAD", "HAND", "MASS g", "PRICE",
)  # fmt: skip
SMALL_ORDER = "CORD, SLEEVES, SMALL PARTS ({unit})"
SMALL_ORDER_HEADS = ("PART", "COUNT", "LENGTH EACH", "PRICE EACH", "FOR", "SOURCE")
SUMS_ORDER = "SUMS of what is told"
SUMS_ORDER_HEADS = ("", "SUM", "NOT IN IT")
SUM_OF_MASS = "mass, g"
SUM_OF_COST = "cost"
SUM_OF_COST_IN = "cost, {currency}"
COMPARE_ORDER = "LINES SIDE BY SIDE for all runs ({unit}, g, N)"
COMPARE_ORDER_HEADS = (
    "LINE", "CONSTRUCTION", "Ø", "BREAKS AT N", "STRETCH AT {pull} N", "MASS g", "COST", "EYE, WORST HOLE", "YEARS",
    "NOTICES",
)  # fmt: skip
ORDER_KEY = (
    "ORDER: longer than the cut where the take-up is not measured on this rope. REEL: first fit, longest first.",
    "Blank or dash: the boat file does not tell. Nothing is guessed: measure thread, hand, pin and jaw on the part.",
    "Breaking loads come from the certificate. Years: common practice where no source is named.",
)
