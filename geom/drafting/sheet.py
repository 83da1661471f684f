"""A sheet's content, and its completion: frame, title block, caution, stamp, 100 mm bar, its place in the set."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from geom.drafting.paper import Paper, frame_items
from geom.drafting.projection import Projection
from geom.drafting.ruling import broken
from geom.drafting.title_block import (
    BLOCK_HEIGHT,
    BLOCK_WIDTH,
    GROUPS,
    STAMP_HEIGHT,
    Issue,
    Title,
    caution,
    clear_space,
    identification,
    issue_of,
    print_bar,
    stamp,
    title_block,
    title_fields,
)
from geom.errors import GeometryError
from geom.figure import (
    Block,
    Border,
    Dimension,
    Item,
    Leader,
    Line,
    Ordinate,
    Point,
    Rect,
    Sheet,
    Text,
    View,
)  # fmt: skip
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.render.explode import dimension_text
from geom.rules.cautions import SHEET_CAUTION
from geom.words import worded

# Letters of sheets of one number; those that read as a figure are left out, as in other drawing numbers.
_LETTERS = "abcdefghjkmnpqrstuvwxyz"

GAP = 5.0
# Height of a sheet's foot: title block and caution, and the key beside them [mm].
FOOT = 53.5
FIELD_MARGIN = 8.0
_BAR_HEIGHT = 9.0
# Clearance of items from the frame's sides, where the centring marks are [mm].
_INSET = 5.0
# Clearance of view titles from the centring mark of the left edge [mm].
_TITLE_IN = 6.0
_BAR_LENGTH = 100.0
# Line pitches of a key [mm], the smaller ones for longer text; 1.4 times the lettering is the minimum.
_KEY_PITCHES = (4.2, 3.8, 3.5)

# Lettering of a headline: title, what it is about, notes [mm].
_HEAD_TITLE, _HEAD_SAID, _HEAD_NOTE = 7.0, 3.5, 2.5
# The rule under the headline from the field's upper edge, and the room under it [mm].
HEADLINE, UNDER_HEADLINE = STAMP_HEIGHT + 2.0, 2.8
# Space that the stamp takes at the right, over the foot's key [mm].
_STAMP, _OVER_KEY = 64.0, 2.0


@dataclass(frozen=True)
class Draft:
    """The content of one sheet: its place in the set, its name in file names, title, paper, views and items.

    `number` is the letter of the group that the sheet is for and its place in it, which depends on its subject:
    "G2" is the deck plan of every boat, "R1m" a middle line, "R1n" a lower middle one.
    Sheets of one number get letters in their order: F1a, F1b.
    `subtitle` says what is shown. `scale` is that of the title block ("1:50", "none", "as shown"). Views have their
    titles in the upper left corner of their windows. `tolerance` replaces the survey accuracy, `units` the boat's
    units. `projection` is given where the views are in first or third angle to each other. `stamped` sheets have the
    status in their upper right corner; `hold` says why nothing may be made from this one yet. `for_cad` is whether a
    drawing file is wanted of it, where that does not follow from its views.
    """

    number: str
    name: str
    title: str
    subtitle: str
    paper: Paper
    scale: str
    items: tuple[Item, ...]
    views: tuple[View, ...] = ()
    description: str = ""
    tolerance: str = ""
    units: str = ""
    projection: Projection | None = None
    stamped: bool = False
    hold: str = ""
    for_cad: bool | None = None


def field(paper: Paper) -> Rect:
    """Return the drawing field: the frame with a margin of 8 mm all round; the title block takes its lower right."""
    frame = paper.frame
    return Rect(frame.left + FIELD_MARGIN, frame.bottom + FIELD_MARGIN, frame.right - FIELD_MARGIN,
                frame.top - FIELD_MARGIN)  # fmt: skip


def lettered(drafts: Sequence[Draft]) -> tuple[Draft, ...]:
    """Return drafts in the order of the set, those of one number told apart by letters: F1a, F1b.

    Args:
        drafts: in any order; those of one number keep theirs.
    """
    ranked = sorted(drafts, key=lambda draft: _place(draft.number))
    count, seen = Counter(draft.number for draft in ranked), Counter[str]()
    numbered = []
    for draft in ranked:
        letter = letters(seen[draft.number]) if count[draft.number] > 1 else ""
        seen[draft.number] += 1
        numbered.append(replace(draft, number=f"{draft.number}{letter}"))
    return tuple(numbered)


def _place(number: str) -> tuple[int, int, int, str]:
    """Return the place of a number in the set: R1m, a middle line's, follows R1, and F1aa follows F1z."""
    group, digits, rest = re.fullmatch(r"([A-Z])(\d+)(\w*)", number).groups()  # type: ignore[union-attr]
    return tuple(GROUPS).index(group), int(digits), len(rest), rest


def letters(place: int) -> str:
    """Return a, b ... z, aa, ab ... for the places from 0 on, without i, l and o: A1l would read as A11."""
    first, last = divmod(place, len(_LETTERS))
    return (letters(first - 1) if first else "") + _LETTERS[last]


def beside_block(paper: Paper) -> Rect:
    """Return the space left of the title block, above the 100 mm bar, over the whole height."""
    frame = paper.frame
    right = frame.right - BLOCK_WIDTH - GAP
    return Rect(frame.left + _INSET, frame.bottom + _BAR_HEIGHT, right, frame.top - 1.0)


def full_width_above(paper: Paper) -> Rect:
    """Return the space over title block and bar across the whole sheet."""
    frame = paper.frame
    return Rect(frame.left + 1.0, frame.bottom + FOOT + 2.0, frame.right - 1.0, frame.top - 1.0)


def bar_place(paper: Paper) -> Point:
    """Return the left end of the 100 mm bar: left of the title block, or above the caution on a narrow sheet."""
    frame = paper.frame
    beside = frame.width - BLOCK_WIDTH >= _BAR_LENGTH + 2.0 * GAP
    if beside:
        return (frame.left + FIELD_MARGIN, frame.bottom + 3.0)
    # Pages in portrait have a smaller margin.
    return (frame.left + _INSET + 1.0, frame.bottom + BLOCK_HEIGHT + 3.0)


def finish(refit: Refit, draft: Draft, sheets: int) -> Sheet:
    """Return a draft of a boat as a sheet with frame, title block, caution, stamp and bar.

    Args:
        refit: the boat as calculated.
        draft: the content, its number final.
        sheets: number of sheets in the set.
    """
    return finish_issue(issue_of(refit), draft, sheets)


def finish_issue(issue: Issue, draft: Draft, sheets: int) -> Sheet:
    """Return a draft as a sheet, its title block filled from plain values.

    Args:
        issue: entries of the title block for the set.
        draft: the content, its number final.
        sheets: number of sheets in the set.
    """
    frame = draft.paper.frame
    title = Title(
        title=draft.title,
        subtitle=draft.subtitle,
        number=draft.number,
        sheets=sheets,
        scale=draft.scale,
        paper=draft.paper.name,
        tolerance=draft.tolerance or issue.tolerance,
        units=draft.units or issue.units,
        data=shown_hash(draft),
        hold=draft.hold,
        projection=draft.projection,
    )
    items: list[Item] = [*frame_items(draft.paper, BLOCK_WIDTH), title_block(issue, title, frame)]
    border = Border(len(items), title_fields(issue, title), clear_space(frame))
    items += caution(frame)
    if draft.stamped:
        items += stamp(issue, title, frame)
    items += print_bar(bar_place(draft.paper), inches=issue.inches or draft.paper.inches)
    for view in draft.views:
        if view.title:
            at = (view.window.left + _TITLE_IN, view.window.top - 5.5)
            items += view_title(at, view.title, scale_words(view.scale), f"view:{view.name}")
    return Sheet(
        name=f"{draft.number}-{draft.name}",
        title=f"{draft.number} {draft.title}" if draft.number else draft.title,
        width=draft.paper.width,
        height=draft.paper.height,
        items=(*items, *draft.items),
        views=draft.views,
        frame=frame,
        description=f"{worded(SHEET_CAUTION)}. {draft.description}".strip(),
        keywords=(
            ("drawing", identification(issue, title)), ("revision", issue.revision), ("scale", draft.scale),
        ),
        border=border,
        group=title.group,
        for_cad=bool(draft.views) if draft.for_cad is None else draft.for_cad,
        unit=25.4 if issue.inches else 1.0,
    )  # fmt: skip


def view_title(at: Point, name: str, scale: str, tag: str) -> tuple[Item, ...]:
    """Return a view's title: its name, and its scale in grey behind it.

    Args:
        at: left end of the base line [mm].
        name: of the view.
        scale: in words, empty for none.
        tag: id of the name.
    """
    beyond = (at[0] + text_width(name, 3.5, "semibold") + 2.5, at[1])
    named = Text(at, name, 3.5, "TEXT", tag=tag, weight="semibold")
    return (named, Text(beyond, scale, 2.5, "SECOND", tag=f"{tag}:scale")) if scale else (named,)


def shown_hash(draft: Draft) -> str:
    """Return a short hash of all figures and words on a draft: it changes when what the sheet says changes."""
    words = [word for item in draft.items for word in _words(item, None)]
    words += [word for view in draft.views for item in view.items for word in _words(item, view)]
    return hashlib.sha256("\n".join(words).encode("utf-8")).hexdigest()[:12]


def _words(item: Item, view: View | None) -> Iterator[str]:
    """Yield the words and figures of an item."""
    if isinstance(item, Text | Leader):
        yield item.text
    elif isinstance(item, Dimension | Ordinate):
        yield dimension_text(item, view)
    elif isinstance(item, Block):
        yield from (value for _, value in item.attributes)
        for part in item.items:
            yield from _words(part, view)


def scale_words(scale: float) -> str:
    """Return a scale, a factor, as text: `1:50`, `2:1`."""
    return f"1:{1.0 / scale:g}" if scale <= 1.0 else f"{scale:g}:1"


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
    left, top = place.left + 1.0, paper.frame.bottom + FOOT - 4.0
    parts = [part for line in lines for part in broken(line, place.right - left)]
    room = top - place.bottom - 1.0 - below
    pitch = next((pitch for pitch in _KEY_PITCHES if len(parts) * pitch <= room), None)
    if pitch is None:
        raise GeometryError(f"{len(lines)} lines do not stand left of the title block of {paper.name}")
    written = [Text((left, top - pitch * row), part, 2.5, "NOTE") for row, part in enumerate(parts, start=1)]
    return (Text((left, top), head, 2.5, "TEXT"), *written)


def headline(paper: Paper, title: str, said: str, tag: str, note: str = "") -> tuple[tuple[Item, ...], float]:
    """Return the headline of a sheet, and where its words end along the title's line [mm].

    Args:
        paper: of the sheet.
        title: of the sheet.
        said: what it is about.
        tag: id of the title.
        note: one line of notes under it.
    """
    place = field(paper)
    y, rule = place.top - 8.2, place.top - HEADLINE
    x = place.left + text_width(title, _HEAD_TITLE, "semibold") + 6.0
    room = place.right - _STAMP - x
    lines = broken(said, room, _HEAD_SAID) if said else ()
    items: list[Item] = [Text((place.left, y), title, _HEAD_TITLE, "TEXT", tag=tag, weight="semibold")]
    if lines:
        items.append(Text((x, y), lines[0], _HEAD_SAID, "TEXT", tag=f"{tag}:said"))
    if note:
        items.append(Text((place.left, place.top - 14.6), note, _HEAD_NOTE, "SECOND", tag="notes"))
    items.append(Line((place.left, rule), (place.right, rule), "HEAD-RULE"))
    return tuple(items), x + (text_width(lines[0], _HEAD_SAID) if lines else 0.0)


def headed_area(paper: Paper) -> Rect:
    """Return the space for lists between the headline and the foot with title block and key."""
    place = field(paper)
    return Rect(
        place.left, paper.frame.bottom + FOOT + _OVER_KEY + 2.0, place.right, place.top - HEADLINE - UNDER_HEADLINE
    )  # fmt: skip
