"""Time of one boat's full load and rule check, against the same loads by finite elements, and how it grows with posts.

Run by hand: `python tests/bench_loads.py`. Prints; asserts nothing about time.

The loads that a full check solves are gathered as they come, and a share of them is given to the reference:
whole runs whose line slips in its holes with friction, at the mesh and the load steps of the tests. That
is where the time goes: trusses do not slide, so that every load step iterates the way of the line.

A line that does not slip, or slides freely, can be had cheaper: trusses as soft as the whole side, for the
loaded span alone. There the mesh decides the ratio, so it is printed beside it. A line without weight is
straight between its points: one element on each side of the load is then exact, and a finer mesh only
costs time. With weight each side hangs in a curve; the mesh that counts there is the coarsest power of two
within 0.1 % of tension and 0.1 mm of place of a mesh twice as fine, in every load.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parent.parent))

from geom import vec
from geom.boat.file import LoadedBoat
from geom.data.editions import push_test
from geom.mechanics.boat_loads import BoatLoads, boat_loads
from geom.mechanics.cable import Case, Loaded, load_line
from geom.mechanics.elastic_line import LOCKED, PointLoad, SetLine, set_line
from geom.mechanics.kernels import pushed_line
from geom.mechanics.push_test import push_force
from geom.refit import refit
from tests.boats import NAMES, refit_of
from tests.line_reference import by_finite_elements, by_sliding_finite_elements
from tests.random_lines import random_line

# Elements on each side of the load, and load steps: the coarsest there is, that of the tests, a fine one.
MESHES = ((1, 1), (8, 10), (20, 20))
# Weight of 6 mm 1x19 wire, about 0.18 kg/m [N/mm]: common practice, no source.
WIRE_WEIGHT = 0.18e-3 * 9.80665
TENSION_GOAL, PLACE_GOAL = 1e-3, 0.1
# One in so many of a full check's loads goes to the reference of whole runs.
ONE_IN = 7


def best(work: Callable[[], object], times: int = 5) -> float:
    """Return the least processor time of several [s]."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def solved(cases: list[Case]) -> list[Loaded]:
    """Return lines under their loads."""
    return [load_line(state, load) for state, load in cases]


def load_cases(loads: BoatLoads) -> list[Case]:
    """Return every fall of a boat, with the line sliding freely and locked."""
    cases = []
    for fall in loads.falls:
        run = loads.runs[fall.run]
        if run.stiff is None:
            continue
        line = replace(run.stiff, weight=0.0)
        for friction in (0.0, LOCKED):
            cases.append((set_line(line.with_friction(friction), run.tension), fall.line.loaded.load))
    return cases


def push_cases(loads: BoatLoads, weight: float) -> list[Case]:
    """Return the push test on every span of a boat, its lines locked and of a given weight [N/mm]."""
    cases, force = [], push_test({}).force.value
    for run in loads.runs.values():
        if run.soft is not None:
            line = replace(run.soft, weight=weight).locked
            state = set_line(line, run.tension)
            cases += [(state, push_force(line, span, force)) for span in range(len(line.spans))]
    return cases


def finite_elements(case: Case, mesh: tuple[int, int]) -> tuple[tuple[float, ...], float, float]:
    """Return place and tensions of a load by the reference on a mesh."""
    state, load = case
    locked = state.line.friction[:1] == (LOCKED,)
    place, left, right = by_finite_elements(state, load, not locked, *mesh, weight=state.line.weight)
    return tuple(place), left, right


def furthest(one: list[Any], other: list[Any]) -> tuple[float, float]:
    """Return how far answers lie apart: share of tension, and place [mm]."""
    tension = max(abs(a[side] / b[side] - 1.0) for a, b in zip(one, other, strict=True) for side in (1, 2))
    return tension, max(vec.distance(a[0], b[0]) for a, b in zip(one, other, strict=True))


def ours_of(cases: list[Case]) -> list[Any]:
    """Return place and tensions of loads by the project's own solver."""
    return [(loaded.place, *loaded.tensions[loaded.load.span]) for loaded in solved(cases)]


def print_ratio(what: str, cases: list[Case], mesh: tuple[int, int], ours: float) -> float:
    """Print time and distance of one mesh against the own solver; return the reference's time for one load [s]."""
    theirs = best(lambda: [finite_elements(case, mesh) for case in cases], times=2) / len(cases)
    tension, place = furthest([finite_elements(case, mesh) for case in cases], ours_of(cases))
    print(
        f"  {what}: {mesh[0]} elements a side, {mesh[1]} load steps: {1e3 * theirs:.2f} ms a load, "
        f"ratio {theirs / ours:.3g}; apart by {100.0 * tension:.1g} % and {place:.1g} mm"
    )
    return theirs


def converged_mesh(cases: list[Case]) -> tuple[int, int] | None:
    """Print how each mesh differs from one twice as fine; return the first that is within the goal."""
    finer = None
    for count in (1, 2, 4, 8, 16, 32, 64):
        coarse = finer if finer is not None else [finite_elements(case, (count, 10)) for case in cases]
        finer = [finite_elements(case, (2 * count, 10)) for case in cases]
        tension, place = furthest(coarse, finer)
        print(f"  with weight: {count} against {2 * count} a side: {100.0 * tension:.2g} %, {place:.2g} mm")
        if tension <= TENSION_GOAL and place <= PLACE_GOAL:
            return count, 10
    return None


def against_finite_elements() -> None:
    """Print the same loads by both solvers, the solver's iterations, and the whole check."""
    try:
        from trusses import package

        package()
    except ImportError:
        print("no general finite-element package installed: nothing to compare with")
        return
    for name in NAMES:
        loaded = refit_of(name).loaded
        loads = refit(loaded).loads
        cases = load_cases(loads)
        if not cases:
            print(f"{name}: no stiffness known, no falls")
            continue
        ours = best(lambda cases=cases: solved(cases)) / len(cases)
        print(f"{name}: {len(cases)} falls, {1e6 * ours:.0f} us each; {iterations(cases)}")
        times = {mesh: print_ratio("falls", cases, mesh, ours) for mesh in MESHES}
        whole, all_cases = best(lambda loaded=loaded: refit(loaded).loads), loads_solved(loaded)
        against_whole_runs(all_cases, whole)
        print("  the same count of loads by trusses of the loaded span alone, without friction:")
        shares = (f"{m[0]} a side, {m[1]} steps: {len(all_cases) * t / whole:.3g} times" for m, t in times.items())
        print("  " + "; ".join(shares))
        heavy = push_cases(loads, WIRE_WEIGHT)
        mesh = converged_mesh(heavy)
        if mesh is not None:
            ours = best(lambda heavy=heavy: solved(heavy)) / len(heavy)
            print(f"  with weight: {len(heavy)} pushes, {1e6 * ours:.0f} us each; {iterations(heavy)}")
            print_ratio("with weight", heavy, mesh, ours)


def iterations(cases: list[Case]) -> str:
    """Return in words the Newton steps that loads take."""
    steps = [loaded.iterations for loaded in solved(cases)]
    mean, bound = sum(steps) / len(steps), pushed_line.MAX_ITERATIONS
    return f"Newton steps {min(steps)} to {max(steps)}, mean {mean:.1f}, bound {bound}"


def loads_solved(loaded: LoadedBoat) -> list[Case]:
    """Return every line that one boat's falls and push tests load, without its weight; pushes that are sought aside."""
    cases: list[Case] = []

    def kept(state: SetLine, load: PointLoad) -> Loaded:
        cases.append((state, load))
        return load_line(state, load)

    with patch("geom.mechanics.cable.load_line", kept), patch("geom.mechanics.falls.load_line", kept):
        _ = refit(loaded).loads
    return [(replace(state, line=replace(state.line, weight=0.0)), load) for state, load in cases]


def against_whole_runs(cases: list[Case], whole: float) -> None:
    """Print a full check's time against the reference of whole runs on the same loads."""
    chosen = [case for case in cases[::ONE_IN] if vec.norm(case[1].force) > 0.0]
    spent, apart, settled = 0.0, 0.0, 0
    for case in chosen:
        start = time.process_time()
        try:
            place, tensions = by_sliding_finite_elements(*case)
        except RuntimeError:
            continue
        # Trusses push where a line hangs slack: another problem than ours.
        if min(tensions) <= 0.0:
            continue
        spent, settled = spent + time.process_time() - start, settled + 1
        apart = max(apart, vec.distance(load_line(*case).place, place))
    each = spent / max(settled, 1)
    slipping = sum(1 for state, _ in cases if any(mu != LOCKED for mu in state.line.friction))
    print(
        f"  full load and rule check: {1e3 * whole:.0f} ms for {len(cases)} loads, {slipping} of lines that slip; "
        f"{iterations(cases)}"
    )
    print(
        f"  whole runs by finite elements, {len(chosen)} of these loads, {settled} of them taut: "
        f"apart by {apart:.1g} mm, {1e3 * each:.1f} ms a load"
    )
    print(f"  all of them would take {len(cases) * each:.0f} s, {len(cases) * each / whole:.0f} times the full check")


def forty_posts_against_four() -> None:
    """Print the time of every span's load on one run with 2 and with 20 holes (4 and 40 posts on two sides)."""
    for friction in (0.0, 0.1):
        spent = []
        for holes in (2, 20):
            line = random_line(random.Random(7), holes + 1).with_friction(friction)
            state = set_line(line, 344.0)
            loads = [PointLoad(span, 0.5, (0.0, 1779.0, 0.0)) for span in range(holes + 1)]
            spent.append(best(lambda state=state, loads=loads: solved([(state, one) for one in loads])))
        print(
            f"friction {friction}: two runs with 2 holes {2e3 * spent[0]:.2f} ms, "
            f"with 20 holes {2e3 * spent[1]:.2f} ms: "
            f"40 posts cost {spent[1] / spent[0]:.1f} times 4"
        )


def boat_with(posts_a_side: int) -> LoadedBoat:
    """Return an invented boat with two lines a side through many posts, each line in one run."""
    stated_demo = refit_of("saltwhin-31").loaded
    demo = stated_demo.boat
    post, eye, run = demo.posts[0], demo.eyes[0], demo.runs[0]
    posts, eyes, runs = [], [], []
    for side, sign in (("S", 1.0), ("P", -1.0)):
        ids = [f"{side}-N{i}" for i in range(posts_a_side)]
        for i, name in enumerate(ids):
            foot = (1500.0 * (i + 1), sign * (900.0 + 40.0 * (i % 3)), 1000.0)
            posts.append(post.model_copy(update={"id": name, "foot": foot, "lean": 0.05}))
        for level, height in (("U", 1610.0), ("L", 1300.0)):
            for rail, x in (("PULPIT", 0.0), ("PUSHPIT", 1500.0 * (posts_a_side + 1))):
                eyes.append(eye.model_copy(update={"id": f"{side}-{rail}-{level}", "at": (x, sign * 900.0, height)}))
            start = run.start.model_copy(update={"eye": f"{side}-PULPIT-{level}"})
            finish = run.start.model_copy(update={"eye": f"{side}-PUSHPIT-{level}"})
            stated = {"id": f"{side}-F-{level}", "start": start, "finish": finish, "through": tuple(ids)}
            runs.append(run.model_copy(update={**stated, "set_tension": 344.0}))
    stated = {"posts": tuple(posts), "eyes": tuple(eyes), "runs": tuple(runs), "gates": ()}
    return replace(stated_demo, boat=demo.model_copy(update=stated))


def whole_boats() -> None:
    """Print the time of the full load and rule check of boats with 4 and with 40 posts, and of the loads alone."""
    for what in ("full load and rule check", "loads alone"):
        spent = {}
        for posts in (4, 40):
            loaded = boat_with(posts // 2)
            placed = refit(loaded).placed
            alone = what == "loads alone"
            spent[posts] = best(lambda a=alone, p=placed, b=loaded: boat_loads(p) if a else refit(b).loads)
        print(
            f"{what}: 4 posts {1e3 * spent[4]:.0f} ms, 40 posts {1e3 * spent[40]:.0f} ms, "
            f"{spent[40] / spent[4]:.1f} times"
        )


if __name__ == "__main__":
    against_finite_elements()
    forty_posts_against_four()
    whole_boats()
