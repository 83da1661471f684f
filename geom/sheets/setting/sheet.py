"""Setting card and push tests: adjusters while marking, boxes for the log, spans to push, the test bar."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import RuledList, broken, flow, list_height
from geom.drafting.sheet import Draft, headed_area, headline, key_items
from geom.drafting.text import KEY
from geom.figure import Item, Rect, Text, View
from geom.refit import Refit
from geom.sheets.setting import text as words
from geom.sheets.setting.lists import adjusters, log_list, setting_key
from geom.sheets.setting.post_lists import collapse_list, gate_post_list
from geom.sheets.setting.push_lists import push_key, push_list
from geom.sheets.setting.test_bar import bar_view, section_view, tolerance
from geom.sheets.setting.test_steps import steps
from geom.tables import numbers

_BETWEEN = 8.0
# The strip with bar, block and steps above the list of spans, and its parts [mm].
_STRIP, _BLOCK_WIDE, _STEPS_WIDE = 99.0, 88.0, 86.0
# On a sheet of their own: the bar over the full width.
_BAR_TALL, _OWN_BLOCK_WIDE = 92.0, 150.0
_NOTE_PITCH = 4.2
# Over the 100 mm bar with its words [mm].
_OVER_BAR = 14.0
_DESCRIPTION = "At which opening each adjuster stands while the line is marked; boxes for the log."


def setting_card(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of settings and log, then those of the push test and its bar."""
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    area, pushes = headed_area(paper), push_list(refit)
    lists = (adjusters(refit), log_list(refit), *_tests_lists(refit))
    notes = _notes(push_key(refit), area.width) if pushes.rows else ()
    tall = math.fsum(list_height(one, area.width) + _BETWEEN for one in lists) + len(notes) * _NOTE_PITCH
    if pushes.rows and tall <= area.height:
        return (_all_lists(refit, paper, notes), _bar_alone(refit, paper))
    return (*_settings(refit, paper), *_tests(refit, paper))


def _tests_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the lists of the tests that have rows: posts that the test may bring down, push tests, gate posts."""
    return tuple(one for one in (collapse_list(refit), push_list(refit), gate_post_list(refit)) if one.rows)


def _notes(lines: Sequence[str], room: float) -> tuple[str, ...]:
    return tuple(part for line in lines for part in broken(line, room))


def _all_lists(refit: Refit, paper: Paper, notes: tuple[str, ...]) -> Draft:
    area = headed_area(paper)
    lists = (adjusters(refit), log_list(refit), *_tests_lists(refit))
    (items,) = flow(lists, (area,), _BETWEEN)
    y = area.top - math.fsum(list_height(one, area.width) + _BETWEEN for one in lists) + _BETWEEN - 1.5
    written = [
        Text((area.left, y - _NOTE_PITCH * row), note, 2.5, "NOTE", tag="push:note")
        for row, note in enumerate(notes, start=1)
    ]
    return Draft(
        number="R6",
        name="setting",
        title=words.SETTING_AND_TESTS_TITLE,
        subtitle=words.ALL_KIND,
        paper=paper,
        scale="none",
        items=(
            *_head(paper, words.SETTING_AND_TESTS_TITLE, words.SETTING_SAID),
            *items,
            *written,
            *key_items(paper, KEY, setting_key(refit, pushes_on_this_sheet=True)),
        ),
        stamped=True,
        description=f"{_DESCRIPTION} Spans to push, tension wanted.",
        tolerance=words.NO_TOLERANCE,
        units=words.UNITS[numbers(refit.boat).unit],
    )


def _bar_alone(refit: Refit, paper: Paper) -> Draft:
    area = headed_area(paper)
    edge, below = area.left + _OWN_BLOCK_WIDE, area.top - _BAR_TALL
    bar = bar_view(refit, Rect(area.left, below, area.right, area.top))
    # No key is beside the title block here.
    section = section_view(refit, Rect(area.left, paper.frame.bottom + _OVER_BAR, edge, below), bar)
    return Draft(
        number="R6",
        name="test-bar",
        title=words.BAR_SHEET_TITLE,
        subtitle=words.BAR_SHEET_KIND,
        paper=paper,
        scale=_scales(bar, section),
        items=(
            *_head(paper, words.BAR_SHEET_TITLE, words.TEST_SAID),
            *steps(refit, (edge + 4.0, below - 10.0), area.right - edge - 4.0, 3.5),
        ),
        stamped=True,
        views=(bar, section),
        description="Test bar and block for the push test, and how the test is made.",
        tolerance=tolerance(refit),
        units=words.UNITS[numbers(refit.boat).unit],
    )


def _scales(*views: View) -> str:
    return ", ".join(f"1:{1.0 / view.scale:g}" for view in views)


def _settings(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    key = key_items(paper, KEY, setting_key(refit, pushes_on_this_sheet=False))
    pages = flow((adjusters(refit), log_list(refit)), (headed_area(paper),), _BETWEEN)
    return tuple(
        Draft(
            number="R6",
            name="setting",
            title=words.SETTING_TITLE,
            subtitle=words.SETTING_KIND,
            paper=paper,
            scale="none",
            items=(*_head(paper, words.SETTING_TITLE, words.SETTING_SAID), *items, *key),
            stamped=True,
            description=_DESCRIPTION,
            tolerance=words.NO_TOLERANCE,
            units=words.UNITS[numbers(refit.boat).unit],
        )
        for items in pages
    )


def _head(paper: Paper, title: str, said: str) -> tuple[Item, ...]:
    return headline(paper, title.upper(), said, "setting")[0]


def _tests(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area, pushes = headed_area(paper), push_list(refit)
    top = Rect(area.left, area.top - _STRIP, area.right, area.top)
    below = Rect(area.left, area.bottom, area.right, top.bottom - 3.0)
    edge = area.right - _STEPS_WIDE
    bar = bar_view(refit, Rect(area.left, top.bottom, edge - _BLOCK_WIDE, top.top))
    section = section_view(refit, Rect(edge - _BLOCK_WIDE, top.bottom, edge, top.top), bar)
    drawn = steps(refit, (edge + 2.0, top.top - 5.5), _STEPS_WIDE - 2.0)
    key = push_key(refit) if pushes.rows else []
    if not pushes.rows:
        none = words.NO_MAST if refit.boat.boat.mast_x is None else words.NO_SPAN
        drawn = (*drawn, Text((below.left, below.top - 5.0), none, 3.5, "TEXT", tag="push:none"))
        below = Rect(below.left, below.bottom, below.right, below.top - 10.0)
    pages = flow(_tests_lists(refit), (area,), _BETWEEN, first=(below,))
    drafts = []
    for number, items in enumerate(pages, start=1):
        first = number == 1
        written: tuple[Item, ...] = key_items(paper, KEY, key) if key else ()
        drafts.append(
            Draft(
                number="R6",
                name="push-test",
                title=words.TEST_TITLE,
                subtitle=words.TEST_AND_BAR_KIND if first else words.TEST_KIND,
                paper=paper,
                scale=_scales(bar, section) if first else "none",
                items=(
                    *_head(paper, words.TEST_TITLE, words.TEST_SAID),
                    *items,
                    *written,
                    *(drawn if first else ()),
                ),
                stamped=True,
                views=(bar, section) if first else (),
                description="Spans to push, tension wanted, deflection expected; test bar and block.",
                tolerance=tolerance(refit) if first else words.NO_TOLERANCE,
                units=words.UNITS[numbers(refit.boat).unit],
            )
        )
    return tuple(drafts)
