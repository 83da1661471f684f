"""Sheet 7: the splice of each different rope end, drawn with its marks, its thickness and its steps."""

from __future__ import annotations

from dataclasses import replace

from geom.data import table
from geom.errors import GeometryError
from geom.figure import Cell, Item, Rect, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.making import BOTH, line_end
from geom.runs.splice import Recipe
from geom.schedules import numbers
from geom.sheets import splice_figure, words
from geom.sheets.aids.splice_strip import Strip, strips
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.line_words import boxed, fine_length, length, lines_down
from geom.sheets.paper import Paper, papers
from geom.sheets.ruled import Ruled, cell
from geom.sheets.ruled_list import broken
from geom.sheets.splice_figure import made_up, rope_before
from geom.sheets.views import apart
from geom.units import Numbers, decimal, inch_fraction

_HEAD = 19.0
_BOX_WIDE, _BOX_APART = 50.0, 4.0
_CAPTION = 5.0
_PITCH, _WIDE_PITCH = 4.0, 4.8
_LEAST_TEXT = 110.0


def splice_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return a sheet for each different splice; none where nothing is spliced.

    Raises:
        GeometryError: no sheet holds a splice.
    """
    return tuple(_sheet(refit, strip) for strip in strips(refit))


def _sheet(refit: Refit, strip: Strip) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, least=1):
        try:
            return _on(refit, strip, paper)
        except GeometryError:
            continue
    raise GeometryError(f"no sheet holds splice {strip.number}")


def _on(refit: Refit, strip: Strip, paper: Paper) -> Draft:
    how, area = numbers(refit.boat), list_area(paper)
    number, recipe = strip.number, strip.recipe
    top = area.top - _HEAD
    first = Rect(area.left, top - _CAPTION - splice_figure.HEIGHT, area.right, top - _CAPTION)
    second = Rect(area.left, first.bottom - _CAPTION - splice_figure.HEIGHT, area.right, first.bottom - _CAPTION)
    before = rope_before(number, recipe, first, how)
    made = made_up(number, recipe, _throat_to_pin(refit, strip), second, how)
    items: list[Item] = [*_heading(strip, Rect(area.left, top, area.right, area.top), how), *made.items]
    for figure, place, caption in ((before, first, words.ROPE_BEFORE), (made, second, words.MADE_UP)):
        told = words.SPLICE_SCALE.format(mm=figure.straight.mm, broken=words.BROKEN if figure.straight.broken else "")
        items.append(Text((area.left, place.top), f"{caption}  {told}", 2.5, "TEXT", tag=f"splice:{number}:caption"))
    items += _tables(strip, Rect(area.left, area.bottom, area.right, second.bottom - 1.0), how)
    views = tuple(replace(view, name=f"{number}-{view.name}") for view in (*before.views, *made.views))
    return Draft(
        name=f"splice-{number}",
        title=words.SPLICE_TITLE.format(number=number),
        kind=words.SPLICE_KIND,
        paper=paper,
        scale=words.AS_SHOWN,
        items=(*items, *key_items(paper, words.SOURCES, recipe.sources)),
        views=apart(views),
        description=f"Splice {number} for {', '.join(strip.ends)}: marks from the rope's end and from the throat.",
    )


def _throat_to_pin(refit: Refit, strip: Strip) -> float | None:
    for run_id, work in refit.work.runs.items():
        run = refit.placed.runs[run_id]
        for where in BOTH:
            if work.splices[where] == strip.recipe and run.told.line == strip.line and work.refused is None:
                return line_end(refit.boat, run, where).throat_to_pin
    return None


def _heading(strip: Strip, place: Rect, how: Numbers) -> list[Item]:
    """Return the splice's number and lock, what it is for, and its three marks big at the right."""
    number, recipe = strip.number, strip.recipe
    boxes = 3 * _BOX_WIDE + 2 * _BOX_APART
    room = place.width - boxes - 8.0
    head = words.SPLICE_HEAD.format(number=number, lock=words.LOCK_WORDS[recipe.lock])
    told = words.SPLICE_FOR.format(
        line=f"{strip.line} Ø{fine_length(recipe.diameter, how)}", ends=", ".join(strip.ends)
    )
    items: list[Item] = [Text((place.left, place.top - 5.0), head, 5.0, "TEXT", tag=f"splice:{number}:head")]
    if text_width(head, 5.0) > room:
        items = [Text((place.left, place.top - 5.0), head, 3.5, "TEXT", tag=f"splice:{number}:head")]
    lines = broken(told, room)
    if len(lines) > 3:
        raise GeometryError(f"splice {number} is for more ends than its heading holds")
    items += lines_down(lines, place.left, place.top - 7.0, f"splice:{number}:for")
    for index, (key, word) in enumerate(words.SPLICE_BIG):
        left = place.right - boxes + index * (_BOX_WIDE + _BOX_APART)
        box = Rect(left, place.top - 15.5, left + _BOX_WIDE, place.top)
        value = {"tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit": recipe.exit_mark}[key]
        at, tag = (left + _BOX_WIDE / 2.0, box.bottom + 2.2), f"splice:{number}:big:{key}"
        items += [
            boxed(box),
            Text((left + 1.5, box.top - 4.0), word, 2.5, "NOTE"),
            Text(at, length(value, how), 7.0, "TEXT", "centre", tag=tag),
        ]
    return items


def _tables(strip: Strip, place: Rect, how: Numbers) -> list[Item]:
    rows = 1 + max(len(mark_values(strip.recipe)), len(strip.recipe.taper_marks))
    pitch = _PITCH if rows * _WIDE_PITCH + 22.0 > place.height else _WIDE_PITCH
    marks, taper = replace(marks_table(strip), pitch=pitch), replace(taper_table(strip), pitch=pitch)
    left = place.left + sum(marks.widths) + 4.0
    text = left + sum(taper.widths) + 5.0
    room = place.right - text
    lines = [part for line in step_lines(strip.recipe, how) for part in _numbered(line, room)]
    warnings = [part for line in strip.recipe.warnings for part in broken(line, text - place.left - 8.0)]
    down = place.top - max(marks.height, taper.height) - 5.0
    tall = max(len(lines) * 3.63 + 4.0, place.top - down + 4.5 + len(warnings) * 3.63)
    if room < _LEAST_TEXT or tall > place.height:
        raise GeometryError(f"the tables of splice {strip.number} do not stand on this sheet")
    return [
        marks.at((place.left, place.top)),
        taper.at((left, place.top)),
        Text((text, place.top - 2.8), words.STEPS, 2.5, "TEXT"),
        *lines_down(lines, text, place.top - 4.0, f"splice:{strip.number}:steps"),
        Text((place.left, down - 2.8), words.WARNINGS, 2.5, "TEXT"),
        *lines_down(warnings, place.left, down - 4.0, f"splice:{strip.number}:warnings"),
    ]


def _numbered(line: str, room: float) -> list[str]:
    """Return a step in lines, the further ones under its words."""
    first, *more = broken(line, room - 4.0)
    return [first, *(f"    {part}" for part in more)]


def mark_values(recipe: Recipe) -> dict[str, float]:
    """Return the lengths of a splice by the keys of `words.SPLICE_MARKS` [mm]."""
    found = {"tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit": recipe.exit_mark}
    if recipe.second_tuck is not None:
        found["tuck"] = recipe.second_tuck
    if recipe.stitching is not None:
        found["stitch-from"], found["stitch-to"] = recipe.stitching
    found |= {
        "full": recipe.full_section,
        "bury": recipe.bury,
        "girth": recipe.girth,
        "take-up": recipe.take_up.expected,
        "take-up-most": recipe.take_up.most,
        "slack": recipe.slack_in_place,
        "fid": recipe.fid,
    }
    return found


def marks_table(strip: Strip) -> Ruled:
    """Return the marks in millimetres and in sixteenths of an inch."""
    rows = []
    for key, value in mark_values(strip.recipe).items():
        name, start = words.SPLICE_MARKS[key]
        tag = f"splice:{strip.number}:mark:{key}"
        rows.append((
            Cell(name), Cell(start), cell(decimal(value, 1), f"{tag}:mm"), cell(inch_fraction(value, 16), f"{tag}:in")
        ))  # fmt: skip
    return Ruled("", words.MARKS_HEAD, tuple(rows), f"splice:{strip.number}:marks", pitch=_PITCH)


def taper_table(strip: Strip) -> Ruled:
    """Return the cuts of the taper with the strands left and the outside diameter where each comes to lie."""
    recipe = strip.recipe
    outside = {round(step.from_throat, 6): step.diameter for step in recipe.thickness if step.part == "taper"}
    rows = []
    for number, cut in enumerate(recipe.taper_marks, start=1):
        at = recipe.bury - cut.from_end
        tag = f"splice:{strip.number}:taper:{number}"
        rows.append((
            cell(str(number)), Cell(cut.side, f"{tag}:side"), cell(decimal(cut.from_end, 1), f"{tag}:mm"),
            cell(inch_fraction(cut.from_end, 16), f"{tag}:in"), cell(str(cut.strands_left), f"{tag}:strands"),
            cell(decimal(at, 1), f"{tag}:throat"), cell(decimal(outside[round(at, 6)], 1), f"{tag}:od"),
        ))  # fmt: skip
    return Ruled("", words.TAPER_HEAD, tuple(rows), f"splice:{strip.number}:cuts", pitch=_PITCH)


def step_lines(recipe: Recipe, how: Numbers) -> tuple[str, ...]:
    """Return the work in numbered steps, its lengths in the sheet's unit."""
    proof = table.datum("splice_practice", key="proof_pull").value
    steps = [*words.STEPS_MARK, *words.STEPS_LOCK[recipe.lock], *words.STEPS_BURY]
    start, end = recipe.stitching or (None, None)
    if recipe.stitching is not None:
        steps.append(words.STEPS_STITCH)
    steps.append(words.STEPS_PROOF)
    told = {
        "tail": recipe.tail_mark, "eye": recipe.eye_mark, "exit": recipe.exit_mark, "girth": recipe.girth,
        "tuck": recipe.second_tuck, "start": start, "end": end,
    }  # fmt: skip
    shown = {key: length(value, how) for key, value in told.items()}
    shown |= {"cuts": str(len(recipe.taper_marks)), "pull": decimal(proof, 0)}
    return tuple(f"{number}  {step.format(**shown)}" for number, step in enumerate(steps, start=1))
