"""What a bury takes off the standing part: from a recorded trial splice, else a published factor with its range."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import TakeUp
from geom.data import table


@dataclass(frozen=True)
class TakeUpRange:
    """Shortening of the line by one bury [mm]: expected, least, most; measured on this very line or not."""

    expected: float
    least: float
    most: float
    measured: bool
    source: str


def take_up_of(bury: float, trial: TakeUp | None) -> TakeUpRange:
    """Return the take-up of one bury.

    A trial splice goes before the factor; where it tells how long its own bury was, it is scaled to this one.
    Source: data/splice_practice.csv, keys take_up, take_up_low, take_up_high.

    Args:
        bury: buried tail [mm].
        trial: the recorded trial splice of this line, if any.
    """
    if trial is not None:
        each = trial.each if trial.bury is None else trial.each * bury / trial.bury
        spread = trial.spread or 0.0
        return TakeUpRange(each, max(each - spread, 0.0), each + spread, True, trial.source)
    expected = table.datum("splice_practice", key="take_up")
    return TakeUpRange(
        expected=expected.value * bury,
        least=table.datum("splice_practice", key="take_up_low").value * bury,
        most=table.datum("splice_practice", key="take_up_high").value * bury,
        measured=False,
        source=f"{expected.value:g} of the bury, not measured on this rope: {expected.source}",
    )
