"""A sheet before it has its number, and how it is finished: frame, title block, caution, 100 mm bar."""

from __future__ import annotations

from dataclasses import dataclass

from geom.figure import Item, Rect, Sheet, Text, View
from geom.refit import Refit
from geom.rules.cautions import SHEET_CAUTION
from geom.sheets.paper import Paper, frame_items
from geom.sheets.title_block import BLOCK_HEIGHT, BLOCK_WIDTH, Title, bar_100, title_block

GAP = 5.0
_BAR_HEIGHT = 9.0


@dataclass(frozen=True)
class Draft:
    """What one sheet shows: its name in file names, its title, its paper, its views and items.

    `scale` is what the title block says ("1:50", "none", "as shown"). Views get their titles written in
    the upper left corner of their windows.
    """

    name: str
    title: str
    kind: str
    paper: Paper
    scale: str
    items: tuple[Item, ...]
    views: tuple[View, ...] = ()
    description: str = ""


def drawing_space(paper: Paper) -> Rect:
    """Return the frame less a hair, the space that items may fill beside and above the title block."""
    frame = paper.frame
    return Rect(frame.left + 1.0, frame.bottom + 1.0, frame.right - 1.0, frame.top - 1.0)


def beside_block(paper: Paper) -> Rect:
    """Return the space left of the title block, above the 100 mm bar; the whole height is free there."""
    frame = paper.frame
    right = frame.right - BLOCK_WIDTH - GAP
    return Rect(frame.left + 1.0, frame.bottom + _BAR_HEIGHT, right, frame.top - 1.0)


def above_block(paper: Paper) -> Rect:
    """Return the space over the title block and the caution, as wide as they are."""
    frame = paper.frame
    return Rect(frame.right - BLOCK_WIDTH, frame.bottom + BLOCK_HEIGHT + 1.0, frame.right, frame.top - 1.0)


def full_width_above(paper: Paper) -> Rect:
    """Return the space over title block and bar across the whole sheet."""
    frame = paper.frame
    return Rect(frame.left + 1.0, frame.bottom + BLOCK_HEIGHT + 2.0, frame.right - 1.0, frame.top - 1.0)


def finish(refit: Refit, draft: Draft, sheet: int, sheets: int) -> Sheet:
    """Return a draft as a numbered sheet with everything that stands on every sheet."""
    number = f"{refit.boat.drawing.number or 'GL'}-{sheet:02d}"
    frame = draft.paper.frame
    title = Title(
        title=f"{refit.boat.boat.name}: {draft.title}",
        kind=draft.kind,
        sheet=sheet,
        sheets=sheets,
        scale=draft.scale,
        paper=draft.paper.name,
        number=number,
    )
    items: list[Item] = [*frame_items(draft.paper), *title_block(refit, title, frame)]
    items += bar_100((frame.left + 4.0, frame.bottom + 3.0))
    for view in draft.views:
        if view.title:
            at = (view.window.left + 2.0, view.window.top - 5.5)
            items.append(Text(at, f"{view.title}  {scale_words(view.scale)}", 3.5, "TEXT", tag=f"view:{view.name}"))
    return Sheet(
        name=f"{sheet:02d}-{draft.name}",
        title=f"{title.title}, {draft.kind.lower()}",
        width=draft.paper.width,
        height=draft.paper.height,
        items=(*items, *draft.items),
        views=draft.views,
        frame=frame,
        description=f"{SHEET_CAUTION}. {draft.description}".strip(),
        keywords=(("drawing", number), ("revision", refit.boat.revision.mark), ("scale", draft.scale)),
    )


def scale_words(scale: float) -> str:
    """Return a scale as it is written: `1:50`, `2:1`."""
    return f"1:{1.0 / scale:g}" if scale <= 1.0 else f"{scale:g}:1"
