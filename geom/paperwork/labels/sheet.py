"""The pages of labels: tags in two columns, each with its QR code, dashed lines to cut on."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.drafting.page import page_area, page_head, page_paper
from geom.drafting.ruling import broken
from geom.drafting.text import LENGTHS_IN
from geom.figure import Item, Line, Rect, Sheet, Text
from geom.paperwork.labels import text as words
from geom.paperwork.labels.code import code_items
from geom.paperwork.labels.tags import Tag, on_hold, tags
from geom.paperwork.paper import Paper, lettered
from geom.refit import Refit
from geom.tables import numbers

LABELS = Paper("L1", "labels", words.TITLE, words.KIND, words.DESCRIPTION)
_COLUMNS = 2
# Height of a tag, side of its code with the quiet zone, what is kept clear inside the tag [mm].
_TALL, _CODE, _IN = 44.0, 36.0, 2.5
_NAME, _SMALL, _PITCH = 7.0, 2.5, 3.5
# Room for the note under the heading [mm].
_NOTE = 9.0


def label_sheets(refit: Refit) -> tuple[Sheet, ...]:
    """Return the pages of labels."""
    paper = page_paper(refit)
    area = page_area(paper)
    wide, rows = area.width / _COLUMNS, int((area.height - _NOTE) // _TALL)
    found = tags(refit)
    held = on_hold(refit)
    note = words.CUT_ON if not held else f"{words.CUT_ON} {words.HELD.format(runs=', '.join(held))}"
    drawn: list[tuple[Item, ...]] = []
    for first in range(0, len(found), _COLUMNS * rows):
        items: list[Item] = [*page_head(paper, words.TITLE.upper(), "page"), *_note(note, area)]
        for place, tag in enumerate(found[first : first + _COLUMNS * rows]):
            row, column = divmod(place, _COLUMNS)
            left, top = area.left + column * wide, area.top - _NOTE - row * _TALL
            items += tag_items(tag, Rect(left, top - _TALL, left + wide, top))
        items += _cuts(area, wide, math.ceil(len(found[first : first + _COLUMNS * rows]) / _COLUMNS))
        drawn.append(tuple(items))
    return lettered(refit, LABELS, drawn, LENGTHS_IN[numbers(refit.boat).unit])


def _note(note: str, area: Rect) -> Iterator[Item]:
    for row, line in enumerate(broken(note, area.width)):
        yield Text((area.left, area.top - 3.5 - row * _PITCH), line, _SMALL, "NOTE", tag="notes")


def _cuts(area: Rect, wide: float, rows: int) -> Iterator[Item]:
    """Yield the lines to cut on, each once."""
    top, low = area.top - _NOTE, area.top - _NOTE - rows * _TALL
    for row in range(rows + 1):
        yield Line((area.left, top - row * _TALL), (area.right, top - row * _TALL), "HIDDEN")
    for column in range(_COLUMNS + 1):
        yield Line((area.left + column * wide, low), (area.left + column * wide, top), "HIDDEN")


def tag_items(tag: Tag, place: Rect) -> Iterator[Item]:
    """Yield one tag: its code, boat, id and figures.

    Args:
        tag: what stands on it.
        place: its outline on the page [mm].
    """
    name = f"tag:{tag.name}"
    yield from code_items(
        tag.text, (place.right - _CODE - 0.5, place.bottom + 0.5 * (_TALL - _CODE)), _CODE, f"{name}:code"
    )
    left, room = place.left + _IN, place.width - _CODE - _IN - 1.0
    y = place.top - _IN - _SMALL
    yield Text((left, y), tag.boat, _SMALL, "TEXT", tag=f"{name}:boat", weight="semibold")
    y -= _NAME + 1.6
    yield Text((left, y), tag.name, _NAME, "TEXT", tag=f"{name}:name", weight="semibold")
    y -= 1.0
    for number, line in enumerate(tag.lines, start=1):
        for part in broken(line, room):
            y -= _PITCH
            yield Text((left, y), part, _SMALL, "NOTE", tag=f"{name}:{number}")
