"""What is measured in the making, and within which figures the work goes on.

Source: the error budget, see budget.py; take-up range of data/splice_practice.csv; common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from geom.boat.model import Boat
from geom.placement.eyes import Where
from geom.placement.line_ends import OTHER, line_end, run_end
from geom.placement.place import PlacedRun
from geom.placement.stack import Stack
from geom.remark import Remark
from geom.rigging.budget import COVERAGE, Budget
from geom.rigging.dimension_chain import plus_minus
from geom.rigging.lengths import RunLengths, bury_of
from geom.rigging.splice import practice
from geom.units import Mm

# Divisions of an inch on a tape.
TAPE_PARTS = 32
Measure = Literal["first eye", "on board", "second eye"]


@dataclass(frozen=True)
class Acceptance:
    """A distance to measure in the making [mm]: expected, accepted from and to, rejected below and above.

    Between accepted and rejected the step says what to do. `reject_low` and `reject_high` are None where what the
    fittings can do is not given.
    """

    measure: Measure
    expected: Mm
    accept_low: Mm
    accept_high: Mm
    reject_low: Mm | None
    reject_high: Mm | None

    @property
    def says(self) -> Remark:
        """The figures of the check."""
        accept = {"expected_mm": self.expected, "low_mm": self.accept_low, "high_mm": self.accept_high}
        if self.measure == "on board":
            return Remark("check.on_board", **accept)
        if self.reject_low is None or self.reject_high is None:
            return Remark("check.second_eye_only", **accept)
        reject = {"under_mm": self.reject_low, "over_mm": self.reject_high}
        return Remark("check.first_eye" if self.measure == "first eye" else "check.second_eye", **accept, **reject)


@dataclass(frozen=True)
class Checks:
    """The checks of a run with two spliced ends, in the order of the work."""

    first_eye: Acceptance
    on_board: Acceptance
    second_eye: Acceptance


def checks(boat: Boat, run: PlacedRun, stack: Stack, lengths: RunLengths, error: Budget, first: Where) -> Checks | None:
    """Return the checks of a run; None unless both ends are spliced and every measure is known.

    Args:
        boat: the boat file.
        run: the placed run.
        stack: its fittings.
        lengths: its lengths.
        error: its error budget.
        first: the end that is made first.
    """
    before, expected = lengths.eye_to_eye, lengths.from_throat(first)
    if before is None or expected is None or error.after_first is None:
        return None
    tape = plus_minus(boat).tape
    found = Checks(
        first_eye=_first_eye(boat, run, before, expected, lengths, tape),
        on_board=_on_board(boat, run, lengths, error, OTHER[first]),
        second_eye=_second_eye(stack, lengths, tape),
    )
    return Checks(*(_on_tape(boat, check) for check in (found.first_eye, found.on_board, found.second_eye)))


def _on_tape(boat: Boat, check: Acceptance) -> Acceptance:
    """Return a check with its limits as they are read on a tape, never wider than they are.

    Where no reading lies between two limits, both are the nearest.
    """
    part = 25.4 / TAPE_PARTS if boat.units.length in ("in", "ft") else 1.0

    def inside(low: float, high: float) -> tuple[float, float]:
        up, down = math.ceil(low / part - 1e-6), math.floor(high / part + 1e-6)
        if up > down:
            up = down = round(0.5 * (low + high) / part)
        return up * part, down * part

    low, high = inside(check.accept_low, check.accept_high)
    under, over = check.reject_low, check.reject_high
    if under is not None and over is not None:
        under, over = inside(under, over)
    return replace(check, accept_low=low, accept_high=high, reject_low=under, reject_high=over)


def _first_eye(
    boat: Boat, run: PlacedRun, before: float, expected: float, lengths: RunLengths, tape: float
) -> Acceptance:
    """Return the check of the first eye: from its throat to the other EYE mark, as it was first laid off.

    Accepted within two tape readings of the expected take-up, or its own range where that is wider. Rejected beyond the
    published range of take-ups: the splice is made again.
    """
    take_up = lengths.take_ups[0]
    bury = bury_of(boat.lines[run.spec.line])
    two = tape * math.sqrt(2.0)
    low, high = (
        before - max(take_up.maximum, take_up.expected + two),
        before - min(take_up.minimum, take_up.expected - two),
    )
    most = max(practice("take_up_high") * bury, before - low)
    least = min(practice("take_up_low") * bury, before - high)
    return Acceptance("first eye", expected, low, high, before - most, before - least)


def _on_board(boat: Boat, run: PlacedRun, lengths: RunLengths, error: Budget, last: Where) -> Acceptance:
    """Return the check that governs: how far the EYE mark of the end made last stands short of the pin on the boat.

    Fittings and eye lie between, and the take-up of the splice is still to come: 60 + 25 - 30 = 55. Accepted within the
    error budget and the range of the fittings; else the boat governs.
    """
    assert error.after_first is not None
    sizes = [boat.fittings[name].length for name in run_end(run, last).fittings]
    planned = math.fsum(size.planned for size in sizes)
    eye = line_end(boat, run, last).throat_to_pin or 0.0
    taken = math.fsum(term.value for term in lengths.terms if term.name == "take-up" and term.end == last)
    expected = planned + eye - taken + lengths.deduction.total
    shorter = error.shorten if error.shorten is not None else error.after_first
    longer = error.lengthen if error.lengthen is not None else error.after_first
    low = expected - min(error.after_first, shorter)
    high = expected + min(error.after_first, longer)
    return Acceptance("on board", expected, low, high, None, None)


def _second_eye(stack: Stack, lengths: RunLengths, tape: float) -> Acceptance:
    """Return the check of the finished line, bearing to bearing under the marking tension.

    Accepted within the error of its making, as far as the fittings can take it up; rejected where they cannot.
    """
    made = COVERAGE * math.sqrt((tape**2 + 2.0 * tape**2) / 3.0)
    expected = lengths.marked
    under = None if stack.lengthen is None else expected - stack.lengthen
    over = None if stack.shorten is None else expected + stack.shorten
    low = expected - made if under is None else max(expected - made, under)
    high = expected + made if over is None else min(expected + made, over)
    return Acceptance("second eye", expected, low, high, under, over)
