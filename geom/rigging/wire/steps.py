"""The work on a wire end before and after it is made: the mark of the insertion, the tucks, the gauge.

Source: common practice, no source; the tucks of a hand splice are in data/wire_splice.csv.
"""

from __future__ import annotations

from geom.boat.model import GuardLine, LineEnd
from geom.remark import Remark
from geom.rigging.wire.eye import hand_splice


def marked_insertion(line: GuardLine, end: LineEnd) -> tuple[Remark, ...]:
    """Return the mark of how far the wire goes into a terminal; a coating is taken off as far.

    Args:
        line: the wire.
        end: its end.
    """
    if end.insertion is None:
        return ()
    strip = (Remark("step.strip_coating", insertion_mm=end.insertion),) if line.coated else ()
    return (*strip, Remark("step.mark_insertion", insertion_mm=end.insertion))


def gauged(line: GuardLine, end: LineEnd) -> tuple[Remark, ...]:
    """Return the tucks of a hand splice, and the gauge of what is swaged or pressed.

    Args:
        line: the wire.
        end: its end.
    """
    splice, swage = hand_splice(line, end), end.swage
    found: list[Remark] = []
    if end.insertion is not None:
        found.append(Remark("step.insertion_at_mouth"))
    if splice is not None:
        tucks = {"whole": splice.whole_tucks, "half": splice.half_tucks}
        found.append(Remark("step.hand_splice", tail_mm=splice.tail, **tucks))
    if swage is not None and swage.no_go is not None:
        found.append(Remark("step.gauge", go_mm=swage.go, no_go_mm=swage.no_go))
    elif swage is not None:
        found.append(Remark("step.gauge_go", go_mm=swage.go))
    return tuple(found)
