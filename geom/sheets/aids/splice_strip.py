"""The splice marking strip: every mark of a splice at full size, in tiles, to be laid along the rope."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from geom.boat.model import side_of
from geom.drafting import text as sheet_words
from geom.figure import Across, Hatch, Item, Line, Polyline, Rect, Sheet, Text
from geom.refit import Refit
from geom.rigging.splice import Recipe
from geom.sheets.aids import text as words
from geom.sheets.aids.page import Aid, AidPaper, Piece, notes, page, tile_pages
from geom.sheets.aids.placer import Placer
from geom.sheets.aids.tiling import OVERLAP, Tile, join_marks, letters, split
from geom.units import decimal, inch_fraction
from geom.words import worded

HEIGHT = 44.0
TAPER_TICK = 8.0
_TAPER_ROW, _ZONE_ROW, _ID_ROW, _NUMBER_ROW = 8.9, 13.2, 33.4, 37.4
# Rows of text beside the long marks, in the order of trial.
_ROWS = (27.8, 22.6, 17.8)
_TICK = 3.0
_AFTER = 12.0
_CLEAR = 3.0
_END_NAMES = {"start": "forward end", "finish": "after end"}


@dataclass(frozen=True)
class Strip:
    """One distinct splice: number, line, recipe, and the run ends it is for."""

    number: int
    line: str
    recipe: Recipe
    ends: tuple[str, ...]


@dataclass(frozen=True)
class Mark:
    """One mark of a strip: id, distance from the rope's end [mm], text, in full and shortened."""

    id: str
    at: float
    words: tuple[str, ...]


def strips(refit: Refit) -> tuple[Strip, ...]:
    """Return every distinct splice of the boat; runs that are refused have none."""
    return tuple(
        Strip(number, splice.line, splice.recipe, tuple(f"{run} {_END_NAMES[where]}" for run, where in splice.ends))
        for number, splice in enumerate(refit.work.distinct_splices, start=1)
    )


def marks(recipe: Recipe) -> tuple[Mark, ...]:
    """Return the marks of a splice by their distance from the rope's end [mm].

    The exit mark and the stitching are from the throat, which is the eye mark on the standing part.
    """
    tail, eye, exit_ = recipe.tail_mark, recipe.eye_mark, recipe.eye_mark + recipe.exit_mark
    listed = [
        Mark(f"taper-{n}", cut.from_end, (f"{n} {cut.side[0].upper()}",))
        for n, cut in enumerate(recipe.taper_marks, start=1)
    ]
    listed.append(Mark("tail", tail, (f"TAIL MARK {both(tail)}", f"TAIL {decimal(tail, 1)}")))
    listed.append(Mark("eye", eye, (f"EYE MARK, THROAT {both(eye)}", f"EYE {decimal(eye, 1)}")))
    low, high = recipe.stitching
    stitching = f"STITCH from here to {decimal(high, 1)} from the throat, once the tail is in"
    listed.append(Mark("stitch-from", eye + low, (stitching, "STITCH FROM")))
    listed.append(Mark("stitch-to", eye + high, ("STITCH TO",)))
    from_throat = f"{decimal(recipe.exit_mark, 1)} from the throat"
    listed.append(Mark("exit", exit_, (f"EXIT MARK {both(exit_)}, {from_throat}", f"EXIT {decimal(exit_, 1)}")))
    return tuple(listed)


def both(value: float) -> str:
    """Return a length [mm] as text in millimetres and in inches to the sixteenth."""
    return f"{decimal(value, 1)} ({inch_fraction(value, 16)} in)"


def splice_strip(refit: Refit, strip: Strip, paper: AidPaper) -> tuple[Sheet, ...]:
    """Return the pages of one strip, in landscape format.

    Args:
        refit: the boat as calculated.
        strip: the strip.
        paper: the paper.
    """
    area = paper.room
    subject = f"{strip.number}  {strip.line} Ø{decimal(strip.recipe.diameter, 1)}"
    aid = Aid(f"splice-{strip.number}", words.STRIP, subject, _side(strip))
    notes_text = (*_notes_on(strip), *words.STRIP_NOTES)
    lines, tall = notes(notes_text, (paper.frame.left, area.top + 1.5), paper.frame.width)
    under = Rect(area.left, area.bottom, area.right, area.top - tall - 0.5)
    piece = strip_piece(refit, strip, under.width)
    pages = tile_pages(piece, under, across=False)
    return tuple(page(refit, aid, paper, index, len(pages), lines, views) for index, views in enumerate(pages, start=1))


def _side(strip: Strip) -> str:
    sides = sorted({side_of(end) for end in strip.ends})
    return words.BOTH_SIDES if sides == ["P", "S"] else ", ".join(sheet_words.SIDE[side] for side in sides)


def _notes_on(strip: Strip) -> list[str]:
    recipe = strip.recipe
    stated = [
        f"For: {', '.join(strip.ends)}.",
        f"Lock: {recipe.lock}. Bury {decimal(recipe.bury, 1)} ({recipe.rule}), taper {decimal(recipe.taper_length, 1)} "
        f"({recipe.taper}). Fid {decimal(recipe.fid, 0)}. Take-up {decimal(recipe.take_up.expected, 1)} "
        f"({decimal(recipe.take_up.minimum, 1)} to {decimal(recipe.take_up.maximum, 1)}), "
        f"{worded(recipe.take_up.source)}.",
    ]
    if recipe.second_tuck is not None:
        stated[-1] += f" Second tuck {decimal(recipe.second_tuck, 1)} from the first."
    return [*stated, f"NOTE: {worded(recipe.warnings)}."] if recipe.warnings else stated


def strip_piece(refit: Refit, strip: Strip, room: float) -> Piece:
    """Return a strip with its tiles; x from the rope's end, the rope along y = 0.

    Args:
        refit: the boat as calculated.
        strip: the strip.
        room: largest length of a tile [mm].
    """
    strip_marks = marks(strip.recipe)
    length = strip_marks[-1].at + _AFTER
    spans = split(0.0, length, room, [(mark.at - _CLEAR, mark.at + _CLEAR) for mark in strip_marks])
    parts = tuple(Tile(letters(k), Rect(low, 0.0, high, HEIGHT)) for k, (low, high) in enumerate(spans))
    whole = Rect(0.0, 0.0, length, HEIGHT)
    corners = ((0.0, 0.0), (length, 0.0), (length, HEIGHT), (0.0, HEIGHT))
    items: list[Item] = [Polyline(corners, "THIN", closed=True, tag=f"strip:{strip.number}"), *join_marks(whole, parts)]
    placer = Placer()
    placer.keep_off(items[1:])
    for index, tile in enumerate(parts):
        # Text in an overlap would be printed twice, so there is none.
        low = tile.window.left + (OVERLAP if index else 0.0)
        high = tile.window.right - (OVERLAP if index < len(parts) - 1 else 0.0)
        clear = Rect(low + 0.6, 0.6, high - 0.6, HEIGHT - 0.6)
        here = [mark for mark in strip_marks if tile.window.left < mark.at < tile.window.right]
        items += _taper(strip, [mark for mark in here if mark.id.startswith("taper-")], clear, placer)
        for mark in here:
            if not mark.id.startswith("taper-"):
                items += _key_mark(strip, mark, clear, placer)
        if index == 0:
            places = [Text((2.0, row), words.ROPES_END, 3.5, "TEXT") for row in _ROWS]
            placer.put(places, clear, (3.5, 2.5, 1.8))
        items += _scale(tile, clear, placer)
        _names(refit, strip, tile, len(parts), clear, placer)
        _zones(strip.recipe, clear, placer)
    return Piece(f"splice-{strip.number}", (*items, *placer.texts), parts)


def _taper(strip: Strip, cuts: list[Mark], clear: Rect, placer: Placer) -> list[Item]:
    """Return the short marks of the taper, each with number and side over it."""
    items: list[Item] = [
        Line((mark.at, 0.0), (mark.at, TAPER_TICK), "THIN", tag=f"mark:{strip.number}:{mark.id}") for mark in cuts
    ]
    placer.keep_off(items)
    for mark in cuts:
        placer.put((Text((mark.at, _TAPER_ROW), mark.words[0], 2.5, "TEXT", "centre"),), clear, (2.5, 1.8))
    return items


def _key_mark(strip: Strip, mark: Mark, clear: Rect, placer: Placer) -> list[Item]:
    """Return a long mark, as tall as the row of its text, which is on either side."""
    tag = f"mark:{strip.number}:{mark.id}"
    head = Hatch(((mark.at, 0.0), (mark.at - 1.6, 4.0), (mark.at + 1.6, 4.0)), "THIN")
    sides: tuple[tuple[Across, float], ...] = (("right", -1.5), ("left", 1.5))
    if mark.id == "eye":
        # Text of the eye at the right would usually be over the mark of the tail.
        sides = sides[::-1]
    for stated, height, row in product(mark.words, (3.5, 2.5, 1.8), _ROWS):
        if placer.free(Rect(mark.at - 0.2, 0.6, mark.at + 0.2, row + 3.6), clear):
            places = [Text((mark.at + off, row), stated, height, "TEXT", across) for across, off in sides]
            if placer.put(places, clear, (height,)) is not None:
                line = Line((mark.at, 0.0), (mark.at, row + 3.5), "THIN", tag=tag)
                placer.keep_off((line, head))
                return [line, head]
    line = Line((mark.at, 0.0), (mark.at, TAPER_TICK), "THIN", tag=tag)
    placer.keep_off((line, head))
    return [line, head]


def _zones(recipe: Recipe, clear: Rect, placer: Placer) -> None:
    """Place the names of the parts of rope between the marks, on each tile with room for them."""
    tail, eye, exit_ = recipe.tail_mark, recipe.eye_mark, recipe.eye_mark + recipe.exit_mark
    after_taper = recipe.taper_marks[-1].from_end if recipe.taper_marks else 0.0
    for low, high, stated in (
        (0.0, after_taper, words.TAPER),
        (after_taper, tail, words.TAIL),
        (tail, eye, words.EYE.format(girth=decimal(recipe.girth, 1))),
        (eye, exit_, words.STANDING),
    ):
        left, right = max(low + 2.0, clear.left), min(high - 2.0, clear.right)
        if right > left:
            shares = (0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75)
            xs = [left + share * (right - left) for share in shares]
            places = [Text((x, row), stated, 2.5, "NOTE", "centre") for row in (_ZONE_ROW, *_ROWS[::-1]) for x in xs]
            placer.put(places, Rect(left, clear.bottom, right, clear.top), (2.5, 1.8))


def _names(refit: Refit, strip: Strip, tile: Tile, count: int, clear: Rect, placer: Placer) -> None:
    """Place tile, strip and boat on a tile, as far as there is room."""
    issue = f"{refit.boat.boat.name}  rev. {refit.boat.revision.mark}"
    parts = (
        f"TILE {tile.letter} OF {count}",
        f"{words.STRIP} {strip.number}",
        words.ROPE_EDGE,
        f"{strip.line}  {strip.recipe.lock}  {issue}",
    )
    for shown in range(len(parts), 0, -1):
        text = "  ".join(parts[:shown])
        places = [Text((clear.left + 3.0 + step, _ID_ROW), text, 2.5, "NOTE") for step in (0.0, 4.0, 8.0, 12.0)]
        if placer.put(places, clear, (2.5,) if shown > 1 else (2.5, 1.8)) is not None:
            return


def _scale(tile: Tile, clear: Rect, placer: Placer) -> list[Item]:
    """Return ticks along a tile's upper edge, with numbers, to check the joined strip with a tape."""
    items: list[Item] = []
    for step in range(10, int(tile.window.right) + 1, 10):
        # Ticks in an overlap belong to the later tile; they are drawn once and shown on both.
        if not tile.window.left + (OVERLAP if tile.window.left > 0.0 else 0.0) < step <= tile.window.right:
            continue
        numbered = step % 50 == 0
        reach = _TICK if numbered else 0.6 * _TICK
        items.append(Line((float(step), HEIGHT), (float(step), HEIGHT - reach), "THIN"))
        if numbered:
            placer.put((Text((float(step), _NUMBER_ROW), str(step), 2.5, "NOTE", "centre"),), clear, (2.5, 1.8))
    return items
