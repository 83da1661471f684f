"""No lettering on lettering or strokes, nothing out of frame, cell or window: demonstration and random boats."""

from __future__ import annotations

from dataclasses import replace

import pytest

from geom.boat.file import read_boat
from geom.drafting.sheet import finish
from geom.refit import refit
from geom.render.faults import layout
from geom.sheets import SHEETS, drawing_set
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.stanchions.sheet import stanchion_sheets
from tests.boats import NAMES, refit_of
from tests.counts import seeds
from tests.fuzz.odd_boats import odd_boat
from tests.made import QUICK, sheets_by
from tests.random_boats import ODD, random_boat, random_refit
from tests.random_kinds import random_kind

# Seeds with the least room for names: a gate in the bow, a wide gate of three lines, lines across a catamaran, one
# post between two long spans.
CROWDED = (15, 8, 26, 227)
# Seeds of odd shapes: a stanchion that leans between upright ones, 36 a side on 29 m, a foot on a steep pad, eyes
# longer than their line, a stanchion that leans far out between those that lean far in, a gate that one leans into, a
# hole within a long eye, a narrow gate between spans that lie aslant of it.
ODD_SHAPES = (121, 238, 317, 321, 930, 765, 860, 520, 601)


def faults_of(make, worked_out):
    sheets = sheets_by(make, worked_out)
    return [f"{sheet.name}: {fault}" for sheet in sheets for fault in layout(sheet).faults]


def faults_on_all(worked_out):
    return [f"{sheet.name}: {fault}" for sheet in drawing_set(worked_out) for fault in layout(sheet).faults]


@pytest.mark.parametrize("make", SHEETS, ids=lambda make: make.__name__)
@pytest.mark.parametrize("name", NAMES)
def test_demonstration_boats(make, name):
    assert faults_of(make, refit_of(name)) == []


@pytest.fixture(scope="module")
def inch_boat_on_ansi():
    worked_out = refit_of("pipwing-25")
    drawing = worked_out.boat.drawing.model_copy(update={"sheets": "ANSI"})
    boat = worked_out.boat.model_copy(update={"drawing": drawing})
    return refit(replace(worked_out.loaded, boat=boat))


@pytest.mark.parametrize("make", SHEETS, ids=lambda make: make.__name__)
def test_inch_boat_on_ansi_sheets(make, inch_boat_on_ansi):
    sheets = sheets_by(make, inch_boat_on_ansi)
    assert [f"{sheet.name}: {fault}" for sheet in sheets for fault in layout(sheet).faults] == []
    assert all(dict(sheet.border.fields)["PAPER"].startswith("ANSI") for sheet in sheets)


@pytest.mark.long
@pytest.mark.parametrize("seed", dict.fromkeys((*ODD, *seeds(5))))
def test_random_boats(seed):
    assert faults_on_all(random_refit(seed)) == []


@pytest.mark.long
@pytest.mark.parametrize("seed", dict.fromkeys((*CROWDED, *seeds(3))))
def test_random_boats_of_other_kinds(seed):
    assert faults_on_all(refit(random_kind(seed))) == []


@pytest.mark.long
@pytest.mark.parametrize("seed", ODD_SHAPES)
def test_odd_boats(seed):
    boat = refit(read_boat(odd_boat(seed), f"odd boat {seed}"))
    assert [fault for make in QUICK for fault in faults_of(make, boat)] == []


@pytest.mark.parametrize(
    ("seed", "make"),
    # The only stanchions of either side lean in by 42 degrees: no scale sets their names apart amidships. Two flags of
    # two digits behind the action of one row.
    [(474, deck_plan), (988, stanchion_sheets)],
)
def test_names_and_flags_have_their_places(seed, make):
    assert faults_of(make, refit(read_boat(odd_boat(seed), f"odd boat {seed}"))) == []


@pytest.mark.long
def test_random_boats_are_of_many_shapes():
    boats = [random_boat(seed).boat for seed in (*ODD, *seeds(5))]
    assert min(boat.boat.loa for boat in boats) < 7000.0
    assert max(boat.boat.loa for boat in boats) > 15000.0
    counts = [sum(post.side == side for post in boat.posts) for boat in boats for side in ("P", "S")]
    assert {min(counts), max(counts)} == {3, 11}
    assert {len(boat.posts[0].holes) for boat in boats} == {1, 2, 3}
    assert {boat.drawing.sheets for boat in boats} == {"ISO", "ANSI"}
    assert {bool(boat.gates) for boat in boats} == {True, False}
    assert {bool(boat.bases) for boat in boats} == {True, False}


def test_a_planted_fault_is_found():
    worked_out = refit_of("first-try")
    sheet = finish(worked_out, stanchion_sheets(worked_out)[0], 1)
    twice = next(item for item in sheet.items if getattr(item, "tag", "").startswith("heading"))
    assert layout(sheet).faults == ()
    assert layout(replace(sheet, items=(*sheet.items, replace(twice, text="PLANTED")))).faults != ()
