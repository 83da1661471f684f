"""A boat with four lines above one another, from its file to rules, sheets, tables and page."""

from __future__ import annotations

import json
import re
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
import yaml

from geom.boat.base import LEVELS
from geom.boat.file import read_boat
from geom.errors import InputError
from geom.export import check_report
from geom.figure import LAYERS, Polyline
from geom.intake.survey.blank import blank_survey
from geom.page import drawings_of, page_bytes
from geom.refit import Refit, refit
from geom.render.faults import layout
from geom.sheets import drawing_set
from geom.sheets.measuring_form.sheet import measuring_form
from geom.tables.every import every_table
from geom.words import english, english_page
from tests import whole_boats_reference
from tests.boats import BOATS
from tests.random_kinds import with_fourth_line
from tests.some import some


def four_lines() -> dict[str, Any]:
    """Return the data of the yacht with a line between its middle and its lower ones."""
    data = yaml.load((BOATS / "yacht-52.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    with_fourth_line(data)
    return data


@cache
def yacht() -> Refit:
    return refit(read_boat(json.dumps(four_lines()).encode(), "four lines"))


def test_words_and_layers_know_every_level():
    assert tuple(LEVELS) == ("U", "M", "LM", "L")
    assert english.WORDS["level"] == english_page.LEVELS == LEVELS
    strokes = {(LAYERS[f"GUARD-LINE-{level}"].width, LAYERS[f"GUARD-LINE-{level}"].linetype) for level in LEVELS}
    assert len(strokes) == 4


def test_geometry_computed_independently():
    theirs, report = whole_boats_reference.figures_of(four_lines()), check_report(yacht())
    runs = {run["id"]: run for run in report["runs"]}
    fourth = [name for name in theirs["runs"] if name.endswith("-LM")]
    assert len(fourth) == 10
    for name in some(fourth):
        assert runs[name]["spans_mm"] == pytest.approx(theirs["runs"][name]["spans"], abs=0.1)
    posts = {post["id"]: post for post in report["posts"]}
    for name, post in some(theirs["posts"].items()):
        assert posts[name]["height_lower_middle_mm"] == pytest.approx(post["above_deck"]["LM"], abs=0.1)
        heights = sorted(post["above_deck"].values())
        gaps = [above - below for below, above in pairwise(heights)]
        assert posts[name]["opening_mm"] == pytest.approx(max(gaps), abs=0.1)


def test_openings_are_those_between_neighbours():
    """A line between the middle and the lower one divides their opening: no opening is measured past it."""
    between = [one for one in yacht().findings if one.quantity.code == "quantity.opening_between_holes"]
    measured = {round(one.measured) for one in some(between) if one.measured is not None and one.post == "S-S6"}
    theirs = whole_boats_reference.figures_of(four_lines())["posts"]["S-S6"]["above_deck"]
    heights = sorted(theirs.values(), reverse=True)
    assert measured
    assert measured <= {round(above - below) for above, below in pairwise(heights)}


def test_every_sheet_is_drawn_without_a_fault_of_layout():
    sheets = drawing_set(yacht())
    assert [f"{sheet.name}: {fault}" for sheet in some(sheets) for fault in layout(sheet).faults] == []
    numbers = [sheet.name.split("-")[0] for sheet in sheets]
    lines = [found[0] for number in numbers if (found := re.match("R[1-4](?![0-9])[mn]?", number))]
    assert list(dict.fromkeys(lines)) == ["R1", "R1m", "R1n", "R2", "R3", "R3m", "R3n", "R4"]
    drawn = {
        item.layer for sheet in sheets for view in sheet.views for item in view.items if isinstance(item, Polyline)
    }
    assert {f"GUARD-LINE-{level}" for level in LEVELS} <= drawn


def test_tables_and_page_have_the_fourth_line():
    posts = next(table for table in every_table(yacht()) if table.name == "posts")
    names = [one.key for one in posts.columns]
    assert names.index("height_middle_mm") < names.index("height_lower_middle_mm") < names.index("height_lower_mm")
    page = page_bytes(yacht(), drawings_of(())).decode()
    assert "lower middle" in page and 'id="run-S-F-LM"' in page


def test_a_blank_survey_and_the_form_have_four_lines():
    assert "[U, M, LM, L]" in blank_survey(3, 4, "mm")
    sheets = measuring_form(3, 4, "mm")
    assert [fault for sheet in some(sheets) for fault in layout(sheet).faults] == []


def test_a_fifth_line_is_refused_on_reading():
    text = json.dumps(four_lines()).replace("-LM", "-ML").replace('"LM"', '"ML"')
    with pytest.raises(InputError) as raised:
        read_boat(text.encode(), "five lines")
    assert any("ML" in str(fault) for fault in raised.value.faults)
