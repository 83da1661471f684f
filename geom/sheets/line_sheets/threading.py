"""Sheet 8: how each run is threaded and made, in diagram and in steps to be ticked off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.drafting import text as words
from geom.drafting.line_text import LINE_PITCH, boxed, lines_down, refusal, thimble_out
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import broken
from geom.drafting.sheet import Draft, list_area
from geom.figure import Item, Line, Rect, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import threading_figure, threading_text
from geom.sheets.line_sheets.threading_figure import diagram
from geom.sheets.line_sheets.threading_key import key
from geom.sheets.line_sheets.threading_notes import note_lines, step_lines
from geom.sheets.line_sheets.threading_tables import table_sheets
from geom.tables import numbers

_HEAD = 8.0
_LEFT = 0.43
_APART = 5.0
_NOTE = 2.5
_BOX = 2.6
# Between two steps, and between the box of a step and its words [mm].
_BETWEEN_STEPS, _BOX_ROOM = 0.8, 4.5
# Heights of the steps' lettering, the larger where it takes no more sheets [mm].
_LETTERING = (3.5, 2.5)


@dataclass(frozen=True)
class _Block:
    """One run ready to be set: its lines of text left and right, their lettering, and how tall it stands [mm]."""

    work: RunWork
    notes: tuple[str, ...]
    steps: tuple[tuple[str, ...], ...]
    lettering: float
    height: float


def threading_plan(refit: Refit) -> tuple[Draft, ...]:
    """Return the plans of all runs in the boat file's order, then the hole pass table with gates and log."""
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    return (*_plans(refit, paper), *table_sheets(refit, paper))


def _plans(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area = list_area(paper)
    tried = [_pages([_block(refit, work, area.width, size) for work in refit.work.runs.values()], refit, area.height)
             for size in _LETTERING]  # fmt: skip
    pages = min(tried, key=len)
    return tuple(_plan(refit, paper, page, number, len(pages)) for number, page in enumerate(pages, start=1))


def _pages(blocks: list[_Block], refit: Refit, height: float) -> list[list[_Block]]:
    """Return the blocks of each sheet: all on one where they go, else each side on sheets of its own."""
    if math.fsum(block.height + _APART for block in blocks) - _APART <= height:
        return [blocks] if blocks else []
    pages: list[list[_Block]] = []
    left, side = 0.0, ""
    for block in blocks:
        here = refit.placed.runs[block.work.run].side
        if not pages or here != side or block.height > left:
            pages.append([])
            left, side = height, here
        pages[-1].append(block)
        left -= block.height + _APART
    return pages


def _plan(refit: Refit, paper: Paper, blocks: list[_Block], number: int, count: int) -> Draft:
    area = list_area(paper)
    items: list[Item] = []
    top = area.top
    for block in blocks:
        if items:
            items.append(Line((area.left, top + _APART / 2.0), (area.right, top + _APART / 2.0), "TABLE"))
        items += _block_items(refit, block, Rect(area.left, top - block.height, area.right, top))
        top -= block.height + _APART
    names = [block.work.run for block in blocks]
    runs = ", ".join(names) if len(names) < 3 else threading_text.RUNS.format(first=names[0], last=names[-1])
    part = threading_text.PART.format(number=number, count=count) if count > 1 else ""
    return Draft(
        number="R9",
        name="threading",
        title=threading_text.THREADING_TITLE.format(runs=runs, part=part),
        subtitle=threading_text.THREADING_KIND,
        paper=paper,
        scale="none",
        items=(*items, *_key(refit, paper, [block.work for block in blocks])),
        tolerance=threading_text.NO_TOLERANCE,
        description="Each run in diagram, forward at the left: holes in order, direction, where each end is made.",
    )


def _key(refit: Refit, paper: Paper, works: list[RunWork]) -> tuple[Item, ...]:
    """Return the key to what is drawn of some runs."""
    made = [work for work in works if not work.refused]
    holes = [(work.run, passage.hole.id) for work in works for passage in refit.placed.runs[work.run].passages]
    spliced = any(threading_figure.splice_number(refit, work, where) for work in made for where in ("start", "finish"))
    lines = [
        threading_text.KEY_FORWARD + (f" {threading_text.KEY_HOLES}" if holes else ""),
        " ".join(
            text
            for text, drawn in (
                (threading_text.KEY_FILLED, any(work.plan.in_place for work in made)),
                (threading_text.KEY_OPEN, bool(made)),
                (threading_text.KEY_DASHED, len(made) < len(works)),
            )
            if drawn
        ),
        threading_text.KEY_SPLICE if spliced else "",
        threading_text.KEY_PROVE if holes else "",
    ]
    verdicts = [refit.placed.eye(hole).verdict for run, hole in holes]
    return key(
        paper, [line for line in lines if line], threading_text.KEY_SIGNS.format(thimble=thimble_out(refit)), verdicts
    )


def _block(refit: Refit, work: RunWork, width: float, lettering: float) -> _Block:
    notes = tuple(part for line in note_lines(refit, work) for part in broken(line, _LEFT * width - 8.0))
    room = (1.0 - _LEFT) * width - _BOX_ROOM - 3.0
    steps = tuple(broken(line, room, lettering) for line in step_lines(refit, work))
    left = threading_figure.height(refit, work) + len(notes) * LINE_PITCH * _NOTE
    right = 5.0 + math.fsum(_step_height(step, lettering) for step in steps)
    return _Block(work, notes, steps, lettering, _HEAD + max(left, right) + 1.0)


def _step_height(step: tuple[str, ...], lettering: float) -> float:
    return len(step) * LINE_PITCH * lettering + _BETWEEN_STEPS


def _block_items(refit: Refit, block: _Block, place: Rect) -> list[Item]:
    work = block.work
    run = refit.placed.runs[work.run]
    split = place.left + _LEFT * place.width
    y = place.top - 5.0
    items: list[Item] = [Text((place.left, y), work.run, 5.0, "TEXT", tag=f"plan:{work.run}:run")]
    side = f"{words.SIDE[run.side]}, {words.UPPER_LINE[run.level]}"
    at = place.left + text_width(work.run, 5.0) + 4.0
    items.append(Text((at, y), side, 3.5, "TEXT", tag=f"plan:{work.run}:side"))
    items.append(Text((split + 2.0, y), verdict_words(refit, work), 3.5, "TEXT", tag=f"plan:{work.run}:verdict"))
    low = place.top - _HEAD - threading_figure.height(refit, work)
    figure = Rect(place.left, low, split - 6.0, place.top - _HEAD)
    items += diagram(refit, work, figure)
    items += lines_down(block.notes, place.left, figure.bottom, f"plan:{work.run}:notes")
    top = place.top - _HEAD
    if work.refused:
        text = threading_text.STOPPED.format(why=refusal(work, numbers(refit.boat)), run=work.run)
        lines = broken(text, place.right - split - 4.0, block.lettering)
        return [*items, *lines_down(lines, split + 2.0, top, f"plan:{work.run}:stopped", block.lettering)]
    items.append(Text((split + 2.0, top - 2.5), threading_text.STEPS_HEAD, 2.5, "TEXT"))
    down = top - 5.0
    for number, step in enumerate(block.steps, start=1):
        low = down - block.lettering / 2.0 - _BOX / 2.0
        items.append(boxed(Rect(split + 2.0, low, split + 2.0 + _BOX, low + _BOX), "THIN"))
        tag = f"plan:{work.run}:step:{number}"
        items += lines_down(step, split + 2.0 + _BOX_ROOM, down, tag, block.lettering)
        down -= _step_height(step, block.lettering)
    return items


def verdict_words(refit: Refit, work: RunWork) -> str:
    """Return in a word how a run is made."""
    if work.refused:
        return threading_text.HELD_BACK
    if not refit.placed.runs[work.run].passages:
        return f"{threading_text.BOTH_ON_BENCH}, {threading_text.NO_HOLE}"
    return (
        threading_text.BOTH_ON_BENCH if work.plan.in_place is None else threading_text.ONE_IN_PLACE[work.plan.in_place]
    )
