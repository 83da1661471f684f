"""Text of the check sheet of a deck plan."""

from __future__ import annotations

TITLE = "Deck plan as read"
SUBTITLE = "stanchions, eyes and deck edge over the plan"
HEAD = "DECK PLAN AS READ"
LIST_TITLE = "Points read from the plan"
LIST_HEAD = "POINTS READ"
CHECK = (
    "Grey: what the plan has drawn. Black: what was read. Check that every name stands on its own stanchion, that "
    "starboard is to starboard, and that the measured distance is right."
)
READING = "READING"
STEM, AFT = "STEM, X 0", "AFT POINT"
EDGE = "DECK EDGE {side}, {count} points"
PROOF = "Stem to aft point: drawn {drawn} {unit}, measured on board {measured} {unit}, {apart} {unit} apart."
NOTED = "Notes on the reading, on the next sheet: {count}."
NOTES = "Notes on the reading"
UNSTROKED = "Not shown of the plan: {kinds}."
POSTS, EYES, EDGES = "Stanchion feet", "Eyes", "Deck edge {side}"
HEADS = ("", "X", "Y", "Z", "DRAWN AS")
OPEN = "not in the plan"
