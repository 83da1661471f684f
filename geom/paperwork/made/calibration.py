"""The take-up of a rope as measured on the first eyes of its lines, and the next lines corrected by it.

The eye marks are laid off at a distance; once the first eye is made, the distance from its throat to the other mark is
shorter by its take-up. Two eyes or more replace the take-up that was expected.
Source: geometry; how many eyes are enough is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from geom.boat.line_model import TakeUp
from geom.boat.model import Boat
from geom.intake.as_built import AsBuilt
from geom.refit import Refit, refit_again
from geom.rigging.lengths import bury_of, is_rope
from geom.rigging.splice import practice, take_up_of
from geom.units import Mm

MIN_EYES = 2


@dataclass(frozen=True)
class MeasuredEye:
    """The take-up of the first eye of a run [mm]; `rejected` where it is outside the published range."""

    run: str
    take_up: Mm
    rejected: bool


@dataclass(frozen=True)
class Calibration:
    """The take-up of one rope [mm]: as expected, each as measured, their mean and the most that one is off it.

    `mean` and `spread` are None with fewer than two eyes that count.
    """

    line: str
    bury: Mm
    expected: Mm
    eyes: tuple[MeasuredEye, ...]
    mean: Mm | None
    spread: Mm | None

    @property
    def runs(self) -> tuple[str, ...]:
        """The runs whose eyes count."""
        return tuple(eye.run for eye in self.eyes if not eye.rejected)


@dataclass(frozen=True)
class Correction:
    """The figures of a line still to be made, before and after the calibration [mm]."""

    run: str
    line: str
    eye_marks_before: Mm
    eye_marks: Mm
    from_reel_before: Mm
    from_reel: Mm


def calibrations(refit: Refit, record: AsBuilt) -> tuple[Calibration, ...]:
    """Return the take-up of each rope of which a first eye was measured, in the order of the boat file."""
    same = record.as_built.data_sha256 == refit.loaded.data_sha256
    return tuple(
        found
        for name in refit.boat.lines
        if is_rope(refit.boat.lines[name]) and (found := _calibration(refit, name, record, same)).eyes
    )


def _calibration(refit: Refit, name: str, record: AsBuilt, same: bool) -> Calibration:
    line = refit.boat.lines[name]
    bury = bury_of(line)
    eyes = tuple(_eyes(refit, name, record, same, bury))
    counted = [eye.take_up for eye in eyes if not eye.rejected]
    mean = spread = None
    if len(counted) >= MIN_EYES:
        mean = math.fsum(counted) / len(counted)
        spread = max(abs(one - mean) for one in counted)
    return Calibration(name, bury, take_up_of(bury, line.take_up).expected, eyes, mean, spread)


def _eyes(refit: Refit, name: str, record: AsBuilt, same: bool, bury: float) -> Iterator[MeasuredEye]:
    low, high = practice("take_up_low") * bury, practice("take_up_high") * bury
    for run in refit.placed.runs.values():
        entry = record.runs.get(run.id)
        if run.spec.line != name or entry is None or entry.first_eye is None:
            continue
        laid = entry.eye_marks if entry.eye_marks is not None or not same else refit.work.runs[run.id].eye_to_eye
        if laid is not None:
            take_up = laid - entry.first_eye
            yield MeasuredEye(run.id, take_up, not low <= take_up <= high)


def as_take_up(one: Calibration, source: str) -> TakeUp | None:
    """Return a calibration as the take-up of its rope in the boat file; None with too few eyes.

    Args:
        one: the calibration.
        source: in the boat file's words.
    """
    if one.mean is None or one.spread is None:
        return None
    return TakeUp(each=one.mean, source=source, bury=one.bury, spread=one.spread, measured_on=one.runs)


def with_take_ups(boat: Boat, found: Mapping[str, TakeUp]) -> Boat:
    """Return a boat with other take-ups of its ropes.

    Args:
        boat: the boat.
        found: take-up by the word of the rope.
    """
    lines = {
        name: line.model_copy(update={"take_up": found[name]}) if name in found else line
        for name, line in boat.lines.items()
    }
    return boat.model_copy(update={"lines": lines})


def corrections(refit: Refit, record: AsBuilt, found: Mapping[str, TakeUp]) -> tuple[Correction, ...]:
    """Return the lines still to be made, of the ropes that are calibrated, with their figures before and after.

    Args:
        refit: the calculated boat.
        record: what is made already.
        found: take-up by the word of the rope.
    """
    if not found:
        return ()
    after = refit_again(refit, with_take_ups(refit.boat, found))
    rows = []
    for run in refit.placed.runs.values():
        if run.spec.line not in found or _is_made(record, run.id):
            continue
        old, new = refit.work.runs[run.id], after.work.runs[run.id]
        figures = (old.eye_to_eye, new.eye_to_eye, old.from_reel, new.from_reel)
        if None not in figures:
            rows.append(Correction(run.id, run.spec.line, *figures))  # type: ignore[arg-type]
    return tuple(rows)


def _is_made(record: AsBuilt, run: str) -> bool:
    entry = record.runs.get(run)
    return entry is not None and (entry.finished is not None or entry.first_eye is not None)
