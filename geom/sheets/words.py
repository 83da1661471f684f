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
