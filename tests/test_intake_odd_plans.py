"""Every odd deck plan is read right, or refused with its cause."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest

from geom.errors import InputError
from geom.intake.deck_plan.drawing import read_drawing
from geom.intake.deck_plan.mapping import read_mapping
from geom.intake.deck_plan.reading import read_plan
from tests.odd_plans import ODD_PLANS
from tests.some import some

# The fewest cases of each outcome.
READ, REFUSED = 30, 20


def reading_of(plan):
    return read_plan(read_drawing(plan.data(), "plan.dxf"), read_mapping(plan.mapping(), "mapping"))


@pytest.mark.parametrize("plan", [plan for plan in ODD_PLANS if not plan.refused], ids=lambda plan: plan.name)
def test_an_odd_plan_is_read_right(plan):
    reading = reading_of(plan)
    found = {point.id: point for point in reading.points}
    assert found.keys() == plan.posts.keys()
    for name, wanted in some(plan.posts.items()):
        point = found[name]
        assert (point.x, point.y) == pytest.approx(wanted[:2], abs=0.1)
        if len(wanted) == 3:
            assert point.z == pytest.approx(wanted[2], abs=0.1)
    assert plan.noted == "" or re.search(plan.noted, "\n".join(reading.notes)), reading.notes
    assert len(reading.edges) == (2 if plan.edges else 0)
    for edge in reading.edges:
        sign = 1.0 if edge.side == "S" else -1.0
        # Every corner to be found lies on the edge as read, whose corners run from forward to aft.
        corners = [(x, sign * y) for x, y, _ in edge.points]
        assert corners == sorted(corners)
        for x, y in some(plan.edges):
            assert min(math.dist((x, y), corner) for corner in corners) < 0.1, (edge.side, x, y)


@pytest.mark.parametrize(("name", "on_it"), [
    ("splines", lambda x, y: y - x / 6.0),
    ("arcs", lambda x, y: math.hypot(9000.0 - x, y) - 9000.0),
    ("polyline of arcs", lambda x, y: math.hypot(9000.0 - x, y) - 9000.0),
    ("ellipses", lambda x, y: (math.hypot((9000.0 - x) / 9000.0, y / 1500.0) - 1.0) * 1500.0),
])  # fmt: skip
def test_a_curve_is_read_within_a_tenth_of_a_millimetre(name, on_it):
    """Corners lie on the curve, and the middle of each chord within 0.1 mm of it."""
    (plan,) = (plan for plan in ODD_PLANS if plan.name == name)
    for edge in some(reading_of(plan).edges):
        corners = [(x, abs(y)) for x, y, _ in edge.points]
        assert all(abs(on_it(x, y)) < 1e-3 for x, y in some(corners))
        for (ax, ay), (bx, by) in some(pairwise(corners)):
            assert abs(on_it((ax + bx) / 2.0, (ay + by) / 2.0)) <= 0.11


@pytest.mark.parametrize("plan", [plan for plan in ODD_PLANS if plan.refused], ids=lambda plan: plan.name)
def test_an_odd_plan_is_refused_with_its_cause(plan):
    with pytest.raises(InputError, match=plan.refused):
        reading_of(plan)


def test_there_are_enough_of_them():
    assert len({plan.name for plan in ODD_PLANS}) == len(ODD_PLANS)
    assert sum(not plan.refused for plan in ODD_PLANS) >= READ
    assert sum(bool(plan.refused) for plan in ODD_PLANS) >= REFUSED
