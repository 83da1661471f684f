"""What made ends and lashings hold, as shares of a line's or a cord's strength: one source for every list of links."""

from __future__ import annotations

from geom.boat.model import Cord, LineEnd
from geom.data.table import Datum, datum
from geom.runs.making import family
from geom.runs.weakest_link import lashing_strength

# Which row of data/line_strength.csv holds for a kind of end.
_BY_KIND = {"splice": "splice", "terminal": "terminal", "knot": "stop_knot_slip"}


def end_share(end: LineEnd) -> Datum | None:
    """Return the share of the line's strength that an end of its family holds; None where none is published.

    Source: data/line_strength.csv, each row with its own.

    Raises:
        OutsideTableError: the data hold no such family.
    """
    key = _BY_KIND.get(family(end)["kind"])
    return None if key is None else datum("line_strength", key=key)


def lashing_holds(cord: Cord) -> tuple[float, Datum] | None:
    """Return what a lashing holds [N] and the share in it; None where the cord's breaking load is not given.

    Source: data/line_strength.csv, key lashing_share.
    """
    if cord.breaking_load is None:
        return None
    share = datum("line_strength", key="lashing_share")
    return lashing_strength(cord.turns, cord.breaking_load.value, share.value), share
