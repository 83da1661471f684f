"""What sheets leave to be confirmed: each is in one open item, by the words of the sheets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest

from geom.boat.model import Shop
from geom.figure import Sheet
from geom.open_items import open_items
from geom.open_items.bought import asking
from geom.open_items.to_come import to_come
from geom.purchasing.parts_list import parts_list
from geom.refit import Refit, refit
from geom.sheets.bases.sheet import base_plates
from geom.sheets.fabricated.sheet import fabricated_sheets
from geom.sheets.gate.sheet import gate_sheets
from geom.sheets.stanchions.sheet import stanchion_sheets
from geom.words import worded
from tests.boats import mirrored, refit_of
from tests.made import sheets_by
from tests.sheet_texts import texts_of
from tests.some import some

MAKE = {"F1": stanchion_sheets, "F3": base_plates, "F4": gate_sheets}


def asked_on(sheets: Sequence[Sheet]) -> list[str]:
    """Return what the notes of the sheets of stanchions and bases want from the designer, and the gates' bolt."""
    said = [text for tag, text in texts_of(sheets).items() if tag.startswith("notes:")]
    whole = [what for text in said for what in re.findall(r"(?<!Base )TBC by designer: (.*?)\.(?: |$)", text)]
    return [*whole, *("eye bolts" for text in said if "bolt TBC" in text)]


@pytest.mark.parametrize("boat", [refit_of("saltwhin-31"), refit_of("pipwing-25"), mirrored()])
def test_all_that_sheets_leave_to_the_designer_is_in_the_item_of_the_shop(boat: Refit) -> None:
    (item,) = (item for item in open_items(boat) if item.name == "fact.fabrication")
    assert item.entries == tuple(one.entry for one in to_come(boat))
    listed = ", ".join(worded(one.what) for one in to_come(boat))
    found = [what for name in MAKE for what in asked_on(sheets_by(MAKE[name], boat))]
    for what in some(found):
        assert all(part in listed for part in what.split(", ")), (what, listed)
    # What is listed is asked for by one sheet at least.
    cells = texts_of(sheets_by(fabricated_sheets, boat))
    tabulated = {cell for tag, cell in cells.items() if tag.endswith(":tbc")}
    if boat.boat.bases:
        assert {"length, grade"} <= tabulated
        for what in ("weld filler and inspection", "base bolts and backing plates"):
            assert what in listed and any(what in one for one in found)


@pytest.mark.parametrize("boat", [refit_of("saltwhin-31"), refit_of("pipwing-25"), mirrored()])
def test_each_size_of_a_part_that_is_to_be_found_out_is_asked_for_by_one_item(boat: Refit) -> None:
    items = open_items(boat)
    rows = parts_list(boat.boat, boat.placed.runs, frozenset())
    missing = [(row.part, key) for row in rows if row.ends and row.part != "thimble" for key in row.missing]
    found = {(part, key): len(asking(items, part, [key])) for part, key in missing}
    assert found == dict.fromkeys(missing, 1)


def test_the_feet_of_all_braces_are_tbc() -> None:
    cells = texts_of(sheets_by(base_plates, refit_of("saltwhin-31")))
    braces = [cell for tag, cell in cells.items() if tag.startswith("braces:") and tag.endswith(":tube")]
    assert len(braces) == sum(post.brace is not None for post in refit_of("saltwhin-31").boat.posts)
    assert set(some(braces)) == {"TBC"}


STATED = {
    "welds": "TIG", "base_bolts": "M8 x 80", "pads": "epoxy", "braces": "20 x 1.5, welded", "bushes": "acetal",
    "eye_bolts": "M8", "spacers": "bore 8.2, 316",
}  # fmt: skip


def with_shop(boat: Refit, **facts: str) -> Refit:
    """Return a boat whose file tells the shop what sizes do not say."""
    stated = boat.boat.model_copy(update={"shop": Shop(**facts)})
    return refit(replace(boat.loaded, boat=stated))


def test_what_the_shop_is_told_stands_on_its_sheets_and_is_no_longer_asked_for() -> None:
    boat = with_shop(refit_of("saltwhin-31"), **STATED)
    (item,) = (item for item in open_items(boat) if item.name == "fact.fabrication")
    assert worded(item.cause) == "not stated for the shop: weld size, plate material, cap, finish"
    assert not [entry for entry in item.entries if entry.under == "shop"]
    said = {name: " ".join(texts_of(sheets_by(make, boat)).values()) for name, make in MAKE.items()}
    for name, keys in some(
        (("F1", ["welds"]), ("F3", ["welds", "base_bolts", "pads", "braces"]), ("F4", ["eye_bolts"]))
    ):
        assert [key for key in keys if STATED[key] not in said[name]] == [], name
    assert "bolt TBC" not in said["F4"]
    asked = " ".join(asked_on([sheet for make in MAKE.values() for sheet in sheets_by(make, boat)]))
    assert "filler" not in asked and "base bolts" not in asked and "braces" not in asked


def test_what_the_shop_is_not_told_is_asked_for_line_by_line() -> None:
    boat = refit_of("first-try")
    bare = refit(replace(boat.loaded, boat=boat.boat.model_copy(update={"shop": None})))
    (item,) = (item for item in open_items(bare) if item.name == "fact.fabrication")
    assert [entry.line for entry in item.entries] == ["welds: ...", "base_bolts: ..."]
