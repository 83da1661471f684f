"""Handover and the next season: due days, last figures beside blanks, two seasons into the record and out again."""

from __future__ import annotations

import math

import pytest

from geom.data import table
from geom.errors import InputError
from geom.figure import Circle
from geom.intake.as_built import AsBuilt, read_as_built
from geom.paperwork.handover.checks import CHECKS, later, owner_checks
from geom.paperwork.handover.sheet import handover_sheets
from geom.paperwork.inspection.history import trends
from geom.paperwork.inspection.readings import read_season, with_season
from geom.paperwork.inspection.sheet import inspection_sheets
from geom.paperwork.made.log import read_log, taken_in
from geom.refit import Refit
from geom.sheets.setting.sheet import setting_card
from tests.boats import NAMES, mirrored, refit_of, report_of
from tests.made import sheets_by
from tests.papers import faults
from tests.sheet_texts import texts_of
from tests.some import some
from tests.test_made import log

SEASON = (
    "PLACE,WHAT,VALUE\nrecord,date,{day}\nrecord,by,owner\nS-F-U,lashing,{gap} mm\nS-F-U,tension,{pull} N\n"
    "S-S1,lean,{lean}\nS-F-U forward,seen,{seen}\nS-S1-U,photograph,S-S1-U-{day}\n"
)


def begun() -> tuple[Refit, str]:
    worked_out = refit_of("saltwhin-31")
    text, _ = taken_in(None, "record.yaml", worked_out, read_log(log(), "log.yaml", worked_out))
    return worked_out, text


def season(worked_out: Refit, text: str, **values: object) -> tuple[str, AsBuilt]:
    read = read_season(SEASON.format(**values).encode(), "season.csv", worked_out)
    return with_season(text, "record.yaml", worked_out, read)


def two_seasons() -> tuple[Refit, str, AsBuilt]:
    worked_out, text = begun()
    text = text.replace("tension: 350 N", "tension: 350 N # hauled twice").replace("runs:", "# by hand\nruns:", 1)
    text, _ = season(worked_out, text, day="2027-04-10", gap=52, pull=280, lean=4.4, seen="grey")
    text, built = season(worked_out, text, day="2028-04-15", gap=50, pull=310, lean=5.1, seen="fuzzy")
    return worked_out, text, built


def test_log_record_and_two_seasons_lose_nothing_and_keep_comments():
    worked_out, text, built = two_seasons()
    assert "# hauled twice" in text and "# by hand" in text and "# designed 4684.1 mm" in text
    again = read_as_built(text.encode(), "record.yaml", worked_out.boat)
    assert again == built
    first = read_as_built(begun()[1].encode(), "record.yaml", worked_out.boat)
    assert again.runs == first.runs and again.retension == first.retension and again.as_built == first.as_built
    assert [one.date for one in again.seasons] == ["2027-04-10", "2028-04-15"]
    assert again.seasons[0].photographs == {"S-S1-U": "S-S1-U-2027-04-10"}
    # Every line of the record as it was is still there.
    kept = [line for line in begun()[1].splitlines() if line.strip() and "tension: 350 N" not in line]
    assert [line for line in some(kept) if line not in text.splitlines()] == []


def test_the_same_readings_again_add_nothing_and_others_of_that_day_are_refused():
    worked_out, text, _ = two_seasons()
    same, _ = season(worked_out, text, day="2028-04-15", gap=50, pull=310, lean=5.1, seen="fuzzy")
    assert same == text
    with pytest.raises(InputError, match="the record holds other readings of that day"):
        season(worked_out, text, day="2028-04-15", gap=49, pull=310, lean=5.1, seen="fuzzy")


def test_stretch_and_lean_by_hand():
    """The lashing was left at 57 mm and is 52, then 50 mm: stretched by 5, then 7 mm. 4.0, 4.4, 5.1 deg as read."""
    worked_out, _, built = two_seasons()
    found = {one.name: one for one in trends(worked_out, built)}
    assert [(one.day, one.value) for one in found["S-F-U"].readings] == [
        ("2026-04-02", 0.0), ("2027-04-10", 5.0), ("2028-04-15", 7.0),
    ]  # fmt: skip
    assert [one.value for one in found["S-S1"].readings] == pytest.approx([4.0, 4.4, 5.1])
    assert found["S-S1"].change == pytest.approx(1.1)
    assert set(found) == {"S-F-U", "S-S1"}


def test_the_last_figures_stand_beside_blanks():
    worked_out, _, built = two_seasons()
    sheets = inspection_sheets(worked_out, built)
    texts = texts_of(sheets)
    assert (texts["last:S-F-U:lashing:length"], texts["last:S-F-U:lashing:day"]) == ("50", "2028-04-15")
    assert (texts["last:S-F-U:tension"], texts["last:S-F-U:tension:day"]) == ("310 N", "2028-04-15")
    assert (texts["last:S-A-U:lashing:length"], texts["last:S-A-U:lashing:day"]) == ("60", "as designed")
    assert (texts["last:S-S1:lean"], texts["last:S-S2:lean"]) == ("5.1", "2.0")
    assert texts["place:S-F-U forward:look"] == "lashing (last: fuzzy)"
    assert texts["trend:S-F-U:3"] == "7.0" and texts["trend:S-S1:3"] == "5.1"
    assert faults(sheets) == []
    # Later is further right, more is further up.
    points = [item.centre for sheet in sheets for item in sheet.items if isinstance(item, Circle)
              and item.tag == "trend:S-F-U"]  # fmt: skip
    assert [x for x, _ in points] == sorted(x for x, _ in points) and len(points) == 3
    assert [y for _, y in points] == sorted(y for _, y in points)
    days = [1, 374, 745]
    share = (points[1][0] - points[0][0]) / (points[2][0] - points[0][0])
    assert share == pytest.approx((days[1] - days[0]) / (days[2] - days[0]), abs=0.01)


@pytest.mark.parametrize(
    ("day", "months", "due"),
    [("2026-04-02", 12, "2027-04-02"), ("2024-02-29", 12, "2025-02-28"), ("2026-01-31", 1, "2026-02-28"),
     ("2026-12-15", 60, "2031-12-15")],
)  # fmt: skip
def test_days_due(day, months, due):
    assert later(day, months) == due


def test_renewal_counts_from_the_making_and_checks_from_the_last_inspection():
    """Rope guard lines 5 to 8 years, wire 20 and more: common practice, no source. Lashings yearly (audit guidance)."""
    worked_out, _, built = two_seasons()
    texts = texts_of(inspection_sheets(worked_out, built))
    assert texts["check:renew HMPE:due"] == "2031-04-02"
    assert texts["check:lashings:due"] == "2029-04-15" and texts["check:lashings:every"] == "year"
    wire = {one.key: one for one in owner_checks(refit_of("pipwing-25"), "2026-05-01", "2026-05-01")}
    assert wire["renew stainless steel 316"].due == "2046-05-01"
    assert "lashings" not in wire and {"swages", "wire", "hooks", "turnbuckles", "bases", "holes"} <= set(wire)
    assert all(one.source for one in some(wire.values()))


def test_every_row_of_the_data_is_a_check_with_a_sentence():
    from geom.paperwork.inspection.text import LOOK

    assert {row["key"] for row in some(table.rows("inspections"))} == set(LOOK) == set(CHECKS)


@pytest.mark.parametrize("name", NAMES)
def test_a_handover_without_a_record_leaves_what_was_measured_blank(name):
    worked_out, report = refit_of(name), report_of(name)
    sheets = handover_sheets(worked_out)
    texts = texts_of(sheets)
    by_id = {run["id"]: run for run in report["runs"]}
    mm = 25.4 if worked_out.boat.units.length == "in" else 1.0
    for run, made in some(worked_out.work.runs.items()):
        if made.refused:
            assert f"handover:{run}:held" in texts and f"handover:{run}:designed" not in texts
            continue
        printed = float(texts[f"handover:{run}:designed"]) * mm
        assert printed == pytest.approx(by_id[run]["finished_mm"], abs=0.051)
        assert f"handover:{run}:made" not in texts or texts[f"handover:{run}:made"] == ""
    assert len([tag for tag in texts if tag.startswith("open:")]) == len(report["open_items"])
    assert "handover:caution" in texts
    assert faults(sheets) == []
    assert faults(inspection_sheets(worked_out)) == []


@pytest.mark.parametrize("boat", [refit_of("saltwhin-31"), refit_of("pipwing-25"), refit_of("first-try"), mirrored()])
def test_the_pushes_of_the_handover_are_those_of_the_push_sheet(boat):
    """Where the mast is not given both say so, and neither asks for a push."""
    texts, sheet = texts_of(handover_sheets(boat)), texts_of(sheets_by(setting_card, boat))
    asked = {tuple(tag.split(":")[1:3]) for tag in texts if tag.endswith(":push")}
    listed = {tuple(tag.split(":")[1:3]) for tag in sheet if tag.startswith("push:") and tag.endswith(":run")}
    assert asked == {(run, span) for run, span in listed if not boat.work.runs[run].refused}
    if boat.boat.boat.mast_x is None:
        assert asked == set() and texts["handover:no-mast"] == sheet["push:none"]
    for run, span in asked:
        ends = [sheet[f"push:{run}:{span}:{key}"] for key in ("start", "end")]
        assert " to ".join(ends) in texts[f"handover:{run}:{span}:push"]


def test_a_handover_with_a_record_prints_it():
    worked_out, text = begun()
    built = read_as_built(text.encode(), "record.yaml", worked_out.boat)
    texts = texts_of(handover_sheets(worked_out, built))
    assert texts["handover:S-F-U:made"] == "4690.5" and texts["handover:S-F-U:lot"] == "R-114"
    assert texts["handover:S-A-U:certificate"] == "C-2291"
    assert texts["check:renew HMPE:due"] == "2031-04-02"


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ("PLACE,WHAT,VALUE\nrecord,by,owner\n", "season.csv:1: record: the table states no date - valid: a row"),
        ("PLACE,WHAT,VALUE\nS-F-U,finished,4690 mm\n", "no reading of that word there"),
        ("PLACE,WHAT,VALUE\nrecord,date,2027-04-10\nrecord,by,owner\nS-S1,lean,abc\n", "season.csv:4: posts.S-S1.lean"),
        ("PLACE,WHAT,VALUE\nS-F-U,bottlescrew,60 mm\n", "valid: tension, note, lashing, lashing start, seen"),
        ("PLACE,WHAT,VALUE\nS-S1,height,600\n", "valid: lean, rake, note, seen, photograph"),
    ],
)
def test_bad_readings_are_refused(rows, message):
    with pytest.raises(InputError) as caught:
        read_season(rows.encode(), "season.csv", refit_of("saltwhin-31"))
    assert message in str(caught.value)


def test_a_season_in_yaml_is_read_with_the_line_of_a_fault():
    worked_out, text = begun()
    data = b"date: 2027-04-10\nby: owner\nruns:\n  S-F-U: {tension: 280 N, settings: {lashing: 52 mm}}\n"
    _, built = with_season(text, "record.yaml", worked_out, read_season(data, "season.yaml", worked_out))
    assert built.seasons[0].runs["S-F-U"].settings == {"lashing": 52.0}
    with pytest.raises(InputError, match=r"season\.yaml:2: bye: unknown key .* did you mean by"):
        read_season(data.replace(b"by:", b"bye:"), "season.yaml", worked_out)
    with pytest.raises(InputError, match="no such stanchion in the boat file"):
        other = read_season(data + b"posts: {S-S9: {lean: 3}}\n", "season.yaml", worked_out)
        with_season(text, "record.yaml", worked_out, other)


def test_a_lean_is_read_in_degrees():
    _, _, built = two_seasons()
    assert math.degrees(built.seasons[1].posts["S-S1"].lean) == pytest.approx(5.1)
