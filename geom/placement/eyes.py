"""Whether a finished end passes a hole, passes when squeezed, needs a trial, or has to be made on board.

A bare eye is drawn through folded flat, slack and along the hole's axis, so that the angle of the line at
rest does not matter. Its limits are multiples of the rope diameter; a hard end is judged by its width and
is never squeezed.
Source: common practice, no source; factors in data/eye_factors.csv, which a boat file may override.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from geom.boat.model import Boat, EyeFactors, LineEnd, RunEnd
from geom.data import table
from geom.errors import OutsideTableError
from geom.frozen import frozen
from geom.placement.place import PlacedRun
from geom.remark import Remark, Stated
from geom.units import Mm, Ratio

Verdict = Literal["passes", "squeeze", "trial", "in place", "line does not pass", "cannot tell"]
Where = Literal["start", "finish"]
# From best to worst; the worst hole governs a run.
ORDER: tuple[Verdict, ...] = ("passes", "squeeze", "trial", "cannot tell", "in place", "line does not pass")


@frozen
class EyeVerdict:
    """One end in one bore: the verdict, the bore required and the bore available [mm], the factor and its source.

    `proved` is True where a trial is recorded as passed.
    """

    verdict: Verdict
    needs: Mm | None
    has: Mm
    factor: Remark
    source: Stated
    proved: bool = False

    @property
    def goes_through(self) -> bool:
        """Whether the end may be finished on the bench; where a trial is needed, only once it is recorded as passed."""
        return self.verdict in ("passes", "squeeze") or (self.verdict == "trial" and self.proved)


@frozen
class Limits:
    """Limits of a bare eye: multiples of the rope diameter, and lengths [mm]."""

    squeeze: Ratio
    trial: Ratio
    clearance: Mm
    tolerance: Mm
    source: str


def limits(factors: EyeFactors | None) -> Limits:
    """Return the limits in force: those of the boat file, else those of the data."""
    tolerance = table.datum("eye_factors", key="tolerance").value
    if factors is not None:
        return Limits(factors.squeeze, factors.trial, factors.clearance, tolerance, factors.source)
    squeeze = table.datum("eye_factors", key="squeeze")
    return Limits(
        squeeze=squeeze.value,
        trial=table.datum("eye_factors", key="trial").value,
        clearance=table.datum("eye_factors", key="clearance").value,
        tolerance=tolerance,
        source=squeeze.source,
    )


def new_rope() -> table.Datum:
    """Return how much larger than its nominal size a new rope may measure, in rope diameters.

    Source: data/eye_factors.csv, key new rope; from memory.
    """
    return table.datum("eye_factors", key="new rope")


def bare_eye(bore: float, line: float, rule: Limits) -> EyeVerdict:
    """Return the verdict of a bare eye folded flat.

    Args:
        bore: smallest clear bore, inside any liner [mm].
        line: diameter of the rope [mm].
        rule: the limits in force.
    """
    has = bore + rule.tolerance
    verdict: Verdict
    if has < line:
        verdict = "line does not pass"
    elif has < rule.trial * line:
        verdict = "in place"
    elif has < rule.squeeze * line:
        verdict = "trial"
    elif has < rule.squeeze * line + rule.clearance:
        verdict = "squeeze"
    else:
        verdict = "passes"
    return EyeVerdict(verdict, rule.squeeze * line, bore, Remark("eye.factor", times=rule.squeeze), rule.source)


def by_width(bore: float, line: float, width: float, rule: Limits) -> EyeVerdict:
    """Return the verdict of an end judged by its width: thimble, stud, terminal or sleeve.

    Args:
        bore: smallest clear bore [mm].
        line: diameter of the line [mm].
        width: of the end [mm].
        rule: the limits in force.
    """
    has = bore + rule.tolerance
    verdict: Verdict = "line does not pass" if has < line else "passes" if has >= width else "in place"
    return EyeVerdict(verdict, width, bore, Remark("eye.own_width"), Remark("source.common_practice"))


def end_through(bore: float, line: float, end: LineEnd, rule: Limits) -> EyeVerdict:
    """Return the verdict of an end of any family in a bore.

    Args:
        bore: smallest clear bore [mm].
        line: diameter of the line [mm].
        end: the end.
        rule: the limits in force.

    Raises:
        OutsideTableError: the table of end families names an unknown method of judging.
    """
    judged_by = table.row("end_families", family=end.family)["judged_by"]
    if judged_by == "rope":
        return bare_eye(bore, line, rule)
    if judged_by == "line":
        return by_width(bore, line, line, rule)
    if judged_by == "made in place":
        verdict: Verdict = "line does not pass" if bore + rule.tolerance < line else "in place"
        return EyeVerdict(verdict, None, bore, Remark("eye.made_on_board"), Remark("source.common_practice"))
    if judged_by != "width":
        raise OutsideTableError(f"table end_families says '{judged_by}' of {end.family}")
    if end.width is None:
        return EyeVerdict("cannot tell", None, bore, Remark("eye.own_width"), Remark("eye.no_width"))
    return by_width(bore, line, end.width, rule)


@frozen
class HoleEyes:
    """Verdicts of both ends of a run at one of its holes."""

    run: str
    hole: str
    start: EyeVerdict
    finish: EyeVerdict


@frozen
class RunEyes:
    """Verdicts of both ends of a run at all its holes, and where each end is made.

    `leading` is the end that is drawn through the holes, finished on the bench where it passes them all;
    `in_place` is the end that has to be made on board, None where both are made on the bench.
    """

    run: str
    holes: tuple[HoleEyes, ...]
    leading: Where
    in_place: Where | None
    reason: Remark


def run_eyes(boat: Boat, run: PlacedRun, bores: Mapping[str, float] = MappingProxyType({})) -> RunEyes:
    """Return the verdicts of a run at its holes and which end is made on board.

    Args:
        boat: the boat file.
        run: the placed run.
        bores: of holes that are given another bore than they have, by id [mm].
    """
    rule = limits(boat.eye_factors)
    line = boat.lines[run.spec.line].outside
    start, finish = boat.ends[run.spec.start.end], boat.ends[run.spec.finish.end]
    proved = {trial.hole for trial in boat.trials}
    holes = []
    for passage in run.passages:
        bore = bores.get(passage.hole.id, passage.hole.bore)
        ends = [end_through(bore, line, end, rule) for end in (start, finish)]
        if passage.hole.id in proved:
            ends = [
                EyeVerdict(e.verdict, e.needs, e.has, e.factor, e.source, proved=True) if e.verdict == "trial" else e
                for e in ends
            ]
        holes.append(HoleEyes(run.id, passage.hole.id, ends[0], ends[1]))
    return _where_made(boat, run, tuple(holes))


def _where_made(boat: Boat, run: PlacedRun, holes: tuple[HoleEyes, ...]) -> RunEyes:
    """Return which end leads through the holes and which is made on board.

    The forward end leads when the line is threaded forward. If neither finished end passes every hole, the
    end with more adjustment is made on board, since it can take up the fabrication error.
    """
    if not holes:
        return RunEyes(run.id, holes, "start", None, Remark("made.no_holes"))
    blocked: dict[Where, tuple[str, Verdict]] = {}
    for where in ("start", "finish"):
        blocking = [hole for hole in holes if not (hole.start if where == "start" else hole.finish).goes_through]
        if blocking:
            worst = max(blocking, key=lambda hole: ORDER.index(getattr(hole, where).verdict))
            blocked[where] = worst.hole, getattr(worst, where).verdict
    adjustment = {"start": _adjustment(boat, run.spec.start), "finish": _adjustment(boat, run.spec.finish)}
    preferred: Where = "start" if adjustment["start"] >= adjustment["finish"] else "finish"
    other: Where = "finish" if preferred == "start" else "start"
    for where in (preferred, other):
        if where not in blocked:
            return RunEyes(run.id, holes, where, None, Remark("made.end_passes", end=where))
    hole, verdict = blocked[preferred]
    reason = Remark("made.end_on_board", end=preferred, hole=hole, verdict=verdict)
    return RunEyes(run.id, holes, preferred, preferred, reason)


def _adjustment(boat: Boat, end: RunEnd) -> float:
    """Return the total adjusting range of the fittings at an end [mm]."""
    total = 0.0
    for name in end.fittings:
        length = boat.fittings[name].length
        minimum = length.planned if length.min is None else length.min
        maximum = length.planned if length.max is None else length.max
        total += maximum - minimum
    return total


@frozen
class EyeShape:
    """Eye length over pin diameter and pin diameter over rope diameter, None where a dimension is missing.

    `kept` is whether both minimum ratios are met, None where that is not determined.
    """

    length_over_pin: Ratio | None
    pin_over_rope: Ratio | None
    kept: bool | None
    warnings: tuple[Remark, ...]


def eye_shape(rope: float, throat_to_pin: float | None, pin: float | None) -> EyeShape:
    """Return the proportions of an eye on its pin.

    Source: data/splice_practice.csv, keys eye_over_pin and pin_over_rope.

    Args:
        rope: diameter of the rope [mm].
        throat_to_pin: length of the eye, throat to bearing point [mm].
        pin: diameter of the pin [mm].
    """
    if pin is None:
        return EyeShape(None, None, None, (Remark("eye_shape.no_pin"),))
    over_rope = pin / rope
    over_pin = None if throat_to_pin is None else throat_to_pin / pin
    warnings = [*_ratio_warnings(over_rope, "pin_over_rope")]
    if over_pin is None:
        warnings.append(Remark("eye_shape.no_length"))
    else:
        warnings += _ratio_warnings(over_pin, "eye_over_pin")
    ratio_kept = over_rope >= _limit("min_pin_over_rope")
    kept = None if over_pin is None else ratio_kept and over_pin >= _limit("min_eye_over_pin")
    return EyeShape(over_pin, over_rope, kept if ratio_kept else False, tuple(warnings))


def _limit(key: str) -> float:
    return table.datum("splice_practice", key=key).value


def _ratio_warnings(ratio: float, key: str) -> list[Remark]:
    minimum = table.datum("splice_practice", key=f"min_{key}")
    preferred = table.datum("splice_practice", key=f"{key}_preferred")
    of_pin = key == "pin_over_rope"
    if ratio < minimum.value:
        code = "eye_shape.pin_under_min" if of_pin else "eye_shape.eye_under_min"
        return [Remark(code, ratio=ratio, min=minimum.value, source=minimum.source)]
    if ratio < preferred.value:
        code = "eye_shape.pin_under_preferred" if of_pin else "eye_shape.eye_under_preferred"
        return [Remark(code, ratio=ratio, preferred=preferred.value, source=preferred.source)]
    return []


def thimble_goes_in(end: LineEnd) -> tuple[bool | None, Remark]:
    """Return whether a thimble can be fitted into the finished eye, and why; None where that is not determined.

    Source: common practice, no source; reasoned from records of bare eyes drawn through holes.
    """
    thimble = end.thimble
    if thimble is None:
        return None, Remark("thimble.none_stated")
    if thimble.pattern == "closed":
        return False, Remark("thimble.closed")
    if end.eye_girth is None:
        return None, Remark("thimble.no_girth")
    if end.eye_girth < thimble.girth:
        return False, Remark("thimble.too_large", eye_mm=end.eye_girth, thimble_mm=thimble.girth)
    return True, Remark("thimble.goes_in", eye_mm=end.eye_girth, thimble_mm=thimble.girth)
