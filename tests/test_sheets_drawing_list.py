"""The list of drawings read back: it names every sheet of the set as that sheet names itself, and stands second."""

from __future__ import annotations

from dataclasses import replace

import pytest

from geom.drafting.sheet import finish
from geom.render.faults import layout
from geom.sheets import drawing_set
from geom.sheets.cover.drawing_list import with_drawing_list
from geom.sheets.deck_plan.sheet import deck_plan
from tests.boats import NAMES, refit_of
from tests.made import set_of
from tests.sheet_texts import plain, texts_of


def wrong_rows(sheets, lists):
    """Return what the list sheets say otherwise than the title blocks of the set."""
    cells, wrong = texts_of(lists), []
    for count, sheet in enumerate(sheets, 1):
        fields = dict(sheet.border.fields)
        stated = {
            "number": fields["NUMBER"],
            "title": fields["TITLE"].partition(": ")[2],
            "kind": fields["KIND"],
            "scale": fields["SCALE"],
            "paper": fields["PAPER"],
            "revision": fields["REVISION"],
        }
        wrong += [
            f"{count} {key}: {cells.get(f'drawing:{count}:{key}')!r}, sheet {text!r}"
            for key, text in stated.items()
            if plain(cells.get(f"drawing:{count}:{key}", "")) != plain(text)
        ]
    return wrong + [f"{len(sheets) + 1} is no sheet"] * (f"drawing:{len(sheets) + 1}:number" in cells)


@pytest.mark.parametrize("name", NAMES)
def test_the_list_names_every_sheet_as_it_names_itself(name):
    sheets = set_of(name)
    lists = [sheet for sheet in sheets if "drawing-list" in sheet.name]
    assert sheets[0] is lists[0]
    assert wrong_rows(sheets, lists) == []
    swapped = (sheets[0], sheets[1], sheets[3], sheets[2], *sheets[4:])
    assert wrong_rows(swapped, lists) and wrong_rows(sheets[:-1], lists)
    assert [fault for sheet in lists for fault in layout(sheet).faults] == []


def test_the_revision_is_the_boat_file_s():
    worked_out = refit_of("saltwhin-31")
    cells = texts_of(drawing_set(worked_out)[1:2])
    stated = worked_out.boat.revision
    assert (cells["revision:mark"], cells["revision:date"]) == (stated.mark, stated.date)
    assert (cells["revision:by"], cells["revision:note"]) == (stated.by, stated.note)


@pytest.mark.parametrize("count", [1, 60, 78, 79, 80, 81, 82, 160, 400])
def test_a_list_over_several_sheets_lists_them_all(count):
    worked_out = refit_of("saltwhin-31")
    (first,) = deck_plan(worked_out)
    others = [replace(first, name=f"card-{number}", title=f"card {number}") for number in range(count - 1)]
    drafts = with_drawing_list(worked_out, [first, *others])
    sheets = [finish(worked_out, draft, len(drafts)) for draft in drafts]
    lists = [sheet for sheet in sheets if "drawing-list" in sheet.name]
    assert len(lists) == len(sheets) - count >= 1 and len({sheet.name for sheet in sheets}) == len(sheets)
    assert wrong_rows(sheets, lists) == []
    assert [fault for sheet in lists for fault in layout(sheet).faults] == []
