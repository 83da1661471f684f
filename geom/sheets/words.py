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
    "as-found": "POSTS AS FOUND ({unit}, deg): fair line within {fair} {unit}, lean and rake within {lean} deg",
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
