"""Verdicts of heights and spans where the boat file states what its survey is good for."""

from __future__ import annotations

import math

import pytest

from geom.boat.model import Boat, Uncertainty
from geom.refit import place
from geom.remark import Remark
from geom.rules.applied import check
from geom.rules.finding import ClauseCheck, Finding, Limit, Measure
from geom.words import worded
from tests.boats import NAMES, refit_of


def with_survey(name: str, **given: float) -> Boat:
    stated = Uncertainty.model_construct(
        **{"xy": 0.0, "z": 0.0, "lean": 0.0, "along": 0.0, "tape": 0.0, **given}, source=""
    )
    return refit_of(name).boat.model_copy(update={"uncertainty": stated})


def short_post(boat: Boat) -> Finding:
    """The upper line's height at S-S2, 595.4 against the 600 mm of OSR 3.14.1 b) i."""
    found = [f for f in check(place(boat)) if f.id == "osr-3.14.1-b-i:S-S2-U"]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_said_where_the_file_states_no_survey_uncertainty(name: str) -> None:
    assert {finding.uncertainty for finding in refit_of(name).findings} == {None}


@pytest.mark.parametrize(
    ("along", "verdict"), [(1.0, "fail"), (3.9, "fail"), (4.1, "cannot tell"), (10.0, "cannot tell")]
)
def test_a_limit_inside_the_uncertainty_cannot_be_judged(along: float, verdict: str) -> None:
    """JCGM 100:2008, 4.3.7 and 6.2: U = 2 a / sqrt 3, which is 4.6 mm at a = 4.0 mm."""
    finding = short_post(with_survey("saltwhin-31", along=along))
    assert finding.verdict == verdict
    assert finding.uncertainty == pytest.approx(2.0 * along / math.sqrt(3.0), rel=0.01)
    assert ("595.4 mm +- " in worded(finding.notes)) == (verdict == "cannot tell")


def test_heights_of_foot_and_edge_do_not_count_above_the_foot() -> None:
    """595.4 stands above the foot, the lower reading: Z of foot and hole go together."""
    assert short_post(with_survey("saltwhin-31", z=20.0)).uncertainty == 0.0


def test_span_takes_both_ends() -> None:
    """Two ends, each +- 3 mm along the span: U = 2 sqrt(2) 3 / sqrt 3."""
    found = [
        f for f in check(place(with_survey("saltwhin-31", xy=3.0, z=3.0))) if f.quantity.code == "quantity.widest_span"
    ]
    assert found
    for finding in found:
        assert finding.uncertainty == pytest.approx(2.0 * math.sqrt(2.0) * 3.0 / math.sqrt(3.0))


@pytest.mark.parametrize(
    ("value", "within", "sure", "verdict"),
    [
        (601.0, 5.0, "found", "cannot tell"),
        (599.0, 5.0, "found", "cannot tell"),
        (606.0, 5.0, "found", "pass"),
        (594.0, 5.0, "found", "fail"),
        (601.0, None, "found", "pass"),
        (None, 5.0, "found", "cannot tell"),
        (601.0, 5.0, "memory", "notice"),
    ],
)
def test_601_give_or_take_5_against_600(value: float | None, within: float | None, sure: str, verdict: str) -> None:
    asked = ClauseCheck("", "a document", "1", "1", "heights", {})
    limit = Limit(600.0, "mm", "600 mm", "a document", sure)
    finding = asked.at_least(Measure("S-S1-U", Remark("quantity.height_at_post"), value, known_within=within), limit)
    assert finding.verdict == verdict
    if value == 601.0 and within is not None:
        assert "known as 601.0 mm +- 5.0 mm" in worded(finding.notes)
