"""English: the words of variants and fleets."""

from __future__ import annotations

PLOT_TITLE = "{name}: variants"
PLOT_KEY = (
    "Ring with number: no other variant beats it. Cross: the boat as its file has it. Calculated figures, no approval."
)
VARIANTS = "VARIANTS OF {name}"
AS_FILED = "No. 0 is the boat as its file has it; lines cut anew are counted against it."
UNBEATEN = (
    "Unbeaten: no other variant is as good in every column and better in one; what is not determined counts as worst."
)
SAME = "The same in every row: {figures}."
ONLY_UNBEATEN = "Shown beside it: {shown} of the {unbeaten} unbeaten of {count} variants; all go into --to FILE."
FLEET_TITLE = "{name}: open items of the fleet"
FLEET_LINE = (
    "{boats} boats: {stopped} with an item that stops the work, {nothing_open} with nothing open; "
    "{refused} with an error"
)
FLEET_CAUSE_HEAD = "KIND       ITEMS  BOATS  CAUSE"
FLEET_CAUSE = "{kind:<9}{items:>7}{boats:>7}  "
FLEET_MORE = "and {count} more"
FLEET_KINDS = {
    "stop": "Do not cut or drill",
    "fails": "Fails a rule or a strength",
    "decide": "To decide",
    "measure": "To measure",
    "state": "To state in the boat file",
}
FLEET_HEADINGS = ("Cause", "Boats", "Items", "Such as", "On")
FLEET_REFUSED = "With an error"
FLEET_CAUTION = "Calculated figures, no approval: a qualified rigger or surveyor checks each boat; follow local codes."
