"""Boxes of the measuring form, large enough for writing with wet hands: posts, eyes, gate, boat."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom.boat.model import Level, Side
from geom.data.table import datum
from geom.drafting import text as words
from geom.drafting.ruling import broken
from geom.figure import Item, Point, Polyline, Rect, Text
from geom.intake.survey.form import RAILS, post_name, readings_of_post, readings_of_rail
from geom.units import LengthFormat, decimal

# Smallest and largest height of a box, and height of an eye's box [mm].
BOX, TALLEST_BOX, EYE_BOX = 11.5, 17.0, 14.0
# Rows of boxes of a post.
_ROWS = 4
_NAME_WIDTH = 22.0
_EYE_NAME_WIDTH = 34.0
_BETWEEN = 3.0
_HEAD = 5.0
_HEAD_ROOM = 27.0
# Usual survey accuracy: name on the form, row of data/survey_limits.csv.
_USUAL = (("X, Y", "square to an axis"), ("Z", "height"), ("LEAN", "lean"), ("TAPE", "tape hole to hole"))


def box(rect: Rect, label: str, tag: str = "") -> tuple[Item, ...]:
    """Return an empty box with its label in the upper left corner.

    Args:
        rect: the box [mm].
        label: its label, none where empty.
        tag: id of the box.
    """
    corners = ((rect.left, rect.bottom), (rect.right, rect.bottom), (rect.right, rect.top), (rect.left, rect.top))
    frame = Polyline(corners, "TABLE", closed=True, tag=tag)
    return (frame, Text((rect.left + 1.0, rect.top - 3.6), label, 2.5, "NOTE")) if label else (frame,)


def boxes(at: Point, width: float, labels: Sequence[tuple[str, float]], tag: str, height: float = BOX) -> list[Item]:
    """Return a row of boxes from its upper left corner, dividing the width.

    Args:
        at: upper left corner [mm].
        width: of the row [mm].
        labels: label and share of each box.
        tag: prefix of the boxes' ids.
        height: of the row [mm].
    """
    x, y = at
    whole = math.fsum(share for _, share in labels)
    items: list[Item] = []
    for label, share in labels:
        step = width * share / whole
        items += box(Rect(x, y - height, x + step, y), label, f"{tag}:{label}")
        x += step
    return items


def _equal_shares(labels: Sequence[str]) -> list[tuple[str, float]]:
    return [(label, 1.0) for label in labels]


def head_boxes(area: Rect) -> tuple[list[Item], float]:
    """Return the boxes for boat, date and surveyor, and their lower edge [mm]."""
    items, y = [], area.top
    for row in (words.FORM_HEAD, words.FORM_TOOLS):
        items += boxes((area.left, y), area.width, row, "form")
        y -= BOX
    return items, y


def usual_boxes(at: Point, width: float, fmt: LengthFormat) -> list[Item]:
    """Return boxes for the accuracy of readings, with the usual values; common practice, no source.

    Args:
        at: upper left corner [mm].
        width: of the row [mm].
        fmt: format of lengths.
    """
    labels = []
    for name, key in _USUAL:
        row = datum("survey_limits", key=key)
        value = decimal(row.value, 1) + " deg" if row.unit == "deg" else _short(row.value, fmt)
        labels.append((words.FORM_USUAL.format(name=name, value=value), 1.0))
    return boxes(at, width, labels, "uncertainty", 10.0)


def _short(value: float, fmt: LengthFormat) -> str:
    return f"{fmt.figure(value, 0 if fmt.unit == 'mm' else fmt.decimals)} {fmt.unit}"


def posts_pages(
    side: Side, posts: int, levels: tuple[Level, ...], fmt: LengthFormat, area: Rect
) -> list[tuple[Item, ...]]:
    """Return the posts of a side, divided evenly over as many pages as needed.

    Args:
        side: of the boat.
        posts: number of posts.
        levels: of the lines.
        fmt: format of lengths.
        area: of each page [mm].
    """
    each = _ROWS * BOX + _BETWEEN
    maximum = int((area.height - _HEAD_ROOM - 2.0 + _BETWEEN) // each)
    count = -(-posts // maximum)
    pages, first = [], 1
    for page in range(count):
        here = -(-(posts - first + 1) // (count - page))
        upto = first + here
        tall = min(((area.height - _HEAD_ROOM - 2.0 + _BETWEEN) / here - _BETWEEN) / _ROWS, TALLEST_BOX)
        items = _page_head(words.FORM_POSTS.format(side=words.SIDE[side]), area)
        items += usual_boxes((area.left, area.top - 15.5), area.width, fmt)
        y = area.top - _HEAD_ROOM - 2.0
        for number in range(first, upto):
            items += _post(post_name(side, number), levels, (area.left, y), area.width, tall)
            y -= _ROWS * tall + _BETWEEN
        pages.append(tuple(items))
        first = upto
    return pages


def _page_head(title: str, area: Rect) -> list[Item]:
    lines = broken(words.FORM_POSTS_HOW, area.width)
    return [
        Text((area.left, area.top - _HEAD), title, _HEAD, "TEXT"),
        *(Text((area.left, area.top - 9.4 - 3.8 * index), line, 2.5, "NOTE") for index, line in enumerate(lines)),
    ]


def _post(name: str, levels: tuple[Level, ...], at: Point, width: float, tall: float) -> list[Item]:
    x, y = at
    tag = f"form:{name}"
    items = [
        *box(Rect(x, y - _ROWS * tall, x + _NAME_WIDTH, y), "", tag),
        Text((x + _NAME_WIDTH / 2.0, y - _ROWS * tall / 2.0), name, 3.5, "TEXT", "centre", "middle", tag=f"{tag}:name"),
    ]
    rows = readings_of_post(levels)
    across = max(map(len, rows))
    for index, row in enumerate(rows):
        shares = _equal_shares(row)
        if len(row) < across:
            shares.append((words.FORM_NOTE, float(across - len(row))))
        items += boxes((x + _NAME_WIDTH, y - index * tall), width - _NAME_WIDTH, shares, tag, tall)
    return items


def eyes_page(side: Side, levels: tuple[Level, ...], area: Rect) -> tuple[Item, ...]:
    """Return the eyes of a side on pulpit and pushpit, and its gate.

    Args:
        side: of the boat.
        levels: of the lines.
        area: of the page [mm].
    """
    items: list[Item] = [Text((area.left, area.top - _HEAD), words.FORM_EYES.format(side=words.SIDE[side]), _HEAD)]
    y = area.top - 9.0
    for rail in RAILS:
        for index, level in enumerate(levels):
            below = levels[index + 1] if index + 1 < len(levels) else None
            labels = (*readings_of_rail(level, below), *words.FORM_EYE_BOXES)
            items += _named_row(f"{side}-{rail}-{level}", labels, (area.left, y), area.width)
            y -= EYE_BOX + _BETWEEN
    y -= 6.0
    items.append(Text((area.left, y - _HEAD), words.FORM_GATE.format(side=words.SIDE[side]), _HEAD))
    y -= 9.0
    rows = ((f"{side}-GATE", words.FORM_GATE_BOXES), *((name, words.FORM_BRACE_BOXES) for name in words.FORM_BRACES))
    for name, labels in rows:
        items += _named_row(name, labels, (area.left, y), area.width)
        y -= EYE_BOX
    return tuple(items)


def _named_row(name: str, labels: Sequence[str], at: Point, width: float) -> list[Item]:
    x, y = at
    tag = f"form:{name}"
    return [
        *box(Rect(x, y - EYE_BOX, x + _EYE_NAME_WIDTH, y), "", tag),
        Text((x + _EYE_NAME_WIDTH / 2.0, y - EYE_BOX / 2.0), name, 3.5, "TEXT", "centre", "middle", tag=f"{tag}:name"),
        *boxes((x + _EYE_NAME_WIDTH, y), width - _EYE_NAME_WIDTH, _equal_shares(labels), tag, EYE_BOX),
    ]


def boat_page(fmt: LengthFormat, area: Rect) -> tuple[tuple[Item, ...], float]:
    """Return the boxes for the main dimensions of the boat, and their lower edge [mm]."""
    items: list[Item] = [Text((area.left, area.top - _HEAD), words.FORM_BOAT, _HEAD)]
    y = area.top - 9.0
    for row in words.FORM_BOAT_BOXES:
        items += boxes((area.left, y), area.width, _equal_shares(row), "form:boat")
        y -= BOX
    y -= _BETWEEN
    items += usual_boxes((area.left, y), area.width, fmt)
    return tuple(items), y - 10.0
