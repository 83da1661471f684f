"""The two ends of a run: what the file says of each, and what is made on the line there."""

from __future__ import annotations

from geom.boat.model import Boat, LineEnd, RunEnd
from geom.data import table
from geom.errors import OutsideTableError
from geom.placement.eyes import Where
from geom.placement.place import PlacedRun

BOTH: tuple[Where, Where] = ("start", "finish")
OTHER: dict[Where, Where] = {"start": "finish", "finish": "start"}


def family(end: LineEnd) -> dict[str, str]:
    """Return the row of an end's family.

    Raises:
        OutsideTableError: the data hold no such family; the message lists those they hold.
    """
    try:
        return table.row("end_families", family=end.family)
    except OutsideTableError:
        known = ", ".join(row["family"] for row in table.rows("end_families"))
        raise OutsideTableError(f"no end family '{end.family}' - valid: {known}") from None


def is_spliced(end: LineEnd) -> bool:
    """Tell whether an end is made by burying its tail."""
    return family(end)["kind"] == "splice"


def run_end(run: PlacedRun, where: Where) -> RunEnd:
    """Return what the file says of one end of a run."""
    return run.spec.start if where == "start" else run.spec.finish


def line_end(boat: Boat, run: PlacedRun, where: Where) -> LineEnd:
    """Return what is made on the line at one end of a run."""
    return boat.ends[run_end(run, where).end]
