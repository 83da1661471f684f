"""A post's shares of its limits by unit forces are those of bending the post by the forces themselves."""

from __future__ import annotations

import random

import pytest

from geom import vec
from geom.mechanics.kernels import limits
from geom.mechanics.post_bending import PostFrame, PostHole, Prop, Pull
from geom.mechanics.post_loads import post_load
from geom.mechanics.section_moments import run_sections, section_moments
from geom.mechanics.tube import TubeSection


def post(rng: random.Random, braced: bool, holes: int) -> PostFrame:
    own_aft, outboard, axis = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    drilled = tuple(PostHole(f"H{i}", rng.uniform(200.0, 600.0), 9.0, rng.uniform(-0.5, 0.5)) for i in range(holes))
    brace = Prop(rng.uniform(150.0, 550.0), vec.unit((rng.uniform(0.3, 1.0), rng.uniform(-1.0, 1.0), 0.8)))
    tube = TubeSection(25.0, 1.5)
    return PostFrame(
        "S-S1", (0.0, 0.0, 0.0), axis, own_aft, outboard, tube, drilled, 205.0, "", True, 193e3,
        brace if braced else None, None,
    )  # fmt: skip


@pytest.mark.parametrize("holes", [0, 1, 3])
@pytest.mark.parametrize("braced", [False, True], ids=["free", "braced"])
@pytest.mark.parametrize("seed", range(20))
def test_shares(seed: int, braced: bool, holes: int) -> None:
    rng = random.Random(seed)
    frame = post(rng, braced, holes)

    def pull() -> Pull:
        force = (rng.uniform(-900.0, 900.0), rng.uniform(-900.0, 900.0), rng.uniform(-300.0, 300.0))
        return Pull(rng.uniform(100.0, 610.0), force, "")

    still, coming = tuple(pull() for _ in range(seed % 3)), tuple(pull() for _ in range(1 + seed % 2))
    moments = section_moments(frame, 205.0, still, tuple(one.along for one in coming))
    sections = run_sections([(moments, range(len(coming)))])
    forces, load = [value for one in coming for value in one.force], post_load(frame, still + coming)
    assert limits.utilisation(sections, forces, False)[0] == pytest.approx(load.plastic_utilisation, rel=1e-9)
    assert limits.utilisation(sections, forces, True)[0] == pytest.approx(load.yield_utilisation, rel=1e-9)
