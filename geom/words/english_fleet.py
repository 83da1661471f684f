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
