"""Orders: a finished wire line is rebuilt from the order's figures alone; quantities are those of the order list."""

from __future__ import annotations

import json
import math
import re
from functools import cache

import pytest

from geom.boat.file import read_boat
from geom.export import check_report
from geom.paperwork.orders.papers import FITTINGS, NETS, ROPE, TUBES, WIRE, order_sheets
from geom.paperwork.orders.wire import wire_lines
from geom.refit import Refit, refit
from geom.sheets.order.sheet import order_list
from geom.sheets.wire_ends.sheet import wire_ends_sheet
from tests.boats import BOATS, ROOT, refit_of
from tests.made import sheets_by
from tests.papers import faults
from tests.random_boats import random_data
from tests.random_kinds import with_terminals
from tests.sheet_texts import forged, texts_of
from tests.some import some

# Of sides, levels, gates, millimetres and inches.
SEEDS = (2, 3, 5, 9, 14)


@cache
def wired(seed: int) -> Refit:
    """Return a random boat with lines of wire, swaged at both ends, a turnbuckle and a gate hook on each."""
    data = random_data(seed)
    with_terminals(data)
    return refit(read_boat(json.dumps(data).encode(), f"wired boat {seed}"))


def sheets_of(worked_out: Refit, paper):
    return dict(order_sheets(worked_out))[paper]


def figures(text: str) -> list[float]:
    return [] if text == "-" else [float(part) for part in text.split(" + ")]


def rebuilt(texts: dict[str, str], run: str, mm: float) -> tuple[float, float, float]:
    """Return the length of a line as a sum of the printed figures, and the length and stretch printed [mm]."""
    parts = []
    for end in ("start", "finish"):
        parts += figures(texts[f"wire:{run}:{end}:fittings"]) + figures(texts[f"wire:{run}:{end}:adds"])
    parts += figures(texts[f"wire:{run}:wire"])
    printed = float(texts[f"wire:{run}:pin-to-pin"]), float(texts[f"wire:{run}:stretch"])
    return math.fsum(parts) * mm, printed[0] * mm, printed[1] * mm


def at_odds(sheets, report, mm: float) -> list[str]:
    """Return the wire lines whose order does not rebuild the path of check.json to a tenth of a millimetre."""
    texts, found = texts_of(sheets), []
    for run in report["runs"]:
        name = run["id"]
        if f"wire:{name}:wire" not in texts:
            continue
        whole, printed, stretch = rebuilt(texts, name, mm)
        if abs(whole - printed) > 0.1 or abs(whole + stretch - run["path_mm"]) > 0.1:
            found.append(f"{name}: {whole} {printed} {run['path_mm']}")
        if abs(figures(texts[f"wire:{name}:wire"])[0] * mm - run["cut_mm"]) > 0.06:
            found.append(f"{name}: cut")
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_a_finished_wire_line_is_rebuilt_from_the_order_alone(seed):
    worked_out = wired(seed)
    sheets, report = sheets_of(worked_out, WIRE), check_report(worked_out)
    mm = 25.4 if worked_out.boat.units.length == "in" else 1.0
    ready = [line for line in wire_lines(worked_out) if not line.hold]
    assert len(some(wire_lines(worked_out))) == len(worked_out.boat.runs)
    texts = texts_of(sheets)
    assert len(ready) > 0.7 * len(worked_out.boat.runs)
    assert all(f"wire:{line.run}:wire" in texts for line in some(ready))
    assert at_odds(sheets, report, mm) == []
    assert faults(sheets) == []


def test_an_order_that_is_a_millimetre_off_is_caught():
    worked_out = wired(2)
    sheets, run = sheets_of(worked_out, WIRE), worked_out.boat.runs[0].id
    cut = texts_of(sheets)[f"wire:{run}:wire"]
    wrong = forged(sheets, f"wire:{run}:wire", f"{float(cut) + 1.0:.1f}")
    assert at_odds(wrong, check_report(worked_out), 1.0) != []


def test_a_swage_needed_on_board_puts_the_line_on_hold():
    """Swages of 30 mm pass no hole: a line that passes one would have to be swaged on board."""
    text = (ROOT / "templates" / "boats" / "open-transom-36.yaml").read_text("utf-8")
    text = text.replace("family: compression terminal", "family: swaged stud").replace("width: 10", "width: 30")
    worked_out = refit(read_boat(text.encode(), "swaged.yaml"))
    held = [line for line in wire_lines(worked_out) if line.hold]
    texts = texts_of(sheets_of(worked_out, WIRE))
    for line in some(held):
        assert line.wire is None and line.pin_to_pin is None
        assert f"wire:{line.run}:held" in texts and f"wire:{line.run}:wire" not in texts


def test_the_lengths_and_counts_are_those_of_the_order_list():
    """One figure for one thing: the paper for the supplier prints what sheet R7 prints."""
    worked_out = refit_of("saltwhin-31")
    rope, fittings = texts_of(sheets_of(worked_out, ROPE)), texts_of(sheets_of(worked_out, FITTINGS))
    listed = texts_of(sheets_by(order_list, worked_out))
    assert rope["rope:guard rope:bought"] == listed["order:guard rope:total"]
    for order in some(worked_out.order.lines):
        for piece in some(order.pieces):
            if f"piece:{piece.name}:length" in listed:
                assert rope[f"rope:piece:{piece.name}:length"] == listed[f"piece:{piece.name}:length"]
    # A cord of 2743.2 is ordered as 2744 by both.
    cords = [(f"cord:{n}", f"small:{n}") for n in (1, 2)]
    assert [(rope[f"{o}:count"], rope[f"{o}:length"]) for o, _ in cords] == [
        (listed[f"{r}:count"], listed[f"{r}:length"]) for _, r in cords
    ]
    by_part = {listed[f"buy:{n}:part"]: listed[f"buy:{n}:count"] for n in range(1, 40) if f"buy:{n}:part" in listed}
    for tag, part in some((tag, text) for tag, text in fittings.items() if re.fullmatch(r"part:\d+:part", tag)):
        assert fittings[f"{tag.removesuffix(':part')}:count"] == by_part[part]


def test_a_reel_plan_is_on_the_order_of_rope():
    text = (
        (BOATS / "saltwhin-31.yaml")
        .read_text("utf-8")
        .replace("    strands: 12\n", "    strands: 12\n    reels: [50 m]\n")
    )
    worked_out = refit(read_boat(text.encode(), "reels.yaml"))
    texts = texts_of(sheets_of(worked_out, ROPE))
    assert texts["rope:guard rope:bought"] == "50.00 m"
    assert float(texts["rope:guard rope:reel:1:left"]) == 50000.0 - 35760.0


def test_suppliers_with_nothing_to_deliver_get_no_paper():
    assert {paper.name for paper, _ in order_sheets(refit_of("saltwhin-31"))} == {ROPE.name, FITTINGS.name}
    assert {paper.name for paper, _ in order_sheets(refit_of("pipwing-25"))} == {WIRE.name, FITTINGS.name}
    designed = refit(read_boat((BOATS / "open-transom-36.yaml").read_bytes(), "designed.yaml"))
    assert TUBES in dict(order_sheets(designed))


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25", "open-transom-36", "yacht-52", "catamaran-39"])
def test_no_layout_fault(name):
    worked_out = refit(read_boat((BOATS / f"{name}.yaml").read_bytes(), name))
    for _, sheets in some(order_sheets(worked_out)):
        assert faults(some(sheets)) == []


def test_nets_on_their_order_are_those_of_check_json():
    worked_out = refit(read_boat((BOATS / "catamaran-39.yaml").read_bytes(), "catamaran-39.yaml"))
    sheets, report = sheets_of(worked_out, NETS), check_report(worked_out)
    texts = texts_of(sheets)
    for net in some(report["nets"]):
        assert float(texts[f"net:{net['id']}:edge-cord:length"]) == math.ceil(net["edge_cord_mm"])
        assert float(texts[f"net:{net['id']}:area"]) == pytest.approx(net["area_m2"], abs=0.0051)
        assert texts.get(f"net:{net['id']}:along", "None") == str(net["meshes_along"])
        edges = [float(text) for tag, text in texts.items() if re.fullmatch(rf"edge:{net['id']}:.*:length", tag)]
        assert math.fsum(some(edges)) == pytest.approx(net["edge_cord_mm"], abs=0.1 * len(edges))
    assert faults(sheets) == []
    assert NETS not in dict(order_sheets(refit_of("saltwhin-31")))


def test_the_opening_of_each_adjuster_by_hand():
    """A turnbuckle of 5.0 to 7.5 in, set at 6.0: opened by 1 in; a hook of 4.0 to 5.0, set at 4.5: by half an inch."""
    texts = texts_of(sheets_of(refit_of("pipwing-25"), WIRE))
    assert (texts["wire:fitting:turnbuckle:set"], texts["wire:fitting:turnbuckle:opened"]) == ("6", "1")
    assert (texts["wire:fitting:hook:set"], texts["wire:fitting:hook:opened"]) == ("4.5", "0.5")
    seeded = texts_of(sheets_of(wired(2), WIRE))
    assert seeded["wire:fitting:toggle:opened"] == "-" and seeded["wire:fitting:gate hook:opened"] == "TBC"


@pytest.mark.parametrize(("name", "end", "mark"), [("yacht-52", "start", "50"), ("open-transom-36", "finish", "46")])
def test_the_order_says_how_far_the_wire_goes_into_each_terminal(name, end, mark):
    """What the starter states as `insertion`, on the wire order and on the sheet of wire ends alike."""
    assert texts_of(sheets_of(refit_of(name), WIRE))[f"wire:S-F-U:{end}:mark"] == mark
    assert texts_of(sheets_by(wire_ends_sheet, refit_of(name)))[f"wire-end:S-F-U:{end}:mark"] == f"{mark}.0"
