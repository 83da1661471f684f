"""Clear diameters and free angles; those measured by the solid kernel are in test_solids_clearance."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom.errors import GeometryError
from geom.placement.holes import (
    clear_across,
    clear_along,
    clear_bush,
    clear_diameter,
    free_angle_across,
    free_angle_in_bush,
)

UP, AFT = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)


def _along(angle):
    return (math.cos(math.radians(angle)), 0.0, math.sin(math.radians(angle)))


def _across(angle):
    return (math.cos(math.radians(angle)), math.sin(math.radians(angle)), 0.0)


# Measured with a solid kernel's distance and boolean operations, to four decimals, before this was written.
ALONG = [(25, 8, 5, 5.791), (25, 8, 10, 3.537), (25, 8, 15, 1.257), (25, 14, 5, 11.768), (25, 14, 15, 7.052),
         (25, 20, 20, 10.243), (30, 10, 10, 4.639)]  # fmt: skip
ACROSS = [(25, 8, 5, 5.905), (25, 8, 10, 3.766), (25, 8, 15, 1.597), (25, 14, 5, 12.142), (25, 14, 15, 8.162),
          (25, 20, 20, 13.664)]  # fmt: skip
BUSH = [(2, 5.6086), (5, 4.2554), (8, 2.8862), (10, 1.9663)]


@pytest.mark.parametrize(("tube", "hole", "angle", "clear"), ALONG)
def test_tilt_along_the_tube(tube, hole, angle, clear):
    assert clear_along(tube, hole, math.radians(angle)) == pytest.approx(clear, abs=6e-4)
    assert clear_diameter(tube, hole, UP, AFT, _along(angle)) == pytest.approx(clear, abs=6e-4)


@pytest.mark.parametrize(("tube", "hole", "angle", "clear"), ACROSS)
def test_turn_across_the_tube(tube, hole, angle, clear):
    assert clear_across(tube, hole, math.radians(angle)) == pytest.approx(clear, abs=6e-4)
    assert clear_diameter(tube, hole, UP, AFT, _across(angle)) == pytest.approx(clear, abs=6e-4)


@pytest.mark.parametrize(("angle", "clear"), BUSH)
def test_bush(angle, clear):
    assert clear_bush(6.5, 27.0, 0.8, math.radians(angle)) == pytest.approx(clear, abs=6e-5)


@pytest.mark.parametrize(("angle", "clear"), BUSH)
def test_the_free_angle_in_a_bush_is_where_the_line_is_as_thick_as_its_clear_diameter(angle, clear):
    """The same four measurements, read the other way: 6e-5 mm are 0.01 deg at most."""
    assert math.degrees(free_angle_in_bush(6.5, 27.0, 0.8, clear)) == pytest.approx(angle, abs=0.01)


def test_the_sign_is_kept_where_the_axis_leaves_the_exit():
    assert clear_diameter(25, 8, UP, AFT, _across(40)) < 0.0
    assert clear_diameter(25, 8, UP, AFT, _across(40)) == pytest.approx(clear_across(25, 8, math.radians(40)), abs=1e-6)


def test_one_wall_at_a_time_overstates():
    """T 25, wall 2, d 20, 15 deg: the single-wall figure is 18.80, the true one 18.54 or less."""
    angle = math.radians(15)
    single = 20 * math.cos(angle) - 2 * math.sin(angle)
    assert single == pytest.approx(18.80, abs=0.005)
    assert clear_diameter(25, 20, UP, AFT, _along(15)) < single


@given(st.floats(12, 60), st.floats(0.2, 0.95), st.floats(0, 40), st.floats(0, math.pi))
def test_any_direction_lies_between_along_and_across(tube, share, angle, heading):
    hole, theta = tube * share, math.radians(angle)
    line = (math.cos(theta), math.sin(theta) * math.cos(heading), math.sin(theta) * math.sin(heading))
    clear = clear_diameter(tube, hole, UP, AFT, line)
    assert clear_along(tube, hole, theta) - 1e-6 <= clear <= clear_across(tube, hole, theta) + 1e-6


@given(st.floats(12, 60), st.floats(0.2, 0.9), st.floats(0.1, 0.99))
def test_at_the_free_angle_the_line_just_clears(tube, share, part):
    hole = tube * share
    line = hole * part
    angle = free_angle_across(tube, hole, line)
    assert clear_across(tube, hole, angle) == pytest.approx(line, abs=1e-9)


@given(st.floats(4.0, 20.0), st.floats(5.0, 60.0), st.floats(0.0, 0.5), st.floats(0.1, 0.99))
def test_at_the_free_angle_the_line_just_clears_a_bush(bore, length, rounded, part):
    """Up to a bush that is all rounding."""
    angle = free_angle_in_bush(bore, length, rounded * length, bore * part)
    assert clear_bush(bore, length, rounded * length, angle) == pytest.approx(bore * part, abs=1e-9)


def test_a_line_thicker_than_the_hole_does_not_enter():
    assert free_angle_across(25, 8, 8.1) is None


@pytest.mark.parametrize("hole", [25, 26, 0, -3])
def test_a_hole_that_is_not_in_its_tube_is_refused(hole):
    with pytest.raises(GeometryError):
        clear_diameter(25, hole, UP, AFT, AFT)
