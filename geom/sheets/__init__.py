"""What goes on paper: one file for each sheet, and the list of them in the order of the set."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from geom.drafting.sheet import Draft, finish
from geom.errors import Attempts
from geom.figure import Sheet
from geom.refit import Refit
from geom.sheets.bases.sheet import base_plates
from geom.sheets.compliance.sheet import rule_sheet
from geom.sheets.cover.sheet import with_cover
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.fabricated.sheet import fabricated_sheets
from geom.sheets.fittings.sheet import fitting_sheets
from geom.sheets.gate.sheet import gate_sheets
from geom.sheets.installation.sheet import fixture
from geom.sheets.line_sheets.log import making_log
from geom.sheets.line_sheets.sheet import line_sheets
from geom.sheets.order.sheet import order_list
from geom.sheets.profiles.across import lines_across
from geom.sheets.profiles.sheet import profiles
from geom.sheets.setting.push_plot import push_plot
from geom.sheets.setting.sheet import setting_card
from geom.sheets.splices.sheet import splice_sheet
from geom.sheets.stanchions.schedule import post_schedule
from geom.sheets.stanchions.sheet import stanchion_sheets
from geom.sheets.wire_ends.sheet import wire_ends_sheet

# Each makes one sheet or several, or none where the boat has nothing to show on it.
SHEETS: tuple[Callable[[Refit], tuple[Draft, ...]], ...] = (
    deck_plan, profiles, lines_across, post_schedule, stanchion_sheets, base_plates, gate_sheets, fabricated_sheets,
    line_sheets, splice_sheet, wire_ends_sheet, fixture, fitting_sheets, setting_card, push_plot, rule_sheet,
    order_list, making_log,
)  # fmt: skip


def drawing_set(refit: Refit, attempts: Attempts | None = None) -> tuple[Sheet, ...]:
    """Return all sheets of a boat in order, numbered, with the cover first.

    Args:
        refit: the boat worked out.
        attempts: whether a sheet that cannot be made is left out, and which were.

    Raises:
        CannotFinishError: a sheet cannot be made; the message names it and the cause.
    """
    trying = attempts or Attempts()
    drafts: list[Draft] = []
    for make in SHEETS:
        drafts += trying.make(f"drawing {make.__name__.replace('_', ' ')}", partial(make, refit), ())
    listed = with_cover(refit, drafts)
    return tuple(finish(refit, draft, len(listed)) for draft in listed)
