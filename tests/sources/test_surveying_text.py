"""Worked examples of adjustment from published texts, solved with the survey's own adjustment."""

from __future__ import annotations

import math

import pytest

from geom.intake.survey.readings import LevelReading, Survey, SurveyPoint, TapeReading
from geom.intake.survey.solve import solve_survey
from tests.survey_boats import of_readings


def levelled(known: dict[str, float], differences: list[tuple[str, str, float, float]]) -> Survey:
    """Return a levelling network [mm]: each difference is one setting of the level with a reading at either end."""
    names = sorted({name for start, end, _, _ in differences for name in (start, end)})
    points = tuple(SurveyPoint(name, held=(0.0, 0.0, known.get(name))) for name in names)
    readings = []
    for number, (start, end, rise, sd) in enumerate(differences):
        half = sd / math.sqrt(2.0)
        readings += [
            LevelReading(f"setting {number}", start, 0.0, half),
            LevelReading(f"setting {number}", end, rise, half),
        ]
    return Survey("levelling", points, (), tuple(readings))


# Sample adjustment "1D vertical least square adjustment, differential levels measured forward and reverse for
# each leg", output of the free program for geodetic networks of the Czech Technical University, version 1.5.09,
# as published on the web: heights in m, a priori standard deviation 5 mm.
FORWARD_AND_REVERSE = [
    ("1a", "4", -1225.0, 5.0),
    ("4", "3", -848.0, 5.0),
    ("3", "2", 1342.0, 5.0),
    ("2", "1a", 720.0, 5.0),
    ("1a", "2", -724.0, 5.0),
    ("2", "3", -1335.0, 5.0),
    ("3", "4", 842.0, 5.0),
    ("4", "1a", 1231.0, 5.0),
]


def test_levelling_forward_and_reverse():
    result = solve_survey(levelled({"1a": 1_000_000.0}, FORWARD_AND_REVERSE))
    heights = {name: result.point(name).at[2] / 1000.0 for name in "432"}
    assert heights == pytest.approx({"4": 998.77513, "3": 997.93325, "2": 999.27487}, abs=0.6e-5)
    spread = {name: round(of_readings(result.point(name).sd)[2], 1) for name in "432"}
    assert spread == {"4": 3.1, "3": 3.5, "2": 3.1}
    assert result.freedom == 5
    assert result.adjustment.weighted_squares * 25.0 == pytest.approx(146.625, abs=0.01)
    assert result.unit_deviation == pytest.approx(5.42 / 5.0, abs=0.001)
    worst = result.worst(1)[0]
    assert abs(worst.standardised) == pytest.approx(1.68, abs=0.005)
    assert worst.reading.label.startswith("level setting 5")
    assert not result.blunders


# G. Strang and K. Borre, Linear Algebra, Geodesy and GPS, levelling example with three fixed heights (data and a
# commercial program's statistics as quoted on a surveyors' web forum, 2019: sum of squares 4.636, error factor 1.243;
# heights there about 10.744 and 11.997 m).
def test_levelling_between_three_fixed_heights():
    lengths = [("A", "E", 732.0, 0.970), ("A", "F", 1978.0, 1.002), ("B", "E", 420.0, 1.070)]
    lengths += [("C", "F", 988.0, 1.110), ("E", "F", 1258.0, 0.890)]
    differences = [(start, end, rise, 6.0 * math.sqrt(km)) for start, end, rise, km in lengths]
    result = solve_survey(levelled({"A": 10_021.0, "B": 10_321.0, "C": 11_002.0}, differences))
    assert result.freedom == 3
    assert result.adjustment.weighted_squares == pytest.approx(4.636, abs=0.005)
    assert result.unit_deviation == pytest.approx(1.243, abs=0.001)
    assert result.point("E").at[2] == pytest.approx(10_744.0, abs=2.0)
    assert result.point("F").at[2] == pytest.approx(11_997.0, abs=2.0)


# C. D. Ghilani and P. R. Wolf, Adjustment Computations, Example 14.2, plane trilateration of one station from three:
# coordinates and distances [ft] as given in two open courses that use the example. The book's printed answer was not
# seen: it is worked here by the book's own prototype equation, (x0 - xi)/l dx + (y0 - yi)/l dy = k + v, by hand.
CONTROL = {"A": (865.40, 4527.15), "B": (2432.55, 2047.25), "C": (2865.22, 27.15)}
DISTANCES = {"A": 6049.00, "B": 4736.83, "C": 5446.49}


def by_the_books_equation(x: float, y: float) -> tuple[float, float]:
    for _ in range(20):
        a11 = a12 = a22 = b1 = b2 = 0.0
        for name, (cx, cy) in CONTROL.items():
            length = math.hypot(x - cx, y - cy)
            jx, jy, k = (x - cx) / length, (y - cy) / length, DISTANCES[name] - length
            a11, a12, a22, b1, b2 = a11 + jx * jx, a12 + jx * jy, a22 + jy * jy, b1 + jx * k, b2 + jy * k
        determinant = a11 * a22 - a12 * a12
        x += (a22 * b1 - a12 * b2) / determinant
        y += (a11 * b2 - a12 * b1) / determinant
    return x, y


def test_plane_trilateration():
    points = [SurveyPoint(name, held=(*at, 0.0)) for name, at in CONTROL.items()]
    points.append(SurveyPoint("U", held=(None, None, 0.0)))
    tapes = tuple(TapeReading(name, "U", length, 1.0) for name, length in DISTANCES.items())
    result = solve_survey(Survey("trilateration", tuple(points), (), tapes))
    # One course starts its iteration at 6861.5, 3728.9: the answer is near it.
    expected = by_the_books_equation(6861.5, 3728.9)
    assert result.point("U").at[:2] == pytest.approx(expected, abs=1e-6)
    assert expected == pytest.approx((6861.5, 3728.9), abs=1.5)
    assert max(abs(row.residual) for row in result.rows) < 0.1
    assert result.freedom == 1


# F. Krumm, Geodetic Network Adjustment Examples, rev. 3.5, University of Stuttgart, 2020, example 3.1.1 (pp. 48-50),
# after W. Benning, Statistik in Geodäsie, Geoinformation und Bauwesen, 2011, example 8-2: two points held, two sought,
# five distances of 10 mm each. Data and printed answer as a public test of another adjustment library quotes them.
BRACED_QUADRILATERAL = [
    ("1", "3", 1_000_020.0),
    ("1", "4", 1_414_200.0),
    ("2", "3", 1_414_240.0),
    ("2", "4", 999_980.0),
    ("3", "4", 1_000_000.0),
]


def test_trilateration_of_a_braced_quadrilateral():
    held = {"1": (0.0, 1_000_000.0, 0.0), "2": (1_000_000.0, 1_000_000.0, 0.0)}
    near = {"3": (0.0, 0.0, 0.0), "4": (1_000_000.0, 0.0, 0.0)}
    points = [SurveyPoint(name, held=at) for name, at in held.items()]
    points += [SurveyPoint(name, held=(None, None, 0.0), near=at) for name, at in near.items()]
    tapes = tuple(TapeReading(start, end, length, 10.0) for start, end, length in BRACED_QUADRILATERAL)
    result = solve_survey(Survey("braced quadrilateral", tuple(points), (), tapes))
    assert result.freedom == 1
    assert 10.0 * result.unit_deviation == pytest.approx(6.882, abs=0.001)
    assert result.point("3").at[:2] == pytest.approx((-9.6, -22.6), abs=0.06)
    assert result.point("4").at[:2] == pytest.approx((999_993.0, 17.4), abs=0.06)
    for name in "34":
        spread = [result.unit_deviation * value for value in of_readings(result.point(name).sd)[:2]]
        assert spread == pytest.approx((9.01, 6.37), abs=0.006)
    residuals = [abs(row.residual) for row in result.rows]
    assert residuals == pytest.approx((2.60, 3.68, 3.68, 2.60, 2.60), abs=0.006)
