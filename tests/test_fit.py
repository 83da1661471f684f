"""Buries against each other and against holes; alternatives where they do not fit."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geom.boat.model import Adjust
from geom.open_items import open_items
from geom.refit import refit
from geom.words import worded
from tests.boats import refit_of
from tests.line_boats import boat_of, codes, with_end, with_fitting, with_line, work_of, worked

GATES = ("S-G-U", "S-G-L", "P-G-U", "P-G-L")


@pytest.mark.parametrize(("run", "finished"), [("S-G-U", 575.5), ("S-G-L", 575.5), ("P-G-U", 587.3), ("P-G-L", 587.7)])
def test_every_gate_is_refused_for_rope_spliced_at_both_ends(run, finished):
    found = work_of("saltwhin-31").runs[run]
    assert not found.fit.fits
    assert found.fit.needs == 800.0
    assert found.fit.finished == pytest.approx(finished, abs=0.05)
    assert found.cut is None
    assert "800 mm" in worded(found.refused)


@pytest.mark.parametrize("run", GATES)
def test_what_fits_instead_is_listed_and_nothing_approved(run):
    found = work_of("saltwhin-31").runs[run].alternatives
    assert [worded(other.what).split(" with")[0].split(" sewn")[0] for other in found] == [
        "wire", "webbing", "one line", "a thinner rope"
    ]  # fmt: skip
    assert all(other.to_check for other in found)
    assert not any(word in worded((other.what, other.figures)) for other in found for word in ("approved", "accepted"))


def test_the_thinner_rope_is_the_thickest_that_fits():
    """(575.45 - 2 x 25 - 30) / 144 d = 3.44 mm."""
    thinner = work_of("saltwhin-31").runs["S-G-U"].alternatives[-1]
    # 495.45 mm for two buries of 72 d: 3.44 mm, rounded down as printed.
    assert thinner.diameter == pytest.approx(math.floor((575.4512 - 80.0) / 144.0 * 10.0) / 10.0)
    boat = with_line(boat_of("saltwhin-31"), "guard rope", diameter=thinner.diameter, take_up=None)
    assert worked(boat).runs["S-G-U"].fit.fits
    thicker = with_line(boat_of("saltwhin-31"), "guard rope", diameter=thinner.diameter + 0.1, take_up=None)
    assert not worked(thicker).runs["S-G-U"].fit.fits


@pytest.mark.parametrize(
    ("run", "kind", "needs"),
    [("S-F-U", "cannot tell", 2 * 360.0 + 30.0 + 25.0), ("S-G-U", "refused", 2 * 360.0 + 30.0)],
)
def test_an_eye_without_its_throat_is_not_taken_as_none(run, kind, needs):
    """The buries alone need 750 mm and the eyes stated; a line short of that is short whatever the eye measures."""
    boat = with_end(boat_of("saltwhin-31"), "eye end", throat_to_pin=None)
    found = worked(boat).runs[run]
    assert found.fit.needs == pytest.approx(needs) and not found.fit.fits
    assert "buries" in {remark.code for remark in found.remarks if remark.kind == kind}
    assert all(term.value != 0.0 for term in found.lengths.terms)
    assert found.headline is None and found.eye_to_eye is None and not found.marks


def test_a_missing_throat_is_an_item_to_state():
    boat = with_end(boat_of("saltwhin-31"), "eye end", throat_to_pin=None)
    items = open_items(refit(replace(refit_of("saltwhin-31").loaded, boat=boat)))
    item = next(one for one in items if one.name == "fact.cut")
    assert item.kind == "state" and "throat_to_pin" in worded(item.cause)


def test_the_continuous_line_runs_from_pulpit_to_hook():
    """Path of S-F-U with the hole of S3 in it, 4767.7, and 720.5 less 20 to the gate eye, less gap 60 and hook 105."""
    other = work_of("saltwhin-31").runs["S-G-U"].alternatives[2]
    assert other.finished == pytest.approx(4747.7 + 20.0 + 700.5 - 165.0, abs=0.2)
    # An inch, as the table of open gates has it.
    assert "stop 25.4 mm clear" in worded(other.figures)


@pytest.mark.parametrize("run", ["S-A-U", "S-A-L"])
def test_aft_runs_bury_ends_lie_apart(run):
    """1638.8 - 2 x 385 = 868.8."""
    found = work_of("saltwhin-31").runs[run].fit
    assert found.fits
    assert found.apart == pytest.approx(869.0 if run == "S-A-U" else 869.7, abs=0.5)


def test_the_gate_ends_bury_ends_385_mm_from_the_pin():
    found = work_of("saltwhin-31").runs["S-F-U"].fit
    assert found.finished - found.buries[1].bury_end == pytest.approx(385.0)
    assert found.near == ()


def test_no_bury_is_shortened_to_fit():
    found = work_of("saltwhin-31").runs["S-G-U"]
    assert all(recipe.bury == 360.0 for recipe in found.splices.values())


def stations_moved(gap, maximum=None, minimum=None):
    """SALTWHIN's forward lashing gap set so that S1's hole comes nearer to the forward bury's end."""
    return worked(with_fitting(boat_of("saltwhin-31"), "lashing", length=Adjust(min=minimum, planned=gap, max=maximum)))


@pytest.mark.parametrize(("gap", "near", "inside"), [(900.0, False, False), (960.0, True, False), (1040.0, True, True)])
def test_a_bury_that_ends_near_a_hole_is_flagged(gap, near, inside):
    """The hole of S1 is 1422.5 from the pulpit: its station is that less the gap; the bury ends at 385."""
    found = stations_moved(gap, maximum=gap).runs["S-F-U"].fit
    assert bool(found.near) is near
    assert any(place.inside for place in found.near) is inside
    if near:
        assert found.near[0].clear == pytest.approx(1422.525 - gap - 385.0, abs=0.1)


def test_the_working_travel_counts():
    """137 mm clear at rest; 40 mm of travel aft leave 97, less than 100."""
    assert stations_moved(900.0, maximum=900.0).runs["S-F-U"].fit.near == ()
    moved = stations_moved(900.0, maximum=940.0).runs["S-F-U"].fit
    assert moved.near[0].clear == pytest.approx(97.5, abs=0.1)
    assert "bury-hole" in codes(stations_moved(900.0, maximum=940.0), "S-F-U", "notice")


def test_each_end_travels_its_own_way():
    """A lashing gap that grows by 40 moves the forward bury aft and the after bury forward; it closes by 30."""
    work = stations_moved(60.0, maximum=100.0, minimum=30.0)
    forward, after = work.runs["S-F-U"].fit.buries[0], work.runs["S-A-U"].fit.buries[1]
    assert (forward.forward, forward.aft) == (30.0, 40.0)
    assert (after.forward, after.aft) == (40.0, 30.0)


def test_bury_longer_than_the_run_is_refused():
    work = worked(with_line(boat_of("saltwhin-31"), "guard rope", splice_rule="100 d", diameter=16.0, take_up=None))
    found = work.runs["S-A-U"].fit
    assert found.needs == pytest.approx(2 * 1600.0 + 80.0) and found.needs > found.finished
    assert "buries" in codes(work, "S-A-U", "refused")
    assert work.runs["S-A-U"].cut is None


def test_wire_needs_no_bury():
    found = work_of("pipwing-25").runs["S-F-U"].fit
    assert found.fits and found.needs == 0.0 and found.apart is None and found.buries == ()


def test_stations_count_from_one_zero():
    marks = work_of("saltwhin-31").runs["S-F-U"].stations
    assert marks[0].at == 0.0 and marks[0].what == "bears"
    assert marks[-1].at == pytest.approx(4687.7, abs=0.05)
    assert [mark.at for mark in marks] == sorted(mark.at for mark in marks)
    holes = [mark.at for mark in marks if mark.what == "hole"]
    assert holes == pytest.approx([1422.5 - 60.0, 1422.5 + 1734.7 - 60.0], abs=0.1)


@settings(deadline=None, max_examples=15)
@given(st.floats(3.0, 9.0), st.floats(0.1, 3.0))
def test_a_thicker_rope_never_fits_where_a_thinner_one_does_not(rope, more):
    def fits(diameter):
        boat = with_line(boat_of("saltwhin-31"), "guard rope", diameter=diameter, take_up=None)
        return [run.fit.fits for run in worked(boat).runs.values()]

    assert all(thin or not thick for thin, thick in zip(fits(rope), fits(rope + more), strict=True))
