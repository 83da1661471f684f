"""Lettering of the change sheet."""

from __future__ import annotations

TITLE = "Changes"
KIND = "What this revision changes"
DESCRIPTION = "Which sheets change and which stay valid; figures before and after; lines that become scrap."
SHEETS = "SHEETS"
SHEET_HEADS = ("SHEET", "TITLE", "THIS REVISION")
STATES = {
    "changed": "CHANGED",
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
    "On sheets that change each changed figure has a triangle with the revision beside it, in a table in its row or at "
    "the end of it; a sheet with too many of them says so beside its title block."
)
VALID = (
    "The whole set is issued again at this revision. A sheet that stays valid is issued again without change: what was "
    "made to the one before fits."
)
FULL_SIZE = "Full-size templates carry the hash of the whole boat: print those of parts named here again."
THROUGHOUT = "revised throughout"
