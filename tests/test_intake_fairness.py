"""Fair line and as-found check: the demonstration boats, planted faults, and what cannot be told."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom.boat.model import Lean
from geom.intake.survey.fairness import as_found, customary_limits, fair_rows, lean_rows, off_fair_curve
from tests.survey_boats import boat

LIMITS = customary_limits()


def test_the_bent_post_of_the_demonstration_boat():
    """P-S3 leans 1.5 deg inboard where its family leans 3 out, and stands 11 mm inboard of the row."""
    found = as_found(boat(), *LIMITS)
    bent = [row for row in found.leans if row.bent]
    assert [row.post for row in bent] == ["P-S3"]
    assert bent[0].usual_lean == pytest.approx(math.radians(3.0))
    # 615 mm up the tube, sines of -1.5 and 3 deg.
    assert bent[0].outboard == pytest.approx(615.0 * (-0.0261769 - 0.0523360), abs=0.01)
    assert "probably bent" in bent[0].words() and "48 mm inboard" in bent[0].words()
    off = [row for row in found.fair if row.out]
    assert [row.post for row in off] == ["P-S3"]
    assert off[0].off_family == pytest.approx(11.4, abs=0.05)


def test_twins_of_the_demonstration_boat():
    """Published by the boat's own table: the upper hole of P-S3 stands 59 mm inboard of its mirror."""
    twins = {row.name: row for row in as_found(boat(), *LIMITS).twins}
    assert twins["S3"].upper_out == pytest.approx(59.3, abs=0.05)
    assert twins["S1"].alike
    assert not twins["S3"].alike and not twins["S4"].alike
    assert twins["S4"].station == -16.0


def test_spacing_of_the_demonstration_boat():
    """Hole to hole, published by the boat's own table."""
    spacing = {(row.start, row.end): row.distance for row in as_found(boat(), *LIMITS).spacing}
    assert spacing["S-S1", "S-S2"] == pytest.approx(1734.7, abs=0.05)
    assert spacing["P-S3", "P-S4"] == pytest.approx(732.3, abs=0.05)


def test_an_intended_lean_is_the_one_measured_against():
    of = boat()
    meant = {"P-S3": Lean(lean=math.radians(-1.5), rake=math.radians(0.5))}
    posts = tuple(post.model_copy(update={"intended": meant.get(post.id)}) for post in of.posts)
    assert not any(row.bent for row in lean_rows(of.model_copy(update={"posts": posts}), LIMITS[1]))


def test_two_posts_are_no_family():
    of = boat()
    few = of.model_copy(update={"posts": of.posts[:2]})
    assert all(row.off_family is None for row in fair_rows(few, LIMITS[0]))
    assert not any(row.bent for row in lean_rows(few, LIMITS[1]))


@given(
    st.tuples(*[st.floats(-1.0, 1.0) for _ in range(4)]),
    st.integers(2, 3),
    st.floats(-80.0, 80.0),
)
def test_a_foot_off_a_fair_cubic_is_told_by_how_much(shape, index, off):
    """Feet on any cubic are fair; one moved off it is off by just that."""
    stations = [0.0, 1200.0, 2500.0, 4100.0, 5600.0, 7000.0]

    def fair(x):
        u = x / 3500.0 - 1.0
        return 1200.0 + 300.0 * (shape[0] * u + shape[1] * u**2 + shape[2] * u**3) + 10.0 * shape[3]

    points = [(x, fair(x) + (off if row == index else 0.0)) for row, x in enumerate(stations)]
    assert off_fair_curve(points, index) == pytest.approx(off, abs=1e-6)


def test_an_end_post_cannot_be_told():
    assert off_fair_curve([(0.0, 1.0), (1.0, 2.0), (2.0, 2.5), (3.0, 2.7)], 0) is None
    assert off_fair_curve([(0.0, 1.0), (1.0, 2.0), (2.0, 2.5)], 1) is None


def upright(of, names):
    posts = tuple(post.model_copy(update={"lean": 0.0, "rake": 0.0} if post.id in names else {}) for post in of.posts)
    return of.model_copy(update={"posts": posts})


def bent(of):
    return {row.post for row in lean_rows(of, LIMITS[1]) if row.bent}


def test_posts_built_upright_in_pairs_are_not_bent():
    """The gate posts of both sides upright, the others leaning 3 deg: built so. One alone upright: probably bent."""
    assert bent(upright(boat(), {"S-S4", "P-S4"})) == {"P-S3"}
    assert bent(upright(boat(), {"S-S4"})) == {"P-S3", "S-S4"}


def test_a_mirrored_twin_is_no_evidence():
    both = upright(boat(), {"S-S4", "P-S4"})
    assert "S-S4" in bent(both.model_copy(update={"mirror": True}))


def test_a_post_off_its_intended_lean_is_bent_though_its_twin_stands_the_same():
    """What the file intends is stronger than the twin: a pair both off by 3 deg is a pair of bent posts."""
    of = upright(boat(), {"S-S4", "P-S4"})
    meant = Lean(lean=math.radians(3.0), rake=0.0)
    posts = tuple(post.model_copy(update={"intended": meant if post.id.endswith("S4") else None}) for post in of.posts)
    assert {"S-S4", "P-S4"} <= bent(of.model_copy(update={"posts": posts}))
