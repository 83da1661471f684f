"""The sections of a post card through each hole, across the tube and along it, with their notes."""

from __future__ import annotations

import math
from dataclasses import replace
from math import sin

from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.hole_text import axis_note, edge_notes
from geom.drafting.post_text import length
from geom.drafting.ruling import broken
from geom.drafting.views import LETTERING, TITLE_ROOM, caption
from geom.figure import Item, Rect, Text, View
from geom.lettering import width as text_width
from geom.placement.place import PlacedHole, PlacedPost
from geom.refit import Refit
from geom.sheets.stanchions.hole_figure import (
    along_hole,
    clocking_from_plate,
    clocking_text,
    half_height,
    looking_down,
)
from geom.tables import numbers

_MAX_ROW = 92.0
_AXIS_ROOM = 4.5
_DETAIL_LEFT = 11.5
_WORDS_OFF = 5.5
_SPLIT = 0.455
_EDGE_PITCH = 3.7
# Margins over a section, and over and under it with the direction arrows [paper mm].
_CUT_OVER, _CUT_AROUND = 3.0, 14.5
# Half the width of the direction arrows under a section [paper mm].
_WAYS = 17.0
# Margins over and under a section with FORWARD and AFT; text beside a section [paper mm].
_SECTION_AROUND, _TILT_WORDS = 23.0, 25.0
_ENLARGED = (2.0, 1.0, 0.5)
# Letters of sections, without I and O, from the top hole down: A to C are views of the post.
_LETTERS = "DEFGHJKLMN"


def sections(post: PlacedPost) -> dict[str, tuple[str, str]]:
    """Return the letters of the sections across and along each hole."""
    return {hole.id: (_LETTERS[2 * k], _LETTERS[2 * k + 1]) for k, hole in enumerate(post.holes)}


def hole_views(refit: Refit, post: PlacedPost, column: Rect) -> tuple[list[View], list[Item]] | None:
    """Return both sections of each hole, one row below the other.

    Args:
        refit: the boat as calculated.
        post: the post.
        column: area of the rows, from its top down [mm].

    Returns:
        Views and captions, None where they do not fit at any scale.
    """
    height = min(_MAX_ROW, (column.height - 1.5) / len(post.holes))
    views: list[View] = []
    items: list[Item] = []
    for number, hole in enumerate(post.holes):
        top = column.top - 1.5 - number * height
        row = _hole_row(refit, post, hole, Rect(column.left, top - height, column.right, top))
        if row is None:
            return None
        views += row[0]
        items += row[1]
    return views, items


def _hole_row(refit: Refit, post: PlacedPost, hole: PlacedHole, row: Rect) -> tuple[list[View], list[Item]] | None:
    """Return one hole looking down the tube and in section along itself, each as large as the row allows."""
    fmt = numbers(refit.boat)
    fine = replace(fmt, decimals=fmt.decimals + (fmt.unit == "in"))
    drilling = refit.placed.drillings[hole.id]
    split = row.left + _SPLIT * row.width
    left, right = Rect(row.left, row.bottom, split, row.top), Rect(split, row.bottom, row.right, row.top)
    high = row.height - TITLE_ROOM - _AXIS_ROOM
    turn = clocking_from_plate(post, drilling)
    down = next((s for s in _ENLARGED if _section_fits(post, hole, turn, s, high, left.width)), None)
    lines = [part for line in edge_notes(refit, post, hole) for part in broken(line, right.width - 2.0)]
    room = high - len(lines) * _EDGE_PITCH - _CUT_AROUND
    wide = right.width - _DETAIL_LEFT - _WORDS_OFF - _tube_words_wide(refit, post)
    cut = next(
        (
            s
            for s in _ENLARGED
            if _cut_fits(post, hole, drilling.tilt, s, room, wide, f"Ø{length(hole.diameter, fmt, 1)}")
        ),
        None,
    )
    if down is None or cut is None:
        return None
    y = 0.5 * (row.bottom + row.top - TITLE_ROOM - _AXIS_ROOM)
    inboard, outboard = _section_reach(post, hole, turn, down)
    to_left, to_right = (inboard, outboard) if post.side == "S" else (outboard, inboard)
    x_down = left.left + to_left + 0.5 * (left.width - to_left - to_right)
    x_cut = right.left + _DETAIL_LEFT + max(0.5 * post.tube_od * cut, _WAYS)
    reach = min(0.5 * room / cut, 1.5 * hole.diameter + 6.0)
    y_cut = row.top - TITLE_ROOM - _AXIS_ROOM - _CUT_OVER - 0.5 * room
    across, along = sections(post)[hole.id]
    views = [
        View(
            f"{hole.level}1", "", down, (x_down, y), left, looking_down(refit, post, hole, 1.0 / down, along),
            numbers=fmt, description=post_words.LOOKING_DOWN.format(level=hole.level),
        ),
        View(
            f"{hole.level}2", "", cut, (x_cut, y_cut), right, along_hole(refit, post, hole, reach, 1.0 / cut, fine),
            numbers=fine, description=post_words.ALONG_HOLE.format(level=hole.level),
        ),
    ]  # fmt: skip
    at = (x_cut + 0.5 * post.tube_od * cut + _WORDS_OFF, y_cut)
    place = (row.left + 1.0, row.top - TITLE_ROOM - 1.6)
    items: list[Item] = [Text(place, axis_note(refit, hole), LETTERING, "TEXT", tag=f"basis:{hole.id}")]
    for rect, letter, line, scale, number in (
        (left, across, post_words.LOOKING_DOWN, down, 1),
        (right, along, post_words.ALONG_HOLE, cut, 2),
    ):
        name = post_words.SECTION.format(letter=letter)
        items += caption(rect, name, line.format(level=hole.level), scale, f"view:{hole.level}{number}")
    for number, line in enumerate(lines, 1):
        place = (right.left + 1.0, row.bottom + 3.5 + (len(lines) - number) * _EDGE_PITCH)
        items.append(Text(place, line, LETTERING, "NOTE", tag=f"edge:{hole.id}:{number}"))
    tube = _tube_words(refit, post)
    items += [
        Text((at[0], at[1] - 5.5), post_words.TUBE, LETTERING, "NOTE"),
        Text((at[0], at[1] - 9.3), tube, LETTERING, "NOTE", tag=f"tube-size:{hole.id}"),
    ]
    return views, items


def _section_fits(post: PlacedPost, hole: PlacedHole, turn: float, scale: float, high: float, wide: float) -> bool:
    return post.tube_od * scale + _SECTION_AROUND <= high and math.fsum(_section_reach(post, hole, turn, scale)) <= wide


def _cut_fits(
    post: PlacedPost, hole: PlacedHole, tilt: float, scale: float, room: float, wide: float, size: str
) -> bool:
    """Return whether a section fits, with the hole's size within its arrows or above them."""
    span, number = hole.diameter * scale, text_width(size, LETTERING)
    beside = number + 1.6 <= span or 0.5 * span + number + 4.5 <= 0.5 * room
    return beside and 2.0 * half_height(post, hole, tilt) * scale <= room and post.tube_od * scale <= wide


def _section_reach(post: PlacedPost, hole: PlacedHole, turn: float, scale: float) -> tuple[float, float]:
    """Return the extent of a section down the tube inboard and outboard of its axis, with its text [paper mm]."""
    radius = 0.5 * post.tube_od * scale
    clock = max((radius + 6.0) * abs(sin(turn)), 3.0) + 2.0 + text_width(clocking_text(hole, turn), LETTERING)
    side = max(text_width(word, LETTERING) for word in (post_words.OUTBOARD, words.SIDE[post.side]))
    inboard, outboard = radius + 2.0, radius + 3.5 + side
    return (inboard, max(outboard, clock)) if turn >= 0.0 else (max(inboard, clock), outboard)


def _tube_words_wide(refit: Refit, post: PlacedPost) -> float:
    """Return the width of the text beside a section: size of the tube, or end of the hole and its tilt [paper mm]."""
    return max(text_width(_tube_words(refit, post), LETTERING), _TILT_WORDS)


def _tube_words(refit: Refit, post: PlacedPost) -> str:
    fmt = numbers(refit.boat)
    return f"Ø{length(post.tube_od, fmt, 1)} x {length(post.tube_wall, fmt, 1)}"
