"""R5: the splice of each different rope end, with its marks, thickness and steps, two to a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from geom.drafting import text as words
from geom.drafting.columns import ColumnTable, cell, table_of
from geom.drafting.line_text import LINE_PITCH, boxed, diameter, length, lines_down
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import broken
from geom.drafting.sheet import FOOT, Draft, beside_block, field, headed_area, headline, view_title
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Cell, Item, Rect, Text, View
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.rigging.dimension_chain import plus_minus
from geom.rigging.splice import Recipe
from geom.sheets.aids.splice_strip import Strip, strips
from geom.sheets.splices import figure as splice_figure
from geom.sheets.splices import text as splice_words
from geom.sheets.splices.ends import SplicedEnd, ends_of, named
from geom.sheets.splices.figure import finished_eye, rope_before
from geom.sheets.splices.numbered_steps import LETTERING, PITCHES, Entry, in_columns, steps_items
from geom.sheets.splices.steps import step_lines
from geom.tables import numbers
from geom.units import LengthFormat, decimal, inch_fraction
from geom.words import worded

_HEAD, _BOX_TALL = 20.5, 19.0
_BOX_WIDE, _BOX_APART = 53.0, 3.0
_CAPTION = 6.0
_PITCH = 4.5
_FOR = 3.5
# So many splices stand on a sheet, one under the other; gaps between them and between their figures abreast [mm].
_TO_A_SHEET, _BETWEEN, _ABREAST = 2, 6.0, 10.0
# Share of the rope before splicing in the width of two figures abreast: it is longer than the finished end.
_BEFORE = 0.56


def splice_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of the splices, two to a sheet; none without splices.

    Raises:
        GeometryError: a splice fits on no sheet.
    """
    found = strips(refit)
    return tuple(_sheet(refit, found[first : first + _TO_A_SHEET]) for first in range(0, len(found), _TO_A_SHEET))


def _sheet(refit: Refit, pair: Sequence[Strip]) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        try:
            return _on(refit, pair, paper)
        except GeometryError:
            continue
    raise GeometryError(f"no sheet holds splice {pair[0].number}")


def _on(refit: Refit, pair: Sequence[Strip], paper: Paper) -> Draft:
    fmt = numbers(refit.boat)
    area = replace(headed_area(paper), bottom=paper.frame.bottom + FOOT)
    tall = (area.height - _BETWEEN * (len(pair) - 1)) / len(pair)
    tops = [area.top - place * (tall + _BETWEEN) for place in range(len(pair))]
    bands = [_band(refit, strip, replace(area, top=top, bottom=top - tall), len(pair) == 1, fmt)
             for strip, top in zip(pair, tops, strict=True)]  # fmt: skip
    if len(pair) == 1:
        (strip,) = pair
        title = splice_words.HEAD.format(number=strip.number)
        head = headline(paper, title, splice_words.LOCK[strip.recipe.lock], f"splice:{strip.number}:head")[0]
    else:
        head = headline(paper, splice_words.HEADS, splice_words.KINDS, "splices:head")[0]
    listed = ", ".join(str(strip.number) for strip in pair)
    ends = ", ".join(end for strip in pair for end in strip.ends)
    return Draft(
        number="R5",
        name=f"splice-{pair[0].number}" if len(pair) == 1 else f"splices-{pair[0].number}-to-{pair[-1].number}",
        title=splice_words.TITLE.format(number=pair[0].number, lock=splice_words.LOCK_SHORT[pair[0].recipe.lock])
        if len(pair) == 1
        else splice_words.TITLES.format(first=pair[0].number, last=pair[-1].number),
        subtitle=splice_words.KIND,
        paper=paper,
        scale=words.AS_SHOWN,
        items=(*head, *(item for items, _ in bands for item in items), *_beside_block(pair, paper)),
        views=apart([view for _, views in bands for view in views]),
        tolerance=splice_words.TOLERANCE.format(value=length(plus_minus(refit.boat).tape, fmt)),
        description=f"Splice {listed} for {ends}: marks from the rope's end and from the throat.",
        stamped=True,
    )


def _band(refit: Refit, strip: Strip, area: Rect, alone: bool, fmt: LengthFormat) -> tuple[list[Item], list[View]]:
    """Return one splice: its main marks, both figures, marks and steps; the figures abreast where it is not alone."""
    number, recipe, ends = strip.number, strip.recipe, ends_of(refit, strip)
    items: list[Item] = []
    top = area.top
    if not alone:
        name = splice_words.HEAD.format(number=number)
        beyond = area.left + text_width(name, 5.0, "semibold") + 4.0
        items += [
            Text((area.left, top - 5.0), name, 5.0, "TEXT", tag=f"splice:{number}:head", weight="semibold"),
            Text((beyond, top - 5.0), splice_words.LOCK[recipe.lock], _FOR, "TEXT", tag=f"splice:{number}:head:said"),
        ]
        top -= 8.0
    items += _boxes(strip, ends, Rect(area.left, top, area.right, top), fmt)
    top -= _HEAD
    room = area.width - _ABREAST
    wide, other = (area.width, area.width) if alone else (_BEFORE * room, (1.0 - _BEFORE) * room)
    first = Rect(area.left, top - _CAPTION - splice_figure.HEIGHT, area.left + wide, top - _CAPTION)
    below = first.height + _CAPTION if alone else 0.0
    second = Rect(area.right - other, first.bottom - below, area.right, first.top - below)
    before = rope_before(number, recipe, first, fmt)
    made = finished_eye(number, recipe, ends[0].throat_to_pin, second, fmt)
    items += made.items
    for figure, place, caption in ((before, first, splice_words.BEFORE), (made, second, splice_words.FINISHED)):
        broken_off = splice_words.BROKEN if figure.straight.broken else ""
        scale = splice_words.SCALE.format(mm=figure.straight.mm, broken=broken_off)
        tag = f"splice:{number}:caption"
        items += view_title((place.left, place.top + 1.5), caption.format(unit=fmt.unit), scale, tag)
    items += _below(strip, ends, Rect(area.left, area.bottom, area.right, second.bottom - 1.0), fmt)
    return items, [replace(view, name=f"{number}-{view.name}") for view in (*before.views, *made.views)]


def source_lines(recipe: Recipe) -> tuple[str, ...]:
    """Return the sources of the figures of a splice, with their confidence."""
    found = []
    for one in recipe.sources:
        text, stated = f"{one['what']}: {one['source']}", splice_words.SURE.get(str(one["sure"]))
        found.append(f"{text}; {stated}." if stated else f"{text}.")
    return tuple(found)


def _boxes(strip: Strip, ends: tuple[SplicedEnd, ...], place: Rect, fmt: LengthFormat) -> list[Item]:
    """Return the three main marks large in boxes, and beside them the run ends that the splice is for."""
    number, recipe = strip.number, strip.recipe
    boxes = 3 * _BOX_WIDE + 3 * _BOX_APART
    line = f"{strip.line} {diameter(recipe.diameter, fmt)}"
    stated = splice_words.FOR.format(count=len(ends), line=line, ends=named(ends))
    lines = broken(stated, place.width - boxes - 4.0, _FOR)
    if len(lines) > 2:
        raise GeometryError(f"splice {number} is for more ends than its heading holds")
    items: list[Item] = lines_down(lines, place.left + boxes + 4.0, place.top - 1.0, f"splice:{number}:for", _FOR)
    values = {"tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit": recipe.eye_mark + recipe.exit_mark}
    for index, (key, word) in enumerate(splice_words.BIG):
        left = place.left + index * (_BOX_WIDE + _BOX_APART)
        box = Rect(left, place.top - _BOX_TALL, left + _BOX_WIDE, place.top)
        tag = f"splice:{number}:big:{key}"
        figure = length(values[key], fmt)
        items += [
            boxed(box, "HEAD-RULE"),
            Text((left + 1.8, box.top - 4.2), word, 2.5, "TEXT", weight="semibold"),
            Text((box.right - 1.8, box.top - 4.2), splice_words.BIG_UNIT.format(unit=fmt.unit), 2.5, "SECOND", "right"),
            Text(
                (left + _BOX_WIDE / 2.0, box.bottom + 2.6), figure, 10.5, "TEXT", "centre", tag=tag, weight="semibold"
            ),
        ]
    below = splice_words.BIG_BELOW.format(exit=length(recipe.exit_mark, fmt))
    at = (place.left + boxes + 4.0, place.top - _BOX_TALL + 2.0)
    items.append(Text(at, below, _FOR, "TEXT", tag=f"splice:{number}:big:exit:from-eye"))
    return items


def _below(strip: Strip, ends: tuple[SplicedEnd, ...], place: Rect, fmt: LengthFormat) -> list[Item]:
    """Return the marks in both units, and the steps beside them."""
    marks = marks_table(strip, any(end.in_place for end in ends), fmt)
    left = place.left + marks.width + 6.0
    tag = f"splice:{strip.number}:steps"
    said = step_lines(strip.recipe, ends, fmt)

    def entries(room: float) -> list[Entry]:
        return [
            Entry(splice_words.STEPS, str(number), broken(step, room, LETTERING), tag)
            for number, step in enumerate(said, start=1)
        ]

    steps = in_columns(entries, place.right - left)
    pitch = next((pitch for pitch in PITCHES if steps.height(pitch) <= place.height), None)
    if pitch is None or marks.height > place.height:
        raise GeometryError(f"the steps of splice {strip.number} do not fit on this sheet")
    return [*marks.items((place.left, place.top)), *steps_items(steps, (left, place.top), pitch, f"{tag}:head")]


def _beside_block(pair: Sequence[Strip], paper: Paper) -> list[Item]:
    """Return the notes and sources of each splice in a column of its own, left of the title block."""
    place = beside_block(paper)
    begin = field(paper).left
    wide = (place.right - begin - _ABREAST * (len(pair) - 1)) / len(pair)
    items: list[Item] = []
    for column, strip in enumerate(pair):
        left, y = begin + column * (wide + _ABREAST), paper.frame.bottom + FOOT - 1.5
        of = splice_words.OF.format(number=strip.number) if len(pair) > 1 else ""
        for head, lines, key in (
            (splice_words.WARNINGS, (*map(worded, strip.recipe.warnings), splice_words.EYE_DRAWN), "warnings"),
            (splice_words.SOURCES, source_lines(strip.recipe), "sources"),
        ):
            parts = [part for line in lines for part in broken(line, wide)]
            items.append(Text((left, y - 2.5), f"{head}{of}", 2.5, "TEXT", weight="semibold"))
            items += lines_down(parts, left, y - 3.7, f"splice:{strip.number}:{key}")
            y -= 3.7 + len(parts) * LINE_PITCH * 2.5 + 2.5
        if y < place.bottom:
            raise GeometryError(f"the notes of splice {strip.number} do not stand left of the title block")
    return items


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


def marks_table(strip: Strip, in_place: bool, fmt: LengthFormat) -> ColumnTable:
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
    return table_of(splice_words.MARKS_TITLE, head, rows, f"splice:{strip.number}:marks", _PITCH)


def _lengths(value: float, tag: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    texts = {"mm": decimal(value, 1), "in": inch_fraction(value, 16)}
    return tuple(cell(texts[unit], f"{tag}:{unit}") for unit in _both(fmt))
