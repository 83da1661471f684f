"""The two ends of a run: what the boat file states of each, and how the line is finished there."""

from __future__ import annotations

from geom.boat.model import Boat, LineEnd, RunEnd
from geom.data import table
from geom.errors import OutsideTableError
from geom.placement.eyes import Where
from geom.placement.place import PlacedRun

BOTH: tuple[Where, Where] = ("start", "finish")
# The wire eye that is tucked by hand; the other one is turned back and pressed.
HAND_SPLICED = "hand-spliced eye"
OTHER: dict[Where, Where] = {"start": "finish", "finish": "start"}


def family(end: LineEnd) -> dict[str, str]:
    """Return the row of an end's family.

    Raises:
        OutsideTableError: the family is not in the table; the message lists the valid ones.
    """
    try:
        return table.row("end_families", family=end.family)
    except OutsideTableError:
        known = ", ".join(row["family"] for row in table.rows("end_families"))
        raise OutsideTableError(f"no end family '{end.family}' - valid: {known}") from None


def is_spliced(end: LineEnd) -> bool:
    """Return whether an end is a buried splice."""
    return family(end)["kind"] == "splice"


def is_wire_eye(end: LineEnd) -> bool:
    """Return whether an end is an eye of wire turned back on itself: pressed, or spliced by hand."""
    return family(end)["kind"] == "wire eye"


def run_end(run: PlacedRun, where: Where) -> RunEnd:
    """Return what the boat file states of one end of a run."""
    return run.spec.start if where == "start" else run.spec.finish


def line_end(boat: Boat, run: PlacedRun, where: Where) -> LineEnd:
    """Return how the line is finished at one end of a run.

    Args:
        boat: the boat file.
        run: the placed run.
        where: which end.
    """
    return boat.ends[run_end(run, where).end]
