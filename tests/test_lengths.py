"""Finished and cut lengths of the demonstration boats against their independent tables, and how lengths relate."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geom.boat.file import read_boat
from geom.boat.model import Adjust, BeddingIn, Stiffness
from geom.errors import InputError, OutsideTableError
from geom.mechanics.stretch import stiffness, stiffness_range
from geom.placement.stack import stack
from geom.rigging.lengths import Term
from geom.units import inch_fraction
from geom.words import worded
from tests.boats import expected, refit_of, without_tensions
from tests.line_boats import boat_of, codes, with_end, with_fitting, with_line, with_run, work_of, worked
from tests.some import some

SALT = [
    ("S-F-U", 4687.7, 5670), ("S-G-U", 575.5, None), ("S-A-U", 1638.8, 2620), ("S-F-L", 4684.1, 5670),
    ("S-G-L", 575.5, None), ("S-A-L", 1639.7, 2620), ("P-F-U", 4696.7, 5680), ("P-G-U", 587.3, None),
    ("P-A-U", 1627.9, 2610), ("P-F-L", 4691.5, 5680), ("P-G-L", 587.7, None), ("P-A-L", 1627.8, 2610),
]  # fmt: skip


@pytest.mark.parametrize(("run", "finished", "cut"), SALT)
def test_rope_lengths_of_saltwhin(run, finished, cut):
    found = work_of("saltwhin-31").runs[run]
    assert found.lengths.finished == pytest.approx(finished, abs=0.05)
    assert found.cut == cut


@pytest.mark.parametrize(("run", "finished", "cut"), SALT)
def test_rope_cut_is_finished_and_980(run, finished, cut):
    """Finished - 2 x 25 + 2 x 75 + 2 x 360 + 2 x 30 + 2 x 50: each term stands in the formula."""
    terms = work_of("saltwhin-31").runs[run].lengths.terms
    assert sum(term.value for term in terms[1:]) == pytest.approx(980.0)
    assert terms[0].value == pytest.approx(finished, abs=0.05)
    assert all(term.formula for term in terms)


@pytest.mark.parametrize(("run", "before", "after"), [("S-F-U", 4697.7, 4667.7), ("S-A-U", 1648.8, 1618.8)])
def test_from_the_made_eye_s_throat_its_take_up_is_used_up(run, before, after):
    """Finished less 2 x 25, plus 2 x 30 before any splice, plus 30 once the first eye is made."""
    found = work_of("saltwhin-31").runs[run]
    assert found.lengths.eye_to_eye == pytest.approx(before, abs=0.05)
    assert found.lengths.from_throat(found.making.first) == pytest.approx(after, abs=0.05)


def test_an_eye_deducts_nothing_that_is_not_stated():
    """Spliced eyes end at their bearing points; the terminals of PIPWING 25 deduct what its file states of them."""
    rope, wire = refit_of("saltwhin-31"), refit_of("pipwing-25")
    for run in some(rope.placed.runs.values()):
        assert stack(rope.boat, run).deductions == 0.0
    for run in some(wire.placed.runs.values()):
        stated = [wire.boat.ends[end.end].deduction for end in (run.spec.start, run.spec.finish)]
        assert None not in stated
        assert stack(wire.boat, run).deductions == pytest.approx(stated[0] + stated[1])


def test_the_take_up_of_the_end_made_first_is_the_one_left_out():
    """1000 - 25 - 40 + 20 + 50 = 1005 before; 985 with the forward eye made (20 used up), 955 with the after one."""
    ends = (("start", -25.0, 20.0), ("finish", -40.0, 50.0))
    terms = [Term("finished", "", 1000.0)]
    for where, pin, taken in ends:
        terms += [Term("throat to pin", "", pin, where), Term("bury", "", 300.0, where),
                  Term("take-up", "", taken, where)]  # fmt: skip
    stated = replace(work_of("saltwhin-31").runs["S-F-U"].lengths, marked=1000.0, terms=tuple(terms))
    assert stated.eye_to_eye == pytest.approx(1005.0)
    assert stated.from_throat("start") == pytest.approx(985.0)
    assert stated.from_throat("finish") == pytest.approx(955.0)
    alone = replace(stated, terms=tuple(term for term in terms if term.end != "finish"))
    assert alone.from_throat("start") is None, "no other eye to mark"
    assert work_of("pipwing-25").runs["S-F-U"].lengths.from_throat("start") is None


@pytest.mark.parametrize(("run", "inches"), [("S-F-U", "206 21/32"), ("P-F-U", "207 1/8")])
def test_wire_cuts_of_pipwing(run, inches):
    """Marked under the tension that the wire is set to, so that no stretch is taken off."""
    found = worked(with_run(boat_of("pipwing-25"), run, set_tension=300.0, marking_tension=300.0)).runs[run]
    assert inch_fraction(found.cut) == inches
    assert found.cut == pytest.approx(found.lengths.path - 13.5 * 25.4)


@pytest.mark.parametrize("run", ["S-F-U", "P-F-U"])
def test_adjusting_range_of_pipwing(run):
    found = work_of("pipwing-25").runs[run].budget
    assert found.shorten / 25.4 == pytest.approx(1.5)
    assert found.lengthen / 25.4 == pytest.approx(2.0)


def test_setting_card_of_pipwing():
    """Turnbuckle 5.0 closed, 6.0 planned: one inch open, half an inch of thread on each stud; hook half an inch."""
    turnbuckle, hook = work_of("pipwing-25").runs["S-F-U"].settings
    assert turnbuckle.beyond_closed / 25.4 == pytest.approx(1.0)
    assert turnbuckle.per_stud / 25.4 == pytest.approx(0.5)
    assert hook.per_stud / 25.4 == pytest.approx(0.5)
    assert hook.hand is None
    assert turnbuckle.showing is None, "thread at closed is not given, so none is made up"


def test_thread_showing_where_the_file_gives_it():
    boat = with_fitting(boat_of("pipwing-25"), "turnbuckle", min_thread_engagement=5.0)
    assert worked(boat).runs["S-F-U"].settings[0].showing == pytest.approx(5.0 + 12.7)


def test_finished_lengths_and_cuts_are_those_of_the_expected_table():
    """The table is worked apart from this program; where two buries do not fit, no cut is given."""
    for row in some(expected("saltwhin-31")["runs"]):
        found = work_of("saltwhin-31").runs[row["id"]]
        assert found.lengths.finished == pytest.approx(row["finished"], abs=0.1)
        assert (found.cut, found.cut is not None) == (row["rope_cut"], row["two_buries_fit"])


def wet(boat, **line):
    """SALTWHIN's S-A-U set at 400 N, with a stiffness of 500 kN; marked under 200 N by practice."""
    stated = Stiffness(ea=500e3, source="test")
    return with_run(with_line(boat, "guard rope", stiffness=stated, **line), "S-A-U", set_tension=400.0)


def test_elastic_stretch_is_taken_off_before_marking():
    found = worked(wet(boat_of("saltwhin-31"))).runs["S-A-U"].lengths
    assert found.marked * (1.0 + 200.0 / 500e3) == pytest.approx(found.finished)
    assert found.cut == 2620, "a rope is cut long all the same"


def test_marking_tension_counts_against_the_set_tension():
    boat = with_run(wet(boat_of("saltwhin-31")), "S-A-U", marking_tension=400.0)
    found = worked(boat).runs["S-A-U"].lengths
    assert found.marked == pytest.approx(found.finished)


def test_wire_is_cut_shorter_by_its_stretch():
    boat = with_run(boat_of("pipwing-25"), "S-F-U", set_tension=400.0)
    found = worked(boat).runs["S-F-U"]
    assert found.cut < work_of("pipwing-25").runs["S-F-U"].cut
    assert found.lengths.deduction.elastic == pytest.approx(2.34 / 2.0, abs=0.025)


def test_no_stretch_is_taken_off_where_no_stiffness_is_known():
    found = work_of("saltwhin-31").runs["S-A-U"]
    assert found.lengths.deduction.total == 0.0
    assert not found.lengths.deduction.determined


def test_a_set_tension_that_is_not_stated_is_one_notice_for_the_boat():
    """What depends on it is at the recommended one: wire is cut shorter by its stretch from marking to that."""
    for name in ("saltwhin-31", "pipwing-25"):
        worked_out = without_tensions(name)
        (notice,) = [one for one in worked_out.findings if one.clause == "set-tension"]
        assert (notice.verdict, notice.run) == ("notice", None)
        says = worded(notice.notes)
        for run, tensions in worked_out.work.tensions.items():
            assert f"{run} {tensions.set_tension:.0f} N" in says
    found = work_of("pipwing-25")
    tensions, lengths = found.tensions["S-F-U"], found.runs["S-F-U"].lengths
    ea, _ = stiffness(boat_of("pipwing-25").lines["guard wire"])
    share = (tensions.set_tension - 200.0) / ea
    assert lengths.deduction.elastic == pytest.approx(lengths.finished * share / (1.0 + share))
    assert lengths.cut == pytest.approx(lengths.finished - 2 * 1.5 * 25.4 - lengths.deduction.elastic)


def test_what_a_steady_pull_does_to_the_length():
    """Rope of 5 mm and 20 kN, EA 30 times the break at the least: 100 N is 0.8 mm on 4.7 m."""
    line = boat_of("saltwhin-31").lines["guard rope"]
    change = work_of("saltwhin-31").runs["S-F-U"].lengths.deduction.by_marking
    finished = work_of("saltwhin-31").runs["S-F-U"].lengths.finished
    assert change == pytest.approx(finished * 100.0 / stiffness_range(line).minimum)
    assert change < 2.0
    assert not codes(work_of("saltwhin-31"), "S-F-U", "notice") & {"marking"}
    soft = with_line(boat_of("saltwhin-31"), "guard rope", stiffness=Stiffness(ea=100e3, source="test"))
    assert "marking" in codes(worked(soft), "S-F-U", "notice"), "4.7 mm each way: more than the tape's 2 mm"
    told = with_run(soft, "S-F-U", marking_tension=150.0)
    assert "marking" not in codes(worked(told), "S-F-U", "notice")


@pytest.mark.parametrize(("percent", "kind"), [(1.0, "agreed"), (4.0, "refused")])
def test_a_deduction_that_the_gap_cannot_hold_is_refused(percent, kind):
    """1639 mm x 1 % = 16 mm of the 40 mm to the gap's limit; 4 % = 63 mm."""
    stated = BeddingIn(min_percent=percent, max_percent=percent, source="test")
    work = worked(wet(boat_of("saltwhin-31"), bedding_in=stated))
    assert "deduction" in codes(work, "S-A-U", kind)
    assert (work.runs["S-A-U"].cut is None) is (kind == "refused")


def test_lashing_gap_against_100_mm():
    assert "lashing-gap" in codes(work_of("saltwhin-31"), "S-F-U", "agreed")
    wide = with_fitting(boat_of("saltwhin-31"), "lashing", length=Adjust(planned=60, max=101))
    assert "lashing-gap" in codes(worked(wide), "S-F-U", "refused")


@pytest.mark.parametrize(("left", "refused"), [(0.0, True), (1.0, False)])
def test_fittings_as_long_as_their_run_leave_nothing_for_the_line(left, refused):
    """The eyes of the lines across the bows stand 2050 mm apart."""
    boat = boat_of("catamaran-39")
    (run,) = (run for run in boat.runs if run.id == "C-BOW-U")
    (word,) = run.finish.fittings
    others = refit_of("catamaran-39").work.runs[run.id].lengths.stack - boat.fittings[word].length.planned
    work = worked(with_fitting(boat, word, length=Adjust(planned=2050.0 - others - left)))
    assert ("nothing-left" in codes(work, run.id, "refused")) is refused


def test_a_missing_measure_gives_no_cut_and_says_which():
    work = worked(with_end(boat_of("saltwhin-31"), "eye end", eye_girth=None))
    assert work.runs["S-F-U"].cut is None
    assert "eye_girth of eye end" in map(worded, work.runs["S-F-U"].lengths.missing)
    assert work.runs["S-F-U"].splices["finish"] is None


def test_a_take_up_is_given_as_a_range_until_a_trial_has_measured_it():
    """Without the trial's 30 mm the two buries of 360 mm shorten the line by 5 to 20 % of their length, likely 10 %."""
    assert "take-up" not in codes(work_of("saltwhin-31"), "S-A-U", "notice")
    work = worked(with_line(boat_of("saltwhin-31"), "guard rope", take_up=None))
    (notice,) = (remark for remark in work.runs["S-A-U"].remarks if remark.code == "take-up")
    assert [notice.says[key] for key in ("min_mm", "expected_mm", "max_mm")] == pytest.approx([36.0, 72.0, 144.0])


@pytest.mark.parametrize(("strands", "left"), [(12, None), (16, 135.0)])
def test_a_notice_of_a_run_gives_the_full_section_that_a_taper_leaves_short(strands, left):
    """Of 72 d a taper of 3 d a strand leaves 39 d with 12 strands and 27 d with 16; the limit is half, 180 mm."""
    work = worked(with_line(boat_of("saltwhin-31"), "guard rope", strands=strands))
    found = [one for one in work.runs["S-A-U"].remarks if one.code == "full-section"]
    assert [(one.end, one.measured, one.limit) for one in found] == (
        [] if left is None else [(end, pytest.approx(left), pytest.approx(180.0)) for end in ("start", "finish")]
    )


def test_a_stop_knots_rope_is_in_the_cut():
    boat = with_end(boat_of("saltwhin-31"), "eye end", family="stop knot", eye_girth=150.0, thimble=None)
    found = worked(boat).runs["P-F-U"].lengths
    assert any(term.name == "the rope in the knot" and term.value == 150.0 for term in found.terms)


def test_unknown_end_family_is_named_with_the_valid_ones():
    boat = with_end(boat_of("saltwhin-31"), "eye end", family="magic eye")
    with pytest.raises(OutsideTableError, match="magic eye"):
        worked(boat)


def changed(old: str, new: str) -> bytes:
    from tests.boats import BOATS

    text = (BOATS / "saltwhin-31.yaml").read_text("utf-8")
    assert old in text
    return text.replace(old, new, 1).encode()


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ("{family: bare eye,", "{family: magic eye,", "unknown family"),
        ("    strands: 12\n", "    strands: 12\n    price_per_m: -4\n", "price_per_m"),
        ("    strands: 12\n", "    strands: 12\n    splice_rule: 50 d\n", "splice_rule"),
        ("    strands: 12\n", "    strands: 12\n    taper: none\n", "taper"),
        ("length: {planned: 105}}", "length: {planned: 105}, hand: both}", "hand"),
        ("length: {planned: 105}}", "length: {planned: 105}, price: -1}", "price"),
    ],
)
def test_bad_words_and_prices_in_a_file_are_named_with_their_line(old, new, word):
    with pytest.raises(InputError, match=word) as caught:
        read_boat(changed(old, new), "boat.yaml")
    assert all(fault.line for fault in caught.value.faults)


@settings(deadline=None, max_examples=20)
@given(st.sampled_from(["2 1/2 fids", "3 fids", "72 d", "3 1/2 fids", "80 d", "100 d"]), st.floats(3.0, 9.0))
def test_a_ropes_cut_is_never_shorter_than_its_finished_length(rule, rope):
    work = worked(with_line(boat_of("saltwhin-31"), "guard rope", splice_rule=rule, diameter=rope, take_up=None))
    for run in some(work.runs.values()):
        assert run.lengths.cut >= run.lengths.finished


@settings(deadline=None, max_examples=10)
@given(st.floats(3.0, 9.0))
def test_a_longer_bury_never_gives_a_shorter_cut(rope):
    cuts = []
    for rule in ("2 1/2 fids", "3 fids", "72 d", "3 1/2 fids", "80 d", "100 d"):
        boat = with_line(boat_of("saltwhin-31"), "guard rope", splice_rule=rule, diameter=rope, take_up=None)
        cuts.append([run.lengths.cut for run in worked(boat).runs.values()])
    assert all(a <= b for one, two in pairwise(cuts) for a, b in zip(one, two, strict=True))


@pytest.mark.parametrize("run", ["S-F-U", "P-F-U"])
def test_a_wires_cut_is_finished_less_its_terminals(run):
    found = work_of("pipwing-25").runs[run].lengths
    assert found.cut == pytest.approx(found.finished - 2 * 1.5 * 25.4 - found.deduction.elastic)


SMALL_BOAT = """
format: 2
units: {{length: {unit}, angle: deg}}
axes: {{origin: [0, 0, 0], x: aft, y: starboard, z_zero: waterline}}
boat: {{name: SMALL, loa: {loa}, hull_length: {loa}, beam: {beam}, hulls: mono}}
survey: as designed
revision: {{mark: A, date: 2026-03-01, by: designer, note: first issue}}
mirror: true
deck_edge: {{starboard: [[0, 0, {deck}], [{loa}, {half}, {deck}]]}}
tubes: {{post: {{od: {od}, wall: {wall}, grade: 316L}}}}
posts:
  - {{id: S-S1, foot: [{x}, {y}, {deck}], lean: 3, rake: 1, deck_falls: {{aft: 1, outboard: 2}}, tube: post, top: {top},
     holes: {{U: {{along: {along}, planned: {{diameter: {hole}}}}}}}}}
eyes:
  - {{id: S-BOW-U, on: pulpit, at: [{bow}, {bow_y}, {rail}]}}
  - {{id: S-STERN-U, on: pushpit, at: [{stern}, {stern_y}, {rail}]}}
lines: {{rope: {{construction: 12-strand HMPE, material: HMPE, diameter: {rope}}}}}
ends: {{eye end: {{family: bare eye, throat_to_pin: {throat}, eye_girth: {girth}, trim: {trim}}}}}
fittings: {{lashing: {{family: lashing, length: {{min: {least}, planned: {gap}, max: {most}}}}}}}
runs:
  - {{id: S-F-U, line: rope, start: {{eye: S-BOW-U, end: eye end, fittings: [lashing]}}, through: [S-S1],
     finish: {{eye: S-STERN-U, end: eye end}}}}
"""


def small_boat(unit, rope, stern, girth):
    """One boat told in mm or in inches, from the same measures in mm."""
    measures = {
        "loa": 6000.0, "beam": 2100.0, "deck": 700.0, "half": 900.0, "od": 25.0, "wall": 1.5, "x": 2500.0, "y": 420.0,
        "top": 520.0, "along": 500.0, "hole": 20.0, "bow": 500.0, "bow_y": 60.0, "rail": 1250.0, "stern": stern,
        "stern_y": 500.0, "rope": rope, "throat": 25.0, "girth": girth, "trim": 40.0, "least": 30.0, "gap": 60.0,
        "most": 100.0,
    }  # fmt: skip
    factor = 1.0 if unit == "mm" else 25.4
    text = SMALL_BOAT.format(unit=unit, **{key: f"{value / factor:.9f}" for key, value in measures.items()})
    return read_boat(text.encode(), unit).boat


@settings(deadline=None, max_examples=15)
@given(st.floats(3.0, 9.0), st.floats(4500.0, 5900.0), st.floats(60.0, 200.0))
def test_inches_or_millimetres_give_the_same_cuts(rope, stern, girth):
    metric, inch = (worked(small_boat(unit, rope, stern, girth)).runs["S-F-U"].lengths for unit in ("mm", "in"))
    for ours, theirs in zip(metric.terms, inch.terms, strict=True):
        assert ours.value == pytest.approx(theirs.value, abs=1e-4)
    assert abs(metric.cut - inch.cut) < 1e-9 or abs(metric.cut - inch.cut) == pytest.approx(10.0)


def test_inches_or_millimetres_to_the_same_ten_millimetres():
    assert worked(small_boat("mm", 5.0, 5500.0, 75.0)).runs["S-F-U"].cut == (
        worked(small_boat("in", 5.0, 5500.0, 75.0)).runs["S-F-U"].cut
    )
