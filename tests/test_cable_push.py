"""The push test: tension from sag, the two bounds of the set tension, the sag to expect, the widest span."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geom import vec
from geom.mechanics.cable import load_line
from geom.mechanics.catenary import deflection_at_tension, extra_length, tension_while_loaded
from geom.mechanics.elastic_line import Line, set_line
from geom.mechanics.push_test import (
    SpanPlace,
    deflection_on_rigid_ends,
    expected_deflection,
    push_force,
    tension_needed,
    tension_on_rigid_ends,
    widest_span,
)
from geom.words import worded
from tests.random_lines import random_line

# Force [N], span [mm], sag [mm], tension [N]: T = W / 2 sin(theta), worked by hand to 0.1 N.
WHILE_LOADED = [
    (50.0, 2200.0, 50.0, 550.6),
    (40.0, 2200.0, 50.0, 440.5),
    (40.0, 2200.0, 120.0, 184.4),
    (40.0, 1800.0, 50.0, 360.6),
    (40.0, 1500.0, 50.0, 300.7),
]


@pytest.mark.parametrize(("force", "span", "sag", "tension"), WHILE_LOADED)
def test_tension_while_loaded(force: float, span: float, sag: float, tension: float) -> None:
    assert tension_while_loaded(force, span, sag) == pytest.approx(tension, abs=0.05)
    assert deflection_at_tension(force, span, tension_while_loaded(force, span, sag)) == pytest.approx(sag, abs=1e-9)


def test_a_tension_that_cannot_hold() -> None:
    assert deflection_at_tension(40.0, 2200.0, 20.0) is None
    assert deflection_at_tension(40.0, 2200.0, 0.0) is None


@pytest.mark.parametrize(("sag", "extra"), [(50.0, 2.272), (120.0, 13.05)])
def test_extra_length(sag: float, extra: float) -> None:
    """2 (sqrt((L/2)^2 + s^2) - L/2) on 2.2 m, worked by hand."""
    assert extra_length(2200.0, sag) == pytest.approx(extra, abs=0.005)


def ten_metres(ea: float = 2.21e6) -> Line:
    return Line(((0.0, 0.0, 0.0), (2200.0, 0.0, 0.0), (10000.0, 0.0, 0.0)), ea, 0.0, (0.0,))


def test_bounds_of_the_set_tension() -> None:
    """10 m of 5 mm 1x19: about 48 N between rigid ends, 550.6 N where the tension does not rise; worked by hand."""
    needed = tension_needed(ten_metres(), 0, 50.0, 50.0, 445.0)
    assert needed.lower == pytest.approx(48.5, abs=0.5)
    assert needed.upper == pytest.approx(550.6, abs=0.05)
    assert needed.slack is None
    assert needed.verdict == "only with stiff ends"
    assert load_line(
        set_line(ten_metres(), needed.lower), push_force(ten_metres(), 0, 50.0)
    ).deflection == pytest.approx(50.0)


def test_very_soft_run_needs_the_upper_bound() -> None:
    soft = tension_needed(ten_metres(1e3), 0, 50.0, 50.0, 1000.0)
    assert soft.lower == pytest.approx(soft.upper, rel=1e-3)
    assert soft.verdict == "can"


def test_a_span_that_passes_slack() -> None:
    """Slack is what the 120 mm sag needs, less what the line stretches under the 184.4 N it then carries."""
    line = ten_metres()
    needed = tension_needed(line, 0, 40.0, 120.0, 445.0)
    assert needed.lower is None
    stretched = tension_while_loaded(40.0, 2200.0, 120.0) / line.ea * line.path
    assert needed.slack == pytest.approx(extra_length(2200.0, 120.0) - stretched, abs=0.02)
    assert worded(needed.remarks) == (
        "on rigid ends no tension is needed: up to 12.2 mm of slack is permitted; needs 185 N where ends may deflect"
    )
    eased = set_line(line, 0.0, needed.slack)
    assert load_line(eased, push_force(line, 0, 40.0)).deflection == pytest.approx(120.0, abs=1e-3)


def test_a_span_that_cannot() -> None:
    assert tension_needed(ten_metres(), 0, 50.0, 10.0, 445.0).verdict == "cannot"


def test_weight_of_the_line_requires_more_tension() -> None:
    line = ten_metres()
    heavy = Line(line.points, line.ea, 1.2e-3, line.friction)
    light, loaded = tension_needed(line, 0, 50.0, 50.0, 1e4), tension_needed(heavy, 0, 50.0, 50.0, 1e4)
    assert loaded.upper == pytest.approx(light.upper + 1.2e-3 * 2200.0**2 / (8.0 * 50.0), rel=1e-3)
    assert loaded.lower is not None and light.lower is not None
    assert loaded.lower > light.lower


def test_force_is_square_to_the_span_and_downwards() -> None:
    line = Line(((0.0, 0.0, 0.0), (1500.0, 300.0, -90.0)), 1e6, 0.0, ())
    load = push_force(line, 0, 40.0)
    assert vec.norm(load.force) == pytest.approx(40.0)
    assert vec.dot(load.force, line.points[1]) == pytest.approx(0.0, abs=1e-9)
    assert load.force[2] < 0.0


@settings(max_examples=60, deadline=None)
@given(st.floats(700.0, 2200.0), st.floats(10.0, 900.0), st.floats(4e5, 2.5e6), st.sampled_from([0.05, 0.1, 0.3]))
def test_sag_expected_is_bracketed(span: float, tension: float, ea: float, friction: float) -> None:
    line = Line(
        ((0.0, 0.0, 0.0), (1500.0, 0.0, 0.0), (1500.0 + span, 150.0, 0.0), (5000.0, 400.0, 0.0)),
        ea,
        0.0,
        (friction,) * 2,
    )
    sag = expected_deflection(line, 1, 40.0, tension)
    assert sag.locked <= sag.with_friction * (1 + 1e-9)
    assert sag.with_friction <= sag.free * (1 + 1e-9)
    assert sag.ends_giving is None or sag.free < sag.ends_giving


def test_slack_after_setting_shows_in_the_sag() -> None:
    line = ten_metres()
    assert expected_deflection(line, 0, 40.0, 300.0, slack=1.0).free > expected_deflection(line, 0, 40.0, 300.0).free


def place(name: str, forward: float, aft: float) -> SpanPlace:
    return SpanPlace(name, 0, aft - forward, forward, aft)


def test_widest_span_in_both_readings() -> None:
    spans = (place("ahead", 0.0, 2100.0), place("beside", 2500.0, 4230.0), place("aft", 4230.0, 5800.0))
    found = widest_span(spans, 3900.0)
    assert found.wholly_aft == spans[2]
    assert found.with_straddling == spans[1]
    assert found.readings_differ
    assert not widest_span(spans, 2500.0).readings_differ
    assert widest_span(spans, 9000.0).with_straddling is None


def test_tension_is_never_below_half_the_force() -> None:
    assert tension_while_loaded(40.0, 1.0, 1e9) == pytest.approx(20.0)
    assert math.isclose(tension_while_loaded(40.0, 2200.0, 50.0), 440.45, abs_tol=0.01)


def test_rigid_ends_by_balance_are_those_of_the_loaded_line() -> None:
    """Deflection at a set tension, and the tension or slack for a deflection, against the line loaded so."""
    for seed in range(60):
        rng = random.Random(seed)
        line = random_line(rng)
        span, force, tension = (
            rng.randrange(len(line.spans)),
            10.0 ** rng.uniform(1.0, 3.0),
            rng.choice([0.0, 50.0, 400.0]),
        )
        load = push_force(line, span, force)
        found = deflection_on_rigid_ends(line, span, force, tension)
        assert found == pytest.approx(load_line(set_line(line, tension), load).deflection, rel=1e-6)
        assert tension_on_rigid_ends(line, span, force, found) == pytest.approx(tension, abs=1e-5)
        needed = tension_needed(line, span, force, 1.2 * found, 1e9)
        set_so = set_line(line, needed.lower or 0.0, needed.slack or 0.0)
        assert load_line(set_so, load).deflection == pytest.approx(1.2 * found, rel=1e-6)
