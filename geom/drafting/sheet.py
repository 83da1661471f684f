"""A sheet before it is numbered, and its completion: frame, title block, caution, 100 mm bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from geom.drafting.paper import Paper, frame_items
from geom.drafting.projection import Projection
from geom.drafting.ruling import broken
from geom.drafting.title_block import (
    BLOCK_HEIGHT,
    BLOCK_WIDTH,
    Issue,
    Title,
    caution,
    clear_space,
    issue_of,
    print_bar,
    title_block,
    title_fields,
)
from geom.errors import GeometryError
from geom.figure import Border, Item, Point, Rect, Sheet, Text, View
from geom.refit import Refit
from geom.rules.cautions import SHEET_CAUTION

GAP = 5.0
_BAR_HEIGHT = 9.0
# Clearance of items from the frame's sides, where the centring marks are [mm].
_INSET = 5.0
# Clearance of view titles from the centring mark of the left edge [mm].
_TITLE_IN = 6.0
_BAR_LENGTH = 100.0
# Line pitches of a key [mm], the smaller ones for longer text; 1.4 times the lettering is the minimum.
_KEY_PITCHES = (4.2, 3.8, 3.5)


@dataclass(frozen=True)
class Draft:
    """The content of one sheet: its name in file names, title, paper, views and items.

    `scale` is that of the title block ("1:50", "none", "as shown"). Views have their titles in the upper left
    corner of their windows. `tolerance` replaces the survey accuracy in the title block, `units` the boat's units.
    `projection` is given where the views are in first or third angle to each other.
    """

    name: str
    title: str
    kind: str
    paper: Paper
    scale: str
    items: tuple[Item, ...]
    views: tuple[View, ...] = ()
    description: str = ""
    tolerance: str = ""
    units: str = ""
    projection: Projection | None = None


def beside_block(paper: Paper) -> Rect:
    """Return the space left of the title block, above the 100 mm bar, over the whole height."""
    frame = paper.frame
    right = frame.right - BLOCK_WIDTH - GAP
    return Rect(frame.left + _INSET, frame.bottom + _BAR_HEIGHT, right, frame.top - 1.0)


def above_block(paper: Paper) -> Rect:
    """Return the space over the title block and the caution, nearly as wide as they are."""
    frame = paper.frame
    right = frame.right - _INSET
    return Rect(frame.right - BLOCK_WIDTH, frame.bottom + BLOCK_HEIGHT + 1.0, right, frame.top - 1.0)


def full_width_above(paper: Paper) -> Rect:
    """Return the space over title block and bar across the whole sheet."""
    frame = paper.frame
    return Rect(frame.left + 1.0, frame.bottom + BLOCK_HEIGHT + 2.0, frame.right - 1.0, frame.top - 1.0)


def bar_place(paper: Paper) -> Point:
    """Return the left end of the 100 mm bar: left of the title block, or above the caution on a narrow sheet."""
    frame = paper.frame
    beside = frame.width - BLOCK_WIDTH >= _BAR_LENGTH + 2.0 * GAP
    return (frame.left + _INSET + 1.0, frame.bottom + 3.0 if beside else frame.bottom + BLOCK_HEIGHT + 3.0)


def finish(refit: Refit, draft: Draft, sheet: int, sheets: int) -> Sheet:
    """Return a draft of a boat as a numbered sheet with frame, title block, caution and bar.

    Args:
        refit: the boat as calculated.
        draft: the content.
        sheet: number of the sheet.
        sheets: number of sheets in the set.
    """
    return finish_issue(issue_of(refit), draft, sheet, sheets)


def finish_issue(issue: Issue, draft: Draft, sheet: int, sheets: int) -> Sheet:
    """Return a draft as a numbered sheet, its title block filled from plain values.

    Args:
        issue: entries of the title block for the set.
        draft: the content.
        sheet: number of the sheet.
        sheets: number of sheets in the set.
    """
    number = f"{issue.number}-{sheet:02d}"
    frame = draft.paper.frame
    title = Title(
        title=f"{issue.boat}: {draft.title}" if issue.boat else draft.title,
        kind=draft.kind,
        sheet=sheet,
        sheets=sheets,
        scale=draft.scale,
        paper=draft.paper.name,
        number=number,
        tolerance=draft.tolerance or issue.tolerance,
        units=draft.units or issue.units,
        projection=draft.projection,
    )
    items: list[Item] = [*frame_items(draft.paper, BLOCK_WIDTH), *title_block(issue, title, frame)]
    border = Border(len(items), title_fields(issue, title), clear_space(frame))
    items += caution(frame)
    items += print_bar(bar_place(draft.paper), inches=issue.inches or draft.paper.name.startswith("ANSI"))
    for view in draft.views:
        if view.title:
            at = (view.window.left + _TITLE_IN, view.window.top - 5.5)
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
        keywords=(("drawing", number), ("revision", issue.revision), ("scale", draft.scale)),
        border=border,
    )


def scale_words(scale: float) -> str:
    """Return a scale, a factor, as text: `1:50`, `2:1`."""
    return f"1:{1.0 / scale:g}" if scale <= 1.0 else f"{scale:g}:1"


def list_area(paper: Paper) -> Rect:
    """Return the space for lists over title block and bar, clear of the centring marks."""
    whole = full_width_above(paper)
    return Rect(whole.left + _INSET, whole.bottom + 2.0, whole.right - _INSET, whole.top - 6.0)


def key_items(paper: Paper, head: str, lines: Sequence[str], below: float = 0.0) -> tuple[Item, ...]:
    """Return a heading and short lines left of the title block, over the bar.

    Args:
        paper: of the sheet.
        head: the heading.
        lines: the lines; long ones are wrapped.
        below: space to keep free under the last line [mm].

    Raises:
        GeometryError: the lines do not fit.
    """
    place = beside_block(paper)
    left, top = place.left + 1.0, paper.frame.bottom + BLOCK_HEIGHT - 4.0
    parts = [part for line in lines for part in broken(line, place.right - left)]
    room = top - place.bottom - 1.0 - below
    pitch = next((pitch for pitch in _KEY_PITCHES if len(parts) * pitch <= room), None)
    if pitch is None:
        raise GeometryError(f"{len(lines)} lines do not stand left of the title block of {paper.name}")
    written = [Text((left, top - pitch * row), part, 2.5, "NOTE") for row, part in enumerate(parts, start=1)]
    return (Text((left, top), head, 2.5, "TEXT"), *written)
