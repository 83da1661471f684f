"""Blunders found in a survey and named in words; causes by themselves; closure of coordinates against tapes."""

from __future__ import annotations

import dataclasses
import math
import random

import pytest

from geom.boat.file import load_boat
from geom.data import table
from geom.errors import InputError
from geom.intake.survey.causes import likely_causes
from geom.intake.survey.closure import TapedPair, boat_closure, closure, closure_limit, named_points
from geom.intake.survey.readings import Survey, TapeReading
from geom.intake.survey.solve import solve_survey
from tests.some import some
from tests.survey_boats import ROOT, boat, survey_of, true_places


def spoiled(label: str, change) -> tuple[Survey, TapeReading]:
    """Return a survey with the reading of a label changed by what a slip does to it."""
    survey = survey_of(boat(), random.Random(21))
    row = next(row for row, one in enumerate(survey.readings) if one.label == label)
    wrong = change(survey.readings[row])
    readings = list(survey.readings)
    readings[row] = wrong
    return dataclasses.replace(survey, readings=tuple(readings)), wrong


def read_as(value: float, text: str = ""):
    return lambda one: dataclasses.replace(one, value=value, text=text)


def far_upper_hole(one: TapeReading) -> TapeReading:
    """The hook goes into the lower hole of the post."""
    places = true_places(boat())
    return dataclasses.replace(one, value=math.dist(places["P-S2-FOOT"], places["S-S2-L"]))


@pytest.mark.parametrize(
    ("label", "slip", "cause"),
    [
        ("tape S-S3-U to S-S4-U", read_as(702.0, "702"), "digits transposed"),
        ("tape stem to S-S2-FOOT", lambda one: read_as(one.value + 100.0)(one), "tape started at its 100 mm mark"),
        ("tape stem to S-S3-FOOT", lambda one: read_as(one.value / 0.3048)(one), "feet taken for metres"),
        ("tape S-S4-FOOT to P-S4-FOOT", lambda one: read_as(one.value - 304.8)(one), "a whole foot misread"),
        ("tape stern mark to P-S2-U", lambda one: read_as(one.value / 10.0)(one), "centimetres taken for millimetres"),
        ("tape S-S2-U to P-S2-FOOT", lambda one: read_as(one.value + 1000.0)(one), "a whole metre misread"),
        ("tape S-S2-U to P-S2-FOOT", far_upper_hole, "hooked to S-S2-L instead"),
    ],
)  # fmt: skip
def test_a_planted_slip_is_found_and_named(label, slip, cause):
    survey, wrong = spoiled(label, slip)
    result = solve_survey(survey)
    assert [blunder.reading for blunder in result.blunders] == [wrong]
    blunder = result.blunders[0]
    assert blunder.causes[0].name == cause, [str(one) for one in blunder.causes]
    assert cause in blunder.words()
    assert label in blunder.words()
    truth = true_places(boat())
    for point in result.points:
        assert math.dist(point.at, truth[point.name]) < 15.0


def test_a_slip_of_ten_sigma_is_enough():
    survey, wrong = spoiled("tape S-S3-U to S-S4-U", lambda one: read_as(one.value + 20.0)(one))
    assert [blunder.reading for blunder in solve_survey(survey).blunders] == [wrong]


def test_the_likelier_of_two_causes_comes_first():
    """1210 for 1115: changing digits over gives 1120, a tape started at its 100 mm mark 1110."""
    names = [cause.name for cause in likely_causes(1210.0, 1115.0, 6.0, "1210")]
    assert names[:2] == ["digits transposed", "tape started at its 100 mm mark"]


def test_the_wrong_reading_is_left_out_of_the_coordinates():
    survey, wrong = spoiled("tape stem to S-S2-FOOT", lambda one: read_as(one.value + 100.0)(one))
    row = next(row for row in solve_survey(survey).rows if row.reading == wrong)
    assert not row.used
    assert row.residual == pytest.approx(100.0, abs=8.0)


def test_a_wrong_lean_is_told_in_degrees():
    survey = survey_of(boat(), random.Random(21))
    row = next(row for row, one in enumerate(survey.readings) if one.label == "lean of S-S2")
    readings = list(survey.readings)
    readings[row] = dataclasses.replace(readings[row], value=-readings[row].value + math.radians(8.0))
    result = solve_survey(dataclasses.replace(survey, readings=tuple(readings)))
    assert [blunder.reading.label for blunder in result.blunders] == ["lean of S-S2"]
    assert "deg" in result.blunders[0].words()


def test_two_tapes_that_cannot_be_told_apart_are_both_named():
    """A point checked by one spare reading only: whichever is wrong, the survey cannot say which."""
    survey = survey_of(boat(), random.Random(3))
    cut = [one for one in survey.readings if "S-PUSHPIT-U" not in one.label]
    places = true_places(boat())
    for mark, error in (("stem", 0.0), ("S-S4-U", 60.0), ("P-S3-U", 0.0), ("stern mark", 0.0)):
        cut.append(TapeReading(mark, "S-PUSHPIT-U", math.dist(places[mark], places["S-PUSHPIT-U"]) + error, 2.0))
    result = solve_survey(dataclasses.replace(survey, readings=tuple(cut)))
    named = {one.label for blunder in result.blunders for one in (blunder.reading, *blunder.alike)}
    assert "tape S-S4-U to S-PUSHPIT-U" in named
    assert len(named) > 1
    assert "or one of these is wrong instead" in result.blunders[0].words()


def test_the_demonstration_tapes():
    """Of all tapes of SALTWHIN 31 only starboard S3 to S4 is flagged, as transposed digits; the others within 2 mm."""
    rows = boat_closure(boat(), closure_limit())
    flagged = [row for row in rows if row.flagged]
    assert [(row.start, row.end, row.taped) for row in flagged] == [("S-S3-U", "S-S4-U", 702.0)]
    assert flagged[0].causes[0].name == "digits transposed"
    assert flagged[0].computed == pytest.approx(720.45, abs=0.05)
    assert flagged[0].residual == pytest.approx(-18.5, abs=0.06)
    assert len(rows) == 10
    assert all(abs(row.residual) <= 2.0 for row in rows if not row.flagged)


def test_closure_takes_plain_points():
    points = {"a": (0.0, 0.0, 0.0), "b": (3000.0, 4000.0, 0.0), "c": (3000.0, 4000.0, 300.0)}
    good, hooked = closure(points, [TapedPair("a", "b", 5004.9), TapedPair("b", "c", 5000.0)], limit=5.0)
    assert not good.flagged and not good.causes
    assert hooked.flagged
    wrong, *_ = closure(points, [TapedPair("a", "b", 5009.0)], limit=5.0)
    assert "hooked to c instead" in [cause.name for cause in wrong.causes]
    with pytest.raises(InputError, match="without coordinates"):
        closure(points, [TapedPair("a", "z", 1.0)], limit=5.0)


def test_feet_have_names_of_their_own():
    points = named_points(boat())
    assert points["S-S2-FOOT"] == (4185.0, 1321.0, 1021.0)
    # The published table of this boat's holes, to its 0.1 mm.
    assert points["S-S2-U"] == pytest.approx((4200.6, 1341.8, 1616.4), abs=0.06)


@pytest.mark.parametrize(
    ("read", "computed", "text", "cause"),
    [
        (702.0, 720.5, "702", "digits transposed"),
        (1733.0, 1633.5, "1733", "tape started at its 100 mm mark"),
        (2438.0, 2438.0 * 0.3048, "", "feet taken for metres"),
        (1000.0, 1000.0 * 2.54, "100 cm", "inches taken for centimetres"),
        (100.0 * 25.4, 100.0 * 25.4 / 2.54, "100", "centimetres taken for inches"),
        # A nought that came first is not written: 902 with its first two digits transposed, 0 read for 8496.
        (92.0, 902.0, "92", "digits transposed"),
        (496.0, 8496.0, "496", "one digit misread"),
        # Nobody misreads a foot on a tape of millimetres, nor a decimetre on one of inches.
        (1804.8, 1500.0, "1804.8", None),
        (60.0 * 25.4 + 100.0, 60.0 * 25.4, "63 15/16", None),
        (72.0 * 25.4, 60.0 * 25.4, "6 ft 0 in", "a whole foot misread"),
        (1783.0, 1733.4, "1783", "one digit misread"),
        (28.37 * 25.4, 23.87 * 25.4, "28.37 in", "digits transposed"),
        (-45.0, 45.2, "-45", "wrong sign"),
        (1500.0, 1463.0, "1500", None),
    ],
)
def test_causes_by_themselves(read, computed, text, cause):
    found = likely_causes(read, computed, 4.0, text)
    assert (found[0].name if found else None) == cause


def test_every_cause_has_its_source():
    for name in ("survey_blunders", "survey_limits"):
        for row in some(table.rows(name)):
            assert row["source"] and row["sure"], row


def test_digits_are_compared_as_they_were_written():
    """A tape of 78 3/16 in written down as 87 3/16: its digits transposed, the fraction kept. By hand."""
    points = {"a": (0.0, 0.0, 0.0), "b": (78.1875 * 25.4, 0.0, 0.0)}
    read = 87.1875 * 25.4
    (row,) = closure(points, [TapedPair("a", "b", read, "87 3/16")], limit=5.0)
    assert row.causes[0].name == "digits transposed"
    assert row.causes[0].would_be == pytest.approx(78.1875 * 25.4)
    (unknown,) = closure(points, [TapedPair("a", "b", read)], limit=5.0)
    assert "digits transposed" not in [cause.name for cause in unknown.causes]


def test_a_boat_file_keeps_the_text_of_its_tapes(tmp_path):
    """The inch boat with one tape, its whole inches transposed: the cause is found from the file's own text."""
    text = (ROOT / "templates" / "boats" / "pipwing-25.yaml").read_text("utf-8")
    points = named_points(boat("pipwing-25"))
    true = math.dist(points["S-S1-U"], points["S-S2-U"]) / 25.4
    whole = int(true)
    sixteenths = round((true - whole) * 16)
    transposed = int(str(whole)[::-1])
    assert transposed != whole
    text += f'tapes:\n  - {{start: S-S1-U, end: S-S2-U, length: "{transposed} {sixteenths}/16"}}\n'
    file = tmp_path / "boat.yaml"
    file.write_text(text)
    loaded = load_boat(file)
    assert loaded.tapes_as_written == (f"{transposed} {sixteenths}/16",)
    (row,) = boat_closure(loaded.boat, closure_limit(), loaded.tapes_as_written)
    assert row.causes[0].name == "digits transposed"
    assert row.causes[0].would_be == pytest.approx(true * 25.4, abs=25.4 / 32.0)
