"""The gate detail: each level's chain adds up to hole to hole, computed independently and as printed; lines on hold."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from geom.figure import Dimension, Line
from geom.refit import refit
from geom.rigging.gate_chain import gate_chains
from geom.sheets.gate.sheet import adding_up, gate_sheets
from geom.tables import numbers
from tests.boats import NAMES, refit_of
from tests.made import sheets_by
from tests.post_reference import hole_at
from tests.sheet_texts import texts_of
from tests.some import some


def figures(text):
    return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.mark.parametrize("name", NAMES)
def test_a_boat_has_a_sheet_for_each_pair_of_gates(name):
    worked_out = refit_of(name)
    sheets = sheets_by(gate_sheets, worked_out)
    assert len(sheets) == len({gate[2:] for gate in worked_out.placed.gates})


def test_chains_add_up_to_hole_to_hole():
    """20 + 575.5 + 105 + 20 = 720.5 and 12.5 + 695.5 + 12.5 = 720.5 on the starboard gate of the demonstration."""
    worked_out = refit_of("saltwhin-31")
    for gate in some(worked_out.placed.gates.values()):
        forward, aft = (worked_out.boat.post(name) for name in gate.names)
        for chain in some(gate_chains(worked_out.placed, worked_out.work, gate)):
            apart = float(np.linalg.norm(hole_at(forward, chain.level) - hole_at(aft, chain.level)))
            assert chain.hole_to_hole == pytest.approx(apart)
            assert math.fsum(term.length for term in chain.terms) == pytest.approx(apart)
            assert math.fsum((*chain.faces, chain.clear)) == pytest.approx(apart)
            kinds = [term.kind for term in chain.terms]
            assert kinds in (["eye", "line", "fitting", "eye"], ["eye", "fitting", "line", "eye"])
    cells = texts_of(sheets_by(gate_sheets, worked_out))
    assert cells["sum:S-GATE:0"] == "20.0 + 575.5 + 105.0 + 20.0 = 720.5"
    assert cells["sum:S-GATE:1"] == "12.5 + 695.5 + 12.5 = 720.5"
    for tag, text in some([(tag, text) for tag, text in cells.items() if tag.startswith("sum:")]):
        *parts, total = figures(text)
        assert math.fsum(parts) == pytest.approx(total, abs=1e-9), tag


def test_a_sum_takes_the_decimals_that_it_needs():
    """A third and two thirds: 0.33 + 0.67 = 1.00, but 1.005 + 1.005 = 2.01 needs a decimal more than 1.00 + 1.00."""
    inches = numbers(refit_of("pipwing-25").boat)
    assert adding_up((1.0 / 3.0 * 25.4, 2.0 / 3.0 * 25.4), 25.4, inches) == ".33 + .67 = 1.00"
    *parts, total = figures(adding_up((1.004 * 25.4, 1.004 * 25.4), 2.008 * 25.4, inches))
    assert math.fsum(parts) == pytest.approx(total, abs=1e-9)
    assert total == 2.008


def test_the_table_is_the_chain_and_dimensions_are_true():
    worked_out = refit_of("saltwhin-31")
    (sheet,) = sheets_by(gate_sheets, worked_out)
    cells = texts_of((sheet,))
    dimensions = {item.tag: item for view in sheet.views for item in view.items if isinstance(item, Dimension)}
    for gate in some(worked_out.placed.gates.values()):
        for chain in some(gate_chains(worked_out.placed, worked_out.work, gate)):
            row = f"F4:{gate.id}:{chain.level}"
            wanted = {"hole-to-hole": chain.hole_to_hole, "clear": chain.clear, "pin-to-pin": chain.pin_to_pin,
                      "finished": chain.finished, "fittings": chain.fittings}  # fmt: skip
            for key, value in some(wanted.items()):
                assert float(cells[f"{row}:{key}"]) == pytest.approx(value, abs=0.0501)
            for key in some(("hole-to-hole", "clear", "pin-to-pin")):
                one = dimensions.get(f"gate:{gate.id}:{chain.level}:{key}")
                if one is not None:
                    true = math.dist((*one.start, one.levels[0]), (*one.end, one.levels[1]))
                    assert true == pytest.approx(wanted[key], abs=1e-6)
        assert f"gate:{gate.id}:U:hole-to-hole" in dimensions and f"gate:{gate.id}:U:clear" in dimensions


def test_the_bow_is_at_the_left_from_starboard_and_posts_stand_in_their_order():
    """From inboard, looking to starboard, forward is at the left; looking to port, at the right."""
    worked_out = refit_of("saltwhin-31")
    (sheet,) = sheets_by(gate_sheets, worked_out)
    for view in some(sheet.views):
        gate = worked_out.placed.gates[view.name.removeprefix("gate-")]
        at = {item.tag: item.points[0][0] for item in view.items if getattr(item, "tag", "").startswith("post:")}
        forward, aft = (at[f"post:{name}"] for name in gate.names)
        assert (forward < aft) == (gate.side == "S")


def test_lines_on_hold_are_hollow_and_the_sheet_says_why():
    worked_out = refit_of("saltwhin-31")
    (sheet,) = sheets_by(gate_sheets, worked_out)
    lines = [item for view in sheet.views for item in view.items if isinstance(item, Line)]
    held = {line.tag.split(":")[1] for line in lines if line.tag.startswith("held:")}
    assert held == {run for run, work in worked_out.work.runs.items() if work.refused}
    assert not any(line.layer.startswith("GUARD-LINE") for line in lines)
    cells = texts_of((sheet,))
    assert cells["stamp"] == "ON HOLD" and cells["stamp:why"] == "open items 1, 2, 3"
    assert {tag for tag in cells if tag.startswith("choice:") and tag.count(":") == 1} >= {"choice:0", "choice:1"}


def test_a_gate_whose_lines_fit_is_not_on_hold():
    """The same gates with a short splice: 2 x 150 of bury in 575 of line."""
    worked_out = refit_of("saltwhin-31")
    lines = {
        name: line.model_copy(update={"splice_rule": line.splice_rule, "diameter": 2.0})
        for name, line in worked_out.boat.lines.items()
    }
    thin = refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"lines": lines})))
    assert not any(thin.work.runs[run].refused for run in ("S-G-U", "P-G-U"))
    (sheet,) = sheets_by(gate_sheets, thin)
    tags = [item.tag for view in sheet.views for item in view.items if isinstance(item, Line)]
    assert "line:S-G-U" in tags and "held:S-G-U" not in tags
    assert "stamp:why" in texts_of((sheet,)) and texts_of((sheet,))["stamp"] != "ON HOLD"


def test_a_line_through_a_removable_post_is_longer_than_its_pins_are_apart():
    """Its length is in the table and in the sum, which says so; no dimension has another figure for it."""
    worked_out = refit_of("yacht-52")
    gate = worked_out.placed.gates["S-AFTGATE"]
    chain = gate_chains(worked_out.placed, worked_out.work, gate)[0]
    assert chain.pin_to_pin is not None and chain.pin_to_pin > chain.hole_to_hole - 40.0
    cells = texts_of(sheets_by(gate_sheets, worked_out))
    assert cells["sum:S-AFTGATE:0"].endswith(", through S-S8") and "through" not in cells["sum:S-GATE:0"]
    sheets = sheets_by(gate_sheets, worked_out)
    tags = {item.tag for sheet in sheets for view in sheet.views for item in view.items if isinstance(item, Dimension)}
    assert "gate:S-GATE:U:pin-to-pin" in tags and "gate:S-AFTGATE:U:pin-to-pin" not in tags


def test_the_gates_of_the_demonstration_boat_are_drawn_at_1_to_5():
    (sheet,) = sheets_by(gate_sheets, refit_of("saltwhin-31"))
    assert [view.scale for view in sheet.views] == [0.2, 0.2]
