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
# What stands in place of a table that the sheet has no room for: stanchions, holes, runs.
ELSEWHERE = ("STANCHIONS: on the post schedule", "HOLES: on the post schedule", "RUNS: on the run cards")
ABOVE_BAR = "100 mm when printed at full size"

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

# Post schedule, post cards, base plates, fixture, profiles.
FORWARD = "FORWARD"
AFT = "AFT"
OUTBOARD = "OUTBOARD"
INBOARD = "INBOARD"
AFT_END = "AFT END"
CARD_TITLE = "post {ids}"
CARD_KIND = "Post card"
TUBE_VIEW = "tube upright, from outboard"
ONLY_SHOP = "shop limits on this sheet"
DECK = "DECK"
AS_SHOWN = "as shown"
FROM_OUTBOARD = "on deck, from outboard"
FROM_AFT = "on deck, from aft"
LOOKING_DOWN = "looking down the tube"
DIRECTION = "direction: {basis}"
ALONG_HOLE = "cut along tube and hole"
AS_FOUND = "AS FOUND"
AS_PLANNED = "AS PLANNED"
PART = "PART"
ATTITUDE = "ATTITUDE"
SHOP_LIMITS = "SHOP LIMITS"
HOLES = "HOLES"
NOT_TOLD = "not told"
CARD_NOTES = (
    "1  Lengths along the tube count from the deck at its axis: the underside of a plate that lies there.",
    "2  CLOCK: the hole's aft end off the plate's fore-and-aft mark; ARC: the same along the tube's face.",
    "3  FWD, AFT FACE: where the hole's centre comes out. Mark both, drill from both sides.",
    "4  Offsets: the tube's axis off square to the deck, {rule} above it. Check them after welding.",
    "5  Views stand by their captions, neither first nor third angle. Do not scale this print.",
)
SCHEDULE_TITLE = "posts and holes"
SCHEDULE_KIND = "Post schedule"
SCHEDULE_NOTES = (
    "1  X aft from the stem head on the centreline at deck, Y to starboard, Z up from {z_zero}.",
    "2  LEAN, OUT + outboard; RAKE, AFT + aft; PLATE: tube off square to the deck, in the deck's own directions.",
    "3  OUT, AFT AT {rule}: the tube's axis off square to the deck at {rule} above it. LENGTH, ALONG: along the tube "
    "from the deck. H FOOT, H EDGE: vertical height above the deck at the foot, above the deck edge.",
    "4  CLOCK, TILT: axis the hole is to have, + aft end outboard, + aft end up; TURN: of the line at the hole.",
    "5  ALIKE: posts of one letter are alike within tube length ±{length}, hole position ±{length}, clocking and tilt "
    "±{clocking}, tube to plate ±{plate} (common practice, no source); same side, tube, base and hole sizes.",
)
PLATES_TITLE = "{word}, {side}"
PLATES_KIND = "Base plates"
PLATE_VIEW = "seen from above"
ONLY_BASE = "as the bolts on board ask"
BOW = "BOW"
PLATE_NOTES = (
    "1  Seen from above, bow up. Port and starboard have a sheet each: they are not the same.",
    "2  Bolts count from the middle of the plate, where the tube's axis goes through.",
    "3  FOOT: tube cut by the deck's plane; TURNED: its long axis from aft towards outboard.",
    "4  Pad: thickness at the sharp corners, square to the plate, the thinnest counted as 0.",
    "    Add the pad's own least thickness to every figure of its row.",
    "5  TUBE OVER PLATE: on its axis, for a tube that stands on the plate's upper face.",
)
FIXTURE_TITLE = "checks after welding"
FIXTURE_KIND = "Fixture sheet"
FIXTURE_NOTES = (
    "1  Lengths are true, hole centre to hole centre. Measure with the posts bolted down, before the lines go on.",
    "2  OUT, AFT: a hole's centre off a plumb line through the tube's foot, + outboard, + aft; DROP is plumb.",
    "3  The blank beside a figure is for the length as made: a pair of diagonals tells which way a post leans.",
    "4  ±: what the shop's {plate} of tube to plate moves a hole by (common practice, no source).",
)
PROFILES_TITLE = "profiles"
PROFILES_KIND = "Profiles"
PROFILE_VIEW = "{side} PROFILE, seen from {lower}"
ROW_STATION = "HOLE AT X {level}"
ROW_POST = "POST"
ROW_FOOT = "{level} ABOVE FOOT"
ROW_EDGE = "{level} ABOVE EDGE"
ROW_OPENING = "OPENING {between}"
ROW_SPAN = "SPAN {level}"
ROW_LOWEST = "LOWEST {level}"
ROW_AT = "AT X"
PROFILE_NOTES = (
    "1  Heights are vertical: ABOVE FOOT from the deck at the post's foot, ABOVE EDGE from the deck edge abreast.",
    "2  OPENING: vertical, deck to the lowest hole, then hole to hole, at the post.",
    "3  SPAN: true length from hole to hole or pin. LOWEST: least height of the straight line over the deck edge, at X "
    "aft of the stem head; marked by a triangle on the drawing. A dash: the deck edge was not taken that far.",
)

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
FORM_POSTS_HOW = "LEAN + outboard, RAKE + aft. DECK + falls aft, + falls outboard. ALONG, TOP: up the tube from its foot."
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
CUT_RANGE = "{least} to {most} by the take-up"
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
PIECES_SCALE = "along 1:{mm}{broken}; across not to scale"
BROKEN = ", broken"
SUM = "SUM"
TERMS = "CUT LENGTH, {unit}"
CUT_UP = "cut, rounded up"
CUT_TO = "cut, to 1/32 in or 0.1 mm"
ENDS = "ENDS"
ENDS_ROWS = {
    "at": "at", "made": "made", "end": "end", "splice": "splice", "fittings": "fittings set to", "range": "their range",
}  # fmt: skip
ERROR = "ERROR"
SHORTEN = "SHORTEN: WANTS"
LENGTHEN = "LENGTHEN: WANTS"
CAN = "CAN"
INSTEAD = "WHAT WOULD FIT INSTEAD"
FIGURES = "BY WHICH FIGURES"
STILL_TO_CHECK = "STILL TO BE CHECKED: nothing here is approved"
REMARK_KIND = {"refused": "REFUSED", "cannot tell": "CANNOT TELL", "notice": "Notice"}
NO_BEDDING = "Bedding-in is not stated by the file and is not in these figures."
MORE_REMARKS = "and {count} more: see the check of the boat"
RUN_KEY = (
    "ZERO: where the forward end bears. All marks count from it along the finished line under set tension; - lies forward.",
    "bears: the end on its pin or lashing; pin: on the boat; throat: where the eye closes; taper: where the buried tail",
    "begins to be thinned; bury: where it ends; wire: its end inside the terminal; hole: its centre.",
    "ERROR: survey, making and bedding-in, coverage factor 2. WANTS: what it asks of the adjusters; CAN: what they do.",
    "Cut at CUT. Marks for the splice count from the rope's end: splice sheet. Computed figures, not an approval.",
)
