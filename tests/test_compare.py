"""What a revision changes: which sheets, which figures, what becomes scrap; the change sheet and the marks."""

from __future__ import annotations

import json
import math
from functools import cache
from itertools import islice

import pytest
from typer.testing import CliRunner

from geom.boat.file import read_boat
from geom.cli import app
from geom.errors import InputError
from geom.figure import Line, Polyline, Sheet, Text
from geom.fleet.comparison import compare
from geom.fleet.comparison.made import lost
from geom.intake.as_built import read_as_built
from geom.package import drawing_files, drawing_sheets
from geom.refit import Refit, refit
from geom.render.faults import faults, layout
from geom.sheets import compared_sheets, drawing_set
from geom.sheets.revision.marks import MAX_MARKS, changed
from geom.sheets.revision.text import THROUGHOUT
from tests.boats import BOATS, ROOT, mirrored
from tests.counts import seeds
from tests.sheet_texts import texts_of
from tests.some import some

RUN = CliRunner()
# Boat file, text as it stands, text instead of it: one edit each, none of which adds a sheet or takes one out.
EDITS = (
    ("first-try", "foot: [1800, 730, 658]", "foot: [1810, 730, 658]"),
    ("first-try", "foot: [3300, 965, 625]", "foot: [3300, 960, 625]"),
    ("first-try", "lean: 3\n", "lean: 3.5\n"),
    ("first-try", "rake: 0\n    deck_falls: {aft: 1,", "rake: 1\n    deck_falls: {aft: 1,"),
    ("first-try", "deck_falls: {aft: 2, outboard: 4}", "deck_falls: {aft: 2, outboard: 5}"),
    ("first-try", "along: 505, planned: {diameter: 12}", "along: 507, planned: {diameter: 12}"),
    ("first-try", "planned: {diameter: 12}", "planned: {diameter: 13}"),
    ("first-try", "top: 522", "top: 530"),
    ("first-try", "at: [520, 300, 1205]", "at: [520, 300, 1210]"),
    ("first-try", "at: [4850, 900, 1120]", "at: [4870, 900, 1120]"),
    ("first-try", "set_tension: 350 N", "set_tension: 360 N"),
    ("first-try", "marking_tension: 350 N", "marking_tension: 300 N"),
    ("first-try", "take_up: {each: 30,", "take_up: {each: 28,"),
    ("first-try", "breaking_load: {value: 28 kN", "breaking_load: {value: 30 kN"),
    ("first-try", "trim: 50", "trim: 40"),
    ("first-try", "turns: 4", "turns: 5"),
    ("first-try", "planned: 60, max: 100", "planned: 55, max: 100"),
    ("first-try", "wall: 1.5", "wall: 2"),
    ("first-try", "bolt_hole: 6.5", "bolt_hole: 6.6"),
    ("first-try", "[2900, 1000, 630]", "[2900, 1004, 630]"),
    ("first-try", "mast_x: 1900", "mast_x: 1950"),
    ("first-try", "pulpit_opening: 340", "pulpit_opening: 350"),
    ("first-try", "choice: polished edge", "choice: plastic bush, wall: 1.0"),
    ("first-try", "finish: polished", "finish: satin"),
    ("first-try", "proof_stress: 420 MPa", "proof_stress: 400 MPa"),
    ("first-try", "beam: 2050", "beam: 2060"),
    ("saltwhin-31", "at: [8235, 1438, 1575]", "at: [8245, 1438, 1575]"),
    ("saltwhin-31", "- [9330, 1270, 1660]", "- [9320, 1270, 1660]"),
    ("saltwhin-31", "length: 1424}", "length: 1426}"),
    ("pipwing-25", "top: 20.75", "top: 20.875"),
)


@cache
def text_of(name: str) -> str:
    return (BOATS / f"{name}.yaml").read_text("utf-8")


def worked(text: str) -> Refit:
    return refit(read_boat(text.encode("utf-8"), "boat.yaml"))


@cache
def old_of(name: str) -> Refit:
    return worked(text_of(name))


@cache
def bytes_of(name: str) -> dict[str, bytes]:
    return svg_files(old_of(name))


def svg_files(found: Refit) -> dict[str, bytes]:
    return drawing_files(found, lambda _: None, ("svg",))


def edited(name: str, old: str, new: str) -> str:
    text = text_of(name)
    assert old in text, (name, old)
    return text.replace(old, new, 1)


def with_revision(text: str, mark: str = "B") -> str:
    """Return a boat file with the next revision, its date and a note of its own."""
    for old, new in (("mark: A", f"mark: {mark}"), ("date: 2026-03-01", "date: 2026-04-07"), ("first issue", "later")):
        assert old in text
        text = text.replace(old, new, 1)
    return text


@pytest.mark.long
def test_the_sheets_to_be_issued_again_are_those_whose_bytes_change() -> None:
    """The edit alone against the bytes of the written set; with a later revision the answer is the same."""
    looked = dict.fromkeys(seed % len(EDITS) for seed in seeds(7))
    sizes = []
    for number in some(looked):
        name, old, new = EDITS[number]
        text = edited(name, old, new)
        files, before = svg_files(worked(text)), bytes_of(name)
        assert files.keys() == before.keys(), (old, "the count of sheets would change every sheet")
        differ = {file.removesuffix(".svg") for file in files if files[file] != before[file]}
        issues = compared_sheets(old_of(name), worked(with_revision(text)))
        assert {one.name for one in issues if one.state == "changed"} == differ, old
        assert {one.name for one in issues if one.state == "same"} == {
            file.removesuffix(".svg") for file in files
        } - differ
        sizes.append(len(differ))
    assert max(sizes) > 5


def test_a_comment_a_spelling_and_a_revision_change_no_sheet() -> None:
    before = old_of("first-try")
    comment = worked(
        text_of("first-try").replace("# FIRST TRY", "# A remark\n# FIRST TRY").replace("top: 522", "top: 52.2 cm")
    )
    found = compare(before, comment, None)
    assert found.same_data and found.changed == () and not found.same_mark
    for one in (comment, worked(with_revision(text_of("first-try")))):
        assert {issue.state for issue in compared_sheets(before, one)} == {"same"}
    later = compare(before, worked(with_revision(text_of("first-try"))), None)
    assert {paper.state for paper in later.papers} == {"same"}
    assert not later.same_data and later.changed == ()


def test_a_post_more_is_a_new_sheet_and_the_figures_name_it() -> None:
    """The file with one stanchion less, backwards and forwards."""
    whole = text_of("first-try")
    first = whole.index("  - id: S-S2")
    fewer = whole[:first] + whole[whole.index("\n# Eyes on the rails") :]
    second = whole[first : whole.index("\n# Eyes on")]
    fewer = fewer.replace("[S-S1, S-S2]", "[S-S1]").replace("documents: [osr, iso-15085]", "documents: [osr]")
    with_it = fewer.replace("\n# Eyes on", f"{second}\n# Eyes on").replace("through: [S-S1]", "through: [S-S1, S-S2]")
    less, more = worked(fewer), worked(with_it)
    added = compare(less, more, None)
    assert [(one.label, one.after) for one in added.changed if one.place == "S-S2"] == [("Added", "S-S2")]
    taken = compare(more, less, None)
    assert [(one.label, one.before) for one in taken.changed if one.place == "S-S2"] == [("Taken out", "S-S2")]
    states = {one.name: one.state for one in added.sheets}
    assert {one.name: one.state for one in taken.sheets}.keys() == states.keys()
    for name, state in some((one.name, one.state) for one in taken.sheets):
        assert {"new": "withdrawn", "withdrawn": "new"}.get(state, state) == states[name]


RECORD = """format: 1
units: {length: mm}
as_built: {boat: SALTWHIN 31, data_sha256: %s, revision: A, date: 2026-05-01, by: yard, tool: steel tape}
runs:
  S-A-U: {finished: %s}
  S-F-U: {finished: %s}
  P-F-U: {eye_marks: 4700}
posts:
  S-S1: {lean: 4.0}
"""


def fates(before: Refit, after: Refit, text: str) -> dict[str, tuple[str, str]]:
    record = read_as_built(text.encode(), "record.yaml", before.boat)
    return {one.place: (one.fate, one.why.code) for one in lost(before, after, record)}


def test_what_was_made_becomes_scrap_where_the_fittings_do_not_reach() -> None:
    """S-A-U lets out 40 mm: made to the old figures it takes a pushpit 30 mm farther aft, and not one 60 mm farther."""
    before = old_of("saltwhin-31")
    made = {run: before.work.runs[run].lengths.finished for run in ("S-A-U", "S-F-U")}
    record = RECORD % (before.loaded.data_sha256, f"{made['S-A-U']:.6f}", f"{made['S-F-U']:.6f}")
    assert before.placed.stacks["S-A-U"].lengthen == 40.0
    assert fates(before, before, record) == {}
    at = "at: [8235, 1438, 1575]"
    for by, expected in ((30, None), (60, ("scrap", "compare.too_short")), (-300, ("rework", "compare.too_long"))):
        after = worked(edited("saltwhin-31", at, at.replace("8235", str(8235 + by))))
        assert fates(before, after, record).get("S-A-U") == expected
    forward = worked(edited("saltwhin-31", "at: [1158, -524, 1754]", "at: [1138, -524, 1754]"))
    assert fates(before, forward, record)["P-F-U"] == ("scrap", "compare.cut_short")
    other = worked(text_of("saltwhin-31").replace("diameter: 5\n    strands: 12", "diameter: 6\n    strands: 12"))
    assert {fates(before, other, record)[run] for run in ("S-A-U", "S-F-U", "P-F-U")} == {
        ("scrap", "compare.other_line")
    }


@pytest.mark.parametrize(
    ("old", "new", "place", "fate"),
    [
        ("{along: 615, as_found: {diameter: 12.7}}", "{along: 605, as_found: {diameter: 12.7}}", "S-S1-U",
         ("check", "compare.place_measured")),
        ("{along: 615, as_found: {diameter: 12.7}}", "{along: 605, planned: {diameter: 12.7}}", "S-S1-U",
         ("scrap", "compare.hole_moved")),
        ("{along: 596, as_found: {diameter: 9.5}}", "{along: 596, as_found: {diameter: 10.5}}", "S-S2-U",
         ("check", "compare.hole_measured")),
        ("615, as_found: {diameter: 12.7}}", "615, as_found: {diameter: 12.7}, planned: {diameter: 14}}", "S-S1-U",
         ("rework", "compare.hole_larger")),
        ("{along: 596, as_found: {diameter: 9.5}}", "{along: 596, as_found: {diameter: 8.5}}", "S-S2-U",
         ("check", "compare.hole_measured")),
        ("top: 632", "top: 640", "S-S1", ("scrap", "compare.tube_short")),
        ("top: 632", "top: 628", "S-S1", ("rework", "compare.tube_long")),
        ("foot: [2500, 965, 1079]", "foot: [2510, 965, 1079]", "S-S1", ("rework", "compare.foot_moved")),
        ("lean: 4.0", "lean: 4.5", "S-S1", ("rework", "compare.set_otherwise")),
        ("{od: 25, wall: 1.5, grade: 316L}", "{od: 25, wall: 2, grade: 316L}", "S-S1", ("scrap", "compare.other_tube")),
    ],
)  # fmt: skip
def test_what_becomes_of_a_stanchion_that_stands(old: str, new: str, place: str, fate: tuple[str, str]) -> None:
    before = old_of("saltwhin-31")
    record = RECORD % (before.loaded.data_sha256, "1638.8", "4687.7")
    found = fates(before, worked(edited("saltwhin-31", old, new)), record)
    assert found[place] == fate
    # P-S1 is not in the record: what it was to be is not made.
    assert "P-S1" not in found


@pytest.mark.parametrize(("made", "named"), [("finished: 3000", True), ("eye_marks: 3000", False)])
def test_a_line_with_both_ends_made_is_named_where_none_goes_through_any_more(made: str, named: bool) -> None:
    text = text_of("first-try").replace("planned: {diameter: 12}", "as_found: {diameter: 12}")
    before, after = worked(text), worked(text.replace("as_found: {diameter: 12}", "as_found: {diameter: 8}"))
    assert before.placed.eyes["S-F-U"].in_place is None and after.placed.eyes["S-F-U"].in_place is not None
    length = before.work.runs["S-F-U"].lengths.finished
    head = RECORD.partition("runs:")[0].replace("SALTWHIN 31", "FIRST TRY") % before.loaded.data_sha256
    record = f"{head}runs:\n  S-F-U: {{{made.replace('3000', f'{length:.6f}')}}}\n"
    built = read_as_built(record.encode(), "record.yaml", before.boat)
    found = {one.place: one for one in lost(before, after, built)}
    assert found["S-S1-U"].why.code == "compare.hole_measured" and found["S-S1-U"].fate == "check"
    eyes = [one for one in found.values() if one.why.code == "compare.eyes_too_wide"]
    assert [one.place for one in eyes] == (["S-F-U"] if named else [])
    assert all(dict(one.why.values)["holes"] == ("S-S1-U", "S-S2-U") for one in eyes)
    assert not any(one.why.code == "compare.eyes_too_wide" for one in lost(after, after, built))


def test_a_set_against_the_revision_before_marks_what_changed_and_no_more() -> None:
    before = old_of("first-try")
    text = edited("first-try", "at: [4850, 900, 1120]", "at: [4870, 900, 1120]")
    after = worked(with_revision(text))
    marked = {sheet.name: sheet for sheet in drawing_set(after, against=before)}
    plain = {sheet.name: sheet for sheet in drawing_sheets(after)}
    was = {sheet.name: sheet for sheet in drawing_set(before)}
    assert {name for name in marked if name not in plain} == {name for name in marked if name.startswith("G5")}
    states = {one.name: one.state for one in compared_sheets(before, after)}
    on_sheet = texts_of(sheet for name, sheet in marked.items() if name.startswith("G5"))
    whole, every = 0, set[str]()
    for name, sheet in some(marked.items()):
        triangles = [one for one in sheet.items if isinstance(one, Polyline) and one.tag.startswith("revision:B:")]
        letters = [one for one in sheet.items if isinstance(one, Text) and one.tag.startswith("revision:B")]
        assert faults(sheet) == [], name
        if name.startswith("G5") or states[name] != "changed" or name == "G1-cover":
            assert triangles == [], name
            continue
        found = changed(was[name], plain[name])
        throughout = any(one.text == THROUGHOUT for one in letters)
        assert len(triangles) == 1 if throughout else 0.2 * len(found) <= len(triangles) <= len(found), name
        assert throughout or len(found) <= MAX_MARKS
        assert {one.text for one in letters} <= {"B", THROUGHOUT}
        # By the written files: whatever carries an id and reads otherwise, the title block apart.
        read, read_before = texts_of([plain[name]]), texts_of([was[name]])
        differ = {tag for tag, text in read.items() if read_before.get(tag) != text and not tag.startswith("title:")}
        named = {one.tag.removeprefix("revision:B:") for one in triangles}
        assert throughout or (named <= differ and len(named) >= 0.2 * len(differ)), name
        every |= named
        whole += throughout
        assert all(len(one.points) == 3 and one.closed for one in triangles)
        assert on_sheet[f"changes:{name}:state"] == "CHANGED"
    assert whole == 0
    assert {"span:S-F-U:3", "piece:S-F-U:length"} <= every
    assert sum(state == "same" for state in states.values()) >= 2
    assert on_sheet["changes:S-F-U:Finished length:is"].endswith(" mm")


@cache
def bored_anew() -> tuple[Refit, dict[str, Sheet]]:
    """Return a boat with one line whose holes are smaller than in the revision before, and its set against that."""
    text = (ROOT / "tests" / "fixtures" / "mirrored-24.yaml").read_text("utf-8")
    after = worked(with_revision(text.replace("diameter: 1/2 in", "diameter: 3/8 in")))
    return after, {sheet.name: sheet for sheet in drawing_set(after, against=mirrored())}


def triangles_of(sheet: Sheet) -> list[Polyline]:
    return [one for one in sheet.items if isinstance(one, Polyline) and one.tag.startswith("revision:B")]


def test_a_sheet_with_too_many_changes_says_so_in_words_outside_its_title_block() -> None:
    _, sheets = bored_anew()
    for name in ("R1-guard-lines", "A6-making-log"):
        (triangle,) = triangles_of(sheets[name])
        (words,) = (one for one in sheets[name].items if isinstance(one, Text) and one.text == THROUGHOUT)
        left = min(x for x, _ in triangle.points)
        assert left < words.at[0] < left + 12.0 and abs(words.at[1] - min(y for _, y in triangle.points)) < 2.0
        reels = [one for one in sheets[name].items if isinstance(one, Text) and one.tag.startswith("reel:")]
        assert all(math.dist(words.at, one.at) > 30.0 for one in reels)
        assert layout(sheets[name]).faults == ()


def test_in_a_table_a_mark_is_level_with_its_row_and_no_line_leads_to_it() -> None:
    """In the table of holes and eyes the bores of three rows changed, to starboard and to port."""
    _, sheets = bored_anew()
    sheet = next(sheet for name, sheet in sheets.items() if name.startswith("A2a"))
    bores = [one for one in sheet.items if isinstance(one, Text) and one.text == "9.5"]
    marks = triangles_of(sheet)
    assert len(bores) == 6 and 3 <= len(marks) <= 6
    for triangle in marks:
        low, high = min(y for _, y in triangle.points), max(y for _, y in triangle.points)
        assert any(low < one.at[1] + 1.25 < high for one in bores)
    assert not any(isinstance(one, Line) and one.tag.startswith("revision:") for one in sheet.items)
    assert layout(sheet).faults == ()


def test_no_mark_stands_on_a_centring_mark() -> None:
    sheets = bored_anew()[1].values()
    pairs = [
        (triangle, line)
        for sheet in sheets
        for triangle in triangles_of(sheet)
        for line in sheet.items[: sheet.border.items]
        if isinstance(line, Line) and line.layer == "FRAME"
    ]
    for triangle, line in some(pairs):
        (left, right), (low, high) = ((min(one), max(one)) for one in zip(*triangle.points, strict=True))
        ends = (line.start, line.end)
        across = left < max(x for x, _ in ends) and right > min(x for x, _ in ends)
        up = low < max(y for _, y in ends) and high > min(y for _, y in ends)
        assert not (across and up), triangle.tag


def test_without_against_the_set_keeps_its_bytes_and_with_it_no_two_revisions_have_one_mark() -> None:
    before = old_of("first-try")
    assert svg_files(before) == bytes_of("first-try")
    assert not any(name.startswith("G5") for name in bytes_of("first-try"))
    with pytest.raises(InputError, match=r"boat.yaml:\d+: revision.mark: .* revision A too"):
        drawing_set(worked(edited("first-try", "top: 522", "top: 530")), against=before)


def test_compare_as_a_new_user_would(tmp_path, monkeypatch) -> None:
    """The demonstration boat with a record, and one that shares nothing with it, in inches."""
    monkeypatch.chdir(tmp_path)
    text = text_of("saltwhin-31")
    (tmp_path / "old.yaml").write_text(text, "utf-8")
    (tmp_path / "new.yaml").write_text(with_revision(text.replace("at: [8235, 1438", "at: [8300, 1438")), "utf-8")
    (tmp_path / "as-built.yaml").write_text(
        RECORD % (old_of("saltwhin-31").loaded.data_sha256, "1638.8", "4687.7"), "utf-8"
    )
    done = RUN.invoke(app, ["compare", "old.yaml", "new.yaml", "--record", "as-built.yaml"])
    assert done.exit_code == 0, done.output
    assert "too short by" in done.output and "issue again" in done.output and "stays valid" in done.output
    text = text_of("pipwing-25")
    (tmp_path / "old.yaml").write_text(text, "utf-8")
    (tmp_path / "new.yaml").write_text(with_revision(text.replace("top: 20.75", "top: 20.875", 1)), "utf-8")
    report = json.loads(RUN.invoke(app, ["compare", "old.yaml", "new.yaml", "--json"]).stdout)
    assert not report["with_record"] and report["made"] == []
    assert {one["state"] for one in report["sheets"]} >= {"changed", "same"}
    assert RUN.invoke(app, ["compare", "old.yaml", "nowhere.yaml"]).exit_code == 2


def test_draw_against_writes_the_change_sheet(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "old.yaml").write_text(text_of("first-try"), "utf-8")
    later = with_revision(edited("first-try", "top: 522", "top: 530"))
    (tmp_path / "new.yaml").write_text(later, "utf-8")
    done = RUN.invoke(app, ["draw", "new.yaml", "--against", "old.yaml", "--format", "svg", "--to", "set"])
    assert done.exit_code == 0, done.output
    names = [path.name for path in (tmp_path / "set").iterdir()]
    assert list(islice((name for name in names if name.startswith("G5")), 1))
    assert RUN.invoke(app, ["draw", "old.yaml", "--against", "old.yaml", "--to", "other"]).exit_code == 2
    assert not (tmp_path / "other").exists()


def test_a_file_of_another_boat_is_refused(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("first-try", "pipwing-25"):
        (tmp_path / f"{name}.yaml").write_text(text_of(name), "utf-8")
    old, new = (old_of(name).boat.boat.name for name in ("pipwing-25", "first-try"))
    says = f"toerail: pipwing-25.yaml: boat.name: this file is of {old}, the one that it is compared with of {new}"
    for arguments in (
        ["compare", "pipwing-25.yaml", "first-try.yaml"],
        ["draw", "first-try.yaml", "--against", "pipwing-25.yaml", "--to", "set"],
        ["package", "first-try.yaml", "--against", "pipwing-25.yaml", "--to", "set", "--no-solids"],
    ):
        done = RUN.invoke(app, arguments)
        assert done.exit_code == 2 and says in done.output, done.output
    assert not (tmp_path / "set").exists()
