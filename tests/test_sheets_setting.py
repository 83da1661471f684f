"""Setting and test card read back: adjusters, log, push tests, test bar."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import pytest

from geom.boat.file import LoadedBoat
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.rules.push import pushes
from geom.schedules import numbers
from geom.sheets.draft import finish
from geom.sheets.setting_card import setting_card
from geom.sheets.setting_lists import push_cases
from tests.boats import NAMES, refit_of
from tests.random_boats import random_refit
from tests.sheet_texts import forged, shows, texts_of

ADJUST = {"lashing", "open-body turnbuckle", "over-centre gate hook"}


def sheets_of(worked_out):
    drafts = setting_card(worked_out)
    return tuple(finish(worked_out, draft, k + 1, len(drafts)) for k, draft in enumerate(drafts))


def with_runs(name, **told):
    """Return a boat with something told of all its runs."""
    loaded: LoadedBoat = refit_of(name).loaded
    runs = tuple(run.model_copy(update=told) for run in loaded.boat.runs)
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
    how = numbers(model)
    for run in model.runs:
        for word, end in (("start", run.start), ("finish", run.finish)):
            for name in end.fittings:
                fitting = model.fittings[name]
                if fitting.family not in ADJUST:
                    continue
                tag = f"setting:{run.id}:{word}:{name}"
                for key, value in (
                    ("least", fitting.length.least), ("planned", fitting.length.planned), ("most", fitting.length.most)
                ):  # fmt: skip
                    shown = texts.get(f"{tag}:{key}", "")
                    if not shows(shown, None if value is None else value / how.mm, how.decimals):
                        wrong.append(f"{tag}:{key} {shown}")
                if texts.get(f"{tag}:hand") != (fitting.hand or "-"):
                    wrong.append(f"{tag}:hand")
        tension = "not stated" if run.set_tension is None else f"{run.set_tension:.0f}"
        if texts.get(f"log:{run.id}:stated") != tension:
            wrong.append(f"log:{run.id}")
    return wrong


def test_adjusters_stand_as_the_file_tells(sheets, boat):
    assert faults_of(sheets, boat) == []


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("setting:S-F-U:start:turnbuckle:planned", "6.10"),
        ("setting:S-F-U:finish:hook:hand", "right"),
        ("setting:P-F-U:start:turnbuckle:most", None),
        ("log:S-F-U:stated", "300"),
    ],
)
def test_each_mutation_is_caught(tag, text):
    sheets = sheets_of(refit_of("pipwing-25"))
    assert faults_of(sheets, "pipwing-25") == []
    assert faults_of(forged(sheets, tag, text), "pipwing-25") != []


def test_half_of_a_turnbuckles_opening_is_on_each_stud():
    """PIPWING 25: opened from 5.0 to 6.0 in by two studs, the hook from 4.0 to 4.5 in by one."""
    texts = texts_of(sheets_of(refit_of("pipwing-25")))
    assert texts["setting:S-F-U:start:turnbuckle:beyond_closed"] == "1.00"
    assert texts["setting:S-F-U:start:turnbuckle:per_stud"] == "0.50"
    assert texts["setting:S-F-U:finish:hook:per_stud"] == "0.50"
    assert texts["setting:S-F-U:start:turnbuckle:showing"] == "-"


def test_no_layout_fault(sheets):
    assert [fault for sheet in sheets for fault in layout(sheet).faults] == []


@pytest.mark.parametrize("seed", range(10))
def test_no_layout_fault_on_random_boats(seed):
    assert [fault for sheet in sheets_of(random_refit(seed)) for fault in layout(sheet).faults] == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10, 100))
def test_no_layout_fault_on_many_random_boats(seed):
    assert [fault for sheet in sheets_of(random_refit(seed)) for fault in layout(sheet).faults] == []


def test_tension_needed_is_that_of_statics():
    """T = W / (2 sin theta) at the limit, for the widest span wholly aft of the mast of SALTWHIN 31."""
    texts = texts_of(sheets_of(refit_of("saltwhin-31")))
    own = refit_of("saltwhin-31").placed.runs["S-A-U"].spans[0]
    for force in (40, 50):
        needed = force / (2.0 * math.sin(math.atan2(50.0, own / 2.0)))
        assert texts[f"push:S-A-U:1:{force}:needed_most"] == f"{needed:.0f}"
        assert texts[f"push:S-A-U:1:{force}:gives_most"] == "cannot tell"


def test_both_readings_of_the_widest_span_stand_there():
    """SALTWHIN 31: the widest span wholly aft is S4 to the pushpit; S1 to S2 has the mast beside it."""
    texts = texts_of(sheets_of(refit_of("saltwhin-31")))
    assert texts["push:S-A-U:1:40:mast"] == "forward"
    assert texts["push:S-F-U:2:40:mast"] == "beside it"
    assert texts["push:S-F-U:2:40:supports"] == "1734.7"
    assert texts["push:S-A-U:1:40:supports"] == "1718.8"


def test_expected_deflections_are_those_that_the_rules_judge_by():
    """The rule's own measures for the same span and force, worked out on another way."""
    told = with_runs("saltwhin-31", set_tension=300.0)
    judged = {
        (push.measure.run, int(push.measure.place.rpartition("-")[2])): push
        for push in (*pushes(told.placed, 40.0, 50.0, True), *pushes(told.placed, 40.0, 120.0, False))
    }
    texts = texts_of(sheets_of(told))
    compared = 0
    for case in push_cases(told):
        if case.force == 40.0:
            tag, push = f"push:{case.run}:{case.span}:40", judged[(case.run, case.span)]
            assert shows(texts[f"{tag}:gives_most"], push.measure.value, 1)
            assert shows(texts[f"{tag}:gives_least"], push.least, 1)
            assert texts[f"{tag}:set_to"] == "300"
            compared += 1
    assert compared == 6


def test_without_a_mast_the_card_says_so():
    loaded = refit_of("saltwhin-31").loaded
    identity = loaded.boat.boat.model_copy(update={"mast_x": None})
    texts = texts_of(sheets_of(refit(replace(loaded, boat=loaded.boat.model_copy(update={"boat": identity})))))
    assert "cannot tell" in texts["push:none"]
    assert not any(tag.startswith("push:S") for tag in texts)


def test_bar_and_block_measure_what_they_say(boat, sheets):
    """The bar bridges the widest span with 50 mm to spare at each end; the block is 50 by 120 mm."""
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
    assert size["block:other"] == pytest.approx(120.0)
    assert size["bar:length"] >= size["bar:supports"] + 100.0 - 1e-6
    assert size["bar:length"] < size["bar:supports"] + 100.0 + (12.7 if factor == 25.4 else 10.0)
    assert size["bar:middle"] == pytest.approx(size["bar:length"] / 2.0)
    widest = max((case.supports for case in push_cases(refit_of(boat))), default=size["bar:supports"])
    assert size["bar:supports"] == pytest.approx(widest)


def test_the_weight_is_the_force_over_standard_gravity(sheets):
    """9.80665 m/s2 (3rd CGPM 1901): 40 N is 4.08 kg, 50 N is 5.10 kg."""
    text = texts_of(sheets)["step:2"]
    assert f"{40 / 9.80665:.2f} kg" in text
    assert f"{50 / 9.80665:.2f} kg" in text
