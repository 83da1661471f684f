"""Solving a survey by tape, square, level and digital level: coordinates, uncertainty, residuals, blunders."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from geom.data import table
from geom.errors import CannotFinishError, Fault, InputError
from geom.intake.survey.adjust import Adjustment, NoConvergenceError, adjust, descend
from geom.intake.survey.approximate import start_values
from geom.intake.survey.blunders import Wrong, find_wrong, min_detectable, residual_bound
from geom.intake.survey.causes import Cause, likely_causes
from geom.intake.survey.checks import broken_loops, check_survey
from geom.intake.survey.closure import held_elsewhere, hooked_elsewhere
from geom.intake.survey.network import Network
from geom.intake.survey.readings import LeanReading, LevelReading, Reading, Survey, TapeReading
from geom.intake.survey.reliability import doubts, other_answers
from geom.intake.survey.result import Blunder, ResidualRow, SurveyedHole, SurveyedPoint, SurveyedPost, SurveyResult
from geom.intake.survey.undetermined import barely_determined, find_gap
from geom.vec import Vec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


# So many rejected readings of one unknown are more than there are likely to be, and so many unknowns are those of a
# point or a post: where more are in question, no single reading is to blame.
_CROWD, _FEW = 3, 6


def solve_survey(survey: Survey) -> SurveyResult:
    """Return the adjusted coordinates of a survey.

    Raises:
        InputError: inconsistent names, too few readings to determine all unknowns, a loop that cannot close with no
            single reading to blame, or readings that contradict each other.
    """
    check_survey(survey)
    network = Network(survey)
    start, unsure = start_values(survey, network)
    gap = find_gap(network, survey.readings, start)
    if gap is not None:
        raise InputError(
            survey.source,
            [
                Fault(
                    f"the survey does not determine {', '.join(gap.unknowns)}",
                    valid=f"these as well: {', '.join(gap.remedies)}" if gap.remedies else "",
                )
            ],
        )
    robust_fit = descend(network, survey.readings, start, robust=True)
    bound = residual_bound(len(survey.readings), table.datum("survey_limits", key="false alarm").value)
    try:
        adjustment, wrong = _solved(network, robust_fit, bound)
    except CannotFinishError as error:
        _refuse_contradictory(survey, (), unsure)
        if isinstance(error, NoConvergenceError):
            loose = barely_determined(network, robust_fit, error.moving)
            fault = Fault(
                f"too thin to settle: hardly anything fixes {', '.join(loose.unknowns)}",
                valid=f"these as well: {', '.join(loose.remedies)}" if loose.remedies else "",
            )
            raise InputError(survey.source, [fault]) from None
        hint = f"approximate positions (`near`) of {', '.join(unsure)}" if unsure else "names, sides and units checked"
        raise InputError(survey.source, [Fault(str(error), valid=hint)]) from None
    _refuse_contradictory(survey, wrong, unsure)
    return _result(survey, network, adjustment, wrong, bound)


def _solved(network: Network, start: Array, bound: float) -> tuple[Adjustment, tuple[Wrong, ...]]:
    """Return the solution of least cost from several starts, with the readings that it rejects.

    Raises:
        NoConvergenceError: the iteration does not converge from any of them.
        CannotFinishError: an unknown is not determined.
    """
    try:
        solutions = [_adjust_and_reject(network, start, bound)]
        if solutions[0][1]:
            solutions.append(_solve_again(network, *solutions[0], bound))
        crowded = _crowded(network, start, solutions[-1][1])
        if crowded:
            solutions += _without_each(network, start, crowded, bound)
    except NoConvergenceError as error:
        solutions = _without_each(network, start, error.moving, bound)
        if not solutions:
            raise
    return min(solutions, key=lambda solution: _cost(solution[0], solution[1], bound))


def _cost(solution: Adjustment, wrong: tuple[Wrong, ...], bound: float) -> float:
    return solution.weighted_squares + bound**2 * len(wrong)


def _crowded(network: Network, unknowns: Array, wrong: tuple[Wrong, ...]) -> tuple[int, ...]:
    """Return the unknowns that several rejected readings share: more likely one other reading of them is wrong."""
    readings = network.survey.readings
    shares = Counter(column for one in wrong for column in network.evaluate(readings[one.row], unknowns)[1])
    return tuple(column for column, count in shares.items() if count >= _CROWD)


def _without_each(
    network: Network, unknowns: Array, columns: tuple[int, ...], bound: float
) -> list[tuple[Adjustment, tuple[Wrong, ...]]]:
    """Return the solutions that reject a reading without which they started: one far off may spoil every other start.

    Args:
        network: the unknowns.
        unknowns: an approximate solution [mm, rad].
        columns: the unknowns in question; each reading of theirs is left out in turn.
        bound: largest standardised residual of a correct reading, dimensionless.
    """
    survey = network.survey
    found: list[tuple[Adjustment, tuple[Wrong, ...]]] = []
    if len(columns) > _FEW:
        return found
    for row, reading in enumerate(survey.readings):
        if not set(columns) & set(network.evaluate(reading, unknowns)[1]):
            continue
        kept = survey.readings[:row] + survey.readings[row + 1 :]
        try:
            start, _ = start_values(replace(survey, readings=kept), network)
            adjustment, wrong = _adjust_and_reject(network, descend(network, kept, start, robust=True), bound)
        except (CannotFinishError, ValueError):
            continue
        if row in {one.row for one in wrong}:
            found.append((adjustment, wrong))
    return found


def _adjust_and_reject(network: Network, start: Array, bound: float) -> tuple[Adjustment, tuple[Wrong, ...]]:
    """Reject wrong readings and adjust the others, until the set of rejected readings no longer changes."""
    readings = network.survey.readings
    unknowns = start
    rejected: frozenset[int] | None = None
    for _ in range(6):
        closure, slopes = network.system(readings, unknowns)
        wrong = find_wrong(closure, slopes, bound)
        rows = frozenset(reading.row for reading in wrong)
        if rows == rejected:
            break
        rejected = rows
        kept = tuple(reading for row, reading in enumerate(readings) if row not in rejected)
        adjustment = adjust(network, kept, unknowns)
        unknowns = adjustment.unknowns
    return adjustment, wrong


def _solve_again(
    network: Network, adjustment: Adjustment, wrong: tuple[Wrong, ...], bound: float
) -> tuple[Adjustment, tuple[Wrong, ...]]:
    """Solve again from approximate positions without the wrong readings, which may have spoiled the first start.

    Returns:
        The better of both solutions: small residuals, few rejections.
    """
    rejected = {blunder.row for blunder in wrong}
    survey = network.survey
    kept = tuple(reading for row, reading in enumerate(survey.readings) if row not in rejected)
    start, _ = start_values(replace(survey, readings=kept), network)
    try:
        again, wrong_again = _adjust_and_reject(network, descend(network, kept, start, robust=True), bound)
    except (CannotFinishError, ValueError):
        return adjustment, wrong
    better = _cost(again, wrong_again, bound) < _cost(adjustment, wrong, bound) - 1e-6
    return (again, wrong_again) if better else (adjustment, wrong)


def _refuse_contradictory(survey: Survey, wrong: tuple[Wrong, ...], unsure: tuple[str, ...]) -> None:
    """Refuse a survey whose readings contradict each other when the wrong ones cannot be identified."""
    readings = survey.readings
    # Where it is open which of several is wrong, what depends on them is withheld, and the rest stands.
    named = {row for blunder in wrong for row in (blunder.row, *blunder.alike)}
    faults = []
    for loop in broken_loops(survey):
        rows = [row for row, reading in enumerate(readings) if reading in loop.tapes]
        if not named & set(rows):
            faults.append(Fault(loop.message, line=loop.tapes[0].line, valid="these tapes taken again"))
    if len(wrong) > max(3, len(readings) // 5):
        hint = f"; approximate positions (`near`) of {', '.join(unsure)}" if unsure else ""
        faults.append(
            Fault(
                f"{len(wrong)} of {len(readings)} readings contradict the others: the result would not be reliable",
                read=", ".join(readings[blunder.row].label for blunder in wrong[:5]),
                valid=f"names of points checked, sides, units{hint}",
            )
        )
    if faults:
        raise InputError(survey.source, faults)


def _result(
    survey: Survey, network: Network, adjustment: Adjustment, wrong: tuple[Wrong, ...], bound: float
) -> SurveyResult:
    import numpy as np

    names = [point.name for point in survey.points]
    slopes = network.point_slopes(names, adjustment.unknowns)
    variance = np.clip(np.einsum("ij,jk,ik->i", slopes, adjustment.covariance, slopes), 0.0, None)
    own = np.clip(adjustment.covariance.diagonal(), 0.0, None)
    # While it is open which of several readings is wrong, a deviation covers all the answers.
    for blunder in wrong:
        for move in other_answers(network, adjustment, blunder):
            variance = variance + (slopes @ move) ** 2
            own = own + move**2
    # The centre of a hole is never met exactly, however many readings agree.
    pointing = table.datum("survey_limits", key="pointing").value
    spread = np.sqrt(np.where(variance > 0.0, variance + pointing**2, 0.0))
    points = tuple(
        SurveyedPoint(
            name,
            network.locate(name, adjustment.unknowns).at,
            (float(spread[3 * row]), float(spread[3 * row + 1]), float(spread[3 * row + 2])),
        )
        for row, name in enumerate(names)
    )
    rows = _rows(survey, network, adjustment, {blunder.row for blunder in wrong}, bound)
    places = {point.name: point.at for point in points}
    blunders = tuple(_blunder(survey.readings, rows, reading, places, network.up) for reading in wrong)
    limit = table.datum("survey_limits", key="unchecked").value
    return SurveyResult(
        survey=survey,
        points=points,
        posts=_posts(survey, network, adjustment.unknowns, np.sqrt(own), pointing),
        rows=rows,
        blunders=blunders,
        unchecked=tuple(row.reading for row in rows if row.used and row.redundancy < limit),
        doubts=doubts(network, adjustment, wrong, bound),
        bound=bound,
        freedom=adjustment.freedom,
        unit_deviation=adjustment.unit_deviation,
        unit_bounds=unit_bounds(adjustment.freedom),
        network=network,
        adjustment=adjustment,
    )


def unit_bounds(freedom: int) -> tuple[float, float] | None:
    """Return the 95 per cent bounds of the standard deviation of unit weight (chi-square), None without redundancy."""
    if freedom <= 0:
        return None
    from scipy.special import chdtri

    return (
        math.sqrt(float(chdtri(freedom, 0.975)) / freedom),
        math.sqrt(float(chdtri(freedom, 0.025)) / freedom),
    )


def _rows(
    survey: Survey, network: Network, adjustment: Adjustment, rejected: set[int], bound: float
) -> tuple[ResidualRow, ...]:
    rows = []
    used = iter(range(len(adjustment.readings)))
    standardised = adjustment.standardised
    for row, reading in enumerate(survey.readings):
        computed, by_column = network.evaluate(reading, adjustment.unknowns)
        residual = reading.value - computed
        if row in rejected:
            spread = math.fsum(
                slope * other_slope * float(adjustment.covariance[column, other])
                for column, slope in by_column.items()
                for other, other_slope in by_column.items()
            )
            scale = math.sqrt(reading.sigma**2 + spread)
            rows.append(ResidualRow(reading, computed, residual, residual / scale, 0.0, math.inf, False))
            continue
        place = next(used)
        redundancy = float(adjustment.redundancy[place])
        rows.append(
            ResidualRow(
                reading,
                computed,
                residual,
                -float(standardised[place]),
                redundancy,
                min_detectable(reading.sigma, redundancy, bound),
                True,
            )
        )
    return tuple(rows)


def _blunder(
    readings: tuple[Reading, ...], rows: tuple[ResidualRow, ...], wrong: Wrong, places: dict[str, Vec], up: Vec
) -> Blunder:
    reading = readings[wrong.row]
    computed = rows[wrong.row].computed
    spread = abs(rows[wrong.row].residual / rows[wrong.row].standardised) if rows[wrong.row].standardised else 0.0
    causes: tuple[Cause, ...] = ()
    if isinstance(reading, LeanReading):
        if abs(reading.value + computed) <= 3.0 * spread:
            causes = (Cause("wrong sign", -reading.value),)
    else:
        elsewhere: tuple[tuple[str, float], ...] = ()
        if isinstance(reading, TapeReading):
            elsewhere = hooked_elsewhere(places, reading.start, reading.end)
        elif isinstance(reading, LevelReading):
            elsewhere = held_elsewhere(places, reading.point, computed, up)
        causes = likely_causes(
            reading.value, computed, 3.0 * spread, reading.text, elsewhere, hooked=isinstance(reading, TapeReading)
        )
    return Blunder(reading, computed, causes, tuple(readings[row] for row in wrong.alike))


def _posts(
    survey: Survey, network: Network, unknowns: Array, deviations: Array, pointing: float
) -> tuple[SurveyedPost, ...]:
    def value(column: int) -> float:
        return float(unknowns[column])

    def deviation(column: int) -> float:
        return float(deviations[column])

    posts = []
    for post in survey.posts:
        lean, rake = network.attitude_of[post.id]
        holes = tuple(
            SurveyedHole(hole, value(network.along_of(hole)), math.hypot(deviation(network.along_of(hole)), pointing))
            for hole in post.holes
        )
        posts.append(
            SurveyedPost(post.id, post.foot, value(lean), deviation(lean), value(rake), deviation(rake), holes)
        )
    return tuple(posts)
