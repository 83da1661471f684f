"""Common practice for 1/4 in 12-strand rope (no source): the general recipe meets it, in inches."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geom.boat.model import Adjust
from geom.rigging.splice import splice_recipe
from tests.line_boats import boat_of, with_end, with_fitting, with_line, worked

IN = 25.4
QUARTER = 0.25 * IN
GIRTH = 3.0 * IN


def test_hook_splice_of_quarter_inch_rope():
    """Marks 19 and 22 in, second tuck 3/8 in, exit 22 in, 11 single strands every 3/4 in on alternate sides."""
    hook = splice_recipe(QUARTER, 12, GIRTH)
    assert hook.tail_mark / IN == pytest.approx(19.0, abs=1.0)
    assert hook.eye_mark / IN == pytest.approx(22.0, abs=1.0)
    assert hook.second_tuck / IN == pytest.approx(0.375, abs=1 / 16)
    assert hook.exit_mark / IN == pytest.approx(22.0, abs=1.0)
    assert len(hook.taper_marks) == 11
    steps = [b.from_end - a.from_end for a, b in pairwise(hook.taper_marks)]
    assert [step / IN for step in steps] == pytest.approx([0.75] * 10, abs=1 / 8)
    assert [mark.side for mark in hook.taper_marks[:4]] == ["left", "right", "left", "right"]


def test_second_end_of_quarter_inch_rope():
    """Tail 18 in (72 d)."""
    assert splice_recipe(QUARTER, 12, GIRTH, lock="one-ended").tail_mark / IN == pytest.approx(18.0, abs=1.0)


def test_it_is_no_special_case():
    """Another diameter, strand count and girth scale as the general recipe says."""
    other = splice_recipe(8.0, 16, 120.0)
    assert other.tail_mark == pytest.approx(76 * 8.0)
    assert other.eye_mark - other.tail_mark == pytest.approx(120.0)
    assert len(other.taper_marks) == 15
    assert other.second_tuck == pytest.approx(12.0)


def quarter_inch_run(take_up_share):
    """SALTWHIN's forward run in 1/4 in rope: hook 4.1 in aft, lashing gap 2.4 in forward."""
    boat = with_line(boat_of("saltwhin-31"), "guard rope", diameter=QUARTER, take_up=None)
    if take_up_share is not None:
        trial = {"each": take_up_share * 72 * QUARTER, "source": "test"}
        boat = with_line(boat, "guard rope", take_up=type(boat_of("saltwhin-31").lines["guard rope"].take_up)(**trial))
    for end in ("eye end", "lashing end"):
        boat = with_end(boat, end, eye_girth=GIRTH, throat_to_pin=1.0 * IN, trim=None, thimble=None)
    boat = with_fitting(boat, "lashing", length=Adjust(planned=2.4 * IN, max=100.0))
    boat = with_fitting(boat, "gate hook", length=Adjust(planned=4.1 * IN))
    runs = tuple(
        run.model_copy(update={"finish": run.finish.model_copy(update={"fittings": ("gate hook",)})})
        if run.id == "P-F-U" else run for run in boat.runs
    )  # fmt: skip
    return worked(boat.model_copy(update={"runs": runs})).runs["P-F-U"].lengths


@settings(deadline=None, max_examples=25)
@given(st.floats(0.05, 0.20))
def test_order_length_of_a_line_spliced_at_both_ends(share):
    """Path + 4 ft at most, and not less than path + 2 ft 6 in, for a take-up of 5 to 20 %."""
    found = quarter_inch_run(share)
    assert 30.0 <= (found.cut - found.path) / IN <= 48.0


def test_order_length_with_the_unmeasured_range():
    found = quarter_inch_run(None)
    assert 30.0 <= (found.cut_min - found.path) / IN <= (found.cut_max - found.path) / IN <= 48.0
