"""How many steps the solvers of the loads take: a Newton step doubles the digits, and nothing falls back on halving."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from geom import vec
from geom.mechanics.bending_posts import room_for, run_at_rest
from geom.mechanics.cable import load_line
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.elastic_line import LOCKED, set_line
from geom.mechanics.kernels import bending_run, one_side, pushed_line
from geom.mechanics.kernels.bending_run import BentRun
from geom.mechanics.post_flexibility import FlexibleSupport
from geom.vec import Vec
from tests.random_lines import random_line, random_load
from tests.some import some


def counted(patch: pytest.MonkeyPatch, module: ModuleType, name: str) -> Callable[[], int]:
    """Count the calls of a function of a module; return a function that gives their number and begins anew."""
    calls, called = [], getattr(module, name)

    def counting(*values: Any) -> Any:
        calls.append(name)
        return called(*values)

    def since() -> int:
        number = len(calls)
        calls.clear()
        return number

    patch.setattr(module, name, counting)
    return since


def direction(rng: random.Random) -> Vec:
    return vec.unit((rng.gauss(0.0, 1.0), rng.gauss(0.0, 1.0), rng.gauss(0.0, 1.0)))


def run_on_posts(rng: random.Random) -> BentRun:
    """Return a random run of which every point gives, the ends as well, in two oblique directions."""
    line = random_line(rng)
    supports = {}
    for at in range(len(line.points)):
        first = direction(rng)
        second = vec.unit(vec.square_to(direction(rng), first))
        gives = (10.0 ** rng.uniform(-2.5, -1.0), 10.0 ** rng.uniform(-2.5, -1.0))
        supports[at] = FlexibleSupport((first, second), gives)
    span, share = rng.randrange(len(line.spans)), rng.uniform(0.2, 0.8)
    force = vec.unit(vec.square_to(direction(rng), line.directions[span]))
    on_chord = vec.along(line.points[span], line.directions[span], share * line.spans[span])
    return bending_run.bent_run(
        run_at_rest(line, supports), span, share, force, line.ea, rng.uniform(50.0, 800.0),
        vec.along(on_chord, force, 50.0), room_for(len(line.points)),
    )  # fmt: skip


def test_a_tenth_more_push_on_posts_that_bend_takes_three_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Extrapolated by their slopes the displacements are off by 1e-2, the square of a tenth; then 1e-4, 1e-8, 1e-16."""
    tries = counted(monkeypatch, bending_run, "_balance")
    for seed in range(40):
        run = run_on_posts(random.Random(seed))
        assert bending_run.under(run, 0.0, 300.0)[2] == 0.0
        tries()
        assert bending_run.under(run, 300.0, 330.0)[2] == 0.0
        assert tries() <= 4


def test_a_solution_takes_no_further_step() -> None:
    for seed in range(20):
        rng = random.Random(seed)
        line = random_line(rng)
        resting, load = set_line(line, 200.0).solver_line, random_load(rng, line)
        case = pushed_line.case_of(resting, load.span, load.share, load.force)
        found = pushed_line.under(resting, case, 1.0, pushed_line.unpushed(resting, case))
        assert found.iterations > 0 and pushed_line.under(resting, case, 1.0, found).iterations == 0


def test_a_side_that_slips_in_its_holes_takes_few_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    tries = counted(monkeypatch, one_side, "_excess")
    sides = counted(monkeypatch, one_side, "_slipping")
    for seed in range(60):
        rng = random.Random(seed)
        line = random_line(rng, 3).with_friction(rng.choice([0.05, 0.1, 0.3, 1.0]))
        load_line(set_line(line, rng.choice([20.0, 200.0, 800.0])), random_load(rng, line))
        assert tries() <= 3 * sides()


def test_a_line_with_weight_takes_at_most_ten_steps() -> None:
    """The position that it starts from lies beyond the solution, but not far."""
    for seed in range(100):
        rng = random.Random(seed)
        line = random_line(rng).with_friction(rng.choice([0.0, 0.1, LOCKED]))
        line = replace(line, weight=rng.choice([2e-4, 1.2e-3]))
        state = set_line(line, max(rng.choice([0.0, 20.0, 200.0, 800.0]), line.min_tension))
        assert load_line(state, random_load(rng, line)).iterations <= 10


def cubic(x: float) -> float:
    return x**3 - 2.0 * x - 5.0


def nearly_linear(x: float) -> float:
    return 2.0 * x - 1.0 + 1e-3 * x * x


@pytest.mark.parametrize(
    ("function", "low", "high", "root"),
    [(cubic, 2.0, 3.0, 2.0945514815423265), (nearly_linear, 0.0, 30.0, 1000.0 * (math.sqrt(1.001) - 1.0))],
)
def test_a_bracketed_root_takes_few_steps_whatever_the_unit(function, low, high, root) -> None:
    """Wallis's cubic, and one with its root by the formula of the quadratic; halving the brackets would take 40."""
    visited = []
    for unit in (2.0**-30, 1.0, 2.0**30):
        places: list[float] = []

        def scaled(x: float, unit: float = unit, places: list[float] = places) -> float:
            places.append(x)
            return unit * function(x)

        assert bracketed_root(scaled, low, high, 1e-12) == pytest.approx(root, abs=1e-12)
        visited.append(places)
    assert all(len(places) <= 9 and places == visited[0] for places in some(visited))
