"""Text common to the sheets."""

from __future__ import annotations

from geom.boat.model import LEVELS, Side

SIDE: dict[Side, str] = {
    "P": "PORT",
    "S": "STARBOARD",
    "C": "ACROSS",
    "SI": "STARBOARD HULL, INBOARD",
    "PI": "PORT HULL, INBOARD",
}

# ISO 7200 data fields, in our block's order.
BOAT = "Boat"
OWNER = "Owner"
TITLE = "Title"
NUMBER = "Drawing number"
REVISION = "Revision"
DATE = "Date"
CREATOR = "Drawn"
APPROVAL = "Approved"
STATUS = "Status"
SHEET = "Sheet"
OF_SHEETS = "of {count}"
PROJECTION = "Projection"
SIZE = "Paper"
SCALE = "Scale"
UNITS = "Units"
# The units of a sheet that has lengths alone, by the unit of lengths.
LENGTHS_IN = {"mm": "mm", "in": "inches"}
DATA = "Data"

LEGEND = "FINISHED END THROUGH THE HOLE (limits: {source})"
EYE_WORDS = {
    "passes": "passes",
    "squeeze": "squeezed through with a messenger",
    "trial": "on trial only, else made on board",
    "in place": "does not pass: made on board",
    "line does not pass": "the line itself does not pass",
    "cannot tell": "not determined: a measurement is missing",
}
NOTES = "NOTES"
PICTORIAL_BOAT = "WHOLE BOAT, seen from aft, to starboard and above"
NOT_STATED = "not stated"
ABOVE_BAR = "100 mm when printed at full size"
ABOVE_BAR_INCHES = "100 mm and, below, 4 in when printed at full size"

# Lists that flow over sheets.
CONTINUED = "{title} (continued)"
KEY = "KEY"

AS_SHOWN = "as shown"

# Blank measuring form.
FORM_TITLE = "measuring form"
FORM_KIND = "Survey form"
FORM_HEAD = (("BOAT", 3), ("DATE", 2), ("BY", 2))
FORM_TOOLS = (("AFLOAT OR ASHORE", 2), ("HEIGHT OF STEM, FROM", 2), ("STAFF AT STEM", 1.4), ("AT MAST MARK", 1.4),
              ("AT STERN MARK", 1.4))  # fmt: skip
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
    "Each box and line has the word of the survey file that comes with this form: type each reading over its dash.",
    "Write every figure as read. Cross out, never rub out.",
    "Read each tape twice, from both ends. Dashed: the check tapes of the last sheets.",
    "Where nothing was read, write a dash.",
)
FORM_USUAL = "{name} ± (usual {value})"
FORM_POSTS = "{side} STANCHIONS"
FORM_POSTS_HOW = (
    "out: centreline to foot. staff: down from the level line. stem, mast, stern: tape from the mark to the foot, or to the "
    "hole named. foot-U: along the tube. lean + outboard, rake + aft. top: length of the tube. deck: its fall aft, outboard."
)
FORM_NOTE = "NOTE"
FORM_EYES = "{side} EYES"
FORM_EYE_BOXES = ("BAR Ø",)
FORM_GATE = "{side} GATE"
FORM_GATE_BOXES = ("FORWARD POST", "AFT POST", "EYE OFF AXIS", "NOTE")
FORM_BRACES = ("FWD BRACE", "AFT BRACE")
FORM_BRACE_BOXES = ("FOOT X", "Y", "Z", "ALONG THE TUBE")
FORM_BOAT = "BOAT, TUBES, LINES"
FORM_BOAT_BOXES = (
    ("LENGTH OVERALL", "HULL LENGTH", "BEAM", "MAST X"),
    ("TUBE OUTSIDE Ø", "TUBE WALL", "LINE Ø", "TUBE GRADE"),
    ("PULPIT OPENING", "COCKPIT OPENING", "TOE RAIL HEIGHT", "TOE RAIL GAP"),
)
FORM_EDGE = "DECK EDGE: from the stem aft, a point beside every stanchion and between"
FORM_EDGE_HEADS = ("", "X", "STARBOARD Y", "STARBOARD Z", "PORT Y", "PORT Z")
FORM_ALONG = "{side} {level} LINE, centre to centre: shows a wrong digit or a wrong hook"
FORM_BASELINE = "BASELINE: between the marks on the centreline"
FORM_RAILS = "{side} RAILS to the nearest foot: check the heights of their eyes"
FORM_ACROSS = "ACROSS: fixes the breadth"
FORM_DIAGONAL = "DIAGONALS: show a side that is shifted fore or aft"
FORM_TAPE = "{start} to {end}"
FORM_SHORT = "{here}: {tape}"
FORM_TAPE_HEADS = ("FROM, TO", "READ", "AGAIN")
LEVEL: dict[str, str] = {level: word.upper() for level, word in LEVELS.items()}

BURIES_NEED = "eyes, buries and plain rope between need {sum} = {needs} {unit} of finished line, there are {has}"
MAST_NAME = "mast"
BOW = "BOW"
