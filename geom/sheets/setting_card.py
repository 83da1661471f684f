"""Setting and test card: adjusters while marking, log boxes; push tests with the test bar and its block."""

from __future__ import annotations

from geom.data.table import datum
from geom.figure import Rect, Text
from geom.refit import Refit
from geom.sheets import words
from geom.sheets.bar_and_block import bar_scale, bar_view, block_view, steps
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.paper import Paper, papers
from geom.sheets.ruled_list import flow
from geom.sheets.setting_lists import adjusters, log_list, push_list

_BETWEEN = 8.0
_DRAWING = 92.0
_BLOCK_WIDE = 80.0
_STEPS_WIDE = 96.0
_STEP_PITCH = 4.4


def setting_card(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of settings with the log, then those of the push test."""
    paper = papers(refit.boat.drawing.sheets, least=1)[0]
    return (*_settings(refit, paper), *_tests(refit, paper))


def _settings(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    key = key_items(paper, words.KEY, words.SETTING_KEY)
    return tuple(
        Draft(
            name="setting",
            title=words.SETTING_TITLE,
            kind=words.SETTING_KIND,
            paper=paper,
            scale="none",
            items=(*items, *key),
            description="At which opening each adjuster stands while the line is marked; boxes for the log.",
        )
        for items in flow((adjusters(refit), log_list(refit)), (list_area(paper),), _BETWEEN)
    )


def _tests(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area = list_area(paper)
    top = Rect(area.left, area.top - _DRAWING, area.right, area.top)
    below = Rect(area.left, area.bottom, area.right, top.bottom - 4.0)
    edge = area.right - _STEPS_WIDE
    bar = bar_view(refit, Rect(area.left, top.bottom, edge - _BLOCK_WIDE, top.top))
    views = (bar, block_view(refit, Rect(edge - _BLOCK_WIDE, top.bottom, edge, top.top), bar))
    lists = push_list(refit)
    source = datum("person_loads", case="push test")
    named = f"{source.source} {source.clause_or_page} as amended in {source.edition}"
    key = key_items(paper, words.KEY, [line.format(source=named) for line in words.PUSH_KEY])
    drawn = steps(refit, (edge + 4.0, top.top - 14.0), _STEPS_WIDE - 4.0, _STEP_PITCH)
    none = (Text((below.left, below.top - 5.0), words.NO_MAST, 3.5, "TEXT", tag="push:none"),)
    pages = flow((lists,), (area,), _BETWEEN, first=(below,)) if lists.rows else (none,)
    return tuple(
        Draft(
            name="push-test",
            title=words.SETTING_TITLE,
            kind=words.TEST_KIND,
            paper=paper,
            scale=f"1:{bar_scale(refit, bar.window.width)}, 1:2" if number == 0 else "none",
            items=(*items, *key, *(drawn if number == 0 else ())),
            views=views if number == 0 else (),
            description="Spans to push, tension wanted, deflection expected; test bar and block.",
        )
        for number, items in enumerate(pages)
    )
