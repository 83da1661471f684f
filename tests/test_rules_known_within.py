"""Verdicts of surveyed quantities near a limit: they go by the value; a limit within its uncertainty is marginal."""

from __future__ import annotations

import math

import pytest

from geom.boat.model import Boat, Uncertainty
from geom.refit import place
from geom.remark import Remark
from geom.rigging.dimension_chain import plus_minus
from geom.rules.applied import check
from geom.rules.finding import ClauseCheck, Finding, Known, Limit, Measure
from geom.words import worded
from tests.boats import NAMES, refit_of
from tests.rule_cases import boat_with
from tests.some import some

EXACT = {"xy": 0.0, "z": 0.0, "lean": 0.0, "along": 0.0, "tape": 0.0}


def with_survey(boat: Boat, **given: float) -> Boat:
    stated = Uncertainty.model_construct(**{**EXACT, **given}, source="the survey")
    return boat.model_copy(update={"uncertainty": stated})


def finding_of(boat: Boat, name: str) -> Finding:
    (found,) = (f for f in check(place(boat)) if f.id == name)
    return found


def short_post(**given: float) -> Finding:
    """The upper line's height at S-S2, 595.4 against the 600 mm of OSR 3.14.1 b) i."""
    return finding_of(with_survey(refit_of("saltwhin-31").boat, **given), "osr-3.14.1-b-i:S-S2-U")


@pytest.mark.parametrize("name", NAMES)
def test_a_boat_that_states_no_accuracy_is_judged_at_that_of_common_practice(name: str) -> None:
    """The plus or minus of data/measure_uncertainty.csv, as in the error budget: common practice, no source.

    A plan was not measured: it has the tolerances of the drawing.
    """
    assert refit_of(name).boat.uncertainty is None
    source = {"as measured": "source.survey_practice", "as designed": "source.drawing"}[refit_of(name).boat.survey]
    for finding in some([f for f in refit_of(name).findings if f.quantity.code == "quantity.height_at_post"]):
        assert finding.uncertainty is not None and finding.uncertainty > 0.0
        assert finding.uncertainty_source == Remark(source)


def test_a_plan_has_no_error_of_a_survey() -> None:
    """Points are exact, a hole is drilled to 1 mm along its tube, a tube stands to 0.5 deg on its plate: no source."""
    boat = refit_of("first-try").boat
    plan, board = plus_minus(boat), plus_minus(boat.model_copy(update={"survey": "as measured"}))
    assert (plan.xy, plan.z, plan.along, plan.lean) == (0.0, 0.0, 1.0, pytest.approx(math.radians(0.5)))
    assert (board.xy, board.z, board.along, board.lean) == (5.0, 5.0, 1.0, pytest.approx(math.radians(0.3)))
    assert plan.tape == board.tape, "lines are made with a tape all the same"
    stated = boat.model_copy(update={"uncertainty": Uncertainty(z="3 mm", source="the plan")})
    assert (plus_minus(stated).z, plus_minus(stated).xy, plus_minus(stated).source) == (3.0, 0.0, "the plan")
    height = next(f for f in refit_of("first-try").findings if f.quantity.code == "quantity.lowest_at_stations")
    assert height.uncertainty == pytest.approx(2.0 / math.sqrt(3.0), rel=0.01)


@pytest.mark.parametrize(
    ("along", "verdict", "marginal"),
    [
        (600.2, "pass", True),
        (599.8, "fail", True),
        (601.2, "pass", False),
        (598.8, "fail", False),
        (600.0, "pass", True),
    ],
)
def test_600_2_give_or_take_1_2_passes_and_is_marginal(along: float, verdict: str, marginal: bool) -> None:
    """A hole taped to +- 1 mm along an upright tube: U = 2 x 1 / sqrt 3 = 1.155 mm, JCGM 100:2008, 4.3.7 and 6.2."""
    found = finding_of(boat_with({"posts/S-S1/holes/U/along": along}), "osr-3.14.1-b-i:S-S1-U")
    assert (found.verdict, found.marginal) == (verdict, marginal)
    assert found.uncertainty == pytest.approx(2.0 / math.sqrt(3.0))
    assert any(note.code == "finding.known_within" for note in found.notes) == marginal


@pytest.mark.parametrize(("along", "marginal"), [(1.0, False), (3.9, False), (4.1, True), (10.0, True)])
def test_a_limit_inside_the_uncertainty_is_marginal_and_still_judged(along: float, marginal: bool) -> None:
    """JCGM 100:2008, 4.3.7 and 6.2: U = 2 a / sqrt 3, which is 4.6 mm at a = 4.0 mm."""
    finding = short_post(along=along)
    assert (finding.verdict, finding.marginal) == ("fail", marginal)
    assert finding.uncertainty == pytest.approx(2.0 * along / math.sqrt(3.0), rel=0.01)
    assert ("595.4 mm ±" in worded(finding.notes)) == marginal
    assert worded(finding.uncertainty_source) == "the survey"


def test_heights_of_foot_and_edge_do_not_count_above_the_foot() -> None:
    """595.4 stands above the foot, the lower reading: Z of foot and hole go together."""
    assert short_post(z=20.0).uncertainty == 0.0


# Quantity -> half-widths of the readings behind it with a = 3 mm (lean 3 mrad), on upright posts and a level deck.
BEHIND = {
    "quantity.widest_span": [3.0, 3.0],
    "quantity.height_at_post": [3.0],
    "quantity.height_at_eye": [3.0, 3.0],
    "quantity.lowest_at_stations": [3.0, 3.0, 3.0],
    "quantity.opening_between_holes": [3.0, 3.0],
    "quantity.opening_between_eyes": [3.0, 3.0],
    "quantity.inboard_of_edge": [3.0, 3.0],
    "quantity.tilt": [math.degrees(0.003)],
    "quantity.displacement": [50.0 * 0.003],
    "quantity.top_height": [3.0],
    "quantity.pulpit_opening": [3.0],
}


@pytest.mark.parametrize("quantity", BEHIND)
def test_each_surveyed_quantity_takes_the_readings_behind_it(quantity: str) -> None:
    """Root of the sum of squares, times 2 / sqrt 3: JCGM 100:2008, 5.1.2, 4.3.7, 6.2."""
    boat = with_survey(boat_with({}), xy=3.0, z=3.0, lean=0.003, along=3.0, tape=3.0)
    expanded = 2.0 * math.hypot(*BEHIND[quantity]) / math.sqrt(3.0)
    for finding in some([f for f in check(place(boat)) if f.quantity.code == quantity]):
        assert finding.uncertainty == pytest.approx(expanded)


@pytest.mark.parametrize(
    ("value", "within", "sure", "verdict", "would", "marginal"),
    [
        (601.0, 5.0, "found", "pass", None, True),
        (599.0, 5.0, "found", "fail", None, True),
        (606.0, 5.0, "found", "pass", None, False),
        (594.0, 5.0, "found", "fail", None, False),
        (601.0, None, "found", "pass", None, False),
        (None, 5.0, "found", "cannot tell", None, False),
        (601.0, 5.0, "memory", "notice", "pass", True),
        (599.0, 5.0, "memory", "notice", "fail", True),
    ],
)
def test_601_give_or_take_5_against_600(
    value: float | None, within: float | None, sure: str, verdict: str, would: str | None, marginal: bool
) -> None:
    clause = ClauseCheck("", "a document", "1", "1", "heights", {})
    limit = Limit(600.0, "mm", "600 mm", "a document", sure)
    known = None if within is None else Known(within, "a survey")
    finding = clause.at_least(Measure("S-S1-U", Remark("quantity.height_at_post"), value, known=known), limit)
    assert (finding.verdict, finding.would, finding.marginal) == (verdict, would, marginal)
    assert ("±5.0 mm" in worded(finding.notes)) == marginal


@pytest.mark.parametrize(
    ("value", "verdict", "held", "marginal"),
    [
        (230.0, "pass", 230.0, False),
        (229.5, "pass", 228.6, True),
        (228.0, "fail", 230.0, True),
        (227.5, "fail", 230.0, False),
    ],
)
def test_a_limit_printed_in_two_units_is_marginal_where_the_verdict_turns(
    value: float, verdict: str, held: float, marginal: bool
) -> None:
    """230 mm (9 in) of OSR 3.14.1 b) ii: 228.6 mm is met as 9 in, and the verdict turns there; known to 1 mm."""
    clause = ClauseCheck("", "a document", "1", "1", "heights", {})
    limit = Limit(230.0, "mm", "230 mm (9 in)", "a document", "found", also=228.6, also_printed="9 in")
    measure = Measure("S-S1-L", Remark("quantity.height_at_post"), value, known=Known(1.0, "a survey"))
    finding = clause.at_least(measure, limit)
    assert (finding.verdict, finding.limit, finding.marginal) == (verdict, held, marginal)
    assert ("meets the 9 in that the rule prints as well" in worded(finding.notes)) == (value == 229.5)
