"""The text of the paper of what was made."""

from __future__ import annotations

TITLE = "as made"
KIND = "Lines as made"
DESCRIPTION = "Lines as made against the design, take-up as measured, next lines corrected by it."
NONE = "-"
LENGTHS = "LENGTHS ({unit}), made less designed against the error of making"
LENGTH_HEADS = ("LINE", "DESIGNED", "MADE", "OFF", "PREDICTED ±", "WITHIN", "TAKES UP", "LETS OUT", "FITTINGS")
YES_NO = {True: "yes", False: "NO"}
COVERED = {True: "meet it", False: "DO NOT MEET IT", None: "range TBC"}
SETTINGS = "SETTINGS ({unit}) AND TENSIONS"
SETTING_HEADS = ("LINE", "ADJUSTER", "DESIGNED", "AS SET", "TENSION", "AS SET")
LOTS = "LOTS AND CERTIFICATES"
LOT_HEADS = ("LINE", "LOT", "CERTIFICATE", "DATE", "BY", "NOTE")
TAKE_UP = "TAKE-UP OF A SPLICE ({unit}), measured on first eyes"
TAKE_UP_HEADS = ("ROPE", "EXPECTED", "MEASURED", "MEAN", "SPREAD", "BECOMES")
EYE = "{run} {value}"
REJECTED = "{run} {value}, outside the published range: make it again"
TOO_FEW = "nothing yet: two eyes at least"
BECOMES = "the take-up of this rope"
NEXT = "LINES STILL TO BE MADE ({unit}), corrected by the measured take-up"
NEXT_HEADS = ("LINE", "EYE TO EYE BEFORE", "EYE TO EYE", "FROM REEL BEFORE", "FROM REEL")
RMS = "Length error, root mean square: {observed} {unit} observed, {predicted} {unit} predicted."
OTHER_DATA = "The record belongs to other data of the boat ({record}, now {now}); the design is that of now."
NOTES = (
    "PREDICTED: expanded error of the making, without that of the survey, which the setting on board meets.",
    "TAKES UP, LETS OUT: what the fittings have left each way once they have met OFF.",
    "Take-up: EYE marks as laid off, less the distance from the throat of the first eye to the other EYE mark; both "
    "ends of a line are of one rope. Common practice, no source.",
)
SOURCE = "measured on {count} first eyes, {date}"
SAID_WITHIN = "{run}: {made}, {off} off the design, predicted within {predicted}; fittings {covered}"
SAID_BEYOND = "{run}: {made}, {off} off the design, MORE than the {predicted} predicted; fittings {covered}"
SAID_TAKE_UP = "take-up of {line}: {expected} expected; measured {eyes}"
SAID_REJECTED = " (outside the published range, not counted)"
SAID_FEW = "  two measured eyes at least correct the next lines"
SAID_MEAN = "  {mean} is the take-up of this rope from now on"
SAID_NEXT = "  {run}: eye to eye {after}, before {before}"
