"""The orders of a refit, one for each kind of supplier that has something to deliver."""

from __future__ import annotations

from collections.abc import Callable

from geom.drafting.ruling import RuledList
from geom.drafting.text import LENGTHS_IN
from geom.figure import Sheet
from geom.paperwork.orders import text as words
from geom.paperwork.orders.nets_sheet import net_lists
from geom.paperwork.orders.parts_sheet import fitting_lists, tube_lists
from geom.paperwork.orders.rope_sheet import rope_lists
from geom.paperwork.orders.wire import wire_lines
from geom.paperwork.orders.wire_sheet import wire_lists
from geom.paperwork.paper import Paper, pages
from geom.refit import Refit
from geom.tables import numbers

WIRE = Paper("O1", "order-wire", words.WIRE, words.WIRE_KIND, words.WIRE_DESCRIPTION)
ROPE = Paper("O2", "order-rope", words.ROPE, words.ROPE_KIND, words.ROPE_DESCRIPTION)
FITTINGS = Paper("O3", "order-fittings", words.FITTINGS, words.FITTINGS_KIND, words.FITTINGS_DESCRIPTION)
TUBES = Paper("O4", "order-tubes-and-plates", words.TUBES, words.TUBES_KIND, words.TUBES_DESCRIPTION)
NETS = Paper("O5", "order-nets", words.NETS, words.NETS_KIND, words.NETS_DESCRIPTION)
SUPPLIERS: tuple[tuple[Paper, Callable[[Refit], tuple[RuledList, ...]]], ...] = (
    (WIRE, lambda refit: wire_lists(refit, wire_lines(refit))),
    (ROPE, rope_lists),
    (FITTINGS, fitting_lists),
    (TUBES, tube_lists),
    (NETS, net_lists),
)


def order_sheets(refit: Refit) -> tuple[tuple[Paper, tuple[Sheet, ...]], ...]:
    """Return each order with its pages."""
    found = ((paper, make(refit)) for paper, make in SUPPLIERS)
    lengths = LENGTHS_IN[numbers(refit.boat).unit]
    # The pins and holes of wire ends have angles as well.
    return tuple(
        (paper, pages(refit, paper, lists, "" if paper is WIRE else lengths)) for paper, lists in found if lists
    )
