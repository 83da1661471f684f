"""The cover read back: every sheet of the set in its list, every open item with its number, the picture's points."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace

import pytest

from geom.boat.file import read_boat
from geom.drafting.sheet import finish
from geom.drafting.symbols import flagged_item
from geom.drafting.title_block import TRADES, is_for
from geom.figure import Hatch, Line, Polyline, Text
from geom.open_items import open_items
from geom.package import drawing_sheets
from geom.refit import refit
from geom.render.faults import layout
from geom.sheets.cover import text as own
from geom.sheets.cover.sheet import MAX_ITEMS, action, with_cover
from geom.sheets.deck_plan.sheet import deck_plan
from geom.tables import numbers
from geom.words import Units, worded
from geom.words.english_open_items import OPEN_ITEMS
from tests.boats import NAMES, mirrored, refit_of
from tests.made import set_of
from tests.random_boats import random_data, random_refit
from tests.sheet_texts import texts_of
from tests.some import some


def base(number):
    return re.sub(r"[a-z]+$", "", number)


def unlisted(sheets):
    """Return the numbers of sheets without a row in the cover's list, and of rows without a sheet."""
    cells = texts_of(sheets[:1])
    stated = {base(dict(sheet.border.fields)["SHEET"]) for sheet in sheets}
    rows = {tag.split(":")[1] for tag in cells if tag.startswith("drawing:") and tag.endswith(":number")}
    return stated ^ rows


@pytest.mark.parametrize("name", NAMES)
def test_the_list_names_every_sheet(name):
    sheets = set_of(name)
    assert sheets[0].name == "G1-cover"
    assert unlisted(sheets) == set()
    fewer = [sheet for sheet in sheets if not sheet.name.startswith("G2")]
    assert unlisted(fewer) == {"G2"}
    assert layout(sheets[0]).faults == ()


@pytest.mark.parametrize("name", NAMES)
def test_everybody_gets_their_sheets(name):
    """D, the designer, all; F general and fabricator's sheets; R general and rigger's, and the gates."""
    dots = {item.tag for item in set_of(name)[0].items if isinstance(item, Hatch) and item.tag.startswith("drawing:")}
    for number in some({base(dict(sheet.border.fields)["SHEET"]) for sheet in set_of(name)}):
        assert f"drawing:{number}:D" in dots
        assert (f"drawing:{number}:F" in dots) == (number[0] in "GF")
        assert (f"drawing:{number}:R" in dots) == (number[0] in "GR" or number == "F4")


@pytest.mark.parametrize("name", NAMES)
def test_the_ranked_items_stand_on_it_with_their_numbers(name):
    worked_out, cells = refit_of(name), texts_of(set_of(name)[:1])
    units = Units(numbers(worked_out.boat))
    shown = [item for item in open_items(worked_out) if f"item:{item.number}:number" in cells]
    assert [item.number for item in shown] == list(range(1, len(shown) + 1)) and len(shown) <= MAX_ITEMS
    for item in shown:
        said = worded(item.cause, units)
        assert cells[f"item:{item.number}:cause"].casefold().split() == said.casefold().split()
        assert cells[f"item:{item.number}:who"] == item.who
    left = len(open_items(worked_out)) - len(shown)
    assert cells.get("open-items:more", "").startswith(f"{left} more") == (left > 0)


@pytest.mark.parametrize("name", (*NAMES, "mirrored-24"))
def test_each_item_names_sheets_that_show_it_and_that_its_trade_gets(name):
    """A fabricator gets no sheet A, and a sheet names S-S1 where it says `S-S1, P-S1` for both sides."""
    worked_out = mirrored() if name == "mirrored-24" else refit_of(name)
    sheets = drawing_sheets(worked_out) if name == "mirrored-24" else set_of(name)
    cells, in_set = texts_of(sheets[:1]), {base(dict(sheet.border.fields)["SHEET"]) for sheet in sheets}
    for item in some([item for item in open_items(worked_out) if f"item:{item.number}:number" in cells]):
        named = cells[f"item:{item.number}:sheets"].split(", ")
        assert set(named) <= in_set
        assert all(item.who not in TRADES or is_for(item.who, number) for number in named)
        for number in named:
            shown = [sheet for sheet in sheets if base(sheet.name.partition("-")[0]) == number]
            drawn = [one for sheet in shown for one in (*sheet.items, *(i for v in sheet.views for i in v.items))]
            flags = {flagged_item(one.tag) for one in drawn if isinstance(one, Text)}
            assert item.number in flags or number[0] != "F", (item.cause, number)


def test_a_sheet_that_flags_an_item_stands_before_one_that_names_its_places():
    """Sheet F1 is on hold for three pairs of stanchions too high, and has the flag of the directions not measured."""
    cells = texts_of(drawing_sheets(mirrored())[:1])
    assert [cells[f"item:{number}:sheets"] for number in (1, 2, 3, 10)] == ["F1, G3", "F1, G3", "F1, G3", "F1"]


def test_the_revision_is_the_boat_file_s():
    cells, stated = texts_of(set_of("saltwhin-31")[:1]), refit_of("saltwhin-31").boat.revision
    assert cells["revision:mark"] == f"Revision {stated.mark}"
    assert cells["revision:rest"] == f"{stated.date}, {stated.note}, {stated.by}"


def test_the_picture_is_a_parallel_projection_of_the_placed_posts():
    """Feet and tops of all posts go over into the picture by one linear mapping of space to paper."""
    worked_out = refit_of("saltwhin-31")
    drawn = {
        item.tag.removeprefix("picture-post:"): item
        for item in set_of("saltwhin-31")[0].items
        if isinstance(item, Line) and item.tag.startswith("picture-post:")
    }
    assert drawn.keys() == worked_out.placed.posts.keys()
    points, seen = [], []
    for name, line in drawn.items():
        post = worked_out.placed.posts[name]
        points += [post.foot, post.at(post.top)]
        seen += [line.start, line.end]
    import numpy as np

    model = np.column_stack([np.array(points), np.ones(len(points))])
    _, rest, rank, _ = np.linalg.lstsq(model, np.array(seen), rcond=None)
    assert rank == 4 and float(np.max(rest)) < 1e-12 * len(points)


def test_runs_on_hold_are_drawn_hollow_and_named():
    worked_out, sheet = refit_of("saltwhin-31"), set_of("saltwhin-31")[0]
    held = {run.run.id for run in worked_out.runs if run.work.refused}
    layers = {}
    for item in sheet.items:
        if isinstance(item, Polyline) and item.tag.startswith("picture:"):
            layers.setdefault(item.tag.removeprefix("picture:"), set()).add(item.layer)
    assert {run for run, used in layers.items() if used == {"HOLD"}} == held and held
    names = {item.tag.removeprefix("name:") for item in sheet.items if getattr(item, "tag", "").startswith("name:")}
    assert names == worked_out.placed.runs.keys()


@pytest.mark.parametrize("count", [1, 8, 40, 400])
def test_a_set_of_any_size_has_one_cover(count):
    worked_out = refit_of("saltwhin-31")
    (first,) = deck_plan(worked_out)
    others = [replace(first, number="F1", name=f"card-{k}", title=f"card {k}") for k in range(count - 1)]
    drafts = with_cover(worked_out, [first, *others])
    assert len(drafts) == count + 1 and len({draft.number for draft in drafts}) == len(drafts)
    assert layout(finish(worked_out, drafts[0], len(drafts))).faults == ()


@pytest.mark.parametrize("seed", [3, 15, 21])
def test_covers_of_random_boats_have_no_layout_fault(seed):
    worked_out = random_refit(seed)
    cover = with_cover(worked_out, deck_plan(worked_out))[0]
    assert [str(fault) for fault in layout(finish(worked_out, cover, 2)).faults] == []
    assert math.isclose(cover.paper.width, 420.0, abs_tol=12.0)


# What is stated in the boat file, or has choices of its own on every boat.
STATED = {
    "item.category", "item.design_category", "item.first_launch", "item.mast", "item.stiffness", "item.breaking_load",
    "item.part_strength", "item.pins", "item.thread_hand", "item.adjusting_range", "item.cut", "item.stop_width",
    "item.thimble_width", "item.over_coating", "item.stainless", "item.retention", "item.core", "item.parts",
    "item.proof_stress", "item.by_hand", "item.several_by_hand", "item.fabrication",
}  # fmt: skip
CHOSEN = {
    "item.cannot_be_spliced", "item.bent", "item.bent_aft", "item.tape", "item.hole_direction", "item.edges",
    "item.post_strength", "item.hmpe",
}  # fmt: skip


def test_every_open_item_says_what_is_to_be_done():
    titles = {code for code in OPEN_ITEMS if code.startswith("item.")} - {"item.places", "item.many", "item.why"}
    assert titles - STATED - CHOSEN == set(own.ACTIONS)


def test_a_line_that_is_too_low_at_its_eye_on_deck_is_to_end_higher():
    """No taller stanchion raises the line there; the post's own items keep their action."""
    keelboat = refit_of("keelboat-16")
    low = [item for item in open_items(keelboat) if item.cause.code == "item.too_low"]
    assert {action(keelboat, item) for item in some(low)} == {own.END_HIGHER}
    short = replace(low[0], places=("S-S1",))
    assert action(keelboat, short) == own.ACTIONS["item.too_low"]


def test_an_eye_too_short_for_its_pin_is_to_be_lengthened():
    """The action is that of the remedy: a longer eye, no thimble."""
    (item,) = (item for item in open_items(mirrored()) if item.name == "fitting.eye")
    assert action(mirrored(), item) == "lengthen the eye"
    texts = texts_of(drawing_sheets(mirrored())[:1])
    assert texts[f"item:{item.number}:action"] == "Lengthen the eye"


def test_the_cover_names_gates_where_there_are_gates():
    covers = [set_of(name)[0] for name in ("keelboat-16", "aft-gate-25")]
    words = [{item.text for item in cover.items if isinstance(item, Text)} for cover in covers]
    assert own.HEADING[False] in words[0] and own.HEADING[True] in words[1]


def test_rail_eyes_that_are_too_low_are_raised_and_no_stanchion_is_made_taller():
    data = random_data(166, 6500.0, 2)
    low = refit(read_boat(json.dumps(data).encode("utf-8"), "low eyes"))
    items = [one for one in open_items(low) if one.cause.code == "item.too_low"]
    eyes = [one for one in items if set(one.places) <= {eye.id for eye in low.boat.eyes}]
    assert len(items) == 2
    assert [action(low, one) for one in eyes] == [own.AT_EYES["item.too_low"]]
