"""Sheet G5: what a revision changes, only in a set that is made against the revision before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from geom.changes import Change, changes
from geom.drafting.page import Document, notes_list
from geom.drafting.ruling import ListColumn, RuledList
from geom.drafting.sheet import Draft
from geom.errors import Fault, InputError
from geom.export import check_report
from geom.figure import Cell, Rect, Sheet
from geom.refit import Refit
from geom.sheets.revision import text as own
from geom.sheets.revision.issued import SheetIssue
from geom.sheets.revision.marks import marked
from geom.tables import numbers

# Clearance of marks from the frame [mm].
_INSIDE = 0.8
_DOCUMENT = Document("G5", "changes", own.TITLE, own.KIND, own.DESCRIPTION)


def refuse_same_mark(before: Refit, after: Refit) -> None:
    """Refuse two states of a boat under one revision: two sheets of one number would differ and say the same.

    Raises:
        InputError: both have the same mark.
    """
    mark = after.boat.revision.mark
    if before.boat.revision.mark == mark:
        message = f"the boat file before has revision {mark} too: what changed could not be told apart"
        line = after.loaded.tree.line(("revision", "mark"))
        fault = Fault(message, "revision.mark", line, mark, "another mark, such as the next letter")
        raise InputError(after.loaded.source, [fault])


def change_sheets(before: Refit, after: Refit, issues: Sequence[SheetIssue]) -> tuple[Draft, ...]:
    """Return the pages of the change sheet, upright A4 or Letter.

    Args:
        before: the refit of the revision before.
        after: the refit.
        issues: what the revision makes of each sheet.
    """
    found = changes(check_report(before), check_report(after), numbers(after.boat).unit == "in")
    old, new = before.boat.revision, after.boat.revision
    said = own.REVISIONS.format(old=old.mark, old_date=old.date, new=new.mark, new_date=new.date, note=new.note)
    lists = (
        notes_list((said, own.MARKED, own.VALID, own.FULL_SIZE), "changes:notes"),
        sheet_list(issues),
        scrap_list(found),
        item_list(found),
        figure_list(found),
    )
    return _DOCUMENT.pages(after, lists)


def sheet_list(issues: Sequence[SheetIssue]) -> RuledList:
    """Return every sheet with what the revision makes of it."""
    rows = tuple(
        (
            Cell(one.number, f"changes:{one.name}", weight="semibold"),
            Cell(one.title),
            Cell(own.STATES[one.state], f"changes:{one.name}:state", layer="" if one.state == "same" else "OPEN-ITEM"),
        )
        for one in issues
    )
    return RuledList(own.SHEETS, _columns(own.SHEET_HEADS, (14, 84, 32)), rows, "changes:sheets")


def figure_list(found: Sequence[Change]) -> RuledList:
    """Return the figures before and after."""
    rows = tuple(
        (
            Cell(one.place, f"changes:{one.place}:{one.label}", weight="semibold"),
            Cell(one.label),
            Cell(one.before),
            Cell(one.after, f"changes:{one.place}:{one.label}:is"),
        )
        for one in found
        if not one.is_item
    )
    return RuledList(own.FIGURES, _columns(own.FIGURE_HEADS, (34, 38, 46, 46)), rows, "changes:figures")


def item_list(found: Sequence[Change]) -> RuledList:
    """Return the open items that were closed or are new."""
    rows = tuple((Cell(one.place), Cell(one.before or one.after)) for one in found if one.is_item)
    return RuledList(own.ITEMS, _columns(own.ITEM_HEADS, (34, 130)), rows, "changes:items")


def scrap_list(found: Sequence[Change]) -> RuledList:
    """Return the lines that are too short if they are made already."""
    rows = tuple(
        (Cell(one.place, f"changes:{one.place}:scrap", weight="semibold", layer="OPEN-ITEM"), Cell(one.before),
         Cell(one.after), Cell(own.TOO_SHORT))
        for one in found if one.scrap
    )  # fmt: skip
    return RuledList(own.SCRAP, _columns(own.SCRAP_HEADS, (20, 30, 30, 60)), rows, "changes:scrap")


def _columns(heads: Sequence[str], shares: Sequence[float]) -> tuple[ListColumn, ...]:
    return tuple(ListColumn(head, share) for head, share in zip(heads, shares, strict=True))


def with_marks(draft: Draft, before: Sheet, after: Sheet, letter: str) -> Draft:
    """Return a draft with a mark beside each changed figure.

    Args:
        draft: of a sheet that is issued again.
        before: the sheet of the old set.
        after: the sheet of the new set.
        letter: of the revision.
    """
    frame = draft.paper.frame
    room = Rect(frame.left + _INSIDE, frame.bottom + _INSIDE, frame.right - _INSIDE, frame.top - _INSIDE)
    return replace(draft, items=(*draft.items, *marked(before, after, letter, room)))
