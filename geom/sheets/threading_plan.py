"""Sheet 8: how each run is threaded and made, the hole pass table, gates open, boxes for the log."""

from __future__ import annotations

from dataclasses import dataclass

from geom.figure import Item, Line, Rect, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.line_work import RunWork
from geom.schedules import numbers
from geom.sheets import threading_figure, words
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.line_words import LINE_PITCH, boxed, fine_length, length, lines_down, refusal
from geom.sheets.paper import Paper, papers
from geom.sheets.ruled_list import broken, flow
from geom.sheets.threading_figure import diagram
from geom.sheets.threading_lists import gates_list, hole_pass, making_logs, with_signs

_HEAD = 8.0
_LEFT = 0.52
_APART = 5.0
_BETWEEN = 6.0
_PITCH = LINE_PITCH * 2.5
_STEP_PITCH = 4.2
_BOX = 2.6


@dataclass(frozen=True)
class _Block:
    """One run ready to be set: its lines of text left and right, and how tall it stands [mm]."""

    work: RunWork
    notes: tuple[str, ...]
    steps: tuple[tuple[str, ...], ...]
    height: float


def threading_plan(refit: Refit) -> tuple[Draft, ...]:
    """Return the plans of all runs in the boat file's order, then the hole pass table with gates and log."""
    paper = papers(refit.boat.drawing.sheets, least=1)[0]
    return (*_plans(refit, paper), *_lists(refit, paper))


def _lists(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    lists = [ruled for ruled in (hole_pass(refit), gates_list(refit), *making_logs(refit)) if ruled.rows]
    return tuple(
        Draft(
            name="hole-pass",
            title=words.THREADING_TITLE,
            kind=words.HOLE_PASS_KIND,
            paper=paper,
            scale="none",
            items=(*with_signs(items), *key_items(paper, words.KEY, words.PASS_KEY)),
            description="Made-up ends through the holes, gates open, boxes for the log of the making.",
        )
        for items in flow(lists, (list_area(paper),), _BETWEEN)
    )


def _plans(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area = list_area(paper)
    pages: list[list[Item]] = [[]]
    top = area.top
    for work in refit.work.runs.values():
        block = _block(refit, work, area.width)
        if top - block.height < area.bottom and pages[-1]:
            pages.append([])
            top = area.top
        if pages[-1]:
            pages[-1].append(Line((area.left, top + _APART / 2.0), (area.right, top + _APART / 2.0), "TABLE"))
        pages[-1] += _block_items(refit, block, Rect(area.left, top - block.height, area.right, top))
        top -= block.height + _APART
    return tuple(
        Draft(
            name="threading",
            title=words.THREADING_TITLE,
            kind=words.THREADING_KIND,
            paper=paper,
            scale="none",
            items=(*items, *key_items(paper, words.KEY, words.THREADING_KEY)),
            description="Each run in diagram, forward at the left: holes in order, direction, where each end is made.",
        )
        for items in pages
        if items
    )


def _block(refit: Refit, work: RunWork, width: float) -> _Block:
    notes = tuple(part for line in note_lines(refit, work) for part in broken(line, _LEFT * width - 6.0))
    room = (1.0 - _LEFT) * width - 8.0
    steps = tuple(broken(f"{number} {step}", room) for number, step in enumerate(work.plan.steps, start=1))
    if work.refused:
        steps = ()
    left = threading_figure.height(refit, work) + len(notes) * _PITCH
    right = 5.0 + sum(_STEP_PITCH + (len(step) - 1) * _PITCH for step in steps)
    return _Block(work, notes, steps, _HEAD + max(left, right) + 1.0)


def note_lines(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return what stands under a diagram: why it is so, what is slid on in order, tools, what stays captive."""
    how, plan = numbers(refit.boat), work.plan
    if work.refused:
        return ()
    lines = [words.WHY.format(text=_reason(refit, work))]
    if plan.slide_on:
        named = [item.item if item.hole is None else f"{item.item} for {item.hole}" for item in plan.slide_on]
        text = ", ".join(f"{number} {name}" for number, name in enumerate(named, start=1))
        lines.append(words.ON_THE_LINE.format(text=text))
    lines.append(words.TOOLS.format(text=", ".join(plan.tools) or "-"))
    room = plan.fid_room
    if room is not None:
        text = words.FID_ROOM.format(
            needed=length(room.needed, how), there=length(room.there, how), slack=length(room.slack, how), unit=how.unit
        )
        lines.append(f"{text}: {words.FID_ENOUGH[room.enough]}")
    if plan.captive:
        lines.append(words.CAPTIVE.format(text="; ".join(plan.captive)))
    return tuple(lines)


def _reason(refit: Refit, work: RunWork) -> str:
    """Return why a run is threaded so, the bores it speaks of in the sheet's unit."""
    how, text = numbers(refit.boat), work.plan.reason
    for hole in refit.placed.eyes[work.run].holes:
        for eye in (hole.start, hole.finish):
            if eye.needs is not None:
                told = f"{hole.hole}: {eye.verdict}, needs {eye.needs:.1f} mm of {eye.has:.1f} mm"
                shown = words.NEEDS_OF.format(
                    hole=hole.hole, verdict=eye.verdict, needs=fine_length(eye.needs, how),
                    has=fine_length(eye.has, how), unit=how.unit,
                )  # fmt: skip
                text = text.replace(told, shown)
    return text


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
        told = broken(words.STOPPED.format(why=refusal(work, numbers(refit.boat))), place.right - split - 4.0)
        return [*items, *lines_down(told, split + 2.0, top, f"plan:{work.run}:stopped")]
    items.append(Text((split + 2.0, top - 2.5), words.STEPS_HEAD, 2.5, "TEXT"))
    down = top - 5.0
    for number, step in enumerate(block.steps, start=1):
        low = down - 3.3
        items.append(boxed(Rect(split + 2.0, low, split + 2.0 + _BOX, low + _BOX), "THIN"))
        items += lines_down(step, split + 6.5, down - 0.7, f"plan:{work.run}:step:{number}")
        down -= _STEP_PITCH + (len(step) - 1) * _PITCH
    return items


def verdict_words(refit: Refit, work: RunWork) -> str:
    """Return in a word how a run is made."""
    if work.refused:
        return " ".join(words.DO_NOT_CUT)
    if not refit.placed.runs[work.run].passages:
        return f"{words.BOTH_ON_BENCH}, {words.NO_HOLE}"
    return words.BOTH_ON_BENCH if work.plan.in_place is None else words.ONE_IN_PLACE[work.plan.in_place]
