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

LEGEND = "MADE-UP EYE THROUGH THE HOLE"
EYE_WORDS = {
    "passes": "passes",
    "squeeze": "squeezed through with a messenger",
    "trial": "trial piece first, else made in place",
    "in place": "made in place, after threading",
    "line does not pass": "the line itself does not pass",
    "cannot tell": "cannot tell: a measure is missing",
}
ABOVE_BAR = "100 mm when printed at full size"
BLANK = ""
