"""The splice sheets: the splice of each different rope end, with its marks, thickness and steps."""

from __future__ import annotations

import math
from dataclasses import replace

from geom.drafting import text as words
from geom.drafting.line_text import LINE_PITCH, boxed, fine_length, length, lines_down
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import Ruled, broken, cell
from geom.drafting.sheet import FOOT, Draft, beside_block, list_area
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Cell, Item, Rect, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.rigging.dimension_chain import plus_minus
from geom.rigging.splice import Recipe
from geom.sheets.aids.splice_strip import Strip, strips
from geom.sheets.splices import figure as splice_figure
from geom.sheets.splices import text as splice_words
from geom.sheets.splices.ends import SplicedEnd, ends_of, named
from geom.sheets.splices.figure import made_up, rope_before
from geom.sheets.splices.steps import step_lines
from geom.tables import numbers
from geom.units import LengthFormat, decimal, inch_fraction
from geom.words import worded

_HEAD, _BOX_TALL = 20.0, 18.0
_BOX_WIDE, _BOX_APART = 53.0, 3.0
_CAPTION = 6.0
_PITCH, _WIDE_PITCH = 4.0, 4.8
_LEAST_TEXT = 105.0


def splice_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return a sheet for each different splice; none without splices.

    Raises:
        GeometryError: a splice fits on no sheet.
    """
    found = strips(refit)
    return tuple(_sheet(refit, strip, len(found)) for strip in found)


def _sheet(refit: Refit, strip: Strip, count: int) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        try:
            return _on(refit, strip, count, paper)
        except GeometryError:
            continue
    raise GeometryError(f"no sheet holds splice {strip.number}")


def _on(refit: Refit, strip: Strip, count: int, paper: Paper) -> Draft:
    fmt, area, ends = numbers(refit.boat), list_area(paper), ends_of(refit, strip)
    number, recipe = strip.number, strip.recipe
    top = area.top - _HEAD
    first = Rect(area.left, top - _CAPTION - splice_figure.HEIGHT, area.right, top - _CAPTION)
    second = Rect(area.left, first.bottom - _CAPTION - splice_figure.HEIGHT, area.right, first.bottom - _CAPTION)
    before = rope_before(number, recipe, first, fmt)
    made = made_up(number, recipe, ends[0].throat_to_pin, second, fmt)
    items: list[Item] = [*_heading(strip, ends, Rect(area.left, top, area.right, area.top), fmt), *made.items]
    for figure, place, caption in ((before, first, splice_words.BEFORE), (made, second, splice_words.MADE_UP)):
        broken_off = splice_words.BROKEN if figure.straight.broken else ""
        scale = splice_words.SCALE.format(mm=figure.straight.mm, broken=broken_off)
        stated = f"{caption.format(unit=fmt.unit)}  {scale}"
        items.append(Text((area.left, place.top + 1.5), stated, 2.5, "TEXT", tag=f"splice:{number}:caption"))
    items += _tables(strip, ends, Rect(area.left, area.bottom, area.right, second.bottom - 1.0), fmt)
    views = tuple(replace(view, name=f"{number}-{view.name}") for view in (*before.views, *made.views))
    lock = splice_words.LOCK_SHORT[recipe.lock]
    return Draft(
        number="R5",
        name=f"splice-{number}",
        title=splice_words.TITLE.format(number=number, count=count, lock=lock),
        subtitle=splice_words.KIND,
        paper=paper,
        scale=words.AS_SHOWN,
        items=(*items, *_beside_block(strip, paper)),
        views=apart(views),
        tolerance=splice_words.TOLERANCE.format(value=length(plus_minus(refit.boat).tape, fmt)),
        description=f"Splice {number} for {', '.join(strip.ends)}: marks from the rope's end and from the throat.",
    )


def source_lines(recipe: Recipe) -> tuple[str, ...]:
    """Return the sources of the figures of a splice, with their confidence."""
    found = []
    for one in recipe.sources:
        text, stated = f"{one['what']}: {one['source']}", splice_words.SURE.get(str(one["sure"]))
        found.append(f"{text}; {stated}." if stated else f"{text}.")
    return tuple(found)


def _heading(strip: Strip, ends: tuple[SplicedEnd, ...], place: Rect, fmt: LengthFormat) -> list[Item]:
    """Return the number and lock of the splice, its run ends, and its three main marks large at the right."""
    number, recipe = strip.number, strip.recipe
    boxes = 3 * _BOX_WIDE + 2 * _BOX_APART
    room = place.width - boxes - 8.0
    head = splice_words.HEAD.format(number=number, lock=splice_words.LOCK[recipe.lock])
    line = f"{strip.line} Ø{fine_length(recipe.diameter, fmt)}"
    stated = splice_words.FOR.format(count=len(ends), line=line, ends=named(ends))
    high = 5.0 if text_width(head, 5.0) <= room else 3.5
    items: list[Item] = [Text((place.left, place.top - 5.0), head, high, "TEXT", tag=f"splice:{number}:head")]
    lines = broken(stated, room)
    if len(lines) > 4:
        raise GeometryError(f"splice {number} is for more ends than its heading holds")
    items += lines_down(lines, place.left, place.top - 7.0, f"splice:{number}:for")
    values = {"tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit": recipe.eye_mark + recipe.exit_mark}
    for index, (key, word) in enumerate(splice_words.BIG):
        left = place.right - boxes + index * (_BOX_WIDE + _BOX_APART)
        box = Rect(left, place.top - _BOX_TALL, left + _BOX_WIDE, place.top)
        middle, tag = left + _BOX_WIDE / 2.0, f"splice:{number}:big:{key}"
        unit = splice_words.BIG_UNIT.format(word=word, unit=fmt.unit)
        items += [
            boxed(box),
            Text((left + 1.5, box.top - 4.0), unit, 2.5, "NOTE"),
            Text((middle, box.bottom + 5.6), length(values[key], fmt), 7.0, "TEXT", "centre", tag=tag),
        ]
        if key == "exit":
            below = splice_words.BIG_BELOW.format(exit=length(recipe.exit_mark, fmt))
            items.append(Text((middle, box.bottom + 1.6), below, 2.5, "NOTE", "centre", tag=f"{tag}:from-eye"))
    return items


def _tables(strip: Strip, ends: tuple[SplicedEnd, ...], place: Rect, fmt: LengthFormat) -> list[Item]:
    in_place = any(end.in_place for end in ends)
    rows = 2 + max(len(mark_values(strip.recipe, in_place)), len(strip.recipe.taper_marks))
    pitch = _PITCH if rows * _WIDE_PITCH + 22.0 > place.height else _WIDE_PITCH
    marks = replace(marks_table(strip, in_place, fmt), pitch=pitch)
    taper = replace(taper_table(strip, fmt), pitch=pitch)
    left = place.left + math.fsum(marks.widths) + 4.0
    text = left + math.fsum(taper.widths) + 5.0
    room = place.right - text
    lines = [part for line in step_lines(strip.recipe, ends, fmt) for part in _numbered(line, room)]
    tall = max(len(lines) * 3.63 + 4.0, marks.height, taper.height)
    if room < _LEAST_TEXT or tall > place.height:
        raise GeometryError(f"the tables of splice {strip.number} do not stand on this sheet")
    return [
        marks.at((place.left, place.top)),
        taper.at((left, place.top)),
        Text((text, place.top - 2.8), splice_words.STEPS.format(unit=fmt.unit), 2.5, "TEXT"),
        *lines_down(lines, text, place.top - 4.0, f"splice:{strip.number}:steps"),
    ]


def _beside_block(strip: Strip, paper: Paper) -> list[Item]:
    """Return the notes and sources, left of the title block."""
    place = beside_block(paper)
    left, y = list_area(paper).left, paper.frame.bottom + FOOT - 1.5
    items: list[Item] = []
    for head, lines, key in (
        (splice_words.WARNINGS, (*map(worded, strip.recipe.warnings), splice_words.EYE_DRAWN), "warnings"),
        (splice_words.SOURCES, source_lines(strip.recipe), "sources"),
    ):
        parts = [part for line in lines for part in broken(line, place.right - left)]
        items.append(Text((left, y - 2.5), head, 2.5, "TEXT"))
        items += lines_down(parts, left, y - 3.7, f"splice:{strip.number}:{key}")
        y -= 3.7 + len(parts) * LINE_PITCH * 2.5 + 2.5
    if y < place.bottom:
        raise GeometryError(f"the notes of splice {strip.number} do not stand left of the title block")
    return items


def _numbered(line: str, room: float) -> list[str]:
    """Return a step as lines, the further ones with a hanging indent."""
    first, *more = broken(line, room - 4.0)
    return [first, *(f"    {part}" for part in more)]


def mark_values(recipe: Recipe, in_place: bool) -> dict[str, float]:
    """Return the lengths of a splice by the keys of `splice_words.MARKS` [mm].

    Args:
        recipe: the splice.
        in_place: whether one of its ends is made on board, and needs slack from the line.
    """
    found = {
        "tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit-end": recipe.eye_mark + recipe.exit_mark,
        "exit": recipe.exit_mark,
    }  # fmt: skip
    if recipe.second_tuck is not None:
        found["tuck"] = recipe.second_tuck
    found["stitch-from"], found["stitch-to"] = recipe.stitching
    found |= {"full": recipe.full_section, "bury": recipe.bury, "girth": recipe.girth}
    found["take-up"] = recipe.take_up.expected
    if recipe.take_up.maximum > recipe.take_up.expected:
        found["take-up-max"] = recipe.take_up.maximum
    if in_place:
        found["slack"] = recipe.slack_in_place
    found["fid"] = recipe.fid
    return found


def _both(fmt: LengthFormat) -> tuple[str, str]:
    """Return the units of the two columns of marks, the unit of the sheet first."""
    return ("in", "mm") if fmt.unit == "in" else ("mm", "in")


def marks_table(strip: Strip, in_place: bool, fmt: LengthFormat) -> Ruled:
    """Return the marks in millimetres and in sixteenths of an inch.

    Args:
        strip: the splice.
        in_place: whether one of its ends is made on board.
        fmt: length format of the sheet.
    """
    rows = []
    for key, value in mark_values(strip.recipe, in_place).items():
        name, start = splice_words.MARKS[key]
        rows.append((Cell(name), Cell(start), *_lengths(value, f"splice:{strip.number}:mark:{key}", fmt)))
    head = (*splice_words.MARKS_HEAD, *_both(fmt))
    return Ruled(splice_words.MARKS_TITLE, head, tuple(rows), f"splice:{strip.number}:marks", pitch=_PITCH)


def _lengths(value: float, tag: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    texts = {"mm": decimal(value, 1), "in": inch_fraction(value, 16)}
    return tuple(cell(texts[unit], f"{tag}:{unit}") for unit in _both(fmt))


def taper_table(strip: Strip, fmt: LengthFormat) -> Ruled:
    """Return the cuts of the taper with the strands left and the outside diameter at each in the finished end."""
    recipe = strip.recipe
    outside = {round(step.from_throat, 6): step.diameter for step in recipe.thickness if step.part == "taper"}
    rows = []
    for number, cut in enumerate(recipe.taper_marks, start=1):
        at = recipe.bury - cut.from_end
        tag = f"splice:{strip.number}:taper:{number}"
        rows.append((
            cell(str(number)), Cell(cut.side, f"{tag}:side"), *_lengths(cut.from_end, tag, fmt),
            cell(str(cut.strands_left), f"{tag}:strands"), cell(length(at, fmt), f"{tag}:throat"),
            cell(fine_length(outside[round(at, 6)], fmt), f"{tag}:od"),
        ))  # fmt: skip
    cut_no, side, *rest = splice_words.TAPER_HEAD
    title = splice_words.TAPER_TITLE.format(unit=fmt.unit)
    head = (cut_no, side, *_both(fmt), *rest)
    return Ruled(title, head, tuple(rows), f"splice:{strip.number}:cuts", pitch=_PITCH)
