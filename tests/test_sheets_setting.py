"""Setting and test card read back: adjusters, log, push tests, test bar."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace

import ezdxf
import pytest

from geom.boat.file import LoadedBoat
from geom.boat.model import Rules
from geom.figure import Line, Text
from geom.refit import refit, refit_again
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.rules.measures.push_test import pushes
from geom.sheets.setting.sheet import setting_card
from geom.sheets.setting.test_bar import bar_span
from geom.tables import numbers
from geom.tables.push_cases import push_cases
from geom.units import raised
from tests.boats import NAMES, refit_of, without_tensions
from tests.line_boats import with_run
from tests.made import sheets_by
from tests.random_boats import random_refit
from tests.sheet_texts import forged, shows, texts_of
from tests.some import some

# The load of the push test, 4 kg [N].
KG_4 = 4.0 * 9.80665
ADJUST = {"lashing", "open-body turnbuckle", "over-centre gate hook"}


def sheets_of(worked_out):
    return sheets_by(setting_card, worked_out)


def with_runs(name, **stated):
    """Return a boat with something stated of all its runs."""
    loaded: LoadedBoat = refit_of(name).loaded
    runs = tuple(run.model_copy(update=stated) for run in loaded.boat.runs)
    return refit(replace(loaded, boat=loaded.boat.model_copy(update={"runs": runs})))


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


@pytest.fixture(scope="module")
def sheets(boat):
    return sheets_of(refit_of(boat))


def faults_of(sheets, boat):
    """Return what a reader of the adjusters finds at odds with the boat file."""
    texts, model, wrong = texts_of(sheets), refit_of(boat).boat, []
    fmt = numbers(model)
    for run in model.runs:
        for word, end in (("start", run.start), ("finish", run.finish)):
            for name in end.fittings:
                fitting = model.fittings[name]
                if fitting.family not in ADJUST:
                    continue
                if fitting.length.min is None and fitting.length.max is None:
                    continue
                place = end.eye or end.post
                rows = {
                    tag.split(":")[1]: text
                    for tag, text in texts.items()
                    if tag.startswith("setting:")
                    and tag.endswith(":at")
                    and texts[tag.replace(":at", ":adjuster")].startswith(fitting.family)
                }
                tag = next((f"setting:{row}" for row, text in rows.items() if place in text.split(", ")), word)
                for key, value in (
                    ("min", fitting.length.min), ("planned", fitting.length.planned), ("max", fitting.length.max)
                ):  # fmt: skip
                    shown = texts.get(f"{tag}:{key}", "-")
                    if not shows(shown, None if value is None else value / fmt.mm, fmt.decimals):
                        wrong.append(f"{tag}:{key} {shown}")
                if texts.get(f"{tag}:hand", "n/a") not in (fitting.hand or "", "n/a"):
                    wrong.append(f"{tag}:hand")
                if fitting.hand and texts.get(f"{tag}:hand") != fitting.hand:
                    wrong.append(f"{tag}:hand")
        tensions = refit_of(boat).work.tensions[run.id]
        stated = [text for tag, text in texts.items() if re.fullmatch(rf"push:{run.id}:\d+:set_to", tag)]
        wrong += [f"{run.id} {text}" for text in stated if newtons_of(text) != tensions.set_tension]
    return wrong


def newtons_of(text: str) -> float | None:
    """Return the newtons of a tension on a sheet: `341`, on inch sheets in brackets behind the pounds."""
    found = re.search(r"(\d+)\]?$", text)
    return None if found is None else float(found[1])


def test_adjusters_agree_with_the_file(sheets, boat):
    assert faults_of(sheets, boat) == []


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("setting:1:planned", "6.10"),
        ("setting:1:hand", "right"),
        ("setting:1:max", None),
        ("setting:1:hand", None),
        ("setting:1:at", "S-PULPIT-U"),
        ("setting:2:min", "5.00"),
        ("push:P-F-U:2:set_to", "69 (303)"),
    ],
)
def test_each_mutation_is_caught(tag, text):
    sheets = sheets_of(refit_of("pipwing-25"))
    assert faults_of(sheets, "pipwing-25") == []
    assert faults_of(forged(sheets, tag, text), "pipwing-25") != []


def test_half_of_a_turnbuckles_opening_is_on_each_stud():
    """PIPWING 25: opened from 5.0 to 6.0 in by two studs, the hook from 4.0 to 4.5 in by one."""
    texts = texts_of(sheets_of(refit_of("pipwing-25")))
    adjusters = [texts[f"setting:{row}:adjuster"] for row in (1, 2)]
    assert adjusters == ["open-body turnbuckle", "over-centre gate hook"]
    assert texts["setting:1:beyond_closed"] == "1.00"
    assert (texts["setting:1:per_stud"], texts["setting:2:per_stud"]) == (".50", ".50")
    assert (texts["setting:1:studs"], texts["setting:2:studs"]) == ("2", "1")
    assert "setting:1:showing" not in texts


def test_columns_that_nothing_fills_do_not_stand_there():
    """SALTWHIN 31 has lashings and hooks without range: no stud, no thread, no hand; PIPWING 25 has studs."""
    rope, wire = (texts_on(sheets_of(refit_of(name))) for name in ("saltwhin-31", "pipwing-25"))
    for head in ("PER STUD", "THREAD SHOWING", "THREAD", "HAND"):
        assert head not in rope
    assert "PER STUD" in wire
    assert "THREAD SHOWING" not in wire
    assert any("lashings every year" in text for text in rope)
    assert not any("lashing" in text or "Rope" in text for text in wire)


def texts_on(sheets):
    return [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]


def test_no_layout_fault(sheets):
    assert [fault for sheet in sheets for fault in layout(sheet).faults] == []


def test_tension_needed_is_that_of_statics():
    """T = W / (2 sin theta) at the limit, for the widest span wholly aft of the mast of SALTWHIN 31."""
    texts = texts_of(sheets_of(with_runs("saltwhin-31", set_tension=None)))
    own = refit_of("saltwhin-31").placed.runs["S-A-U"].spans[0]
    for force, key in ((KG_4, "needed_most"), (50, "needed_before")):
        needed = force / (2.0 * math.sin(math.atan2(50.0, own / 2.0)))
        assert texts[f"push:S-A-U:1:{key}"] == f"{math.ceil(needed)}"
    assert texts["push:S-A-U:1:set_to"] == texts["push:S-A-U:1:needed_most"]
    assert shows(texts["push:S-A-U:1:gives_most"], 50.0, 1)


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
def test_the_tension_as_printed_keeps_the_limit(name):
    """4 kg on a line set to the printed figure gives no more than the limit, be it in N or in lbf."""
    for case, force, tension in some(printed_tensions(refit_of(name))):
        # Square to the line, its two halves hold the force between them.
        sag = 0.5 * case.line * math.tan(math.asin(force / (2.0 * tension)))
        assert sag <= case.limit + 1e-9, (case.run, case.span, tension)


def printed_tensions(worked_out):
    """Yield each test, its force [N] and the tension as printed [N], in pounds too where the sheet says both."""
    texts = texts_of(sheets_of(worked_out))
    for case in push_cases(worked_out):
        for force, key in ((KG_4, "needed_most"), (50.0, "needed_before")):
            if case.required_by == "own":
                continue
            stated = texts.get(f"push:{case.run}:{case.span}:{key}", "")
            pounds, bracket, newtons = stated.rstrip("]").partition(" [")
            if bracket:
                yield case, force, float(newtons)
                yield case, force, float(pounds) * 4.4482216152605
            elif stated:
                yield case, force, float(stated)


@pytest.mark.parametrize("value", [340.35, 340.999, 341.0, 0.1, 60.0000000001])
def test_raised_is_never_under_its_value(value):
    assert 0.0 <= float(raised(value, 0)) - value + 1e-9 < 1.0
    assert 0.0 <= float(raised(value, 1)) - value + 1e-9 < 0.1 + 1e-9


def test_lines_that_are_on_hold_say_so():
    """SALTWHIN 31: the gate lines are too short for their buries; nothing else is on hold."""
    texts = texts_of(sheets_of(refit_of("saltwhin-31")))
    assert texts["push:S-G-L:1:run"] == "S-G-L, on hold"
    assert texts["push:S-F-L:2:run"] == "S-F-L"
    assert any("on hold: cannot be made" in text for tag, text in texts.items() if tag.startswith("key:"))
    assert not any("on hold" in text for text in texts_on(sheets_of(refit_of("pipwing-25"))))


def test_both_readings_of_the_widest_span_stand_there():
    """SALTWHIN 31: the widest span wholly aft is S4 to the pushpit; S1 to S2 has the mast beside it."""
    texts = texts_of(sheets_of(refit_of("saltwhin-31")))
    assert texts["push:S-A-U:1:clause"] == "a) widest, all aft"
    assert texts["push:S-F-U:2:clause"] == "a) widest, beside mast"
    assert "push:P-F-U:2:clause" not in texts
    assert texts["push:S-F-U:2:supports"] == "1734.7"
    assert texts["push:S-A-U:1:supports"] == "1718.8"
    assert texts["push:S-A-U:1:line"] == "1698.8"


@pytest.mark.parametrize("name", NAMES)
def test_every_span_that_the_rules_test_has_its_row(name):
    """The rule's own list of spans: the widest of upper lines, every span of the others; and each line has a row."""
    worked_out = refit_of(name)
    placed = worked_out.placed
    required_by = {
        (push.measure.run, int(push.measure.place.rpartition("-")[2]))
        for upper, limit in ((True, 50.0), (False, 120.0))
        for push in pushes(placed, KG_4, limit, upper)
    }
    cases = push_cases(worked_out)
    listed = {(case.run, case.span) for case in cases if case.required_by != "own"}
    assert listed == required_by
    mast = worked_out.boat.boat.mast_x
    aft = {run.id for run in placed.runs.values() if max(point[0] for point in run.points) > mast}
    assert {case.run for case in cases} == aft


def test_a_line_is_set_to_its_highest_figure():
    """A line has one tension: the sheet says the greatest tension that one of its tested spans needs."""
    worked_out = without_tensions("saltwhin-31")
    texts = texts_of(sheets_of(worked_out))
    asked = [case for case in push_cases(worked_out) if case.required_by != "own"]
    for run in some({case.run for case in asked}):
        spans = [case.span for case in asked if case.run == run]
        figures = [float(texts[f"push:{run}:{span}:needed_most"]) for span in spans]
        assert {float(texts[f"push:{run}:{span}:set_to"]) for span in spans} == {max(figures)}


def test_inch_sheets_write_pounds_force_first():
    """1 lbf = 4.4482216152605 N (international yard and pound agreement 1959, standard gravity)."""
    text = texts_of(sheets_of(refit_of("pipwing-25")))["push:P-F-U:2:needed_most"]
    pounds, newtons = text.rstrip("]").split(" [")
    assert 0.0 <= float(pounds) - float(newtons) / 4.4482216152605 < 1.0


def test_expected_deflections_are_those_that_the_rules_judge_by():
    """The rule's own measures for the same span and force, computed in another way."""
    stated = with_runs("saltwhin-31", set_tension=300.0)
    judged = {
        (push.measure.run, int(push.measure.place.rpartition("-")[2])): push
        for push in (*pushes(stated.placed, KG_4, 50.0, True), *pushes(stated.placed, KG_4, 120.0, False))
    }
    texts = texts_of(sheets_of(stated))
    compared = 0
    for case in push_cases(stated):
        if case.required_by != "own":
            tag, push = f"push:{case.run}:{case.span}", judged[(case.run, case.span)]
            assert shows(texts[f"{tag}:gives_most"], push.measure.value, 1)
            assert shows(texts[f"{tag}:gives_least"], push.minimum, 1)
            assert texts[f"{tag}:set_to"] == "300"
            compared += 1
    assert compared == 11


def test_without_a_mast_the_card_says_so():
    loaded = refit_of("saltwhin-31").loaded
    identity = loaded.boat.boat.model_copy(update={"mast_x": None})
    texts = texts_of(sheets_of(refit(replace(loaded, boat=loaded.boat.model_copy(update={"boat": identity})))))
    assert "not determined" in texts["push:none"]
    assert not any(tag.startswith("push:S") for tag in texts)


def test_bar_and_block_measure_what_they_say(boat, sheets):
    """The bar passes the widest span by 50 mm at each end; the block is 50 by 120 mm where there are two lines."""
    page = next(sheet for sheet in sheets if sheet.views)
    doc = ezdxf.read(io.StringIO(dxf_bytes(page, "cad").decode("utf-8")))
    tagged = {one.get_xdata("TOERAIL")[0].value: one for one in doc.modelspace() if one.has_xdata("TOERAIL")}
    factor = numbers(refit_of(boat).boat).mm
    size = {
        tag: one.get_measurement() * doc.dimstyles.get(one.dxf.dimstyle).dxf.dimlfac * factor
        for tag, one in tagged.items()
        if one.dxftype() == "DIMENSION"
    }
    assert size["block:upper"] == pytest.approx(50.0)
    two_lines = any(run.level == "L" for run in refit_of(boat).boat.runs)
    assert size["block:other"] == pytest.approx(120.0 if two_lines else {1.0: 100.0, 25.4: 101.6}[factor])
    assert size["bar:length"] >= size["bar:supports"] + 100.0 - 1e-6
    assert size["bar:length"] < size["bar:supports"] + 100.0 + (12.7 if factor == 25.4 else 10.0)
    assert size["bar:middle"] == pytest.approx(size["bar:length"] / 2.0)
    widest = max((case.supports for case in push_cases(refit_of(boat))), default=size["bar:supports"])
    assert size["bar:supports"] == pytest.approx(widest)


def test_the_weight_is_the_force_over_standard_gravity(sheets):
    """9.80665 m/s2 (3rd CGPM 1901): 4 kg is 39.2 N, 50 N is 5.10 kg."""
    text = texts_of(sheets)["step:2"]
    assert "4.00 kg" in text and "39.2 N" in text
    assert f"{50 / 9.80665:.2f} kg" in text


def test_the_bar_lies_clear_of_the_line_beside_tubes_that_are_drawn():
    """The tube stands above the line's hole: bar and line share no place, the tube shows below the bar."""
    page = next(sheet for sheet in sheets_of(refit_of("saltwhin-31")) if sheet.views)
    elevation, section = page.views
    half = bar_span(refit_of("saltwhin-31")).length / 2.0
    edges = {round(one.start[0], 3) for one in elevation.items if isinstance(one, Line) and one.layer == "POST"}
    assert edges == {round(sign * half + off, 3) for sign in (-1.0, 1.0) for off in (-12.5, 12.5)}
    bar = next(one for one in section.items if getattr(one, "tag", "") == "bar:section")
    assert max(x for x, _ in bar.points) == pytest.approx(-12.5)
    line = next(one for one in section.items if getattr(one, "tag", "") == "section:loaded")
    block = next(one for one in section.items if getattr(one, "tag", "") == "block")
    assert line.centre[1] + line.radius == pytest.approx(min(y for _, y in block.points)) == pytest.approx(-50.0)
    assert min(x for x, _ in block.points) < 0.0 < max(x for x, _ in block.points)


@pytest.mark.parametrize(
    ("edition", "says", "set_to"),
    [("2024", "3.14.2 a) and b), 2024 (from memory, verify)", "341"), ("2014", "3.14.2 a) and b), 2014", "348"),
     ("2008", "3.14.2 a) and b), 2008", "435")],
)  # fmt: skip
def test_the_tests_follow_the_edition_in_force(edition, says, set_to):
    """4 kg in 2024, 40 N in 2014, 50 N in 2008: S1 to S2 of 1734.7 mm needs 340.8, 347.5 and 434.4 N at 50 mm."""
    loaded = without_tensions("saltwhin-31").loaded
    rules = Rules(documents=("osr",), editions={"osr": edition})
    worked_out = refit(replace(loaded, boat=loaded.boat.model_copy(update={"rules": rules})))
    sheets = sheets_of(worked_out)
    assert says in " ".join(texts_on(sheets))
    assert texts_of(sheets)["push:S-F-U:2:set_to"] == set_to


def test_posts_that_the_test_may_bring_down_are_warned_of():
    """The lower bound for S-A-U, posts rigid, is 30 N; the weight of the test is 4 kg, by the older wording 5.1 kg."""
    worked_out = refit_of("saltwhin-31")
    texts, spans = texts_of(sheets_of(worked_out)), {(case.run, case.span) for case in push_cases(worked_out)}
    warned = {tag.rpartition(":")[0] for tag in texts if tag.startswith("collapse:")}
    lower = {
        (fall.run, fall.number): fall.collapses.lower
        for fall in worked_out.loads.falls
        if fall.place.code == "fall.mid_span" and (fall.run, fall.number) in spans
    }
    assert warned == {"collapse:S-A-U:1", "collapse:P-A-U:1"}
    assert {f"collapse:{run}:{span}" for (run, span), push in lower.items() if push < KG_4} <= warned
    assert texts["collapse:S-A-U:1:lower"] == f"{lower['S-A-U', 1]:.0f}"
    assert not any(tag.startswith("collapse:") for tag in texts_of(sheets_of(refit_of("pipwing-25"))))


def test_lines_that_bend_their_stanchions_as_set_are_warned_of():
    """S-S1 yields under S-F-U alone at about 1090 N, see the threading plan; as stated, at 350 N, it does not."""
    boat = refit_of("saltwhin-31")
    strained = refit_again(boat, with_run(boat.boat, "S-F-U", set_tension=1500.0))
    warned = {tag: text for tag, text in texts_of(sheets_of(strained)).items() if tag.startswith("yields:")}
    assert warned == {
        "yields:1:posts": "S-S1, S-S3",
        "yields:1:lines": "S-F-U 1500; S-F-L 150",
        "yields:2:posts": "S-S3",
        "yields:2:lines": "S-G-U 350; S-G-L 150",
    }
    assert not any(tag.startswith("yields:") for tag in texts_of(sheets_of(boat)))


def test_without_stiffness_the_list_has_no_columns_for_rigid_ends():
    """What no line has is left out of the list; the key says why, once."""
    texts = texts_of(sheets_of(random_refit(117)))
    assert not [tag for tag in texts if tag.endswith((":needed_least", ":gives_least"))]
    assert [tag for tag in texts if tag.endswith(":gives_most")]
    assert sum("stiffness of the line is not stated" in text for text in texts.values()) == 1
