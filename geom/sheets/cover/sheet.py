"""Sheet G1: the boat in a picture, what is open, the list of drawings with who gets them, the revision."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from geom.drafting.columns import Column, ColumnTable
from geom.drafting.line_text import capitalised
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import ListColumn, RuledList, broken, list_height, list_items
from geom.drafting.sheet import Draft, field, lettered
from geom.drafting.symbols import flagged_item
from geom.drafting.title_block import (
    BLOCK_HEIGHT,
    BLOCK_WIDTH,
    TRADES,
    fitting,
    is_for,
    issue_of,
    shortened,
    shortened_entries,
)
from geom.figure import Cell, Hatch, Item, Rect, Text
from geom.lettering import width as text_width
from geom.open_items import OpenItem, open_items
from geom.refit import Refit
from geom.render.plane import disc
from geom.sheets.cover import text as own
from geom.sheets.cover.pictorial import pictorial
from geom.tables import numbers as numbers_of
from geom.words import Units, worded

# The number of items on the cover; the rest are on sheet A2.
MAX_ITEMS = 10
_NAME_ROOM, _GAP, _BAR = 24.0, 8.0, 14.0
_LEFT_SHARES = (7, 67, 67, 19, 15)
# Pictorial over two thirds of the sheet, but no higher than this [mm].
_MIN_PICTURE = 108.0
_LIST_ROW = 4.9
# From line to line of the revision [mm].
_PITCH = 4.0
# The numbers of the sheets on which each folder's subject is found.
_SHEETS_OF = {
    "deck_plan": ("G2",), "profiles": ("G3",), "stanchions": ("F1", "F2"), "bases": ("F3",), "gate": ("F4",),
    "line_sheets": ("R1", "R2", "R3", "R4"), "splices": ("R5",), "setting": ("R6",), "order": ("R7",),
    "compliance": ("A1", "A2"), "fittings": ("A5",),
}  # fmt: skip
# Sheets that show every place, so that it is not looked for on them.
_WHOLE_BOAT = ("G2", "G3", "R5", "R6", "R7", "A1", "A2", "A5")


@dataclass(frozen=True)
class _Says:
    """What all sheets of one number say: their words, lists taken apart, and the open items that they flag."""

    words: frozenset[str]
    flagged: frozenset[int]


_Shown = Mapping[str, _Says]


def with_cover(refit: Refit, drafts: Sequence[Draft]) -> tuple[Draft, ...]:
    """Return the drafts of a set in order with the cover before them, all with their final numbers.

    Args:
        refit: the boat as calculated.
        drafts: all others, in any order.
    """
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    blank = Draft(
        number="G1",
        name="cover",
        title=own.TITLE,
        subtitle=own.SUBTITLE,
        paper=paper,
        scale="none",
        items=(),
        description="The boat seen from the port bow, the open items, the list of drawings and the revision.",
        stamped=True,
    )
    ordered = lettered((blank, *drafts))
    return (replace(blank, items=_items(refit, paper, ordered)), *ordered[1:])


def _items(refit: Refit, paper: Paper, ordered: Sequence[Draft]) -> tuple[Item, ...]:
    listed = open_items(refit)
    area, frame = field(paper), paper.frame
    right = Rect(frame.right - BLOCK_WIDTH, frame.bottom + BLOCK_HEIGHT + 4.0, area.right, area.top)
    wide = right.left - _GAP - area.left
    over = _revision_height(refit, wide)
    left = Rect(area.left, frame.bottom + _BAR + 3.0 + over, area.left + wide, area.top)
    drawings = _drawings(ordered)
    list_top = right.bottom + 9.0 + max(table.height for table in drawings)
    room = frame.height - _NAME_ROOM - _MIN_PICTURE - 12.0 - over
    shown = min(MAX_ITEMS, len(listed))
    numbers = shown_on(ordered)
    while shown > 1 and _item_height(refit, listed[:shown], numbers, left.width, len(listed)) > room:
        shown -= 1
    tall = _item_height(refit, listed[:shown], numbers, left.width, len(listed))
    top = max(list_top, left.bottom + tall)
    picture = Rect(area.left, top + 3.0, area.right, area.top - _NAME_ROOM)
    return (
        *_heading(refit, area, len(ordered)),
        *pictorial(refit, picture, listed),
        *_item_list(refit, listed, shown, numbers, (left.left, top), left.width),
        *_drawing_list(drawings, (right.left, top), right.width),
        *_revision_items(refit, (area.left, frame.bottom + _BAR), left.width),
    )


def _heading(refit: Refit, area: Rect, sheets: int) -> tuple[Item, ...]:
    x, y = area.left, area.top
    # The stamp stands at the right.
    name, room = refit.boat.boat.name, area.width - 80.0
    size = fitting(name, 7.0, room, "semibold")
    count = own.ONE_SHEET if sheets == 1 else own.SHEETS.format(count=sheets)
    return (
        Text((x, y - 7.0), shortened(name, size, room, "semibold"), size, "TEXT", tag="boat", weight="semibold"),
        Text((x, y - 14.5), own.HEADING[bool(refit.boat.gates)], 5.0, "TEXT"),
        Text((x, y - 20.0), own.UNDER.format(sheets=count), 2.5, "SECOND"),
    )


def _titled(at: tuple[float, float], title: str, under: str, layer: str = "TEXT") -> tuple[Item, ...]:
    x, y = at[0], at[1] - 3.5
    beyond = x + text_width(title, 3.5, "semibold") + 3.0
    return (Text((x, y), title, 3.5, layer, weight="semibold"), Text((beyond, y), under, 2.5, "SECOND"))


def _rows(refit: Refit, listed: Sequence[OpenItem], numbers: _Shown) -> RuledList:
    units = Units(numbers_of(refit.boat))
    rows = []
    for item in listed:
        tag = f"item:{item.number}"
        cells = (
            Cell(str(item.number), f"{tag}:number", weight="semibold", layer="OPEN-ITEM"),
            Cell(capitalised(worded(item.cause, units)), f"{tag}:cause"),
            Cell(capitalised(action(refit, item)), f"{tag}:action"),
            Cell(item.who, f"{tag}:who"),
            Cell(", ".join(sheets_of(refit, item, numbers)), f"{tag}:sheets"),
        )
        rows.append(cells)
    columns = tuple(ListColumn(head, share) for head, share in zip(own.ITEM_HEADS, _LEFT_SHARES, strict=True))
    return RuledList("", columns, tuple(rows), "open-items", minimum=4.8)


def action(refit: Refit, item: OpenItem) -> str:
    """Return what is to be done about an item: its choices, or the fact to state."""
    units = Units(numbers_of(refit.boat))
    if item.choices:
        return own.OR.join(dict.fromkeys(worded(choice.what, units) for choice in item.choices[:2]))
    if item.cause.code == "item.too_low" and _on_deck(refit, item):
        return own.END_HIGHER
    if item.cause.code in own.AT_EYES and _at_eyes(refit, item):
        return own.AT_EYES[item.cause.code]
    if item.cause.code == "item.eye":
        said = {code for finding in item.findings for note in finding.notes for code in note.codes()}
        done = dict.fromkeys(text for code, text in own.OF_EYES.items() if code in said)
        return own.AND.join(done) or own.ACTIONS[item.cause.code]
    return own.STATE if item.entries else own.ACTIONS.get(item.cause.code, own.STATE)


def _on_deck(refit: Refit, item: OpenItem) -> bool:
    """Return whether every place of an item is an eye on the deck, or a line that comes down to one."""
    runs = {run.id: run for run in refit.boat.runs}
    places = [(runs[name].start.eye, runs[name].finish.eye) if name in runs else (name,) for name in item.places]
    low = {eye.id for eye in refit.boat.eyes if not eye.is_on_rail}
    return bool(places) and all(low.intersection(eyes) for eyes in places)


def _at_eyes(refit: Refit, item: OpenItem) -> bool:
    """Return whether every place of an item is an eye on a rail."""
    return bool(item.places) and {eye.id for eye in refit.boat.eyes if eye.is_on_rail}.issuperset(item.places)


def sheets_of(refit: Refit, item: OpenItem, shown: _Shown) -> tuple[str, ...]:
    """Return the numbers of the first two sheets that show an item to the trade that closes it, flagged ones first.

    Args:
        refit: the boat as calculated.
        item: the open item.
        shown: what all sheets of each number in the set say, without the letters that part sheets of one number.
    """
    # Whoever is no trade of the packs, such as the owner, gets the whole set.
    gets = [number for number in shown if number != "G1" and (item.who not in TRADES or is_for(item.who, number))]
    # Sheet A1 has what was checked, sheet A2 every item.
    gets = gets if item.findings else [number for number in gets if number != "A1"]
    about = [number for folder in item.sheets for number in _SHEETS_OF.get(folder, ()) if number in gets]
    flagged = [number for number in gets if item.number in shown[number].flagged]
    first = [number for number in about if number in flagged]
    found = (*first, *_naming(refit, item, shown, about)) or (*flagged, *_naming(refit, item, shown, gets))
    return tuple(dict.fromkeys(found))[:2]


def _naming(refit: Refit, item: OpenItem, shown: _Shown, numbers: Sequence[str]) -> list[str]:
    """Return those of some sheets that name a place of an item."""
    # A hole stands on the sheet of its stanchion, a line, an end or a fitting on those of the runs that have it.
    named = {name for place in item.places for name in (place, place.rpartition("-")[0])}
    for run in refit.boat.runs:
        used = {run.line, run.start.end, run.finish.end, *run.start.fittings, *run.finish.fittings}
        named |= {run.id} if used.intersection(item.places) else set()
    return [n for n in numbers if not item.places or n in _WHOLE_BOAT or shown[n].words.intersection(named)]


def shown_on(drafts: Sequence[Draft]) -> _Shown:
    """Return what all sheets of each number say."""
    shown: dict[str, _Says] = {}
    for draft in drafts:
        drawn = [*draft.items, *(item for view in draft.views for item in view.items)]
        lettering = [one for one in drawn if isinstance(one, Text)]
        # Port and starboard often share a text: `S-S1, P-S1`.
        words = {word for one in lettering for word in (one.text, *one.text.split(", "))}
        flagged = {item for one in lettering if (item := flagged_item(one.tag)) is not None}
        number, blank = _base(draft.number), _Says(frozenset(), frozenset())
        before = shown.get(number, blank)
        shown[number] = _Says(before.words | words, before.flagged | flagged)
    return shown


def _base(number: str) -> str:
    """Return a number without the letters that tell sheets of one number apart; the m of a middle line stays."""
    return re.match(r"R[13][mn](?=[a-z]?$)|[A-Z]\d+", number)[0]  # type: ignore[index]


def _item_height(refit: Refit, listed: Sequence[OpenItem], numbers: _Shown, width: float, count: int) -> float:
    if not listed:
        return 14.0
    return 6.5 + list_height(_rows(refit, listed, numbers), width) + (5.0 if len(listed) < count else 0.0)


def _item_list(
    refit: Refit,
    listed: Sequence[OpenItem],
    shown: int,
    numbers: _Shown,
    at: tuple[float, float],
    width: float,
) -> tuple[Item, ...]:
    layer = "OPEN-ITEM" if listed else "TEXT"
    head = _titled(at, own.OPEN_ITEMS, own.OPEN_ITEMS_UNDER if listed else "", layer)
    if not listed:
        return (*head[:1], Text((at[0], at[1] - 9.0), own.NO_ITEMS, 2.5, "NOTE"))
    table = _rows(refit, listed[:shown], numbers)
    body = list_items(table, (at[0], at[1] - 6.5), width)
    if shown == len(listed):
        return (*head, *body)
    foot = at[1] - 6.5 - list_height(table, width) - 4.0
    left = len(listed) - shown
    more = own.ONE_MORE if left == 1 else own.MORE.format(count=left)
    return (*head, *body, Text((at[0], foot), more, 2.5, "SECOND", tag="open-items:more"))


def _drawings(ordered: Sequence[Draft]) -> tuple[ColumnTable, ...]:
    """Return the list of drawings in two tables; sheets told apart by letters are one row."""
    rows = []
    for number, drafts in groupby(ordered, key=lambda draft: _base(draft.number)):
        alike = list(drafts)
        name = alike[0].number if len(alike) == 1 else f"{alike[0].number} to {alike[-1].number[len(number) :]}"
        title = _common([draft.title for draft in alike])
        marks = tuple(
            Cell("x" if is_for(trade, number) else "", f"drawing:{number}:{trade[0].upper()}",
                 "centre")
            for trade in TRADES
        )  # fmt: skip
        shown = capitalised(title)
        rows.append((Cell(name, f"drawing:{number}:number", weight="semibold"), Cell(shown, f"drawing:{number}:title"),
                     *marks))  # fmt: skip
    half = math.ceil(len(rows) / 2)
    heads = tuple(Column(head, across="centre" if len(head) == 1 else "left") for head in own.LIST_HEADS)
    return tuple(ColumnTable(heads, tuple(part), "drawings", _LIST_ROW) for part in (rows[:half], rows[half:]) if part)


def _common(titles: Sequence[str]) -> str:
    """Return the words with which all titles begin, or the first title where there are none."""
    shared = []
    for words in zip(*(title.split() for title in titles), strict=False):
        if len(set(words)) > 1 or words[0].isdigit():
            break
        shared.append(words[0])
    return " ".join(shared).rstrip(",:") or titles[0]


def _drawing_list(tables: Sequence[ColumnTable], at: tuple[float, float], width: float) -> tuple[Item, ...]:
    items: list[Item] = [*_titled(at, own.LIST, own.LIST_UNDER)]
    gap = 6.0
    each = (width - gap * (len(tables) - 1)) / len(tables)
    for place, table in enumerate(tables):
        drawn = table.items((at[0] + place * (each + gap), at[1] - 6.5), each)
        items += (_dotted(item) for item in drawn)
    return tuple(items)


def _dotted(item: Item) -> Item:
    """Return a mark of the list as a dot; anything else unchanged."""
    if isinstance(item, Text) and item.text == "x":
        return Hatch(disc((item.at[0], item.at[1] + 1.25), 0.8), "TEXT", tag=item.tag)
    return item


def _revision(refit: Refit, width: float) -> tuple[list[tuple[float, str]], list[str]]:
    """Return the revision in lines, each with its place along the line [mm], and what is said after it in lines."""
    revision = refit.boat.revision
    beyond = text_width(own.REVISION.format(mark=revision.mark), 2.5, "semibold") + 3.0
    rest = broken(", ".join(part for part in (revision.date, revision.note, revision.by) if part), width - beyond)
    held = [own.HELD] if any(run.work.refused for run in refit.runs) else []
    full = [own.IN_FULL.format(label=label, text=text) for label, text in shortened_entries(issue_of(refit))]
    return [(beyond, line) for line in rest], [line for text in (*held, *full) for line in broken(text, width)]


def _revision_height(refit: Refit, width: float) -> float:
    """Return the height of the lines over the last one [mm]."""
    rest, under = _revision(refit, width)
    return (max(1, len(rest)) + (0 if _abreast(rest, under, width) else len(under)) - 1) * _PITCH


def _abreast(rest: Sequence[tuple[float, str]], under: Sequence[str], width: float) -> bool:
    """Return whether all stands on one line."""
    if len(rest) > 1 or len(under) > 1:
        return False
    used = math.fsum(x + text_width(line, 2.5) for x, line in rest)
    return used + 8.0 + math.fsum(text_width(line, 2.5) for line in under) <= width


def _revision_items(refit: Refit, at: tuple[float, float], width: float) -> tuple[Item, ...]:
    """Return the revision and what is said after it, the last line at a base line."""
    rest, under = _revision(refit, width)
    y = at[1] + _revision_height(refit, width)
    mark = own.REVISION.format(mark=refit.boat.revision.mark)
    items = [Text((at[0], y), mark, 2.5, "TEXT", tag="revision:mark", weight="semibold")]
    for row, (x, line) in enumerate(rest):
        items.append(Text((at[0] + x, y - row * _PITCH), line, 2.5, "NOTE", tag="revision:rest"))
    if _abreast(rest, under, width):
        far = at[0] + max([0.0, *(x + text_width(line, 2.5) for x, line in rest)]) + 8.0
        return (*items, *(Text((far, y), line, 2.5, "SECOND") for line in under))
    below = y - max(1, len(rest)) * _PITCH
    return (*items, *(Text((at[0], below - row * _PITCH), line, 2.5, "SECOND") for row, line in enumerate(under)))
