"""An open gate: what falls slack, how much line comes free and how far it drops."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom import vec
from geom.boat.model import SlideOn
from geom.mechanics.boat_loads import boat_loads
from geom.refit import place
from geom.rigging.alternatives import continuous_run
from geom.rigging.gate_open import drop
from tests.line_boats import boat_of, with_run, work_of, worked
from tests.some import some


def test_lines_that_end_at_the_gate_posts_stay_taut():
    own = [gate for gate in work_of("saltwhin-31").gates if gate.planned]
    assert [gate.run for gate in own] == ["S-G-U", "S-G-L", "P-G-U", "P-G-L"]
    assert all(gate.slack == (gate.run,) and gate.without_stop is None for gate in own)
    assert own[0].says.code == "gate.lines_stay_taut"
    assert own[0].hangs == pytest.approx(680.5, abs=0.1)


def test_what_is_said_of_a_gate_goes_by_the_posts_at_its_ends():
    """A line of the gate alone leaves the lines at its posts taut: two posts, a post and a rail, two rails."""
    between = {"yacht-52": "S-GATE", "aft-gate-25": "S-GATE", "open-transom-36": "C-GATE"}
    found = {}
    for name, gate in between.items():
        found[name] = next(one for one in work_of(name).gates if one.planned and one.gate == gate).says
    assert [found[name].code for name in between] == [
        "gate.lines_stay_taut", "gate.line_beside_stays_taut", "gate.between_rails",
    ]  # fmt: skip
    assert found["yacht-52"]["posts"] == ("S-S4", "S-S5")
    assert found["aft-gate-25"]["post"] == "S-S3"
    # The eyes of the stern rails stand 1.05 m apart.
    assert found["open-transom-36"]["loose_mm"] == pytest.approx(1050.0)


def test_a_line_through_the_post_falls_slack_with_its_whole_gate_part():
    """The 700.5 mm from S3's hole to the hook's pin come free; with a stop one inch."""
    other = next(gate for gate in work_of("saltwhin-31").gates if not gate.planned)
    assert other.run == "S-F-U"
    assert other.without_stop.free == pytest.approx(700.5, abs=0.1)
    assert other.with_stop.free == pytest.approx(25.4)
    assert other.widest_span == pytest.approx(1734.7, abs=0.1)
    assert other.without_stop.by_hand > 5 * other.with_stop.by_hand


def continuous_boat(stop):
    boat = boat_of("saltwhin-31")
    gate = place(boat).runs["S-G-U"]
    stated, _ = continuous_run(boat, gate)
    stated = stated.model_copy(update={"slide_on": stop})
    runs = tuple(stated if run.id == "S-F-U" else run for run in boat.runs if run.id != "S-G-U")
    return boat.model_copy(update={"runs": runs})


def test_a_line_through_the_gate_may_begin_at_its_hook():
    """The same line listed from the other end falls slack from the same post, in the same span."""
    boat = continuous_boat(())
    turned = next(run for run in boat.runs if run.id == "S-F-U")
    changed = {"start": turned.finish, "finish": turned.start, "through": turned.through[::-1]}
    found, other = (
        next(gate for gate in worked(one).gates if gate.run == "S-F-U")
        for one in (boat, with_run(boat, "S-F-U", **changed))
    )
    assert other.says["post"] == found.says["post"] == "S-S3"
    assert set(other.widest_between) == set(found.widest_between)
    assert other.without_stop.by_hand == pytest.approx(found.without_stop.by_hand)


@pytest.mark.parametrize("stop", [(), (SlideOn(item="stop", kind="stop", hole="S-S3-U", width=20.0),)])
def test_a_planned_line_through_the_gate_says_whether_it_has_a_stop(stop):
    found = next(gate for gate in worked(continuous_boat(stop)).gates if gate.run == "S-F-U")
    assert found.planned
    assert found.has_stop is bool(stop)


def gate_loads(boat, gate="S-GATE"):
    """Return the loads of a boat and those of one of its gates, open."""
    loads = boat_loads(place(boat), ())
    return loads, next(one for one in loads.gates if one.gate == gate)


def through_the_gate(levels, stop):
    """Return SALTWHIN with its forward lines of some levels in one piece through S-S3 to the hook."""
    boat = boat_of("saltwhin-31")
    for level in levels:
        stated, _ = continuous_run(boat, place(boat).runs[f"S-G-{level}"])
        items = (SlideOn(item="stop", kind="stop", hole=f"S-S3-{level}", width=20.0),) if stop else ()
        stated = stated.model_copy(update={"slide_on": items, "set_tension": 300.0})
        runs = tuple(stated if run.id == f"S-F-{level}" else run for run in boat.runs if run.id != f"S-G-{level}")
        boat = boat.model_copy(update={"runs": runs})
    return boat


@pytest.mark.parametrize("levels", ["U", "L", "UL"])
def test_a_slack_line_pulls_on_no_post_of_the_open_gate(levels):
    """Without a stop the line falls slack on every post; the lines of the other level stay as they were."""
    _, gate = gate_loads(through_the_gate(levels, stop=False))
    for post in some(gate.as_built):
        carried = {one.run for one in post.tensions}
        forward = {f"S-F-{level}" for level in "UL" if level not in levels}
        assert carried == (forward if post.id == "S-S3" else {"S-A-U", "S-A-L"})


@pytest.mark.parametrize("levels", ["U", "L", "UL"])
def test_a_stop_holds_a_line_against_its_post(levels):
    """The held part pulls on S-S3 with the whole set tension, along the span to S-S2; nothing pulls across the gate."""
    boat = through_the_gate(levels, stop=True)
    loads, gate = gate_loads(boat)
    forward, aft = gate.as_built
    assert {one.run for one in forward.tensions} == {"S-F-U", "S-F-L"}
    assert {one.run for one in aft.tensions} == {"S-A-U", "S-A-L"}
    pull = [0.0, 0.0, 0.0]
    for level in "UL":
        run = loads.runs[f"S-F-{level}"]
        at = run.run.names.index(f"S-S3-{level}") if level in levels else len(run.run.points) - 1
        way = vec.unit(vec.sub(run.run.points[at - 1], run.run.points[at]))
        pull = [a + run.tension * b for a, b in zip(pull, way, strict=True)]
    assert forward.force_fore_aft == pytest.approx(pull[0], abs=1.0)


def test_a_span_that_goes_down_in_a_v():
    """3-4-5 triangle: legs of 500 over a span of 800 let the middle down by 300."""
    assert drop(800.0, 200.0).by_hand == pytest.approx(300.0)


def test_a_parabola_as_a_published_cable_lets_down():
    """Millwright's page: a 100 ft wire of 0.0007 lb/ft at 30 lb sags 0.03 ft; its extra length gives that back."""
    span, sag = 100.0, 0.0007 * 100.0**2 / (8.0 * 30.0)
    assert sag == pytest.approx(0.0292, abs=5e-5)
    assert drop(span, 8.0 * sag**2 / (3.0 * span)).own_weight == pytest.approx(sag)


def test_a_parabola_against_the_exact_catenary():
    """Catenary of parameter c: half length c sinh(a / c), sag c (cosh(a / c) - 1); one hundredth slack."""
    a, c = 867.0, 3500.0
    free = 2.0 * (c * math.sinh(a / c) - a)
    assert drop(2.0 * a, free).own_weight == pytest.approx(c * (math.cosh(a / c) - 1.0), rel=0.01)


@given(st.floats(300.0, 2500.0), st.floats(0.1, 800.0), st.floats(0.1, 300.0))
def test_more_line_free_drops_further(span, free, more):
    less, far = drop(span, free), drop(span, free + more)
    assert far.by_hand > less.by_hand
    assert far.own_weight > less.own_weight
