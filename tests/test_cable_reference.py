"""The loaded line against two independent solvers on random runs: tension within 0.1 %, deflection within 0.1 mm."""

from __future__ import annotations

import random

import pytest

from geom import vec
from geom.mechanics.cable import load_line
from geom.mechanics.elastic_line import LOCKED, Line, PointLoad, set_line
from tests.counts import seeds
from tests.line_reference import by_energy, by_finite_elements, by_sliding_finite_elements, sag_of
from tests.random_lines import random_line, random_load

SEEDS = seeds(6)


def case(seed: int):
    rng = random.Random(seed)
    line = random_line(rng)
    return line, random_load(rng, line), rng.uniform(50.0, 900.0)


@pytest.mark.long
@pytest.mark.parametrize("seed", SEEDS)
def test_sliding_line_against_energy_minimisation(seed: int) -> None:
    line, load, tension = case(seed)
    state = set_line(line, tension)
    ours = load_line(state, load)
    place, tensions = by_energy(state, load)
    assert vec.distance(ours.place, tuple(place)) < 0.1
    assert ours.deflection == pytest.approx(sag_of(state, load, place), abs=0.1)
    assert ours.tensions[load.span] == pytest.approx(tensions[load.span : load.span + 2], rel=1e-3, abs=0.5)
    assert ours.max_tension == pytest.approx(max(tensions), rel=1e-3)


@pytest.mark.parametrize("locked", [False, True], ids=["sliding", "locked"])
@pytest.mark.long
@pytest.mark.parametrize("seed", SEEDS)
def test_line_against_finite_elements(seed: int, locked: bool) -> None:
    line, load, tension = case(seed)
    if locked:
        line = line.with_friction(LOCKED)
    state = set_line(line, tension)
    ours = load_line(state, load)
    place, left, right = by_finite_elements(state, load, sliding=not locked)
    assert min(left, right) > 0.0, "the reference's trusses push where a line goes slack: choose another case"
    assert vec.distance(ours.place, tuple(place)) < 0.1
    assert ours.deflection == pytest.approx(sag_of(state, load, place), abs=0.1)
    assert ours.tensions[load.span] == pytest.approx((left, right), rel=1e-3)


@pytest.mark.parametrize("friction", [0.0, 0.15, 0.4])
@pytest.mark.long
@pytest.mark.parametrize("seed", SEEDS)
def test_whole_run_that_slips_against_finite_elements(seed: int, friction: float) -> None:
    line, load, tension = case(seed)
    state, k = set_line(line.with_friction(friction), tension), load.span
    ours = load_line(state, load)
    place, tensions = by_sliding_finite_elements(state, load)
    assert min(tensions) > 0.0, "the reference's trusses push where a line goes slack: choose another case"
    assert vec.distance(ours.place, place) < 0.1
    pieces = [pair[0] for pair in ours.tensions[:k]] + list(ours.tensions[k])
    pieces += [pair[0] for pair in ours.tensions[k + 1 :]]
    assert pieces == pytest.approx(tensions, rel=1e-3)


@pytest.mark.parametrize(("tension", "force"), [(200.0, (0.0, 0.0, -40.0)), (344.0, (0.0, 700.0, -50.0))])
def test_line_with_weight_against_finite_elements(tension: float, force: tuple[float, float, float]) -> None:
    line = Line(((0.0, 0.0, 1000.0), (2150.0, 300.0, 900.0)), 2.2e6, 1.2e-3, ())
    state, load = set_line(line, tension), PointLoad(0, 0.37, force)
    ours = load_line(state, load)
    place, left, right = by_finite_elements(state, load, sliding=False, per_half=60, weight=line.weight)
    assert vec.distance(ours.place, tuple(place)) < 0.1
    assert ours.tensions[0] == pytest.approx((left, right), rel=1e-3)


def test_worked_person_load() -> None:
    """Spans 1800 + 2000 + 2000 + 2000 mm, EA 1.08 MN, set 445 N, 4448 N across: an independent energy solution."""
    line = Line(tuple((x, 0.0, 0.0) for x in (0.0, 1800.0, 3800.0, 5800.0, 7800.0)), 1.08e6, 0.0, (0.0,) * 3)
    state, load = set_line(line, 445.0), PointLoad(1, 0.5, (0.0, 4448.0, 0.0))
    ours = load_line(state, load)
    assert ours.max_tension == pytest.approx(9100.0, rel=0.005)
    assert ours.deflection == pytest.approx(252.0, abs=0.5)
    assert ours.max_tension / 4448.0 == pytest.approx(2.0, abs=0.1)
    _, tensions = by_energy(state, load)
    assert ours.max_tension == pytest.approx(max(tensions), rel=1e-5)
