"""The tables of a refit, in the order of the package."""

from __future__ import annotations

from geom.refit import Refit
from geom.tables import lines, loads, open_items, placing
from geom.tables.table import Table

MAKERS = (
    open_items.items, open_items.choices, open_items.tapes, open_items.tubes,
    placing.posts, placing.holes, placing.edges, placing.runs, placing.spans, placing.gates, placing.pairs,
    placing.net_bays, placing.net_edges,
    *loads.LOAD_TABLES,
    lines.cut_list, lines.cut_terms, lines.budgets, lines.setting_cards, lines.stations, lines.rope_marks,
    lines.threading, lines.checks, lines.splices,
    lines.wire_ends, lines.wire_ends_in_holes, lines.alternatives, lines.bill_by_end, lines.line_orders,
    lines.small_parts, lines.open_gates, lines.strengths, lines.comparison, lines.logs,
)  # fmt: skip


def every_table(refit: Refit) -> tuple[Table, ...]:
    """Return all tables that have rows."""
    return tuple(table for make in MAKERS if (table := make(refit)).results)
