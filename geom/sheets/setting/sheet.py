"""Setting and test: adjusters while the line is marked, spans to push, the test bar and its block."""

from __future__ import annotations

from collections.abc import Sequence

from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import flow
from geom.drafting.sheet import HEADLINE, UNDER_HEADLINE, Draft, beside_block, field, headline
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.figure import Item, Rect, Text, View
from geom.refit import Refit
from geom.sheets.setting import text as words
from geom.sheets.setting.lists import adjusters, setting_key
from geom.sheets.setting.post_lists import collapse_list, yielding_list
from geom.sheets.setting.push_lists import push_key, push_list
from geom.sheets.setting.test_bar import CAPTION_IN, bar_view, section_view, tolerance
from geom.sheets.setting.test_steps import steps
from geom.tables import numbers

_BETWEEN = 3.0
# The strip with bar, block and steps above the lists, and its parts [mm].
_STRIP, _BLOCK_WIDE, _STEPS_WIDE = 88.0, 88.0, 86.0
# Over the title block and the key left of it, and the space beside the key [mm].
_OVER_BLOCK, _LEFT_OF_BLOCK = 2.5, 6.0


def setting_card(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet of setting and test: bar and block, adjusters, push tests; further sheets for long lists."""
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    place, pushes = field(paper), push_list(refit)
    top = place.top - HEADLINE - UNDER_HEADLINE
    key, over = _key(paper, [*setting_key(refit), *(push_key(refit) if pushes.rows else ())])
    low = max(over, paper.frame.bottom + BLOCK_HEIGHT) + _OVER_BLOCK
    area = Rect(place.left, low, place.right, top)
    edge = area.right - _STEPS_WIDE
    lists = tuple(one for one in (adjusters(refit), yielding_list(refit), collapse_list(refit), pushes) if one.rows)
    # The title of a view stands in from its window: the window lies out by as much.
    bar = bar_view(refit, Rect(area.left - CAPTION_IN, top - _STRIP, edge - _BLOCK_WIDE - CAPTION_IN, top))
    section = section_view(refit, Rect(edge - _BLOCK_WIDE, top - _STRIP, edge, top), bar)
    drawn = steps(refit, (edge + 2.0, top - 5.5), _STEPS_WIDE - 2.0)
    below = Rect(area.left, area.bottom, area.right, top - _STRIP - 0.5)
    if not pushes.rows:
        none = words.NO_MAST if refit.boat.boat.mast_x is None else words.NO_SPAN
        drawn = (*drawn, Text((below.left, below.top - 5.0), none, 3.5, "TEXT", tag="push:none"))
        below = Rect(below.left, below.bottom, below.right, below.top - 10.0)
    pages = flow(lists, (area,), _BETWEEN, first=(below,))
    head = headline(paper, words.TITLE.upper(), words.SAID, "setting")[0]
    return tuple(
        Draft(
            number="R6",
            name="setting",
            title=words.TITLE,
            subtitle=words.KIND,
            paper=paper,
            scale=_scales(bar, section) if first else "none",
            items=(*head, *items, *key, *(drawn if first else ())),
            stamped=True,
            views=(bar, section) if first else (),
            description="Adjusters while the line is marked; spans to push, tension wanted; test bar and block.",
            tolerance=tolerance(refit) if first else words.NO_TOLERANCE,
            units=words.UNITS[numbers(refit.boat).unit],
        )
        for first, items in ((page is pages[0], page) for page in pages)
    )


def _scales(*views: View) -> str:
    return ", ".join(f"1:{1.0 / view.scale:g}" for view in views)


def _key(paper: Paper, lines: Sequence[str]) -> tuple[tuple[Item, ...], float]:
    """Return the key left of the title block, over the bar, and its upper edge [mm]."""
    left = field(paper).left
    key = Notes("", tuple(lines), paper.frame.right - BLOCK_WIDTH - _LEFT_OF_BLOCK - left)
    top = beside_block(paper).bottom + 1.0 + key.height
    return key.items((left, top), "key"), top
