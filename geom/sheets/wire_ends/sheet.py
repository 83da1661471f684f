"""R10: the ends of wire lines as they are made, and the tightest hole of each."""

from __future__ import annotations

from geom.drafting.page import Document
from geom.drafting.sheet import Draft
from geom.refit import Refit
from geom.sheets.line_sheets.sheet import holds_wire_ends
from geom.sheets.wire_ends import text as words
from geom.sheets.wire_ends.lists import wire_end_lists

_DOCUMENT = Document("R10", "wire-ends", words.TITLE, words.KIND, words.DESCRIPTION)


def wire_ends_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return the pages of wire ends, portrait A4 or Letter; none without wire ends, or where they stand on R1."""
    lists = wire_end_lists(refit)
    return _DOCUMENT.pages(refit, lists) if lists and not holds_wire_ends(refit) else ()
