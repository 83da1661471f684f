"""Text of the deck plan, the profiles and the list of drawings."""

from __future__ import annotations

STANCHIONS = "STANCHIONS, X Y Z of the foot"
EYES = "EYES ON PULPIT AND PUSHPIT, at the bearing point ({unit})"
HOLES = "HOLES THAT LINES PASS THROUGH"
# Notes in place of tables that the sheet has no room for: stanchions, holes, runs.
ELSEWHERE = {
    "posts": "STANCHIONS: on the stanchion schedule",
    "holes": "HOLES: on the stanchion schedule",
    "runs": "RUNS: on the sheets of each line",
}
GATE = "GATE"
GATE_CLEAR = "GATE {value}"
# Text of a dimension between the tubes of a gate, the longest first; <> is the measured value.
GATE_DIMENSIONS = ("CLEAR OPENING <>", "CLEAR <>", "<>")

NOTES = "NOTES: do not scale this print; figured dimensions govern"
AXES = "X aft from the stem head on the centreline at deck, Y to starboard, Z up from {z_zero}."
SPANS = "Spans, of the highest line: true length from hole centre to hole centre, or to the pin of an end."
GATE_PINS = "Pins at gate stanchions are {value} off the tube's axis."
LINES = "Lines: {levels}."
LINE_WORDS = {
    "U": "U upper, solid line",
    "M": "M middle, solid line",
    "LM": "LM lower middle, long dashes",
    "L": "L lower, dashed line",
}
HOLLOW = " Drawn hollow: on hold."
GATES = "GATE: clear opening between the tubes at the highest line."
TAPE = "* Tape {start} to {end}: {taped}; by coordinates {computed}. They disagree: see sides and survey."
KNOWN = (
    "Figures are computed to {step} {unit}. Survey accuracy: X and Y ±{xy}, Z ±{z}, lean and rake ±{lean}°, "
    "along a tube ±{along} ({source})."
)
DESIGNED = "Figures are computed to {step} {unit} from a design: nothing was measured on board."
TOLERANCE = "survey ±{xy}, lean ±{lean}°"
TOLERANCE_APART = "survey X Y ±{xy}, Z ±{z}, lean ±{lean}°"
COMMON_PRACTICE = "common practice, no source"

PROFILES_TITLE = "Profiles"
PROFILES_KIND = "heights over deck, clearances"
PROFILE_VIEW = "{side} PROFILE, seen from {lower}"
ROW_POST = "STANCHION OR RAIL"
ROW_FOOT = "{level} ABOVE FOOT {unit}"
ROW_EDGE = "{level} ABOVE EDGE {unit}"
ROW_OPENING = "OPENING {between} {unit}"
ROW_LOWEST = "LOWEST {level} {unit}"
ROW_AT = "LOWEST {level} AT X {unit}"
HEIGHTS_NOTE = (
    "Heights are vertical: ABOVE FOOT from the deck at the stanchion's foot, ABOVE EDGE from the deck edge abreast. "
    "Figures rounded as on the deck plan."
)
OPENINGS_NOTE = "OPENING 1: vertical, from the deck at the foot to the lowest hole; 2 and on: hole to hole above it."
LOWEST_NOTE = (
    "LOWEST: smallest height of the straight line over the deck edge, at X aft of the stem head; an open triangle "
    "marks it, beside the stanchion where it is at one."
)
INBOARD_VIEW = "{side}, seen from between the hulls"
ACROSS_TITLE = "lines across"
ACROSS_VIEW = {
    "bow": "ACROSS THE BOW, seen from aft",
    "deck": "ACROSS THE DECK, seen from aft",
    "stern": "ACROSS THE STERN, seen from aft",
}
ACROSS_NOTE = "Port is at the left. Spans are true lengths in space."
ACROSS_HEIGHTS = "Heights are vertical, over the deck edge below; none where the file gives no edge there."
PROFILE_GATES = "CLEAR OPENING: between the tubes' faces at the line above the figure."
STAR_NOTE = "* in red: below the minimum of a rule applied to this boat."
