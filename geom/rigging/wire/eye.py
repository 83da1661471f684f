"""Eyes of wire turned back on itself: held by a pressed sleeve, or 7x7 and 7x19 wire tucked by hand.

Source: data/wire_splice.csv, by row.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import GuardLine, LineEnd
from geom.data import table
from geom.data.table import Datum
from geom.placement.line_ends import HAND_SPLICED, is_wire_eye
from geom.units import Mm

# Wire of strands, which alone is spliced by hand.
STRANDED = ("7x7", "7x19")


@dataclass(frozen=True)
class HandSplice:
    """The tucks of a hand-spliced wire eye: strands unlaid over `tail` [mm], tucks with whole and with half strands."""

    tail: Mm
    whole_tucks: int
    half_tucks: int
    sources: tuple[str, ...]


def splice_datum(key: str) -> Datum:
    """Return a value of data/wire_splice.csv with its source.

    Args:
        key: its row.

    Raises:
        OutsideTableError: there is no such row.
    """
    return table.datum("wire_splice", key=key)


def tail_of(line: GuardLine, end: LineEnd) -> float | None:
    """Return the wire beyond the throat of a wire eye [mm]: stated, of a hand splice else by the table.

    Source: data/wire_splice.csv, key tail.

    Args:
        line: the wire.
        end: its end; None for one that is no wire eye, and for a pressed one without a stated tail.
    """
    if not is_wire_eye(end):
        return None
    if end.tail is None and end.family == HAND_SPLICED:
        return splice_datum("tail").value * line.diameter
    return end.tail


def hand_splice(line: GuardLine, end: LineEnd) -> HandSplice | None:
    """Return the tucks of a wire eye spliced by hand; None for any other end.

    Source: data/wire_splice.csv.

    Args:
        line: the wire.
        end: its end.
    """
    tail = tail_of(line, end)
    if end.family != HAND_SPLICED or tail is None:
        return None
    whole, half = splice_datum("whole_tucks"), splice_datum("half_tucks")
    unlaid = "boat file" if end.tail is not None else splice_datum("tail").source
    return HandSplice(tail, round(whole.value), round(half.value), (unlaid, whole.source, half.source))
