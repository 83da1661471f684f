"""A full-size wrap for each post's tube: holes on both walls, directions, foot and top, seam, circumference."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom.drafting import text as sheet_words
from geom.figure import Item, Line, Polyline, Rect, Sheet, Text
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.render.plane import extent as extent_of
from geom.render.plane import text_box
from geom.sheets.aids import text as words
from geom.sheets.aids.clip import clip
from geom.sheets.aids.page import Aid, AidPaper, Piece, notes, page, tile_pages
from geom.sheets.aids.placer import Placer
from geom.sheets.aids.tiling import OVERLAP, Tile, join_marks, letters, split
from geom.sheets.aids.unrolled import EXITS, Unrolled, UnrolledHole, directions, foot_cut, unroll
from geom.sheets.aids.wrap_text import (
    CENTRE_ARM,
    SHORT_ARM,
    foot_words,
    hole_words,
    table,
    tile_words,
    top_words,
    zone,
)
from geom.units import decimal

_SCALE_STEP = 10
_SCALE_NUMBER = 50
_FOOT_WORDS = 4.5


def tube_wrap(refit: Refit, post: PlacedPost, paper: AidPaper, thickness: float = 0.0) -> tuple[Sheet, ...]:
    """Return the pages of one post's wrap.

    Args:
        refit: the boat as calculated.
        post: the post.
        paper: the paper.
        thickness: of the paper wrapped round the tube [mm].
    """
    flat = unroll(post, refit.placed.drillings, thickness)
    frame, area = paper.frame, paper.room
    hole_table = table(refit, flat, frame.width)
    note_lines = [line.format(size=_size(flat)) for line in words.WRAP_NOTES]
    if any(hole.hole.spec.planned is None for hole in flat.holes):
        note_lines.append(words.STAYS)
    lines, tall = notes(note_lines, (frame.left, area.top - hole_table.height - 1.2), frame.width)
    under = Rect(area.left, area.bottom, area.right, area.top - hole_table.height - tall - 3.0)
    piece = wrap_piece(refit, flat, under.height)
    aid = Aid(f"wrap-{post.id}", words.WRAP, post.id, sheet_words.SIDE[post.side])
    pages = tile_pages(piece, under, across=True)
    return tuple(
        page(refit, aid, paper, index, len(pages), (*hole_table.items((frame.left, area.top)), *lines), views)
        for index, views in enumerate(pages, start=1)
    )


def _size(flat: Unrolled) -> str:
    """Return the diameter whose circumference the width is, as text."""
    od = decimal(flat.post.tube_od, 2)
    return f"{od} outside diameter" if not flat.paper else f"({od} outside diameter + {flat.paper:g} of paper)"


def wrap_piece(refit: Refit, flat: Unrolled, room: float) -> Piece:
    """Return a wrap with its tiles; x is round the tube, y up from the foot.

    Args:
        refit: the boat as calculated.
        flat: the tube unrolled.
        room: largest height of a tile [mm].
    """
    width, top = flat.width, flat.post.top
    whole = Rect(0.0, 0.0, width, top)
    cut = _foot_line(refit, flat)
    foot_room = max((y for _, y in cut), default=1.0) + _FOOT_WORDS
    zones = [(0.0, foot_room), *(zone(flat, hole) for hole in flat.holes)]
    spans = split(0.0, top, room, zones)
    parts = tuple(Tile(letters(index), Rect(0.0, low, width, high)) for index, (low, high) in enumerate(spans))
    items: list[Item] = [Polyline(_corners(whole), "THIN", closed=True, tag=f"wrap:{flat.post.id}")]
    strokes: list[Item] = [Polyline(cut, "THIN", tag=f"foot-cut:{flat.post.id}")] if cut else []
    for hole in flat.holes:
        strokes += hole_items(flat, hole)
    strokes += [*_ticks(flat), *join_marks(whole, parts)]
    placer = Placer()
    placer.keep_off(strokes)
    for hole in flat.holes:
        hole_words(flat, hole, placer)
    foot_words(flat, cut, placer)
    top_words(refit, flat, placer)
    for index, tile in enumerate(parts):
        # Text in an overlap would be printed twice, so there is none.
        low = tile.window.bottom + (OVERLAP if index else 0.0)
        high = tile.window.top - (OVERLAP if index < len(parts) - 1 else 0.0)
        items += tile_words(refit, flat, tile, len(parts), Rect(0.6, low, width - 0.6, high), placer)
        _scale_numbers(Rect(0.6, low, width - 0.6, high), placer)
    items += [*strokes, *_direction_lines(flat, placer.texts)]
    return Piece(f"wrap-{flat.post.id}", (*items, *placer.texts), parts)


def _corners(rect: Rect) -> tuple[tuple[float, float], ...]:
    return (
        (rect.left, rect.bottom),
        (rect.right, rect.bottom),
        (rect.right, rect.top),
        (rect.left, rect.top),
    )


def hole_items(flat: Unrolled, hole: UnrolledHole) -> list[Item]:
    """Return both developed outlines of a hole and the cross lines at their centres.

    An outline across the seam is drawn at both edges.
    """
    items: list[Item] = []
    whole = Rect(0.0, 0.0, flat.width, flat.post.top)
    between = math.fsum(flat.centre(hole, at)[0] for at in EXITS) / 2.0
    for at in EXITS:
        tag = f"exit:{hole.hole.id}:{at}"
        x, y = flat.centre(hole, at)
        half, arm_y = flat.half_width(hole), hole.hole.diameter / 2.0 + CENTRE_ARM
        # The arm towards the text between the two exits is short.
        left, right = (CENTRE_ARM, SHORT_ARM) if x < between else (SHORT_ARM, CENTRE_ARM)
        drawn: tuple[Item, ...] = (
            Polyline(flat.outline(hole, at), "THIN", closed=True, tag=tag),
            Line((x - half - left, y), (x + half + right, y), "THIN", tag=f"centre:{hole.hole.id}:{at}:across"),
            Line((x, y - arm_y), (x, y + arm_y), "THIN", tag=f"centre:{hole.hole.id}:{at}:up"),
        )
        items += clip(drawn, whole)
        for over in (flat.width, -flat.width):
            items += clip((_shifted(item, over) for item in drawn), whole)
    return items


def _shifted(item: Item, by: float) -> Item:
    if isinstance(item, Line):
        return Line((item.start[0] + by, item.start[1]), (item.end[0] + by, item.end[1]), item.layer, item.tag)
    assert isinstance(item, Polyline)
    return Polyline(tuple((x + by, y) for x, y in item.points), item.layer, item.closed, item.tag)


def _foot_line(refit: Refit, flat: Unrolled) -> tuple[tuple[float, float], ...]:
    """Return the line of the tube's end on its plate, empty for a post without a base."""
    base = flat.post.spec.base
    return () if base is None else foot_cut(flat, refit.boat.bases[base])


def _ticks(flat: Unrolled) -> list[Item]:
    """Return ticks up the left edge, to be checked with a rule once the tiles are joined."""
    steps = range(_SCALE_STEP, math.ceil(flat.post.top), _SCALE_STEP)
    return [
        Line((0.0, float(step)), (3.5 if step % _SCALE_NUMBER == 0 else 2.0, float(step)), "THIN") for step in steps
    ]


def _scale_numbers(clear: Rect, placer: Placer) -> None:
    """Place the numbers of the long ticks, where there is room."""
    for step in range(_SCALE_NUMBER, math.ceil(clear.top), _SCALE_NUMBER):
        if step > clear.bottom:
            placer.put((Text((4.2, float(step)), str(step), 2.5, "NOTE", upright="middle"),), clear, (2.5, 1.8))


def _direction_lines(flat: Unrolled, texts: Sequence[Text]) -> list[Item]:
    """Return the lines of the four directions, interrupted at text."""
    boxes = [extent_of(text_box(text)) for text in texts]
    items: list[Item] = []
    for word, angle in directions(flat.post).items():
        x = flat.x(angle)
        if x < 1e-6:
            continue
        struck = sorted((box.bottom, box.top) for box in boxes if box.left - 0.4 < x < box.right + 0.4)
        start = 0.0
        for low, high in [*struck, (flat.post.top, flat.post.top)]:
            if low - 0.6 > start + 5.0 or low == flat.post.top:
                end = low if low == flat.post.top else low - 0.6
                items.append(Line((x, start), (x, end), "CENTRE", tag=f"direction:{flat.post.id}:{word}"))
            start = max(start, high + 0.6)
    return items
