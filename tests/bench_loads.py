"""Time of one boat's full load set, against the same loads by finite elements, and how it grows with posts.

Run by hand: `python tests/bench_loads.py`. Prints; asserts nothing about time.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from boats import NAMES, refit_of
from line_reference import by_finite_elements
from random_lines import random_line

from geom.refit import place
from geom.runs.cable import MAX_ITERATIONS, load_line
from geom.runs.line import LOCKED, Line, PointLoad, SetLine, set_line
from geom.runs.loading import BoatLoads, boat_loads
from geom.runs.placed import Placed

ELEMENTS_PER_HALF, LOAD_STEPS = 20, 20


def best(work: Callable[[], object], times: int = 5) -> float:
    """Return the least processor time of several [s]."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def load_cases(loads: BoatLoads) -> list[tuple[SetLine, PointLoad]]:
    """Return every fall of a boat, with the line sliding freely and locked."""
    cases = []
    for fall in loads.falls:
        run = loads.runs[fall.run]
        if run.stiffness is None:
            continue
        line = run.line(run.stiffness.most)
        light = Line(line.points, line.ea, 0.0, line.friction)
        for friction in (0.0, LOCKED):
            cases.append((set_line(light.with_friction(friction), run.tension), fall.line.loaded.load))
    return cases


def against_finite_elements() -> None:
    """Print the same point loads by both solvers, and the solver's iterations."""
    try:
        import openseespy.opensees as ops
    except ImportError:
        print("no general finite-element package installed: nothing to compare with")
        return
    for name in NAMES:
        loads = boat_loads(refit_of(name).placed)
        cases = load_cases(loads)
        if not cases:
            print(f"{name}: no stiffness known, no falls")
            continue
        ours = best(lambda cases=cases: [load_line(*case) for case in cases])
        theirs = best(
            lambda cases=cases: [
                by_finite_elements(ops, s, p, s.line.friction[:1] != (LOCKED,), ELEMENTS_PER_HALF, LOAD_STEPS)
                for s, p in cases
            ],
            times=1,
        )
        steps = [load_line(*case).iterations for case in cases]
        print(
            f"{name}: {len(cases)} loads, ours {1e3 * ours:.1f} ms ({1e6 * ours / len(cases):.0f} us each), "
            f"finite elements {1e3 * theirs:.0f} ms ({1e3 * theirs / len(cases):.2f} ms each), "
            f"ratio {theirs / ours:.0f}; "
            f"Newton steps {min(steps)} to {max(steps)}, mean {sum(steps) / len(steps):.1f}, bound {MAX_ITERATIONS}"
        )
        print(f"{name}: full load set {1e3 * best(lambda n=name: boat_loads(refit_of(n).placed)):.0f} ms")


def forty_posts_against_four() -> None:
    """Print the time of every span's load on one run with 2 and with 20 holes (4 and 40 posts on two sides)."""
    for friction in (0.0, 0.1):
        spent = []
        for holes in (2, 20):
            line = random_line(random.Random(7), holes + 1).with_friction(friction)
            state = set_line(line, 344.0)
            loads = [PointLoad(span, 0.5, (0.0, 1779.0, 0.0)) for span in range(holes + 1)]
            spent.append(best(lambda state=state, loads=loads: [load_line(state, one) for one in loads]))
        print(
            f"friction {friction}: two runs with 2 holes {2e3 * spent[0]:.2f} ms, "
            f"with 20 holes {2e3 * spent[1]:.2f} ms: "
            f"40 posts cost {spent[1] / spent[0]:.1f} times 4"
        )


def boat_with(posts_a_side: int) -> Placed:
    """Return an invented boat with two lines a side through many posts, each line in one run."""
    demo = refit_of("saltwhin-31").boat
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
            told = {"id": f"{side}-F-{level}", "start": start, "finish": finish, "through": tuple(ids)}
            runs.append(run.model_copy(update={**told, "set_tension": 344.0}))
    told = {"posts": tuple(posts), "eyes": tuple(eyes), "runs": tuple(runs), "gates": ()}
    return place(demo.model_copy(update=told))


def whole_boats() -> None:
    """Print the time of the full load set of boats with 4 and with 40 posts."""
    spent = {}
    for posts in (4, 40):
        placed = boat_with(posts // 2)
        spent[posts] = best(lambda placed=placed: boat_loads(placed), times=3)
    print(
        f"full load set: 4 posts {1e3 * spent[4]:.0f} ms, 40 posts {1e3 * spent[40]:.0f} ms, "
        f"{spent[40] / spent[4]:.1f} times"
    )


if __name__ == "__main__":
    against_finite_elements()
    forty_posts_against_four()
    whole_boats()
