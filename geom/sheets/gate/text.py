"""Text of the gate detail."""

from __future__ import annotations

TITLE = "gate detail"
SUBTITLE = "{posts}: openings and lines"
HEAD = "GATES"
HEAD_LINE = "seen from inboard; every figure true along its line"
PAIR = "{forward} to {aft}"
HOLD = "open items {numbers}"
BOW = "BOW"
HOLE_TO_HOLE = "hole to hole <>"
PIN_TO_PIN = "pin to pin <>"
CLEAR = "clear <>"
FINISHED = "finished line <>"
CHECK = "{level} LINE, CHECK"
SUM = "{terms} = {total}"

LINE = "LINE"
COLUMNS = ("HOLE\nTO HOLE", "CLEAR", "PIN\nTO PIN", "FITTINGS", "FINISHED\nLINE")
DECISION = "DECISION REQUIRED"
GIVES = "GIVES"
WHY = "{text}."
NOTES = "NOTES"
EYE_NOTE = "Gate eye: through-bolted double eye, pins {pins} apart. Bolt to suit the Ø{hole} hole, with a spacer: TBC."
FITTING_NOTE = "{name}: set to {length} pin to pin; pin and jaw TBC by rigger."
BRACE_NOTE = "Braces stand outside the gate: sheets F2, F3."
HELD_NOTE = "Lines drawn hollow are on hold: make nothing for them."
DESCRIPTION = "Gates {gates}: what lies between the holes of their posts."
