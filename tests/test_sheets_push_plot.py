"""Push test diagrams read back: curves, limit and set tension where they must be."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from geom.boat.file import read_boat
from geom.figure import Circle, Line, Text
from geom.refit import refit
from geom.render.faults import layout
from geom.sheets.setting.diagram import axis
from geom.sheets.setting.push_curves import span_curves
from geom.sheets.setting.push_plot import push_plot
from geom.tables import numbers
from tests.boats import BOATS, NAMES, refit_of, without_tensions
from tests.made import sheets_by
from tests.sheet_texts import texts_of
from tests.some import some
from tests.test_sheets_setting import with_runs


def sheets_of(worked_out):
    return sheets_by(push_plot, worked_out)


def tagged(sheets, tag):
    return [item for sheet in sheets for item in sheet.items if getattr(item, "tag", "") == tag]


def stated_boat():
    return with_runs("saltwhin-31", set_tension=300.0)


@pytest.mark.parametrize("name", NAMES)
def test_no_layout_fault(name):
    assert [fault for sheet in sheets_of(refit_of(name)) for fault in layout(sheet).faults] == []


def test_no_layout_fault_with_tension_stated():
    assert [fault for sheet in sheets_of(stated_boat()) for fault in layout(sheet).faults] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_span_aft_of_the_mast_has_its_diagram_and_no_other(name):
    worked_out = refit_of(name)
    texts, mast = texts_of(sheets_of(worked_out)), worked_out.boat.boat.mast_x
    for run in some(worked_out.placed.runs.values()):
        for span in some(range(len(run.spans))):
            aft = max(run.points[span][0], run.points[span + 1][0]) > mast
            assert (f"plot:{run.id}:{span + 1}:head" in texts) == aft
            if aft:
                assert run.names[span + 1] in texts[f"plot:{run.id}:{span + 1}:head"]


def test_spans_that_the_rule_does_not_test_are_named():
    """Of four spans aft of or beside the mast the widest in both readings are tested: the fourth is not."""
    stated = " ".join(
        item.text for s in sheets_of(refit_of("pipwing-25")) for item in s.items if isinstance(item, Text)
    )
    assert "not required by 3.14.2 a): S-F-U 4, P-F-U 4." in stated


def test_without_a_mast_every_span_is_drawn():
    loaded = refit_of("saltwhin-31").loaded
    identity = loaded.boat.boat.model_copy(update={"mast_x": None})
    worked_out = refit(replace(loaded, boat=loaded.boat.model_copy(update={"boat": identity})))
    assert len(span_curves(worked_out)) == sum(len(run.spans) for run in worked_out.placed.runs.values())
    assert [fault for sheet in sheets_of(worked_out) for fault in layout(sheet).faults] == []


def test_every_span_has_one_diagram_in_the_order_of_the_lines():
    drafts = push_plot(refit_of("saltwhin-31"))
    heads = [item.text for draft in drafts for item in draft.items if getattr(item, "tag", "").endswith(":head")]
    named = [head.split(" span ")[0] for head in heads]
    assert len(heads) == len(set(heads)) == 16
    assert named == sorted(named, key=[one.run for one in span_curves(refit_of("saltwhin-31"))].index)
    assert all(draft.paper.height > draft.paper.width for draft in drafts)


def test_a_level_has_one_scale_and_a_line_one_governing_span():
    """T grows with the span for the same force and sag (statics), so that the longest tested span governs."""
    curves = span_curves(refit_of("saltwhin-31"))
    assert len({(span.limit, span.reach) for span in curves}) == 2
    for span in curves:
        longest = max((one for one in curves if one.run == span.run), key=lambda one: one.length)
        assert span.set_to.test_span_number == longest.span
        assert span.set_to.needed == pytest.approx(longest.needed[1])


@pytest.mark.parametrize("name", NAMES)
def test_curves_are_drawn_up_to_the_top_of_the_axis(name):
    for span in some(span_curves(refit_of(name))):
        top = axis(span.reach, 5).maximum
        assert span.rigid is None or span.rigid[-1][1] >= top
        assert span.giving[0][1] >= top


@pytest.mark.parametrize("name", NAMES)
def test_ends_giving_keep_the_force_triangle(name):
    """T = F / (2 sin theta), tan theta = deflection over half the span: any statics text."""
    for span in some(span_curves(refit_of(name))):
        for sag, tension in some(span.giving[1:]):
            assert 2.0 * tension * math.sin(math.atan2(sag, span.length / 2.0)) == pytest.approx(
                4.0 * 9.80665, abs=1e-4
            )


def between_ticks(sheets, line):
    """Return the value at which a line stands on the foot of its diagram, by the two tick numbers beside it."""
    (sheet,), at = [one for one in sheets if line in one.items], line.start
    row = [
        (item.at[0], float(item.text))
        for item in sheet.items
        if isinstance(item, Text) and item.upright == "top" and 0.0 < at[1] - item.at[1] < 4.0
    ]
    (x0, v0), (x1, v1) = max(one for one in row if one[0] <= at[0]), min(one for one in row if one[0] > at[0])
    return v0 + (v1 - v0) * (at[0] - x0) / (x1 - x0)


@pytest.mark.parametrize("name", NAMES)
def test_limit_stands_where_the_ticks_say(name):
    """The rule's limit is 50 mm on the upper or only line, 120 mm on the others, in the boat's own unit."""
    worked_out = refit_of(name)
    fmt, sheets = numbers(worked_out.boat), sheets_of(worked_out)
    for span in some(span_curves(worked_out)):
        (limit,) = [item for item in tagged(sheets, f"plot:{span.run}:{span.span}:limit") if isinstance(item, Line)]
        expected = 50.0 if span.run.endswith("U") else 120.0
        assert between_ticks(sheets, limit) * fmt.mm == pytest.approx(expected, abs=0.01)


def test_rings_stand_on_both_curves_at_the_set_tension():
    worked_out = stated_boat()
    curves = span_curves(worked_out)
    sheets = sheets_of(worked_out)
    assert all(span.set_to.set_tension == 300.0 for span in curves)
    for span in curves:
        rigid, giving = span.deflection.minimum, span.deflection.maximum
        assert rigid is not None and giving is not None
        assert rigid <= giving
        for curve, sag in ((span.rigid, rigid), (span.giving, giving)):
            assert on_curve(curve, sag) == pytest.approx(300.0, rel=0.01)
    rings = [item for sheet in sheets for item in sheet.items if isinstance(item, Circle) and item.layer == "SYMBOL"]
    assert len(rings) == 2 * len(curves)
    heights = {item.start[1] for item in [i for s in curves for i in tagged(sheets, f"plot:{s.run}:{s.span}:set-to")]}
    assert {round(ring.centre[1], 6) for ring in rings} == {round(height, 6) for height in heights}


def on_curve(points, sag):
    """Return the tension that a curve gives at a deflection, straight between its points."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if min(x0, x1) <= sag <= max(x0, x1):
            return y0 + (y1 - y0) * (sag - x0) / (x1 - x0)
    return None


def test_captions_are_the_loads_own_figures():
    worked_out = stated_boat()
    texts = texts_of(sheets_of(worked_out))
    drawn = {(span.run, span.span) for span in span_curves(worked_out)}
    for push in some(worked_out.loads.pushes):
        if (push.run, push.span + 1) not in drawn:
            continue
        text = texts[f"plot:{push.run}:{push.span + 1}:wanted"]
        assert f"needs {math.ceil(push.needed.upper)} N" in text
        as_set = texts[f"plot:{push.run}:{push.span + 1}:as-set"]
        assert as_set == f"set to 300 N: deflection {push.deflection.minimum:.0f} to {push.deflection.maximum:.0f}"


def test_without_stiffness_only_one_curve():
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    # Without a breaking load none is estimated either.
    left_out = ("stiffness:", "breaking_load:")
    without = "\n".join(line for line in text.splitlines() if not line.strip().startswith(left_out))
    assert without != text
    sheets = sheets_of(refit(read_boat(without.encode("utf-8"), "without.yaml")))
    assert not tagged(sheets, "plot:S-F-U:2:rigid")
    assert tagged(sheets, "plot:S-F-U:2:giving")
    assert "not determined" in texts_of(sheets)["plot:S-F-U:2:rigid-ends"]


@pytest.mark.parametrize(
    ("reach", "steps", "maximum", "step"),
    [(80.0, 8, 80.0, 10.0), (192.0, 8, 200.0, 50.0), (3.15, 8, 3.5, 0.5), (431.0, 5, 500.0, 100.0), (0.9, 5, 1.0, 0.2)],
)
def test_axes_take_round_steps(reach, steps, maximum, step):
    found = axis(reach, steps)
    assert (found.maximum, found.step) == (pytest.approx(maximum), pytest.approx(step))
    assert len(found.ticks) <= steps + 1


def test_gate_posts_with_the_gate_open_stand_in_the_appendix():
    worked_out = without_tensions("saltwhin-31")
    texts, found = texts_of(sheets_by(push_plot, worked_out)), 0
    for gate in worked_out.loads.gates:
        for brace, posts in (("as built", gate.as_built), ("left out", gate.unbraced)):
            for post in posts:
                tag = f"gate-post:{post.id}:{brace}"
                assert texts[f"{tag}:stress"] == f"{post.stress:.0f}"
                assert texts[f"{tag}:state"] == post.state
                assert texts[f"{tag}:of_proof"] == f"{post.yield_utilisation:.2f}"
                assert texts[f"{tag}:at"] == "; ".join(f"{one.run} {one.set_tension:.0f}" for one in post.tensions)
                found += 1
    assert found == 8
    assert texts["gate-post:S-S3:as built:hook"] == "either stanchion"


def test_a_deflection_within_its_limit_is_not_rounded_over_it_on_inch_sheets():
    """1.96 in of 1.97 in: in tenths it would be 2.0."""
    texts = texts_of(sheets_by(push_plot, refit_of("pipwing-25")))
    said = [text for text in texts.values() if "deflection 1.1" in text or "deflection 1.2" in text]
    assert said
    assert all(float(text.rsplit(" ", 1)[1]) <= 1.97 for text in said)


def test_a_span_beside_the_mast_that_governs_its_line_says_both_in_one_statement():
    texts = texts_of(sheets_of(refit_of("keelboat-16")))
    said = texts["plot:S-F-U:1:wanted"]
    assert said.endswith("this span governs its line, if one beside the mast counts")
    assert "plot:S-F-U:1:mast" not in texts
    beside = texts_of(sheets_of(refit_of("first-try")))
    assert beside["plot:S-F-U:2:mast"] == "mast beside this span: it may not count"
    assert "governs" not in beside["plot:S-F-U:2:wanted"]
