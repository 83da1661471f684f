"""Stanchions on hold: the same ones on every sheet that lists stanchions, with the same open items."""

from __future__ import annotations

import re

import pytest

from geom.export import check_of
from geom.figure import Text
from geom.open_items import open_items
from geom.open_items.concerns import held_posts
from geom.page.cards import post_cards, run_cards
from geom.page.value import value_of
from geom.sheets.stanchions.family import rows
from tests.boats import NAMES, refit_of
from tests.made import set_of
from tests.random_boats import ODD, random_refit
from tests.some import some

BOAT = "saltwhin-31"
# The bent one, and the one that is under the least height: the faults that the demonstration boat was given.
HELD = {"P-S3": {2}, "S-S2": {4}}


def texts_on(number):
    sheets = [sheet for sheet in set_of(BOAT) if re.match(rf"{number}[a-z]?-", sheet.name)]
    return [item for sheet in some(sheets) for item in sheet.items if isinstance(item, Text)]


def test_the_demonstration_boat_has_two_on_hold():
    refit = refit_of(BOAT)
    found = held_posts(refit, open_items(refit))
    assert {name: {item.number for item in items} for name, items in found.items()} == HELD


@pytest.mark.parametrize(
    ("number", "tag"),
    # Tubes on plates, pads, brace feet; the parts of each stanchion.
    [("F3", r"(feet|pads|braces):(?P<post>[^:]+):post"), ("F6", r"F6:each:(?P<post>[^:]+)")],
)
def test_their_rows_are_marked(number, tag):
    names = [(match["post"], item) for item in texts_on(number) if (match := re.fullmatch(tag, item.tag))]
    for post, item in some(names):
        assert (item.text, item.layer == "HOLD") == (f"{post} on hold" if post in HELD else post, post in HELD)
    assert {post for post, _ in names} >= set(HELD)


def test_the_schedule_remarks_it():
    remarks = {
        item.tag.split(":")[1]: item.text for item in texts_on("G4") if re.fullmatch("posts:.+:remark", item.tag)
    }
    assert {post for post, text in remarks.items() if text.startswith("on hold")} == set(HELD)


@pytest.mark.parametrize("number", ["F3", "F5", "F6", "R7"])
def test_a_note_names_them(number):
    said = " ".join(item.text for item in texts_on(number))
    assert re.search("S-S2, P-S3:? on hold", said)


@pytest.mark.parametrize("worked_out", [*map(refit_of, NAMES), *map(random_refit, ODD)])
def test_the_rows_of_the_fabricator_hold_the_same_ones(worked_out):
    items = open_items(worked_out)
    held = held_posts(worked_out, items)
    found = rows(worked_out, items)
    assert {name for row in found if row.action == "hold" for name in row.ids} == set(held)
    assert sorted(name for row in found for name in row.ids) == sorted(worked_out.placed.posts)
    for row in some(found):
        assert {item.number for item in row.items} == {item.number for name in row.ids for item in held.get(name, ())}


def test_the_page_marks_the_same_ones_and_flags_the_same_items_at_the_lines():
    refit = refit_of(BOAT)
    check = value_of(check_of(refit), None)
    cards = post_cards(refit, check, ())
    assert {card.name for card in some(cards) if card.held} == set(HELD)
    for card in some(run_cards(refit, check, ())):
        flags = {item.tag for item in texts_on("R[1-4]") if item.tag.startswith(f"flag:{card.name}:")}
        assert {int(tag.rpartition(":")[2]) for tag in flags} == set(card.items)


def test_an_item_that_names_every_stanchion_holds_them_all() -> None:
    boat = random_refit(4)
    every = set(boat.placed.posts)
    assert "post.high" in {item.name for item in open_items(boat) if item.kind == "fails" and every <= set(item.places)}
    assert set(held_posts(boat, open_items(boat))) == every
