"""Lettering of the change sheet."""

from __future__ import annotations

TITLE = "Changes"
KIND = "What this revision changes"
DESCRIPTION = "Which sheets are issued again and which stay valid; figures before and after; lines that become scrap."
SHEETS = "SHEETS"
SHEET_HEADS = ("SHEET", "TITLE", "THIS REVISION")
STATES = {
    "changed": "ISSUE AGAIN",
    "same": "stays valid",
    "new": "NEW",
    "withdrawn": "WITHDRAWN",
}
ITEMS = "OPEN ITEMS"
ITEM_HEADS = ("STATE", "ITEM")
FIGURES = "FIGURES"
FIGURE_HEADS = ("PLACE", "FIGURE", "WAS", "IS")
SCRAP = "SCRAP IF MADE TO THE REVISION BEFORE"
SCRAP_HEADS = ("LINE", "LENGTH WAS", "LENGTH IS", "WHY")
TOO_SHORT = "longer than its fittings let out"
REVISIONS = "Revision {old} of {old_date} is superseded by {new} of {new_date}: {note}"
MARKED = (
    "On sheets issued again each changed figure has a triangle with the revision beside it, or level with it in the "
    "margin; a sheet with too many of them says so beside its title."
)
VALID = (
    "A sheet that stays valid shows what it showed: it keeps its revision and date, and its count of sheets is that of "
    "the set that it came with."
)
FULL_SIZE = "Full-size templates carry the hash of the whole boat: print those of parts named here again."
THROUGHOUT = "revised throughout"
