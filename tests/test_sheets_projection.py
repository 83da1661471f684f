"""First and third angle: the sign in the title block."""

from __future__ import annotations

import pytest

from geom.boat.file import read_boat
from geom.drafting.projection import projection_symbol
from geom.errors import InputError
from geom.figure import Circle, Polyline
from tests.boats import BOATS

BOTH = ("first", "third")


@pytest.mark.parametrize("projection", BOTH)
def test_the_sign_has_the_standards_proportions(projection):
    """ISO 5456-2:1996 annex A, from memory, verify: cone h and 2h wide, 2h long; first angle: circles at its right."""
    items = projection_symbol((100.0, 50.0), projection)
    (cone,) = [item for item in items if isinstance(item, Polyline)]
    small, large = sorted((item for item in items if isinstance(item, Circle)), key=lambda ring: ring.radius)
    h = 2.0 * small.radius
    assert h == 2.5
    assert (large.radius, large.centre) == (h, small.centre)
    xs = sorted({x for x, _ in cone.points})
    heights = {x: max(y for u, y in cone.points if u == x) - min(y for u, y in cone.points if u == x) for x in xs}
    assert [heights[x] for x in xs] == [h, 2.0 * h], "the small end lies at the left in both"
    assert xs[1] - xs[0] == 2.0 * h
    right_of_cone = small.centre[0] > xs[1]
    assert right_of_cone == (projection == "first")
    gap = small.centre[0] - h - xs[1] if right_of_cone else xs[0] - (small.centre[0] + h)
    assert gap == pytest.approx(h)
    assert (min(xs[0], small.centre[0] - h) + max(xs[1], small.centre[0] + h)) / 2.0 == pytest.approx(100.0)


def test_the_boat_file_takes_first_third_and_no_other_word():
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    assert read_boat(f"{text}\ndrawing: {{projection: third}}\n".encode(), "b").boat.drawing.projection == "third"
    with pytest.raises(InputError, match=r"drawing.projection: .*second.*first, third"):
        read_boat(f"{text}\ndrawing: {{projection: second}}\n".encode(), "b")
