"""Eye verdicts: common practice, no source; the limits and their edges, and what they mean for a run."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom.boat.model import LineEnd
from geom.data import table
from geom.placement.eyes import ORDER, bare_eye, by_width, end_through, limits
from tests.boats import by_id, expected, refit_of, report_of
from tests.some import some

INCH = 25.4
RULE = limits(None)


@pytest.mark.parametrize(
    ("hole", "verdict"),
    [
        (1 / 2, "squeeze"),  # common practice, no source: 1/4 in eye through 1/2 in, squeezed hard
        (15 / 32, "trial"),  # common practice, no source: under 1/2 in it is spliced in place
        (3 / 8, "trial"),
        (11 / 32, "in place"),
        (3 / 16, "line does not pass"),
        (9 / 16, "passes"),
    ],
)
def test_quarter_inch_rope(hole, verdict):
    assert bare_eye(hole * INCH, 0.25 * INCH, RULE).verdict == verdict


@pytest.mark.parametrize(
    ("bore", "verdict"),
    [(11.0, "passes"), (10.96, "passes"), (10.94, "squeeze"), (10.0, "squeeze"), (9.96, "squeeze"), (9.94, "trial"),
     (7.25, "trial"), (7.19, "in place"), (5.0, "in place"), (4.96, "in place"), (4.94, "line does not pass")],
)  # fmt: skip
def test_edges_carry_the_tolerance(bore, verdict):
    assert bare_eye(bore, 5.0, RULE).verdict == verdict


def test_saltwhin_holes():
    holes = by_id(report_of("saltwhin-31")["holes"])
    small = expected("saltwhin-31")["bare_eye_does_not_pass"]
    for hole in holes.values():
        if hole["eye"] is not None:
            assert hole["eye"]["verdict"] == ("trial" if hole["id"] in small else "passes")
    assert holes["S-S2-U"]["eye"]["needs_mm"] == 10.0
    assert holes["S-S2-U"]["eye"]["has_mm"] == 9.5


def test_saltwhin_ends_made_in_place():
    runs = by_id(report_of("saltwhin-31")["runs"])
    assert runs["S-F-U"]["made_on_board"] == runs["S-F-L"]["made_on_board"] == "start"
    assert all(runs[run]["made_on_board"] is None for run in runs if run not in ("S-F-U", "S-F-L"))


def test_a_thimbled_eye_passes_no_hole_of_saltwhin():
    """The thimble for 5 mm rope is 23 mm over all (generic 316 data sheet row)."""
    end = LineEnd(family="thimbled eye", width=23.0)
    for _, hole in some(refit_of("saltwhin-31").placed.holes()):
        assert end_through(hole.bore, 5.0, end, RULE).verdict == "in place"


def test_the_compression_terminal_passes_no_hole_of_pipwing():
    runs, holes = report_of("pipwing-25")["runs"], report_of("pipwing-25")["holes"]
    assert {hole["eye"]["verdict"] for hole in holes} == {"in place"}
    assert all(run["made_on_board"] is not None for run in runs)


def test_a_hard_end_is_never_squeezed():
    assert by_width(12.0, 5.0, 12.1, RULE).verdict == "in place"
    assert by_width(12.1, 5.0, 12.1, RULE).verdict == "passes"


def test_a_hard_end_without_its_width_cannot_be_told():
    assert end_through(12.7, 5.0, LineEnd(family="swaged stud"), RULE).verdict == "cannot tell"


@pytest.mark.parametrize("family", [row["family"] for row in table.rows("end_families")])
def test_every_family_of_end_is_judged(family):
    verdict = end_through(12.7, 5.0, LineEnd(family=family, width=9.0), RULE)
    assert verdict.verdict in ORDER
    assert verdict.source


@given(st.floats(1, 12), st.floats(2, 40), st.floats(0, 10))
def test_a_wider_hole_never_turns_a_pass_into_a_refusal(line, bore, more):
    rank = {verdict: ORDER.index(verdict) for verdict in ORDER}
    assert rank[bare_eye(bore + more, line, RULE).verdict] <= rank[bare_eye(bore, line, RULE).verdict]


def test_a_recorded_trial_lets_the_eye_be_made_on_the_bench():
    from geom.boat.model import Boat, Trial
    from geom.refit import place

    data = refit_of("saltwhin-31").boat.model_dump()
    data["trials"] = [
        Trial(hole="S-S2-U", date="2026-03-02", by="yard").model_dump(),
    ]
    placed = place(Boat.model_validate(data))
    assert placed.eyes["S-F-U"].in_place is None
    assert placed.eyes["S-F-L"].in_place == "start"
