"""Text of the gate detail."""

from __future__ import annotations

TITLE = "gate detail"
SUBTITLE = "{posts}: openings and lines"
HEAD = "GATES"
HEAD_LINE = "seen from inboard; every figure true along its line"
PAIR = "{forward} to {aft}"
HOLD = "open items {numbers}"
BOW = "BOW"
HOLE_TO_HOLE, HOLE_TO_EYE, EYE_TO_EYE = "hole to hole <>", "hole to eye <>", "eye to eye <>"
PIN_TO_PIN = "pin to pin <>"
CLEAR = "clear <>"
FINISHED = "finished line <>"
CHECK = "{level} LINE, CHECK"
THROUGH = ", through {posts}"
SUM = "{terms} = {total}"

LINE = "LINE"
# What heads the whole widths of gates between holes, between a hole and an eye, between eyes; of several kinds.
ACROSS = {HOLE_TO_HOLE: "HOLE\nTO HOLE", HOLE_TO_EYE: "HOLE\nTO EYE", EYE_TO_EYE: "EYE\nTO EYE"}
ACROSS_ANY = "CENTRE\nTO CENTRE"
COLUMNS = ("CLEAR", "PIN\nTO PIN", "FITTINGS", "FINISHED\nLINE")
DECISION = "DECISION REQUIRED"
GIVES, GIVES_FOR = "GIVES", "GIVES, FOR {run}"
WHY = "{text}."
NOTES = "NOTES"
EYE_NOTE = "Gate eye: double eye through the stanchion, pins {pins} apart; bolt {bolt}."
RAIL_EYE_NOTE = "At a rail every width ends at the bearing point of its eye."
LOOSE_NOTE = "In the opening: {posts}; widths are past it, the line's length is through it."
SPACER_NOTE = "Spacer Ø{od} x {length} in each bore Ø{od}; its bore (as the bolt) and material {stated}."
BY_DESIGNER, TBC = "TBC by designer", "TBC"
FITTING_NOTE, FITTING_PIN = "{name}: {length} pin to pin", ", pin Ø{pin}"
FITTING_TBC = "; {missing} TBC by rigger."
BRACE_NOTE = "Braces stand outside the gate: sheets F2, F3."
HELD_NOTE = "Hollow lines are on hold: make nothing."
DESCRIPTION = "Gates {gates}: what lies between the holes of their stanchions."


def across(faces: tuple[float, float]) -> str:
    """Return the name of a gate's whole width: between holes, or the eyes of rails, which have no face."""
    eyes = sum(face == 0.0 for face in faces)
    return (HOLE_TO_HOLE, HOLE_TO_EYE, EYE_TO_EYE)[eyes]
