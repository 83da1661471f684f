"""The papers of a refit that need neither rates nor a record, as PDF files."""

from __future__ import annotations

from geom.paperwork.handover.sheet import HANDOVER, handover_sheets
from geom.paperwork.labels.sheet import LABELS, label_sheets
from geom.paperwork.orders.papers import order_sheets
from geom.paperwork.paper import paper_bytes
from geom.refit import Refit


def papers(refit: Refit) -> dict[str, bytes]:
    """Return orders, labels and handover by the names of their files."""
    found = [*order_sheets(refit), (LABELS, label_sheets(refit)), (HANDOVER, handover_sheets(refit))]
    return {f"{paper.name}.pdf": paper_bytes(refit, paper, sheets) for paper, sheets in found}
