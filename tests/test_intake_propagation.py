"""Survey uncertainty in what follows from it: linear propagation against random draws."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from geom.intake.survey.propagation import (
    UncertainValue,
    boat_inputs,
    boat_with,
    by_random_draws,
    coverage,
    customary_covariance,
    path_of,
    propagate,
    surveyed_height,
    surveyed_path,
)
from geom.intake.survey.solve import solve_survey
from geom.placement.place import place_post, place_run
from tests.survey_boats import boat, survey_of


def test_a_value_is_written_with_its_expanded_uncertainty():
    """U = k u with k = 2: JCGM 100:2008, 6.2 (from memory)."""
    assert UncertainValue(601.0, 2.5).words("mm") == "601 +- 5 mm"
    assert coverage() == 2.0


def test_independent_lengths_add_in_squares():
    """Two lengths of u 3 and 4 give a sum of u 5; propagation law, JCGM 100:2008 clause 5.1."""
    total = propagate(sum, [100.0, 200.0], np.diag([9.0, 16.0]), [1.0, 1.0])
    assert total.value == 300.0
    assert total.sd == pytest.approx(5.0)
    # Wholly correlated they add plainly, clause 5.2.2 note.
    assert propagate(sum, [1.0, 2.0], np.array([[9.0, 12.0], [12.0, 16.0]]), [1.0, 1.0]).sd == pytest.approx(7.0)


def test_paths_and_heights_of_a_survey_against_random_draws():
    result = solve_survey(survey_of(boat(), random.Random(2)))
    names = ["S-PULPIT-U", "S-S1-U", "S-S2-U", "S-S3-U"]
    path = surveyed_path(result, names)
    values = [value for name in names for value in result.point(name).at]
    drawn = by_random_draws(path_of, values, result.covariance(names), 20_000, seed=7)
    # The standard deviation of a standard deviation from n draws is about sd / sqrt(2 n): 0.5 percent here.
    assert path.sd == pytest.approx(drawn.sd, rel=0.03)
    assert path.value == pytest.approx(drawn.value, abs=0.1)
    height = surveyed_height(result, "S-S2-FOOT", "S-S2-U")
    covariance = result.covariance(["S-S2-FOOT", "S-S2-U"])
    variance = covariance[2, 2] + covariance[5, 5] - 2.0 * covariance[2, 5]
    assert height.sd == pytest.approx(math.sqrt(variance))
    # Foot and hole go up and down together: their difference is better known than either.
    assert height.sd < result.point("S-S2-U").sd[2]


def test_a_boat_without_its_survey_against_random_draws():
    """Customary bounds carried into a run's path and a height by the program's own placement."""
    of = boat()
    inputs = boat_inputs(of)
    assert boat_with(of, inputs.values) == of
    covariance = customary_covariance(inputs)
    # A bound of 5 mm, evenly likely inside: 5 / sqrt 3 = 2.887; 0.3 deg is 5.236 mrad.
    assert math.sqrt(covariance[0, 0]) == pytest.approx(2.887, abs=0.001)
    assert math.sqrt(covariance[3, 3]) == pytest.approx(0.005236 / math.sqrt(3.0), rel=1e-3)

    def path(values):
        moved = boat_with(of, values)
        posts = {post.id: place_post(moved, post) for post in moved.posts}
        return place_run(moved, posts, moved.runs[0]).path

    def height(values):
        moved = boat_with(of, values)
        post = place_post(moved, moved.post("S-S2"))
        return post.hole("U").centre[2] - post.foot[2]

    for quantity in (path, height):
        linear = propagate(quantity, inputs.values, covariance, inputs.steps)
        drawn = by_random_draws(quantity, inputs.values, covariance, 3000, seed=1)
        assert linear.sd == pytest.approx(drawn.sd, rel=0.06)
        assert linear.value == pytest.approx(drawn.value, abs=4.0 * linear.sd / math.sqrt(3000) + 0.3)
    assert propagate(height, inputs.values, covariance, inputs.steps).value == pytest.approx(595.4, abs=0.05)
