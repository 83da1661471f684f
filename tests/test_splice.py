"""One splice on the bench: marks, taper, thickness, take-up; what no splice can have."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom.boat.model import LineEnd, TakeUp, Thimble
from geom.errors import GeometryError, InputError, OutsideTableError
from geom.placement.eyes import thimble_goes_in
from geom.rigging.splice import splice_recipe, take_up_of
from geom.tables import cells
from geom.tables.splices import splice
from geom.units import LengthFormat
from geom.words import worded

ROPES = st.floats(2.0, 16.0)
GIRTHS = st.floats(205.0, 600.0)


def test_taper_counts_in_the_bury():
    found = splice_recipe(5.0, 12, 75.0)
    assert found.bury == 360.0
    assert found.taper_length == pytest.approx(11 * 15.0)
    assert found.full_section == pytest.approx(360.0 - 165.0)


def test_the_exit_mark_is_by_the_whole_tail():
    """7/6 of the bury and what the lock takes, not of the bury alone."""
    assert splice_recipe(6.0, 12, 75.0).exit_mark == pytest.approx(76 * 6.0 * 7 / 6)
    assert splice_recipe(6.0, 12, 75.0, lock="one-ended").exit_mark == pytest.approx(72 * 6.0 * 7 / 6)
    assert splice_recipe(6.0, 12, 75.0).slack_in_place == pytest.approx(76.0)


def test_a_splice_names_the_source_of_each_of_its_rules():
    """A bury without a lock has no lock allowance to name."""
    named = {"bury", "taper", "exit mark"}
    assert {one["what"] for one in splice_recipe(6.0, 12, 75.0, lock="stitched bury").sources} == named
    assert {one["what"] for one in splice_recipe(6.0, 12, 75.0).sources} == named | {"lock allowance"}


def test_the_girth_comes_from_the_fitting_alone():
    small, large = splice_recipe(5.0, 12, 75.0), splice_recipe(5.0, 12, 120.0)
    assert large.eye_mark - small.eye_mark == pytest.approx(45.0)
    assert large.tail_mark == small.tail_mark
    assert large.exit_mark == small.exit_mark


def test_thickness_falls_from_root_two_to_one():
    found = splice_recipe(6.0, 12, 80.0).thickness
    assert (found[1].from_throat, found[1].diameter) == pytest.approx((6.0, math.sqrt(2.0) * 6.0))
    assert found[-1].diameter == 6.0
    assert [t.from_throat for t in found] == sorted(t.from_throat for t in found)
    assert all(a.diameter >= b.diameter for a, b in pairwise(found))


def test_one_strand_reaches_the_tails_end():
    """Two ropes in one, of which the inner has one strand of twelve: sqrt(13/12) d."""
    found = splice_recipe(6.0, 12, 80.0)
    assert found.thickness[-2].diameter == pytest.approx(6.0 * math.sqrt(13 / 12))
    assert found.taper_marks[0].strands_left == 1


def test_every_splice_is_stitched_1_d_from_the_throat_over_6_d_and_a_straight_bury_has_no_tuck():
    """Common practice, no source: 3 to 6 passes over 4 to 6 d, the first 1 d from the throat."""
    found = splice_recipe(5.0, 12, 75.0, lock="stitched bury")
    assert found.stitching == (5.0, 35.0)
    assert found.second_tuck is None
    assert found.lock_allowance == 0.0
    assert "lock.straight_bury_slips" in {one.code for one in found.warnings}
    assert splice_recipe(5.0, 12, 75.0).stitching == (5.0, 35.0)


@pytest.mark.parametrize(("rule", "warned"), [("2 1/2 fids", True), ("3 fids", False), ("72 d", False)])
def test_a_bury_under_63_d_is_warned_of(rule, warned):
    found = splice_recipe(5.0, 12, 75.0, rule=rule)
    assert any("shorter than 63 d" in worded(one) for one in found.warnings) is warned


def test_trial_bury_goes_before_the_factor():
    trial = TakeUp(each=30.0, source="trial", spread=4.0)
    measured = take_up_of(360.0, trial)
    assert (measured.expected, measured.minimum, measured.maximum, measured.measured) == (30.0, 26.0, 34.0, True)
    guessed = take_up_of(360.0, None)
    assert (guessed.expected, guessed.minimum, guessed.maximum, guessed.measured) == (36.0, 18.0, 72.0, False)


def test_trial_of_another_bury_is_scaled():
    trial = TakeUp(each=30.0, source="trial", bury=300.0)
    assert take_up_of(360.0, trial).expected == pytest.approx(36.0)


@pytest.mark.parametrize(
    ("girth", "thimble", "goes_in"),
    [
        (75.0, Thimble(girth=75.0, pattern="open"), True),
        (74.0, Thimble(girth=75.0, pattern="open"), False),
        (90.0, Thimble(girth=75.0, pattern="closed"), False),
        (None, Thimble(girth=75.0, pattern="open"), None),
        (75.0, None, None),
    ],
)
def test_thimble_into_a_finished_eye(girth, thimble, goes_in):
    assert thimble_goes_in(LineEnd(family="bare eye", eye_girth=girth, thimble=thimble))[0] is goes_in


def test_the_second_tuck_of_a_one_ended_lock_comes_off_the_tail():
    """5 mm rope, 72 d: 360 of tail, the second tuck 7.5 on, so 352.5 or 70.5 d at most are left to bury."""
    found = splice_recipe(5.0, 12, 75.0, lock="one-ended")
    assert (found.tail_mark, found.buried) == (360.0, 352.5)
    assert any(worded(one).startswith("72 d tail, about 70 d bury") for one in found.warnings)
    locked = splice_recipe(5.0, 12, 75.0)
    assert locked.buried == locked.bury == 360.0
    assert not any("about 70 d" in worded(one) for one in locked.warnings)
    assert splice_recipe(5.0, 12, 75.0, lock="stitched bury").buried == 360.0


def test_the_exit_is_not_where_the_tail_ends():
    """Were it so, a tail of 380 laid out to 443.3 would take 63.3 of the standing part; the take-up is 36."""
    notes = {row[0]: row[4] for row in cells(splice(splice_recipe(5.0, 12, 75.0)), LengthFormat())}
    assert notes["exit"] == "where the fid comes out; the end of the tail stays inside, short of it"


@pytest.mark.parametrize(
    ("rope", "girth", "pin", "least"),
    [(6.0, 30.0, 12.0, 56.5), (6.0, 56.0, 12.0, 56.5), (6.35, 10.0, None, 39.9), (5.0, 31.0, None, 31.4)],
)
def test_an_eye_that_does_not_go_round_its_pin(rope, girth, pin, least):
    """Rope's centre line once round: pi (12 + 6) = 56.5; with no pin stated one of a rope diameter, 2 pi d."""
    with pytest.raises(InputError, match=f"does not go round.*at least {least} mm"):
        splice_recipe(rope, 12, girth, pin=pin)
    assert splice_recipe(rope, 12, least + 0.1, pin=pin).girth == least + 0.1


@pytest.mark.parametrize(("strands", "warned"), [(8, False), (12, False), (16, True), (24, True)])
def test_a_taper_that_leaves_a_short_full_section_is_warned_of(strands, warned):
    """3 d a strand: of 72 d a taper of 11, 15 or 23 cuts leaves 39, 27 or 3 d; half is 36 d."""
    found = splice_recipe(5.0, strands, 75.0)
    codes = [one.code for one in found.warnings]
    assert ("bury.full_section_short" in codes) is warned
    assert found.full_section == pytest.approx((72 - 3 * (strands - 1)) * 5.0)


@pytest.mark.parametrize("strands", [11, 2, 4, 6, 12.5])
def test_a_braid_that_cannot_be(strands):
    with pytest.raises(InputError, match="hollow braid"):
        splice_recipe(5.0, strands, 75.0)


@pytest.mark.parametrize("diameter", [0.0, -5.0, math.nan])
def test_a_rope_that_cannot_be(diameter):
    with pytest.raises(InputError, match="rope diameter"):
        splice_recipe(diameter, 12, 75.0)


def test_an_eye_longer_than_its_rope():
    with pytest.raises(InputError, match="there and back"):
        splice_recipe(5.0, 12, 75.0, throat_to_pin=40.0)


def test_a_taper_longer_than_the_bury():
    with pytest.raises(GeometryError, match="taper"):
        splice_recipe(5.0, 24, 75.0, rule="3 fids")


def test_a_rule_that_is_no_rule():
    with pytest.raises(OutsideTableError):
        splice_recipe(5.0, 12, 75.0, rule="50 d")  # type: ignore[arg-type]


def test_rows_hold_every_mark_in_both_units():
    marks = {row[0]: row for row in cells(splice(splice_recipe(6.35, 12, 76.2)), LengthFormat())}
    assert marks["tail"][2:4] == ("482.6", "19")
    assert marks["eye"][2:4] == ("558.8", "22")
    assert marks["second tuck"][3] == "3/8"
    assert marks["taper cut 11"][3] == "8 1/4"


@given(ROPES, GIRTHS)
def test_twice_the_rope_twice_the_marks(rope, girth):
    one, two = splice_recipe(rope, 12, girth), splice_recipe(2.0 * rope, 12, girth)
    assert two.tail_mark == pytest.approx(2.0 * one.tail_mark)
    assert two.exit_mark == pytest.approx(2.0 * one.exit_mark)
    assert two.eye_mark - two.tail_mark == pytest.approx(one.eye_mark - one.tail_mark)


@given(ROPES, GIRTHS)
def test_marks_stand_in_their_order(rope, girth):
    found = splice_recipe(rope, 12, girth)
    marks = [mark.from_end for mark in found.taper_marks]
    assert marks == sorted(marks)
    assert marks[-1] < found.bury < found.tail_mark < found.eye_mark
    assert found.exit_mark > found.tail_mark
    assert found.take_up.minimum <= found.take_up.expected <= found.take_up.maximum
