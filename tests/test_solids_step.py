"""STEP files: read back true, names and colours kept, same bytes in every process."""

from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geom.errors import CannotFinishError, GeometryError
from geom.parts.families.post import DrilledHole, PostSpec
from geom.parts.part import missing_kernel
from geom.parts.shape.frame import Frame
from geom.solids.proof import finds, read_step, require_true
from geom.solids.step import Instance, Product, step_bytes
from tests.counts import TIMES

POST = PostSpec(
    25.0,
    1.5,
    640.0,
    (
        DrilledHole("U", 610.0, 9.5, math.radians(15.72), math.radians(-1.34)),
        DrilledHole("L", 310.0, 12.7, math.radians(-8.0), math.radians(6.0)),
    ),
    "P",
)
BOAT = """
import math, sys
from geom.parts.families.post import DrilledHole, PostSpec
from geom.parts.shape.frame import Frame
from geom.solids.step import Instance, Product, step_bytes
posts = [PostSpec(25.0, 1.5, 640.0, (DrilledHole("U", 610.0, 9.5, 0.1 * k, -0.02),)) for k in range(3)]
products = tuple(Product(f"POST-{k}", spec.solid(), (40 * k, 90, 20)) for k, spec in enumerate(posts))
places = tuple(Instance(f"at {k}{j}", f"POST-{k}", Frame((100.0 * j, 90.0 * k, 0.0))) for k in range(3) for j in (0, 1))
for repeat in range(2):
    sys.stdout.buffer.write(step_bytes("BOAT", products, places))
    sys.stdout.buffer.write(step_bytes("POST-0", products[:1], schema="AP214"))
"""


def _round_trip(spec: PostSpec) -> None:
    (body,) = read_step(step_bytes("POST", (Product("POST", spec.solid()),)))
    require_true(spec, body)


def test_post_round_trip() -> None:
    _round_trip(POST)
    _round_trip(replace(POST, hand="S"))
    _round_trip(replace(POST, drilled=(DrilledHole("U", 405.0, 8.0, 0.5, -2.1e-308),)))


@pytest.mark.long
@given(
    od=st.floats(18.0, 40.0),
    wall=st.floats(0.8, 3.0),
    top=st.floats(450.0, 800.0),
    fraction=st.floats(0.15, 0.8),
    clocking=st.floats(-1.0, 1.0),
    tilt=st.floats(-0.5, 0.5),
    hand=st.sampled_from("PS"),
)
@settings(max_examples=5 * TIMES, deadline=None, derandomize=TIMES == 1, suppress_health_check=[HealthCheck.too_slow])
def test_random_posts_round_trip(
    od: float, wall: float, top: float, fraction: float, clocking: float, tilt: float, hand: str
) -> None:
    hole = DrilledHole("U", 0.9 * top, fraction * (od - 2.0 * wall), clocking, tilt)
    _round_trip(PostSpec(od, wall, top, (hole,), hand))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "wrong",
    [
        replace(POST, od=25.004),
        replace(POST, top=640.002),
        replace(POST, hand="S"),
        replace(POST, drilled=(replace(POST.drilled[0], diameter=9.503), POST.drilled[1])),
        replace(POST, drilled=(replace(POST.drilled[0], along=610.0015), POST.drilled[1])),
        replace(POST, drilled=(replace(POST.drilled[0], clocking=POST.drilled[0].clocking + 2e-6), POST.drilled[1])),
    ],
)
def test_proof_catches_another_post(wrong: PostSpec) -> None:
    (body,) = read_step(step_bytes("POST", (Product("POST", POST.solid()),)))
    with pytest.raises(GeometryError):
        require_true(wrong, body)


def test_names_places_and_colours_survive() -> None:
    frames = (Frame((100.0, 20.0, 5.0), z=(0.0, 0.0, 1.0)), Frame((0.0, -300.0, 0.0), x=(0.0, 1.0, 0.0)))
    products = (Product("POST-A", POST.solid(), (255, 0, 51)), Product("POST-B", POST.solid(), (0, 102, 0)))
    places = (
        Instance("S-S2", "POST-B", frames[0]),
        Instance("S-S1", "POST-A", frames[1]),
        Instance("P-S1", "POST-A", frames[0]),
    )
    bodies = read_step(step_bytes("BOAT", products, places))
    assert [(b.instance, b.product) for b in bodies] == [("S-S2", "POST-B"), ("S-S1", "POST-A"), ("P-S1", "POST-A")]
    assert bodies[0].colour == pytest.approx((0.0, 0.4, 0.0), abs=1e-5)
    assert bodies[1].colour == bodies[2].colour == pytest.approx((1.0, 0.0, 0.2), abs=1e-5)
    for body, place in zip(bodies, places, strict=True):
        for hole in POST.holes():
            moved = replace(hole, point=place.frame.point(hole.point), direction=place.frame.direction(hole.direction))
            assert finds(body, moved)


@pytest.mark.parametrize(("schema", "word"), [("AP242", b"AP242_MANAGED_MODEL"), ("AP214", b"AUTOMOTIVE_DESIGN")])
def test_header(schema: str, word: bytes) -> None:
    content = step_bytes("POST S-S1", (Product("P", POST.solid()),), date="2026-03-01", schema=schema)  # type: ignore[arg-type]
    head = content[: content.index(b"ENDSEC;")]
    assert word in head
    assert b"'2026-03-01T00:00:00'" in head
    assert b"POST S-S1" in head


def test_same_bytes_in_every_process() -> None:
    results = set()
    for seed in ("0", "77"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        run = subprocess.run([sys.executable, "-c", BOAT], capture_output=True, check=True, env=environment)
        half = len(run.stdout) // 2
        assert run.stdout[:half] == run.stdout[half:], "the second writing in one process differs from the first"
        results.add(hashlib.sha256(run.stdout).hexdigest())
    assert len(results) == 1


def test_missing_system_library_is_one_line_with_the_packages() -> None:
    fault = missing_kernel(ImportError("libGL.so.1: cannot open shared object file: No such file or directory"))
    assert isinstance(fault, CannotFinishError)
    assert fault.exit_code == 3
    assert "\n" not in str(fault)
    for package in ("libgl1", "libx11-6", "libxrender1"):
        assert package in str(fault)
    assert "cadquery" in str(missing_kernel(ImportError("No module named 'cadquery'")))


def test_names_with_any_letters_survive() -> None:
    name, place, title = "Ålö 'q' = \\ z", "inst é 世 '", "Pärl = 'x' \\ ø"
    content = step_bytes(title, (Product(name, POST.solid()),), (Instance(place, name),))
    (body,) = read_step(content)
    assert (body.product, body.instance) == (name, place)
    assert body.colour is not None


def test_kernel_keeps_quiet() -> None:
    """Nothing but the files comes out: the kernel's own talk of transfers is not on the standard output."""
    code = (
        "from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox\nfrom geom.solids.proof import read_step\n"
        "from geom.solids.step import Product, step_bytes\n"
        "read_step(step_bytes('B', (Product('B', BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()),)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert run.stdout == b""
    assert run.stderr == b""
