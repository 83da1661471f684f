"""Which end of a run is made first, and which lock each end takes.

A locked Brummel is made with the rest of the line free, so it suits the end made first; the end made last takes a
one-ended lock or a stitched straight bury.
Source: common practice, no source; the families are in data/end_families.csv.
"""

from __future__ import annotations

from geom.boat.model import Boat, LineEnd, Lock, RunEnd
from geom.frozen import frozen
from geom.placement.eyes import RunEyes, Where
from geom.placement.line_ends import BOTH, OTHER, family, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun
from geom.remark import Remark
from geom.rigging.line_remark import LineRemark


@frozen
class Making:
    """The order in which the two ends of a run are made, the lock of each (None if not spliced), and the reason."""

    first: Where
    last: Where
    start_lock: Lock | None
    finish_lock: Lock | None
    reason: Remark
    remarks: tuple[LineRemark, ...]

    def lock(self, where: Where) -> Lock | None:
        """Return the lock of an end."""
        return self.start_lock if where == "start" else self.finish_lock


def adjustment(boat: Boat, end: RunEnd) -> float:
    """Return the total adjusting range of the fittings of an end, as far as stated [mm]."""
    room = 0.0
    for name in end.fittings:
        length = boat.fittings[name].length
        room += (length.planned if length.max is None else length.max) - (
            length.planned if length.min is None else length.min
        )
    return room


def making(boat: Boat, run: PlacedRun, eyes: RunEyes) -> Making:
    """Return which end is made first and how each is locked.

    Args:
        boat: the boat file.
        run: the placed run.
        eyes: the verdicts of its ends in its holes.
    """
    if eyes.in_place is not None:
        last, reason = eyes.in_place, Remark("making.on_board_last")
    else:
        start, finish = adjustment(boat, run.spec.start), adjustment(boat, run.spec.finish)
        last = "start" if start > finish else "finish"
        reason = Remark("making.adjustment_last")
        if start == finish:
            reason = Remark("making.same_adjustment")
    first = OTHER[last]
    remarks: list[LineRemark] = []
    locks = {where: _lock(boat, run, where, where == first, remarks) for where in BOTH}
    return Making(first, last, locks["start"], locks["finish"], reason, tuple(remarks))


def _lock(boat: Boat, run: PlacedRun, where: Where, made_first: bool, remarks: list[LineRemark]) -> Lock | None:
    end = line_end(boat, run, where)
    if not is_spliced(end):
        return None
    lock = end.lock or _family_lock(end)
    if lock is None:
        return "locked Brummel" if made_first else "one-ended"
    if lock == "locked Brummel" and not made_first:
        says = Remark("lock.one_ended_instead", end=run_end(run, where).end)
        remarks.append(LineRemark("lock", "notice", run.id, says))
        return "one-ended"
    return lock


def _family_lock(end: LineEnd) -> Lock | None:
    stated = family(end)["lock"]
    locks: tuple[Lock, ...] = ("locked Brummel", "one-ended", "stitched bury")
    return next((lock for lock in locks if lock == stated), None)
