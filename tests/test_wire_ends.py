"""Wire ends as they are made: insertion, gauges, wire eyes spliced by hand, studs in turnbuckles, and their sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from geom.boat.file import read_boat
from geom.boat.model import Anchorage, GuardLine, LineEnd, Swage, Thimble
from geom.drafting.ruling import RuledList
from geom.errors import InputError
from geom.figure import Cell
from geom.open_items import open_items
from geom.refit import Refit, refit
from geom.render.faults import layout
from geom.rigging.strength import run_strength
from geom.rigging.wire.eye import hand_splice, tail_of
from geom.rules.measures.lines import lashing_gaps
from geom.sheets.line_sheets.sheet import line_sheets
from geom.sheets.wire_ends.lists import wire_end_lists
from geom.sheets.wire_ends.sheet import wire_ends_sheet
from geom.solids.ends import Seat, end_members
from geom.words import worded
from tests.boats import refit_of
from tests.line_boats import boat_of, codes, with_end, with_fitting, with_line, with_run, worked
from tests.made import sheets_by
from tests.sheet_texts import texts_of
from tests.some import some
from tests.test_terminals import wide_holes

ALL_FAMILIES = Path(__file__).parent / "fixtures" / "all-families.yaml"


def all_families(*changes: tuple[str, str]) -> Refit:
    text = ALL_FAMILIES.read_text("utf-8")
    for old, new in changes:
        text = replaced(text, old, new)
    return refit(read_boat(text.encode("utf-8"), ALL_FAMILIES.name))


def replaced(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new)


def wire(diameter: float, construction: str = "7x19 wire") -> GuardLine:
    return GuardLine(construction=construction, material="stainless steel 316", diameter=diameter)


def test_strands_are_unlaid_over_36_diameters() -> None:
    """Seamanship page on the Liverpool splice, its own example: wire of 5/8 in is unlaid over 22 1/2 in."""
    eye = LineEnd(family="hand-spliced eye")
    tail = tail_of(wire(25.4 * 5 / 8), eye)
    assert tail is not None
    assert tail / 25.4 == pytest.approx(22.5)
    assert tail_of(wire(5.0), eye.model_copy(update={"tail": 210.0})) == 210.0


def test_a_hand_splice_has_the_tucks_of_the_code() -> None:
    """US 29 CFR 1919.24 (a): three tucks with a whole strand, two with one-half of the wires cut out of each."""
    splice = hand_splice(wire(5.0), LineEnd(family="hand-spliced eye"))
    assert splice is not None
    assert (splice.whole_tucks, splice.half_tucks) == (3, 2)
    assert hand_splice(wire(5.0), LineEnd(family="pressed-sleeve eye", tail=40.0)) is None


def test_a_hand_splice_holds_70_percent_of_its_wire() -> None:
    """US Army FM 55-501, 12-100: 70 to 90 % with a thimble; the least is taken."""
    worked_out = all_families()
    links = run_strength(worked_out.boat, worked_out.placed.runs["P-G-M"]).links
    assert next(link for link in links if link.name == "finish: tucked").holds == pytest.approx(0.7 * 15000.0)


def test_the_wire_of_an_eye_is_added_to_its_cut() -> None:
    """By hand: finished, less 36 twice to the pins, 100 twice round the eyes, tails of 40 and 36 x 5 = 180."""
    work = all_families().work.runs["P-G-M"]
    assert work.cut is not None
    stretch = work.lengths.deduction.total
    assert work.cut == pytest.approx(work.lengths.finished - stretch - 72.0 + 200.0 + 40.0 + 180.0)


def test_a_wire_without_strands_is_not_spliced_by_hand() -> None:
    worked_out = all_families(("construction: 7x7 wire", "construction: 1x19 wire"))
    work = worked_out.work.runs["P-G-M"]
    assert "hand-splice" in {one.code for one in work.remarks if one.kind == "refused"}
    assert work.cut is None
    assert "no strands to tuck" in worded(work.refused)
    assert "fitting.hand_splice" in {item.cause.code.replace("item.", "fitting.") for item in open_items(worked_out)}


def test_a_pressed_eye_without_its_tail_has_no_cut() -> None:
    work = all_families(("eye_girth: 100, tail: 40,", "eye_girth: 100,")).work.runs["P-G-M"]
    assert work.cut is None
    assert "tail of pressed" in worded(work.lengths.missing)


def test_a_terminal_is_rigid_from_its_bearing_point_to_its_mouth() -> None:
    """60 from the wire's end to the tip and 50 of wire in the shank: 110, unless more is stated."""
    end = LineEnd(family="swaged stud", deduction=60.0, insertion=50.0)
    assert end.rigid == pytest.approx(110.0)
    assert end.model_copy(update={"rigid_length": 115.0}).rigid == 115.0
    assert LineEnd(family="swaged stud", deduction=60.0).rigid is None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("go: 8, no_go: 7.9}}\n  fork", "go: 8, no_go: 8.1}}\n  fork", "no smaller than GO"),
        ("before: 9.1, go: 8, no_go: 7.9}}\n  fork", "before: 7.5, go: 8, no_go: 7.9}}\n  fork", "no larger than GO"),
        ("width: 9, deduction: 60", "width: 7, deduction: 60", "narrower than its own shank"),
        ("deduction: 60, insertion: 50", "deduction: 60, rigid_length: 90, insertion: 50", "shorter than from bearing"),
        ("throat_to_pin: 36, eye_girth: 100, trim: 50}\n  soft", "insertion: 30, trim: 50}\n  soft", "has none"),
        ("width: 14, deduction: 45", "width: 14, tail: 40, deduction: 45", "has none"),
    ],
)
def test_sizes_of_a_wire_end_that_contradict_each_other_are_refused(old: str, new: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        all_families((old, new))


def test_a_swage_that_passes_finished_but_not_before_is_made_before_threading() -> None:
    """Shank of 9.1 before swaging and 8 after, in holes of 8.5."""
    swage = Swage(before=9.1, go=8.0)
    boat = with_end(boat_of("pipwing-25"), "terminal", family="swaged stud", width=8.0, insertion=40.0, swage=swage)
    work = worked(wide_holes(boat, 8.5)).runs["S-F-U"]
    said = next(one for one in work.remarks if one.code == "swage-first")
    assert said.says["holes"] == ("S-S1-U", "S-S2-U", "S-S3-U")
    tight = work.wire_ends[0].holes[0]
    assert (tight.clear, tight.clear_before) == (pytest.approx(0.5), pytest.approx(-0.6))
    assert "swage-first" not in codes(worked(wide_holes(boat, 9.5)), "S-F-U", "notice")


def test_the_steps_mark_the_insertion_and_gauge_the_swage() -> None:
    texts = [worded(step.remark) for step in all_families().work.runs["S-A-U"].plan.work]
    made = next(text for text in texts if "swaged stud" in text)
    assert "mark the wire 50.0 mm from its end" in made
    assert "GO 8.00 mm passes, NO GO 7.90 mm does not" in made
    assert made.index("mark the wire") < made.index("make the") < made.index("gauge it")


@pytest.mark.parametrize(("engaged", "runs_out"), [(20.0, True), (19.05 + 12.7, False)])
def test_a_stud_has_half_the_travel_of_its_turnbuckle(engaged: float, runs_out: bool) -> None:
    """From 6 to 7.5 in it opens by 38.1, 19.05 on each thread: 20 engaged leave 0.95, under the 12 to be kept."""
    boat = with_end(boat_of("pipwing-25"), "terminal", bears_on="thread", thread_engaged=engaged)
    boat = with_fitting(boat, "turnbuckle", min_thread_engagement=12.0)
    found = [one for one in worked(boat).runs["S-F-U"].remarks if one.code == "stud-travel"]
    assert bool(found) is runs_out
    for one in found:
        assert (one.measured, one.limit) == (pytest.approx(engaged - 19.05), 12.0)


def test_the_fitting_at_the_boat_is_named_first() -> None:
    """A toggle on the plate and a turnbuckle on the line: the plate's hole meets the toggle's pin."""
    boat = boat_of("pipwing-25")
    toggle = boat.fittings["turnbuckle"].model_copy(update={"family": "toggle", "pin": 9.0, "hand": None})
    boat = boat.model_copy(update={"fittings": {**boat.fittings, "toggle": toggle}})
    boat = with_fitting(boat, "turnbuckle", pin=5.0)
    start = boat.runs[0].start.model_copy(
        update={"fittings": ("toggle", "turnbuckle"), "anchorage": Anchorage(hole=8.0)}
    )
    found = worked(with_run(boat, boat.runs[0].id, start=start)).runs[boat.runs[0].id].remarks
    pin = next(one for one in found if one.code == "pin")
    assert (pin.kind, pin.measured, pin.limit) == ("refused", 9.0, 8.0)


@pytest.mark.parametrize("family", ["swaged eye", "swaged fork", "compression eye", "compression fork"])
def test_eyes_and_forks_are_drawn_at_their_insertion_and_deduction(family: str) -> None:
    """The hole lies in the origin, the wire ends at the deduction, and its bore is as deep as the insertion."""
    end = LineEnd(family=family, width=18.0, deduction=25.0, insertion=40.0, swage=Swage(go=8.4))
    (made,) = end_members(end, Seat(5.0, 8.0))
    hole = next(one for one in made.part.holes() if one.name in ("eye", "pin"))
    assert made.frame.point(hole.point)[2] == pytest.approx(0.0)
    assert made.reach == pytest.approx(25.0)
    assert (made.part.bore_depth, made.part.shank) == (40.0, 8.4)  # type: ignore[attr-defined]


def test_a_wire_eye_is_drawn_round_its_thimble() -> None:
    end = LineEnd(family="hand-spliced eye", throat_to_pin=36.0, eye_girth=100.0,
                  thimble=Thimble(girth=95.0, pattern="open"))  # fmt: skip
    names = [member.product for member in end_members(end, Seat(5.0, 8.0))]
    assert names[0].startswith("eye of 5 wire")
    assert names[1].startswith("thimble")


def rows_by_end(listed: RuledList) -> dict[tuple[str, str], dict[str, Cell]]:
    """Return the cells of a list by line and end, and by their heading; lines that are alike share a row."""
    heads = [column.head for column in listed.columns]
    return {
        (line, row[1].text): dict(zip(heads, row, strict=True))
        for row in listed.rows
        for line in row[0].text.split(", ")
    }


def test_the_sheet_has_the_figures_of_the_boat_file() -> None:
    worked_out = all_families()
    sheets = sheets_by(wire_ends_sheet, worked_out)
    texts, ends = texts_of(sheets), rows_by_end(wire_end_lists(worked_out)[0])
    made = [(work, end) for work in worked_out.work.runs.values() for end in work.wire_ends]
    for work, end in some(made):
        stated, row = worked_out.boat.ends[end.name], ends[work.run, {"start": "forward", "finish": "after"}[end.end]]
        mark = f"{stated.insertion:.1f}" if stated.insertion else "" if end.tail or end.splice else "TBC"
        assert row["MARK AT"].text == mark
        assert row["GO"].text == ("" if stated.swage is None else f"{stated.swage.go:.2f}")
        assert row["MADE"].text == ("after threading" if work.plan.in_place == end.end else "ashore")
        for cell in some([cell for cell in row.values() if cell.text]):
            assert texts[cell.tag] == cell.text
    assert len(ends) == len(made)
    assert texts["wire-end:P-G-M:finish:splice:whole"] == "3"
    assert texts["wire-end:S-A-U:start:hole:clear-before"] == "2.9"
    assert [fault for sheet in sheets for fault in layout(sheet).faults] == []


@pytest.mark.parametrize(("name", "pages"), [("yacht-52", 2), ("catamaran-39", 1)])
def test_ends_that_are_alike_share_a_row(name: str, pages: int) -> None:
    """Every line and its tightest hole is named once for each end, however few the rows."""
    worked_out = refit_of(name)
    ends, holes, *_ = wire_end_lists(worked_out)
    named = [f"{line} {row[1].text}" for row in ends.rows for line in row[0].text.split(", ")]
    made = [work.run for work in worked_out.work.runs.values() for _ in work.wire_ends]
    assert len(named) == len(set(named)) == len(made) > 3 * len(ends.rows)
    for row in some(holes.rows):
        lines, places = row[0].text.split(", "), row[2].text.split(", ")
        for line, place in some(zip(lines, places, strict=True)):
            assert place in worked_out.placed.runs[line].names
    assert len(sheets_by(wire_ends_sheet, worked_out)) == pages


def test_the_ends_of_a_boat_with_one_line_sheet_stand_on_it() -> None:
    """PIPWING 25 has R1 alone and no R10; both say of its ends the same as the lists of a page would."""
    worked_out = refit_of("pipwing-25")
    assert sheets_by(wire_ends_sheet, worked_out) == ()
    on_line_sheet = texts_of(sheets_by(line_sheets, worked_out))
    stated = [cell for one in wire_end_lists(worked_out) for row in one.rows for cell in row[1:] if cell.text]
    for cell in some([cell for cell in stated if cell.tag.startswith("wire-end:") and ", " not in cell.text]):
        assert on_line_sheet[cell.tag] == cell.text


def test_a_line_on_hold_has_no_figures_on_the_sheet() -> None:
    worked_out = all_families(("construction: 7x7 wire", "construction: 1x19 wire"))
    texts = texts_of(sheets_by(wire_ends_sheet, worked_out))
    assert texts["wire-end:P-G-M:finish:held"] == "ON HOLD"
    assert "wire-end:P-G-M:finish:go" not in texts
    assert "wire-end:S-A-U:start:go" in texts


def test_boats_of_rope_have_no_sheet_of_wire_ends() -> None:
    boat = with_line(boat_of("saltwhin-31"), "guard rope", diameter=5.0)
    assert all(not run.wire_ends for run in some(worked(boat).runs.values()))


def coated(over: str) -> Refit:
    stated = "construction: coated 1x19 wire, material: stainless steel 316, diameter: 5"
    return all_families(("construction: 1x19 wire, material: stainless steel 316, diameter: 5", stated + over))


def test_a_hole_takes_a_wire_with_its_coating() -> None:
    """A hole of 12 mm takes 7.9 over the cover and not 12.5: geometry."""
    passes, wide = coated(", over_coating: 7.9"), coated(", over_coating: 12.5")
    assert passes.placed.lines_in_holes["S-D-U"].diameter == 7.9
    for worked_out, goes in ((passes, True), (wide, False)):
        plan = worked_out.work.runs["S-A-U"].plan
        assert plan.possible is goes
    texts = [worded(step.remark) for step in passes.work.runs["S-A-U"].plan.work]
    assert any("take the coating off over 50.0 mm" in text for text in texts)


def test_a_coating_that_nobody_measured_is_an_open_item() -> None:
    worked_out = coated("")
    found = [one for one in worked_out.work.runs["S-A-U"].remarks if one.code == "coating"]
    assert [one.kind for one in found] == ["cannot tell"]
    titles = [item.cause.code for item in open_items(worked_out)]
    assert titles.count("item.over_coating") == 1


@pytest.mark.parametrize(
    ("over", "said"),
    [
        (", over_coating: 4.8", "no larger than the wire"),
    ],
)
def test_a_coating_thinner_than_its_wire_is_refused(over: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        coated(over)


def test_bare_wire_has_no_coating() -> None:
    with pytest.raises(InputError, match="has no coating"):
        all_families(("construction: 7x7 wire,", "construction: 7x7 wire, over_coating: 8,"))


def test_a_rope_tail_closes_a_gap_as_a_lashing_does() -> None:
    """World Sailing OSR 3.14.6: a synthetic lanyard closes a gap of 100 mm at the most; this tail is let out to 140."""
    worked_out = all_families()
    work = worked_out.work.runs["P-G-M"]
    assert work.lengths.stack == pytest.approx(90.0 + 30.0)
    gap = next(one for one in work.remarks if one.code == "lashing-gap")
    assert (gap.kind, gap.measured, gap.limit) == ("refused", 140.0, 100.0)
    measured = {measure.place: measure.value for measure in lashing_gaps(worked_out.placed)}
    assert measured["P-G-M-forward"] == 90.0
