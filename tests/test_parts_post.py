"""The post: exact volume, mirror frames, refusals, outline against box."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad

from geom import vec
from geom.errors import GeometryError
from geom.parts.families.post import DrilledHole, PostSpec
from geom.placement.place import frame_about, hole_axis, tube_axis


def post(diameter: float = 9.5, clocking: float = 15.7, tilt: float = -1.3, hand: str = "S") -> PostSpec:
    hole = DrilledHole("U", 600.0, diameter, math.radians(clocking), math.radians(tilt))
    return PostSpec(25.0, 1.5, 640.0, (hole,), hand)  # type: ignore[arg-type]


def test_undrilled_tube_is_a_plain_ring() -> None:
    assert PostSpec(25.0, 1.5, 1000.0).volume() == pytest.approx(math.pi * 23.5 * 1.5 * 1000.0, rel=1e-15)


def test_mass_of_common_stanchion_tube() -> None:
    """25 x 1.5 mm tube at 8.0 g/cm3 weighs 0.886 kg/m (worked out from the ring's area)."""
    kilograms_per_metre = PostSpec(25.0, 1.5, 1000.0).volume() * 8.0e-6
    assert kilograms_per_metre == pytest.approx(0.886, abs=0.0005)


@pytest.mark.parametrize(("diameter", "tilt"), [(9.5, 0.0), (12.7, 8.0), (4.0, -25.0), (21.0, 3.0)])
def test_metal_drilled_away_by_double_integral(diameter: float, tilt: float) -> None:
    """Reference: adaptive double integration over the drill's section of its length inside the wall.

    Along the drill the wall is entered and left where (p + s u) crosses the outer and the inner radius.
    """
    spec = post(diameter, 0.0, tilt)
    a, lift = diameter / 2.0, math.radians(tilt)
    outer, inner = 12.5, 11.0

    def wall_length(phi: float, rho: float) -> float:
        across = rho * math.cos(phi)
        chords = math.sqrt(outer**2 - across**2) - math.sqrt(inner**2 - across**2)
        return 2.0 * chords / math.cos(lift) * rho

    removed, _ = dblquad(wall_length, 0.0, a, 0.0, 2.0 * math.pi, epsabs=1e-9, epsrel=1e-11)
    tube = PostSpec(25.0, 1.5, 640.0).volume()
    assert spec.volume() == pytest.approx(tube - removed, rel=1e-10)


def test_volume_does_not_depend_on_clocking_or_hand() -> None:
    assert post(clocking=0.0).volume() == post(clocking=70.0).volume() == post(hand="P").volume()


@given(
    lean=st.floats(-0.1, 0.1),
    rake=st.floats(-0.1, 0.1),
    clocking=st.floats(-0.8, 0.8),
    tilt=st.floats(-0.3, 0.3),
    side=st.sampled_from(["P", "S"]),
)
def test_local_hole_direction_is_the_placed_one(
    lean: float, rake: float, clocking: float, tilt: float, side: str
) -> None:
    """The post's own frame, turned to boat axes, gives the hole axis that placement gives."""
    axis = tube_axis(side, lean, rake)  # type: ignore[arg-type]
    aft, _ = frame_about(axis, side)  # type: ignore[arg-type]
    hole = DrilledHole("U", 300.0, 8.0, clocking, tilt)
    x, y, z = PostSpec(25.0, 1.5, 640.0, (hole,), side).direction(hole)  # type: ignore[arg-type]
    starboard = vec.cross(axis, aft)
    placed = vec.add(vec.add(vec.scale(aft, x), vec.scale(starboard, y)), vec.scale(axis, z))
    assert vec.distance(placed, hole_axis(axis, side, clocking, tilt)) < 1e-12  # type: ignore[arg-type]


def test_port_post_mirrors_starboard_post() -> None:
    port, starboard = post(hand="P").holes()[0].direction, post(hand="S").holes()[0].direction
    assert port == (starboard[0], -starboard[1], starboard[2])
    assert starboard[1] > 0.0, "clocking + swings the aft end outboard, to starboard on a starboard post"


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        ({"od": -25.0}, "od"),
        ({"od": math.nan}, "od"),
        ({"wall": 0.0}, "wall"),
        ({"wall": 12.5}, "no bore"),
        ({"top": 0.0}, "length"),
        ({"top": math.inf}, "length"),
        ({"hand": "X"}, "hand"),
        ({"drilled": (DrilledHole("U", 600.0, 22.0),)}, "smaller than the tube's bore"),
        ({"drilled": (DrilledHole("U", 600.0, -9.5),)}, "diameter"),
        ({"drilled": (DrilledHole("U", 637.0, 9.5),)}, "runs off the tube"),
        ({"drilled": (DrilledHole("U", 3.0, 9.5),)}, "runs off the tube"),
        ({"drilled": (DrilledHole("U", 600.0, 9.5, 0.0, 1.2),)}, "tilt"),
        ({"drilled": (DrilledHole("U", 600.0, 9.5, math.nan),)}, "clocking"),
        ({"drilled": (DrilledHole("U", 300.0, 9.5), DrilledHole("L", 308.0, 9.5))}, "overlap"),
    ],
)
def test_impossible_posts_are_refused_before_the_kernel(arguments: dict[str, object], word: str) -> None:
    sizes: dict[str, object] = {"od": 25.0, "wall": 1.5, "top": 640.0}
    with pytest.raises(GeometryError, match=word):
        PostSpec(**{**sizes, **arguments})  # type: ignore[arg-type]


def test_parts_load_without_the_solid_kernel() -> None:
    code = "import sys, geom.parts.families.post; sys.exit(any(m in sys.modules for m in ('cadquery', 'OCP')))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
