"""Text of the cover."""

from __future__ import annotations

TITLE = "Cover"
SUBTITLE = "pictorial, open items, drawing list"
HEADING = "Guard lines, stanchions and gates"
UNDER = "Drawing set, {sheets}. Pictorial from the port bow, not to scale; the far side is drawn lighter."
ONE_SHEET, SHEETS = "1 sheet", "{count} sheets"
OPEN_ITEMS = "OPEN ITEMS"
OPEN_ITEMS_UNDER = "in rank; nothing is cut, drilled or ordered against an open item"
NO_ITEMS = "None: nothing is wrong or missing by the documents named in the appendix."
ITEM_HEADS = ("NO", "WHAT IS WRONG", "ACTION", "BY", "SHEET")
OR = "; or "
STATE = "state it in the boat file"
SEE_CHECK = "see the rule sheets"
# What is done about items that have no choices of their own.
ACTIONS = {"item.too_low": "fit a taller stanchion, or raise the hole, then check again"}
ONE_MORE, MORE = "1 more open item is listed in the appendix.", "{count} more open items are listed in the appendix."
LIST = "DRAWING LIST"
LIST_UNDER = "D designer, F fabricator, R rigger"
LIST_HEADS = ("SHEET", "TITLE", "D", "F", "R")
REVISION = "Revision {mark}"
HELD = "Lines on hold are drawn hollow."
IN_FULL = "{label}: {text}"
