"""The survey's adjustment against an independent one, its statistics over many surveys, and what it refuses."""

from __future__ import annotations

import dataclasses
import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from geom.errors import InputError
from geom.intake.survey.readings import (
    Attitude,
    LeanReading,
    LevelReading,
    SquareReading,
    Survey,
    SurveyPoint,
    TapeReading,
)
from geom.intake.survey.result import SurveyResult
from geom.intake.survey.solve import solve_survey, unit_bounds
from tests.counts import seeds
from tests.survey_boats import boat, of_readings, survey_of, true_places


def replaced(survey: Survey, row: int, value: float) -> Survey:
    readings = list(survey.readings)
    readings[row] = dataclasses.replace(readings[row], value=value, text="")
    return dataclasses.replace(survey, readings=tuple(readings))


def without(survey: Survey, drop) -> Survey:
    return dataclasses.replace(survey, readings=tuple(one for one in survey.readings if not drop(one)))


def independent(survey: Survey, start: dict[str, tuple[float, float, float]]) -> tuple[dict, np.ndarray, list[str]]:
    """Adjust the same network with other code: complex-step derivatives, all unknowns by name, normal equations."""
    names: list[str] = []
    values: list[float] = []
    holes = {hole: post for post in survey.posts for hole in post.holes}
    for point in survey.points:
        if point.name not in holes:
            for axis in range(3):
                if point.held[axis] is None:
                    names.append(f"{point.name}/{axis}")
                    values.append(start[point.name][axis])
    for post in survey.posts:
        names += [f"{post.id}/lean", f"{post.id}/rake"] + [f"{hole}/along" for hole in post.holes]
        values += [0.01, 0.01] + [math.dist(start[post.foot], start[hole]) for hole in post.holes]
    names.append("line")
    values.append(2000.0)
    column = {name: index for index, name in enumerate(names)}

    def place(name, x):
        if name in holes:
            post = holes[name]
            sign = 1.0 if post.id[0] == "S" else -1.0
            a, b = np.tan(x[column[f"{post.id}/rake"]]), sign * np.tan(x[column[f"{post.id}/lean"]])
            size = np.sqrt(a * a + b * b + 1.0)
            foot = place(post.foot, x)
            along = x[column[f"{name}/along"]] / size
            return [foot[0] + along * a, foot[1] + along * b, foot[2] + along]
        held = survey.point(name).held
        return [held[axis] if held[axis] is not None else x[column[f"{name}/{axis}"]] for axis in range(3)]

    heel, trim = survey.attitude.heel, survey.attitude.trim
    plumb = np.array([-math.tan(trim), -math.tan(heel), 1.0])
    plumb = plumb / np.linalg.norm(plumb)

    def computed(reading, x):
        if isinstance(reading, TapeReading):
            a, b = place(reading.start, x), place(reading.end, x)
            return np.sqrt(sum((p - q) ** 2 for p, q in zip(a, b, strict=True)))
        if isinstance(reading, SquareReading):
            return place(reading.point, x)["xy".index(reading.along)]
        if isinstance(reading, LevelReading):
            return sum(p * u for p, u in zip(place(reading.point, x), plumb, strict=True)) - x[column["line"]]
        sign = 1.0 if reading.post[0] == "S" else -1.0
        tilt = sign * heel if reading.way == "lean" else trim
        return x[column[f"{reading.post}/{reading.way}"]] + tilt

    x = np.array(values, dtype=complex)
    for _ in range(15):
        jacobian = np.zeros((len(survey.readings), len(names)))
        for index in range(len(names)):
            moved = x.copy()
            moved[index] += 1e-30j
            jacobian[:, index] = [np.imag(computed(one, moved)) / 1e-30 / one.sigma for one in survey.readings]
        misfit = np.array([(one.value - np.real(computed(one, x))) / one.sigma for one in survey.readings])
        normal = jacobian.T @ jacobian
        x = x + np.linalg.solve(normal, jacobian.T @ misfit)
    covariance = np.linalg.inv(normal)
    points = {point.name: [float(np.real(value)) for value in place(point.name, x)] for point in survey.points}
    return points, covariance, names


@pytest.fixture(scope="module")
def clean() -> tuple[Survey, SurveyResult]:
    survey = survey_of(boat(), random.Random(11))
    return survey, solve_survey(survey)


@pytest.mark.parametrize("attitude", [Attitude(), Attitude(math.radians(1.5), math.radians(-0.8))])
def test_the_answer_and_its_covariance_equal_an_independent_adjustment(attitude):
    survey = survey_of(boat(), random.Random(5), attitude=attitude)
    result = solve_survey(survey)
    assert not result.blunders
    points, covariance, names = independent(survey, true_places(boat()))
    for point in result.points:
        assert point.at == pytest.approx(points[point.name], abs=1e-6)
    free = [point.name for point in survey.points if f"{point.name}/0" in names]
    ours = result.covariance(free)
    for a, first in enumerate(free):
        for b, second in enumerate(free):
            for i in range(3):
                for j in range(3):
                    one, two = f"{first}/{i}", f"{second}/{j}"
                    theirs = covariance[names.index(one), names.index(two)] if {one, two} <= set(names) else 0.0
                    assert ours[3 * a + i, 3 * b + j] == pytest.approx(theirs, rel=1e-6, abs=1e-6)
    for post in result.posts:
        lean = names.index(f"{post.id}/lean")
        assert post.lean_sd == pytest.approx(math.sqrt(covariance[lean, lean]), rel=1e-6)


def test_the_attitude_is_not_in_the_readings():
    """Readings of a heeled boat taken for an upright one fit as well, and lead to a boat turned by the heel."""
    survey = survey_of(boat(), random.Random(5), noise=0.0, attitude=Attitude(math.radians(3.0), 0.0))
    right = solve_survey(survey)
    assert right.point("S-S2-U").at == pytest.approx(true_places(boat())["S-S2-U"], abs=1e-6)
    upright = dataclasses.replace(survey, attitude=Attitude())
    turned = solve_survey(upright)
    y = true_places(boat())["S-S2-U"][1]
    drop = true_places(boat())["S-S2-U"][2] - turned.point("S-S2-U").at[2]
    assert drop == pytest.approx(y * math.tan(math.radians(3.0)), rel=0.05)


def test_without_noise_the_truth_comes_out(clean):
    for name in ("saltwhin-31", "pipwing-25"):
        result = solve_survey(survey_of(boat(name), random.Random(1), noise=0.0))
        truth = true_places(boat(name))
        for point in result.points:
            assert point.at == pytest.approx(truth[point.name], abs=1e-6)
        assert not result.blunders


def test_residuals_are_read_less_computed_and_redundancies_add_up(clean):
    survey, result = clean
    assert sum(row.redundancy for row in result.rows) == pytest.approx(result.freedom, abs=1e-6)
    assert result.freedom == len(survey.readings) - len(result.network.names)
    for row in result.rows:
        assert row.residual == pytest.approx(row.reading.value - row.computed)
    low, high = unit_bounds(result.freedom)
    assert low < result.unit_deviation < high


@pytest.mark.long
def test_surveys_agree_with_their_statistics():
    """Coordinates within 3 sd, planted blunders of 10 sigma and more found, few false alarms; bounds for the trials.

    A blunder is planted only where redundancy allows it to be found: where the least error found in 95 of
    100 surveys is no larger than 10 sigma. Pulpit eyes, seen from three marks in one line, hold most of the
    readings where it does not.
    """
    of = boat()
    truth = true_places(of)
    planted_rows = [
        row
        for row, one in enumerate(solve_survey(survey_of(of, random.Random(0))).rows)
        if isinstance(one.reading, TapeReading) and one.min_detectable <= 10.0 * one.reading.sigma
    ]
    planted = found = alarmed = within = 0
    for seed in seeds(10):
        rng = random.Random(seed)
        survey = survey_of(of, rng)
        rows = rng.sample(planted_rows, seed % 3)
        for row in rows:
            size = rng.choice([20.0, -20.0, 35.0, -50.0, 100.0, -100.0, 304.8, -1000.0])
            value = survey.readings[row].value + size
            survey = replaced(survey, row, value if value > 100.0 else value + 2000.0)
        result = solve_survey(survey)
        wrong = [survey.readings[row] for row in rows]
        named = [(blunder.reading, *blunder.alike) for blunder in result.blunders]
        planted += len(rows)
        found += sum(any(reading in names for names in named) for reading in wrong)
        alarmed += any(not set(names) & set(wrong) for names in named)
        # One coordinate of each survey, drawn at random, so that the trials are independent.
        point = rng.choice([point for point in result.points if min(point.sd[0], point.sd[2]) > 0.0])
        axis = rng.choice([axis for axis in range(3) if point.sd[axis] > 0.0])
        within += abs(point.at[axis] - truth[point.name][axis]) <= 3.0 * point.sd[axis]
    surveys = len(seeds(10))
    assert planted > 0.75 * surveys
    assert found >= 0.95 * planted
    assert alarmed <= binom.ppf(0.99, surveys, 0.02) <= max(2.0, 0.05 * surveys)
    assert within >= binom.ppf(0.005, surveys, 0.9973)


def test_a_reading_that_nothing_checks_is_told(clean):
    survey, _ = clean
    lone = dataclasses.replace(survey, points=(*survey.points, SurveyPoint("cleat", "S", (3000.0, None, 1060.0))))
    lone = dataclasses.replace(lone, readings=(*survey.readings, TapeReading("stem", "cleat", 3200.0, 2.0)))
    result = solve_survey(lone)
    assert "tape stem to cleat" in [reading.label for reading in result.unchecked]
    assert result.rows[-1].min_detectable == math.inf


def test_what_is_not_determined_is_named_with_a_tape_that_fixes_it(clean):
    survey, _ = clean
    loose = without(survey, lambda one: "S-PUSHPIT-U" in one.label and "stern mark" not in one.label)
    with pytest.raises(InputError) as caught:
        solve_survey(loose)
    fault = caught.value.faults[0]
    assert "S-PUSHPIT-U" in fault.message
    assert "S-S2" not in fault.message
    # What is proposed does determine it.
    added = []
    truth = true_places(boat())
    for words in fault.valid.removeprefix("these as well: ").split(", "):
        kind, _, rest = words.partition(" ")
        if kind == "tape":
            start, end = rest.split(" to ")
            added.append(TapeReading(start, end, math.dist(truth[start], truth[end]), 2.0))
        elif kind == "offset":
            name = rest.removeprefix("of ")
            added.append(SquareReading(name, "y", truth[name][1], 5.0))
        elif kind == "station":
            name = rest.removeprefix("of ")
            added.append(SquareReading(name, "x", truth[name][0], 5.0))
        else:
            setup, name = rest.split(" at ")
            added.append(LevelReading(setup, name, truth[name][2] - 2000.0, 3.0))
    fixed = solve_survey(dataclasses.replace(loose, readings=(*loose.readings, *added)))
    assert fixed.point("S-PUSHPIT-U").at == pytest.approx(truth["S-PUSHPIT-U"], abs=40.0)


@pytest.mark.parametrize("side", ["S", "P"])
def test_a_point_seen_from_the_centreline_only_comes_to_lie_on_its_own_side(side):
    points = [SurveyPoint(name, "centreline", (x, 0.0, 0.0)) for name, x in (("a", 0.0), ("b", 4000.0), ("c", 9000.0))]
    points.append(SurveyPoint("cleat", side, (None, None, 0.0)))
    tapes = tuple(TapeReading(name, "cleat", math.hypot(3000.0 - x, 1100.0), 2.0) for name, x in
                  (("a", 0.0), ("b", 4000.0), ("c", 9000.0)))  # fmt: skip
    at = solve_survey(Survey("cleat", tuple(points), (), tapes)).point("cleat").at
    assert at == pytest.approx((3000.0, 1100.0 if side == "S" else -1100.0, 0.0), abs=1e-6)


def test_too_few_tapes_are_refused():
    points = (SurveyPoint("stem", "centreline", (0.0, 0.0, 1000.0)), SurveyPoint("cleat", "S"))
    survey = Survey("few", points, (), (TapeReading("stem", "cleat", 2000.0, 2.0),))
    with pytest.raises(InputError, match="does not determine X of cleat"):
        solve_survey(survey)


def test_a_loop_that_cannot_close_is_refused():
    held = (SurveyPoint("a", "centreline", (0.0, 0.0, 0.0)), SurveyPoint("b", "centreline", (None, 0.0, 0.0)))
    points = (*held, SurveyPoint("c", "S", (None, None, 0.0)))
    tapes = tuple(TapeReading(*pair, length, 2.0, line=line) for line, (pair, length) in enumerate(
        [(("a", "b"), 2000.0), (("b", "c"), 500.0), (("a", "c"), 900.0)], start=4
    ))  # fmt: skip
    with pytest.raises(InputError, match=r"few:4: a loop that cannot close: tape a to b is 600 mm longer"):
        solve_survey(Survey("few", points, (), tapes))


def added(survey: Survey, reading) -> Survey:
    return dataclasses.replace(survey, readings=(*survey.readings, reading))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda s: dataclasses.replace(s, points=(*s.points, s.points[3])), "two points with one name"),
        (lambda s: added(s, TapeReading("stem", "moon", 1.0, 2.0)), "no such point"),
        (lambda s: added(s, TapeReading("stem", "stem", 1.0, 2.0)), "to itself"),
        (lambda s: added(s, LeanReading("S-S9", "lean", 0.0, 0.1)), "no such post"),
        (lambda s: replaced(s, 0, math.nan), "a value and an uncertainty"),
        (lambda s: replaced(s, 0, -5.0), "greater than zero"),
    ],
)
def test_names_and_values_that_cannot_be(clean, change, message):
    with pytest.raises(InputError, match=message):
        solve_survey(change(clean[0]))


@settings(max_examples=8, deadline=None)
@given(st.floats(0.5, 3.0), st.integers(0, 10_000))
def test_a_larger_boat_of_the_same_shape_has_the_same_angles(scale, seed):
    """Readings and uncertainties in another unit lead to the same survey in that unit."""
    survey = survey_of(boat("pipwing-25"), random.Random(seed))

    def scaled(one):
        if isinstance(one, LeanReading):
            return one
        return dataclasses.replace(one, value=one.value * scale, sigma=one.sigma * scale)

    points = tuple(
        dataclasses.replace(point, held=tuple(None if value is None else value * scale for value in point.held))
        for point in survey.points
    )
    other = dataclasses.replace(survey, points=points, readings=tuple(scaled(one) for one in survey.readings))
    small, large = solve_survey(survey), solve_survey(other)
    assert [blunder.reading.label for blunder in small.blunders] == [one.reading.label for one in large.blunders]
    for a, b in zip(small.points, large.points, strict=True):
        assert b.at == pytest.approx([value * scale for value in a.at], abs=1e-5)
        assert of_readings(b.sd) == pytest.approx([value * scale for value in of_readings(a.sd)], rel=1e-5, abs=1e-6)
