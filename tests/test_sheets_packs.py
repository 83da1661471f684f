"""The set as issued: numbers by the subject of a sheet, packs, one trade's files, registers, marks."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from pypdfium2 import PdfDocument

from geom.boat.file import read_boat
from geom.drafting.sheet import finish, lettered
from geom.drafting.title_block import GROUPS, TRADES, issue_of
from geom.package import drawing_files
from geom.refit import refit
from geom.render.dxf import dxf_bytes
from geom.render.svg import svg_bytes
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.profiles.sheet import profiles
from tests.boats import BOATS, NAMES, refit_of
from tests.made import set_of
from tests.some import some


def number_of(sheet):
    return dict(sheet.border.fields)["SHEET"]


def test_drafts_of_one_number_get_letters_in_their_order():
    (plan,), many = deck_plan(refit_of("first-try")), 30
    found = lettered([*(replace(plan, number="F1", title=str(k)) for k in range(many)), plan])
    assert [draft.number for draft in found[:3]] == ["G2", "F1a", "F1b"]
    assert [draft.number for draft in found[23:25]] == ["F1z", "F1aa"]
    assert [draft.title for draft in found[1:]] == [str(k) for k in range(many)]


@pytest.mark.parametrize("name", NAMES)
def test_a_set_stands_by_groups_and_every_number_once(name):
    sheets = set_of(name)
    numbers = [number_of(sheet) for sheet in sheets]
    assert len(set(numbers)) == len(numbers)
    letters = [number[0] for number in numbers]
    assert letters == sorted(letters, key=list(GROUPS).index)
    assert all(sheet.group == GROUPS[number_of(sheet)[0]] for sheet in sheets)


def test_a_register_reads_number_title_revision_and_date_from_the_title_block():
    worked_out = refit_of("saltwhin-31")
    for sheet in some([sheet for sheet in set_of("saltwhin-31") if sheet.views][:3]):
        document = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
        paper = document.layout(document.layouts.names_in_taborder()[1])
        (block,) = (insert for insert in paper.query("INSERT") if insert.dxf.name == "TITLE-BLOCK")
        read = {attribute.dxf.tag: attribute.dxf.text for attribute in block.attribs}
        assert read["NUMBER"] == f"SALTWHIN31-GL-{number_of(sheet)}"
        assert read["TITLE"].startswith("SALTWHIN 31: ")
        assert (read["REVISION"], read["DATE"]) == (worked_out.boat.revision.mark, worked_out.boat.revision.date)


def test_packs_hold_the_sheets_of_their_group_in_order():
    worked_out, sheets = refit_of("first-try"), set_of("first-try")
    files = drawing_files(worked_out, lambda _: None, ("pdf",))
    whole = PdfDocument(files["first-try.pdf"])
    assert len(whole) == len(sheets)
    groups = list(dict.fromkeys(sheet.group for sheet in sheets))
    outline = [entry.get_title() for entry in whole.get_toc() if entry.level == 0]
    assert outline == groups
    for group in some(groups):
        assert len(PdfDocument(files[f"{group.lower()}.pdf"])) == sum(sheet.group == group for sheet in sheets)


@pytest.mark.parametrize("trade", TRADES)
def test_a_trade_gets_its_sheets_and_no_other(trade):
    wanted = {"designer": "GFRA", "fabricator": "GF", "rigger": "GR"}[trade]
    files = drawing_files(refit_of("saltwhin-31"), lambda _: None, ("svg",), trade=trade)
    numbers = {name.partition("-")[0] for name in files}
    assert numbers == {
        number_of(sheet)
        for sheet in set_of("saltwhin-31")
        if number_of(sheet)[0] in wanted or (trade == "rigger" and re.fullmatch("F4[a-z]*", number_of(sheet)))
    }


def test_a_sheet_that_did_not_change_keeps_its_mark():
    """A line renamed in the file changes what the cover says, and no figure of plan and profiles."""
    text = Path(BOATS, "saltwhin-31.yaml").read_text("utf-8")
    found = re.search(r"note: (.*)", text)
    changed = refit(read_boat(text.replace(found[0], "note: second issue", 1).encode("utf-8"), "changed"))
    stated = refit_of("saltwhin-31")
    for maker in some((deck_plan, profiles)):
        before, after = (finish(one, maker(one)[0], 9) for one in (stated, changed))
        assert dict(before.border.fields)["DATA"] == dict(after.border.fields)["DATA"]
    assert stated.boat.revision.note != changed.boat.revision.note
    moved = text.replace("[2500, 965, 1079]", "[2510, 965, 1079]", 1)
    assert moved != text
    other = refit(read_boat(moved.encode("utf-8"), "moved"))
    marks = [dict(finish(one, deck_plan(one)[0], 9).border.fields)["DATA"] for one in (stated, other)]
    assert marks[0] != marks[1]


def test_a_boat_whose_name_has_letters_of_other_languages_is_drawn():
    """Latin with all its marks: what the boat file takes for a name, the font letters."""
    text = Path(BOATS, "pipwing-25.yaml").read_text("utf-8")
    assert "name: PIPWING 25" in text
    odd = refit(read_boat(text.replace("name: PIPWING 25", "name: ŠKODA ŁOŠ", 1).encode("utf-8"), "odd"))
    assert issue_of(odd).boat == "ŠKODA ŁOŠ"
    (plan,) = deck_plan(odd)
    assert ">ŠKODA ŁOŠ<" in svg_bytes(finish(odd, plan, 1)).decode("utf-8")
    assert dxf_bytes(finish(odd, plan, 1), "plain")


def test_a_set_without_a_status_says_how_its_figures_were_come_by() -> None:
    """Nothing was surveyed of a boat as designed; neither is released for manufacture."""
    statuses = {name: issue_of(refit_of(name)).status for name in ("saltwhin-31", "first-try")}
    assert statuses == {"saltwhin-31": "AS SURVEYED", "first-try": "AS DESIGNED"}
