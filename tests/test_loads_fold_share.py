"""A post's share of folding by unit forces is that of bending the post by the forces themselves."""

from __future__ import annotations

import random

import pytest

from geom import vec
from geom.mechanics.collapse import Utilisation
from geom.mechanics.post_bending import PostFrame, PostHole, Prop, Pull, bending, plastic_share
from geom.mechanics.tube import TubeSection


def post(rng: random.Random, braced: bool, holes: int) -> PostFrame:
    own_aft, outboard, axis = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    drilled = tuple(PostHole(rng.uniform(200.0, 600.0), 9.0, rng.uniform(-0.5, 0.5)) for _ in range(holes))
    brace = Prop(rng.uniform(150.0, 550.0), vec.unit((rng.uniform(0.3, 1.0), rng.uniform(-1.0, 1.0), 0.8)))
    tube = TubeSection(25.0, 1.5)
    return PostFrame(
        "S-S1", (0.0, 0.0, 0.0), axis, own_aft, outboard, tube, drilled, 205.0, "", brace if braced else None
    )


@pytest.mark.parametrize("holes", [0, 1, 2])
@pytest.mark.parametrize("braced", [False, True], ids=["free", "braced"])
@pytest.mark.parametrize("seed", range(20))
def test_share_of_folding(seed: int, braced: bool, holes: int) -> None:
    rng = random.Random(seed)
    frame = post(rng, braced, holes)

    def pull() -> Pull:
        force = (rng.uniform(-900.0, 900.0), rng.uniform(-900.0, 900.0), rng.uniform(-300.0, 300.0))
        return Pull(rng.uniform(100.0, 610.0), force, "")

    still, coming = tuple(pull() for _ in range(seed % 3)), tuple(pull() for _ in range(1 + seed % 2))
    share = Utilisation(frame, still, tuple(one.along for one in coming)).under([one.force for one in coming])
    assert share == pytest.approx(plastic_share(frame, bending(frame, still + coming)), rel=1e-9)
