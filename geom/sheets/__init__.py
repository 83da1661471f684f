"""What goes on paper: one file for each sheet, and the list of them in the order of the set."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from geom.drafting.sheet import Draft, finish, lettered
from geom.errors import Attempts
from geom.figure import Sheet
from geom.refit import Refit
from geom.sheets.bases.sheet import base_plates
from geom.sheets.compliance.sheet import rule_sheet
from geom.sheets.cover.sheet import with_cover
from geom.sheets.cover.text import TITLE as COVER_TITLE
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.fabricated.sheet import fabricated_sheets
from geom.sheets.fittings.sheet import fitting_sheets
from geom.sheets.gate.sheet import gate_sheets
from geom.sheets.installation.sheet import installation_check
from geom.sheets.line_sheets.log import making_log
from geom.sheets.line_sheets.sheet import line_sheets
from geom.sheets.order.sheet import order_list
from geom.sheets.profiles.across import lines_across
from geom.sheets.profiles.sheet import profiles
from geom.sheets.revision.issued import SheetIssue, as_of, drawn, sheet_issues
from geom.sheets.revision.sheet import change_sheets, refuse_same_mark, with_marks
from geom.sheets.setting.push_plot import push_plot
from geom.sheets.setting.sheet import setting_card
from geom.sheets.splices.sheet import splice_sheet
from geom.sheets.stanchions.schedule import post_schedule
from geom.sheets.stanchions.sheet import stanchion_sheets
from geom.sheets.wire_ends.sheet import wire_ends_sheet

# Each makes one sheet or several, or none where the boat has nothing to show on it.
SHEETS: tuple[Callable[[Refit], tuple[Draft, ...]], ...] = (
    deck_plan, profiles, lines_across, post_schedule, stanchion_sheets, base_plates, gate_sheets, fabricated_sheets,
    line_sheets, splice_sheet, wire_ends_sheet, installation_check, fitting_sheets, setting_card, push_plot, rule_sheet,
    order_list, making_log,
)  # fmt: skip


def drawing_set(refit: Refit, attempts: Attempts | None = None, against: Refit | None = None) -> tuple[Sheet, ...]:
    """Return all sheets of a boat in order, numbered, with the cover first.

    Args:
        refit: the boat worked out.
        attempts: whether a sheet that cannot be made is left out, and which were.
        against: the revision before, where the set has a change sheet and marks of what changed.

    Raises:
        CannotFinishError: a sheet cannot be made; the message names it and the cause.
        InputError: the revision before has the same mark.
    """
    trying = attempts or Attempts()
    drafts = _drafts(refit, trying)
    if against is not None:
        drafts = _against(refit, against, drafts, trying)
    listed = with_cover(refit, drafts)
    return tuple(finish(refit, draft, len(listed)) for draft in listed)


def compared_sheets(before: Refit, after: Refit) -> tuple[SheetIssue, ...]:
    """Return what a revision makes of each sheet of the set; the cover lists the revision and goes with it.

    Args:
        before: the refit of the revision before.
        after: the refit.
    """
    alike = as_of(after, before)
    old, new = (with_cover(one, _drafts(one, Attempts())) for one in (before, alike))
    return sheet_issues(old, new, drawn(before, old), drawn(alike, new))


def _drafts(refit: Refit, trying: Attempts) -> tuple[Draft, ...]:
    """Return the drafts of a set without its cover."""
    drafts: list[Draft] = []
    for make in SHEETS:
        drafts += trying.make(f"drawing {make.__name__.replace('_', ' ')}", partial(make, refit), ())
    return tuple(drafts)


def _against(refit: Refit, before: Refit, drafts: Sequence[Draft], trying: Attempts) -> tuple[Draft, ...]:
    """Return the drafts of a set with marks of what changed since the revision before, and the change sheet."""
    refuse_same_mark(before, refit)
    alike = as_of(refit, before)
    # Numbers as in the whole set: sheets of one number have letters in it.
    old, new = (with_cover(one, _drafts(one, trying))[1:] for one in (before, alike))
    was, now = drawn(before, old), drawn(alike, new)
    issues = sheet_issues(old, new, was, now)
    state = {one.name: one.state for one in issues}
    mark = refit.boat.revision.mark
    found = []
    for draft in lettered(drafts):
        name = f"{draft.number}-{draft.name}"
        found.append(with_marks(draft, was[name], now[name], mark) if state[name] == "changed" else draft)
    cover = SheetIssue("G1", "G1-cover", COVER_TITLE, "changed")
    return (*found, *change_sheets(before, refit, (cover, *issues)))
