"""Tables of what is open: items in rank, their choices, lines that the boat file lacks, tapes, posts as found."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from geom.intake.survey.closure import ClosureRow
from geom.intake.survey.fairness import LeanRow
from geom.open_items import OpenItem, open_items
from geom.refit import Refit
from geom.remark import Stated
from geom.tables.table import Column, Table, column, numbered


def items(refit: Refit) -> Table:
    """Return the open items in rank."""
    of = partial(column, OpenItem)
    columns = (
        of("number"),
        of("kind"),
        of("title=cause", "WHAT"),
        of("who"),
        Column("places", "PLACES", lambda item: ", ".join(item.places)),
        of("settles"),
        of("why"),
        Column("sheets", "SHEETS", lambda item: ", ".join(item.sheets)),
    )
    found = open_items(refit)
    return Table("open-items", "OPEN ITEMS", columns, found, tuple(str(item.number) for item in found))


@dataclass(frozen=True)
class ItemChoice:
    """One way to close an item, or one line to add to the boat file, with the number of the item."""

    item: int
    kind: str
    what: Stated
    figures: Stated
    to_check: Stated


def choices(refit: Refit) -> Table:
    """Return the choices of each open item, and the lines that the boat file lacks."""
    found = []
    for item in open_items(refit):
        for choice in item.choices:
            found.append(ItemChoice(item.number, "choice", choice.what, choice.figures or "", choice.to_check or ""))
        found += [
            ItemChoice(item.number, "add to the boat file", entry.line, entry.under, "") for entry in item.entries
        ]
    columns = tuple(column(ItemChoice, path) for path in ("item", "kind", "what", "figures", "to_check"))
    return Table("open-item-choices", "CHOICES", columns, tuple(found), numbered(str(one.item) for one in found))


def tapes(refit: Refit) -> Table:
    """Return each tape against the coordinates."""
    columns = tuple(
        column(ClosureRow, path) for path in ("start", "end", "taped", "computed", "residual", "limit", "flagged")
    )
    found = refit.closure
    return Table("tapes", "TAPES AGAINST COORDINATES", columns, found, tuple(f"{row.start}:{row.end}" for row in found))


def tubes(refit: Refit) -> Table:
    """Return each tube against the usual lean and rake of the boat."""
    paths = ("post", "lean", "usual_lean", "rake", "usual_rake", "hole_out=outboard", "hole_aft=aft", "bent")
    columns = tuple(column(LeanRow, path) for path in paths)
    found = refit.as_found.leans
    return Table("posts-as-found", "POSTS AS FOUND", columns, found, tuple(row.post for row in found))
