"""The splice marking strip: every mark of a splice at full size, to lay along the rope, tiled."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from geom.figure import Hatch, Item, Line, Polyline, Rect, Sheet, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.making import BOTH
from geom.runs.splice import Recipe
from geom.sheets.aids import words
from geom.sheets.aids.page import Aid, AidPaper, Piece, lettering_that_fits, notes, page, tile_pages
from geom.sheets.aids.tiling import OVERLAP, Span, Tile, join_marks, letters, split
from geom.units import decimal, inch_fraction

HEIGHT = 44.0
TAPER_TICK = 8.0
_TAPER_ROW, _ZONE_ROW, _STITCH_ROW, _EYE_ROW, _TAIL_ROW, _ID_ROW = 8.9, 13.4, 18.0, 22.6, 27.8, 33.4
_NUMBER_ROW, _TICK = 37.4, 3.0
_AFTER = 12.0
_CLEAR = 2.0
_END_WORDS = {"start": "fwd end", "finish": "aft end"}


@dataclass(frozen=True)
class Strip:
    """One different splice: its number, its line, its marks, and the run ends that it is for."""

    number: int
    line: str
    recipe: Recipe
    ends: tuple[str, ...]


@dataclass(frozen=True)
class Mark:
    """One mark of a strip: its id and its distance from the rope's end [mm], and what is written at it."""

    id: str
    at: float
    words: str


def strips(refit: Refit) -> tuple[Strip, ...]:
    """Return every different splice of the boat; runs that are refused as told have none."""
    found: dict[tuple[str, Recipe], list[str]] = {}
    for run_id, work in refit.work.runs.items():
        line = refit.placed.runs[run_id].told.line
        for where in BOTH:
            recipe = work.splices[where]
            if recipe is not None and work.refused is None:
                found.setdefault((line, recipe), []).append(f"{run_id} {_END_WORDS[where]}")
    return tuple(
        Strip(number, line, recipe, tuple(ends)) for number, ((line, recipe), ends) in enumerate(found.items(), start=1)
    )


def marks(recipe: Recipe) -> tuple[Mark, ...]:
    """Return the marks of a splice by their distance from the rope's end [mm].

    The exit mark and the stitching count from the throat, which is the eye mark on the standing part.
    """
    found = [
        *(
            Mark(f"taper-{n}", cut.from_end, f"{n} {cut.side[0].upper()}")
            for n, cut in enumerate(recipe.taper_marks, start=1)
        ),
        Mark("tail", recipe.tail_mark, f"TAIL MARK {both(recipe.tail_mark)}"),
        Mark("eye", recipe.eye_mark, f"EYE MARK, THROAT {both(recipe.eye_mark)}"),
    ]
    if recipe.stitching is not None:
        for name, value in zip(("stitch-from", "stitch-to"), recipe.stitching, strict=True):
            found.append(Mark(name, recipe.eye_mark + value, ""))
    at = recipe.eye_mark + recipe.exit_mark
    found.append(Mark("exit", at, f"EXIT MARK {both(at)}, {decimal(recipe.exit_mark, 1)} from the throat"))
    return tuple(found)


def both(value: float) -> str:
    """Return a length in millimetres and in inches to the sixteenth."""
    return f"{decimal(value, 1)} ({inch_fraction(value, 16)} in)"


def splice_strip(refit: Refit, strip: Strip, paper: AidPaper) -> tuple[Sheet, ...]:
    """Return the pages of one strip; the paper lies on its long side."""
    room = paper.room
    subject = f"{strip.number}  {strip.line} Ø{decimal(strip.recipe.diameter, 1)}"
    aid = Aid(f"splice-{strip.number}", words.STRIP, subject, _side(strip))
    told = (*_told(strip), *words.STRIP_NOTES)
    lines, tall = notes(told, (paper.frame.left, room.top + 1.5), paper.frame.width)
    under = Rect(room.left, room.bottom, room.right, room.top - tall - 0.5)
    piece = strip_piece(refit, strip, under.width)
    pages = tile_pages(piece, under, across=False)
    return tuple(page(refit, aid, paper, index, len(pages), lines, views) for index, views in enumerate(pages, start=1))


def _side(strip: Strip) -> str:
    sides = {end[0] for end in strip.ends}
    return words.BOTH_SIDES if len(sides) == 2 else {"P": "PORT", "S": "STARBOARD"}[sides.pop()]


def _told(strip: Strip) -> list[str]:
    recipe = strip.recipe
    told = [
        f"For: {', '.join(strip.ends)}.",
        f"Lock: {recipe.lock}. Bury {decimal(recipe.bury, 1)} ({recipe.rule}), taper {decimal(recipe.taper_length, 1)} "
        f"({recipe.taper}). Fid {decimal(recipe.fid, 0)}. Take-up {decimal(recipe.take_up.expected, 1)} "
        f"({decimal(recipe.take_up.least, 1)} to {decimal(recipe.take_up.most, 1)}), {recipe.take_up.source}.",
    ]
    if recipe.second_tuck is not None:
        told[-1] += f" Second tuck {decimal(recipe.second_tuck, 1)} from the first."
    return [*told, f"NOTE: {'; '.join(recipe.warnings)}."] if recipe.warnings else told


def strip_piece(refit: Refit, strip: Strip, room: float) -> Piece:
    """Return a strip, its tiles no longer than the room [mm]; x from the rope's end, the rope along y = 0."""
    recipe = strip.recipe
    placed = {mark.id: mark for mark in marks(recipe)}
    shapes, texts = _key_marks(strip, placed)
    texts += _zones(recipe)
    texts.append(Text((2.0, _TAIL_ROW), words.ROPES_END, 3.5, "TEXT"))
    for mark in placed.values():
        if mark.id.startswith("taper-"):
            shapes.append(Line((mark.at, 0.0), (mark.at, TAPER_TICK), "THIN", tag=f"mark:{strip.number}:{mark.id}"))
            texts.append(Text((mark.at, _TAPER_ROW), mark.words, 2.5, "TEXT", "centre"))
    length = max(*map(_right, texts), *(mark.at for mark in placed.values())) + _AFTER
    spans = split(0.0, length, room, _clear(texts, placed))
    found = tuple(Tile(letters(k), Rect(low, 0.0, high, HEIGHT)) for k, (low, high) in enumerate(spans))
    whole = Rect(0.0, 0.0, length, HEIGHT)
    corners = ((0.0, 0.0), (length, 0.0), (length, HEIGHT), (0.0, HEIGHT))
    outline = Polyline(corners, "THIN", closed=True, tag=f"strip:{strip.number}")
    texts += _names(refit, strip, found)
    scale_shapes, numbers_up = _scale(length, spans)
    items = (outline, *shapes, *scale_shapes, *join_marks(whole, found), *texts, *numbers_up)
    return Piece(f"splice-{strip.number}", items, found)


def _key_marks(strip: Strip, placed: dict[str, Mark]) -> tuple[list[Item], list[Text]]:
    """Return the long marks, each as tall as the row of its words, and their words to the right of them."""
    recipe = strip.recipe
    shapes: list[Item] = []
    texts: list[Text] = []
    for name, row in (("tail", _TAIL_ROW), ("eye", _EYE_ROW), ("exit", _TAIL_ROW)):
        mark = placed[name]
        shapes.append(Line((mark.at, 0.0), (mark.at, row + 3.5), "THIN", tag=f"mark:{strip.number}:{name}"))
        shapes.append(Hatch(((mark.at, 0.0), (mark.at - 1.6, 4.0), (mark.at + 1.6, 4.0)), "THIN"))
        # Words left of their mark end the strip at the exit and leave room for an overlap beside the eye.
        left = name != "eye"
        at = mark.at - 1.5 if left else mark.at + 1.5
        texts.append(Text((at, row), mark.words, 3.5, "TEXT", "right" if left else "left", tag=f"words:{name}"))
    if recipe.stitching is not None:
        start, end = placed["stitch-from"].at, placed["stitch-to"].at
        for name, x in (("stitch-from", start), ("stitch-to", end)):
            shapes.append(Line((x, 0.0), (x, _STITCH_ROW + 2.5), "THIN", tag=f"mark:{strip.number}:{name}"))
        low, high = recipe.stitching
        told = f"STITCH {decimal(low, 1)} to {decimal(high, 1)} from the throat, once the tail is in"
        texts.append(Text((end + 1.5, _STITCH_ROW), told, 2.5, "TEXT"))
    return shapes, texts


def _zones(recipe: Recipe) -> list[Text]:
    """Return the names of the parts of the rope between the marks."""
    tail, eye, exit_ = recipe.tail_mark, recipe.eye_mark, recipe.eye_mark + recipe.exit_mark
    after_taper = recipe.taper_marks[-1].from_end if recipe.taper_marks else 0.0
    stitched = eye + recipe.stitching[1] if recipe.stitching else eye
    texts = []
    for low, high, told in (
        (0.0, after_taper, words.TAPER),
        (after_taper, tail, words.TAIL),
        (tail, eye, words.EYE.format(girth=decimal(recipe.girth, 1))),
    ):
        height = lettering_that_fits(told, high - low - 6.0, 2.5)
        if height is not None:
            texts.append(Text(((low + high) / 2.0, _ZONE_ROW), told, height, "NOTE", "centre"))
    # Under the words of the eye mark, so that the long stretch up to the exit stays free for an overlap.
    height = lettering_that_fits(words.STANDING, exit_ - stitched - 8.0, 2.5)
    if height is not None:
        texts.append(Text((stitched + 4.0, _ZONE_ROW), words.STANDING, height, "NOTE"))
    return texts


def _right(text: Text) -> float:
    return _across(text)[1]


def _across(text: Text) -> Span:
    wide = text_width(text.text, text.height)
    left = text.at[0] - {"left": 0.0, "centre": 0.5, "right": 1.0}[text.across] * wide
    return (left, left + wide)


def _clear(texts: list[Text], placed: dict[str, Mark]) -> list[Span]:
    """Return the parts of the strip that no overlap may touch: every mark and every word."""
    spans = [(low - _CLEAR, high + _CLEAR) for low, high in map(_across, texts)]
    return sorted([*spans, *((mark.at - _CLEAR, mark.at + _CLEAR) for mark in placed.values())])


def _names(refit: Refit, strip: Strip, found: tuple[Tile, ...]) -> list[Text]:
    """Return strip, tile and boat on each tile."""
    texts = []
    for tile in found:
        told = f"STRIP {strip.number}  {strip.line}  {strip.recipe.lock}"
        issue = f"{refit.boat.boat.name}  rev. {refit.boat.revision.mark}"
        head = f"TILE {tile.letter} OF {len(found)}  {words.ROPE_EDGE}  {told}  {issue}"
        left = tile.window.left + (OVERLAP if tile.window.left > 0.0 else 0.0) + 4.0
        height = lettering_that_fits(head, tile.window.right - OVERLAP - 2.0 - left, 2.5)
        if height is not None:
            texts.append(Text((left, _ID_ROW), head, height, "NOTE"))
    return texts


def _scale(length: float, spans: list[Span]) -> tuple[list[Item], list[Text]]:
    """Return ticks and numbers along the upper edge, to check the joined strip with a tape."""
    overlaps = [(after[0] - 5.0, before[1] + 5.0) for before, after in pairwise(spans)]
    items: list[Item] = []
    texts = []
    for step in range(10, int(length), 10):
        numbered = step % 50 == 0
        reach = _TICK if numbered else 0.6 * _TICK
        items.append(Line((float(step), HEIGHT), (float(step), HEIGHT - reach), "THIN"))
        if numbered and step < length - 6.0 and not any(low < step < high for low, high in overlaps):
            texts.append(Text((float(step), _NUMBER_ROW), str(step), 2.5, "NOTE", "centre"))
    return items, texts
