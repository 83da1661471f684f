"""What goes on paper: one file for each sheet, and the list of them in the order of the set."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from geom.figure import Sheet
from geom.refit import Refit
from geom.sheets.base_plates import base_plates
from geom.sheets.deck_plan import deck_plan
from geom.sheets.draft import Draft, finish
from geom.sheets.drawing_list import with_drawing_list
from geom.sheets.fitting_sheets import Pictures, fitting_sheets
from geom.sheets.fixture import fixture
from geom.sheets.order_list import order_list
from geom.sheets.post_cards import post_cards
from geom.sheets.post_schedule import post_schedule
from geom.sheets.profiles import profiles
from geom.sheets.push_plot import push_plot
from geom.sheets.rule_sheet import rule_sheet
from geom.sheets.run_cards import run_cards
from geom.sheets.setting_card import setting_card
from geom.sheets.splice_sheet import splice_sheet
from geom.sheets.threading_plan import threading_plan

# Each makes one sheet or several, or none where the boat has nothing to show on it.
SHEETS: tuple[Callable[[Refit], tuple[Draft, ...]], ...] = (
    deck_plan, profiles, post_schedule, post_cards, base_plates, run_cards, splice_sheet,
    threading_plan, fixture, fitting_sheets, setting_card, push_plot, rule_sheet, order_list,
)  # fmt: skip


def drawing_set(refit: Refit, pictures: Pictures | None = None) -> tuple[Sheet, ...]:
    """Return all sheets of a boat in order, numbered, with the list of them as the second.

    Args:
        refit: the boat worked out.
        pictures: the isometric view of each fitting, where solids were made; the fittings' sheets show them.
    """
    shown = partial(fitting_sheets, pictures=pictures)
    makers = [shown if make is fitting_sheets else make for make in SHEETS]
    drafts = with_drawing_list(refit, [draft for make in makers for draft in make(refit)])
    return tuple(finish(refit, draft, index + 1, len(drafts)) for index, draft in enumerate(drafts))
