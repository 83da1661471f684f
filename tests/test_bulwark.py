"""A post on a bulwark: the line's height is over the working deck, the opening under it over the bulwark."""

from __future__ import annotations

import json

import pytest
import yaml

from geom.boat.file import read_boat
from geom.refit import Refit, refit
from geom.rules.measures.heights import along_runs, lowest_openings, upper_lines
from tests.boats import BOATS, refit_of
from tests.some import some

BULWARK = 150.0


def on_bulwark() -> Refit:
    """Return FIRST TRY with every post, line and eye 150 mm higher, its feet on a bulwark of 150 mm."""
    data = yaml.load((BOATS / "first-try.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    for post in data["posts"]:
        post["foot"][2] = str(float(post["foot"][2]) + BULWARK)
        post["foot_above_deck"] = str(BULWARK)
    for eye in data["eyes"]:
        eye["at"][2] = str(float(eye["at"][2]) + BULWARK)
    return refit(read_boat(json.dumps(data).encode(), "bulwark"))


def test_heights_are_over_the_working_deck() -> None:
    """By hand: the deck lies where it lay, and each line 150 mm higher over it."""
    low, high = refit_of("first-try").placed, on_bulwark().placed
    before = {measure.place: measure.value for measure in upper_lines(low)}
    for measure in some(upper_lines(high)):
        assert measure.value == pytest.approx(before[measure.place] + BULWARK)
    for name, height in some(high.hole_heights.items()):
        assert height.above_foot == pytest.approx(low.hole_heights[name].above_foot)
        assert height.above_deck == pytest.approx(height.above_foot + BULWARK)


def test_the_opening_under_the_line_is_over_the_bulwark() -> None:
    low, high = refit_of("first-try").placed, on_bulwark().placed
    for side in "SP":
        openings = {measure.place: measure.value for measure in lowest_openings(high, side) if measure.post}
        for name, value in some(openings.items()):
            assert value == pytest.approx(low.hole_heights[name.removesuffix("-deck")].above_foot)
    level = next(iter(high.runs.values())).level
    assert list(along_runs(high, "S", level, min, next(upper_lines(high)).quantity))
    assert not list(along_runs(high, "S", level, max, next(upper_lines(high)).quantity))


def test_a_foot_on_the_deck_is_as_before() -> None:
    for height in some(refit_of("saltwhin-31").placed.hole_heights.values()):
        assert height.above_deck == height.above_foot
