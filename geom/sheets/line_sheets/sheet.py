"""The rigger's sheets R1 to R4, one a line of the boat: its runs one beneath the other, bow at left, then the steps."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.boat.model import LEVELS, Level, Side
from geom.drafting import text as common
from geom.drafting.boat_view import OTHER_SIDES, SIDES
from geom.drafting.hole_text import edges_not_chosen
from geom.drafting.line_text import length, line_of, thimble_out
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import RuledList, list_height, list_items, words_whole
from geom.drafting.sheet import HEADLINE, UNDER_HEADLINE, Draft, field, headline
from geom.drafting.symbols import bow_arrow
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, Line, Text, View
from geom.lettering import width as text_width
from geom.open_items import OpenItem, open_items
from geom.placement.eyes import limits
from geom.placement.line_ends import BOTH, family, line_end
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.block import Block, block
from geom.sheets.line_sheets.steps import PITCHES, Flow, divided, sections
from geom.sheets.wire_ends.lists import wire_ends_in_one
from geom.tables import numbers

# Runs on a sheet at most, the space between two, and how far spare paper may widen it [mm].
_RUNS, _BETWEEN, _WIDER = 3, 3.2, 9.0
_OVER_BLOCK, _OVER_BAR, _LEFT_OF_BLOCK, _COLUMN_GAP = 3.0, 7.4, 6.0, 8.0
# What the stamp takes of the headline [mm].
_STAMP = 64.0
# Between the list of wire ends and its notes [mm].
_OVER_NOTES = 2.0
# The caution over the title block [mm].
_EDGES = 3.5
_NUMBERS: dict[tuple[Side, Level], str] = {
    ("S", "U"): "R1", ("S", "M"): "R1m", ("S", "LM"): "R1n", ("S", "L"): "R2",
    ("P", "U"): "R3", ("P", "M"): "R3m", ("P", "LM"): "R3n", ("P", "L"): "R4",
}  # fmt: skip
# Lines across the boat, and those along the inboard edges of its hulls.
_ACROSS, _INBOARD = "R8", "R9"


_Ends = tuple[RuledList, tuple[str, ...]]


@dataclass(frozen=True)
class _Group:
    """The runs of one sheet number, with the title."""

    number: str
    name: str
    title: str
    runs: tuple[RunWork, ...]


def line_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of the boat's lines, three runs to a sheet at most; a single line has both sides on R1.

    Raises:
        GeometryError: no sheet holds a run.
    """
    found = open_items(refit)
    return tuple(draft for group in _groups(refit) for draft in _sheets(refit, group, found))


def holds_wire_ends(refit: Refit) -> bool:
    """Return whether the ends of wire lines stand on R1, as they do where it is the only line sheet and has room."""
    (*_, last) = groups = _groups(refit)
    if len(groups) > 1 or wire_ends_in_one(refit) is None:
        return False
    drafts = _sheets(refit, last, open_items(refit))
    return any(item.tag == "wire-ends" for draft in drafts for item in draft.items)


def _groups(refit: Refit) -> tuple[_Group, ...]:
    works = [(refit.placed.runs[work.run], work) for work in refit.work.runs.values()]
    levels = {run.level for run, _ in works}
    if len(levels) == 1:
        runs = tuple(work for side in (*SIDES, *OTHER_SIDES) for run, work in works if run.side == side)
        return (_Group("R1", "guard-lines", words.SINGLE_LINE, runs),)
    groups = []
    for side in SIDES:
        for level in LEVELS:
            runs = tuple(work for run, work in works if (run.side, run.level) == (side, level))
            if runs:
                title = f"{common.SIDE[side].lower()} {common.LEVEL[level].lower()}"
                groups.append(_Group(_NUMBERS[side, level], title.replace(" ", "-"), title, runs))
    for number, title, sides in ((_ACROSS, words.ACROSS, ("C",)), (_INBOARD, words.INBOARD, ("SI", "PI"))):
        runs = tuple(work for side in sides for run, work in works if run.side == side)
        if runs:
            groups.append(_Group(number, title.replace(" ", "-"), title, runs))
    return tuple(groups)


def _sheets(refit: Refit, group: _Group, found: Sequence[OpenItem]) -> tuple[Draft, ...]:
    ends = wire_ends_in_one(refit) if len(group.runs) == len(refit.work.runs) <= _RUNS else None
    for paper in papers(refit.boat.drawing.sheets, minimum=1, roll=True):
        blocks = [block(refit, work, field(paper).width, found) for work in group.runs]
        whole = None if ends is None else _fit(refit, paper, tuple(blocks), ends)
        if whole is not None:
            return (_draft(refit, paper, group, whole),)
        try:
            return tuple(_draft(refit, paper, group, page) for page in _pages(refit, paper, blocks))
        except GeometryError:
            continue
    raise GeometryError(f"no sheet holds a run of {group.title}")


@dataclass(frozen=True)
class _Fit:
    """How some runs fill a sheet: the columns of steps, the pitch of their lines, the spare height.

    `ends` are the list of wire ends and the notes on it, which stand in the right column.
    """

    blocks: tuple[Block, ...]
    left: Flow
    right: Flow
    pitch: float
    spare: float
    ends: _Ends | None = None


def _pages(refit: Refit, paper: Paper, blocks: Sequence[Block]) -> list[_Fit]:
    """Return the runs of each sheet, as many as fit.

    Raises:
        GeometryError: a run does not fit.
    """
    pages: list[_Fit] = []
    left = list(blocks)
    while left:
        tried = (_fit(refit, paper, tuple(left[:count])) for count in range(min(_RUNS, len(left)), 0, -1))
        page = next((fit for fit in tried if fit is not None), None)
        if page is None:
            raise GeometryError(f"run {left[0].work.run} does not fit on {paper.name}")
        pages.append(page)
        del left[: len(page.blocks)]
    return pages


def _bounds(paper: Paper) -> tuple[float, float, float]:
    """Return the upper edge of the first run, the lower edge over the title block, and that left of it [mm]."""
    place, frame = field(paper), paper.frame
    return (
        place.top - HEADLINE - UNDER_HEADLINE, frame.bottom + BLOCK_HEIGHT + _OVER_BLOCK,
        frame.bottom + 3.0 + _OVER_BAR,
    )  # fmt: skip


def _narrow_width(paper: Paper) -> float:
    return paper.frame.right - BLOCK_WIDTH - _LEFT_OF_BLOCK - field(paper).left


def _fit(refit: Refit, paper: Paper, blocks: tuple[Block, ...], ends: _Ends | None = None) -> _Fit | None:
    """Return how runs fill a sheet, None where they do not fit: steps between bench and board apart, if that fits.

    The list of wire ends needs the whole right column, and stands in none that is too narrow for it.
    """
    top, low, lowest = _bounds(paper)
    low += _EDGES if edges_not_chosen(refit, (one.work.run for one in blocks)) else 0.0
    zone = top - math.fsum(one.height + _BETWEEN for one in blocks)
    made = [one.work for one in blocks if not one.held]
    if zone < low and (made or zone + _BETWEEN < low):
        return None
    narrow = _narrow_width(paper)
    wide = field(paper).width - narrow - _COLUMN_GAP
    if ends is not None and not words_whole(ends[0], wide):
        return None
    tried = sorted(divided(sections(refit, made)), key=lambda one: one[0]) if made else [(0, (), ())]
    for rank in (0, 1, 2, 3):
        for pitch in PITCHES:
            for of_rank, first, second in tried:
                if of_rank != rank or (ends is not None and second):
                    continue
                left, right = Flow(first, narrow), Flow(second, wide)
                beside = right.height(pitch) if ends is None else _ends_height(ends, wide)
                spare = min(zone - lowest - left.height(pitch), zone - low - beside)
                if spare >= 0.0:
                    return _Fit(blocks, left, right, pitch, spare, ends)
    return None


def _ends_height(ends: _Ends, width: float) -> float:
    return list_height(ends[0], width) + _OVER_NOTES + Notes("", ends[1], width).height


def _draft(refit: Refit, paper: Paper, group: _Group, page: _Fit) -> Draft:
    place = field(paper)
    views: list[View] = []
    items = list(_header(refit, paper, group, page.blocks))
    top, *_ = _bounds(paper)
    gap = _BETWEEN + min(_WIDER, page.spare / len(page.blocks))
    for one in page.blocks:
        if one is not page.blocks[0]:
            items.append(Line((place.left, top + 0.5 * gap), (place.right, top + 0.5 * gap), "TABLE"))
        drawn = one.items(place.left, top)
        views += drawn[0]
        items += drawn[1]
        top -= one.height + gap
    items += page.left.items(place.left, top, page.pitch)
    right = place.left + page.left.width + _COLUMN_GAP
    items += page.right.items(right, top, page.pitch)
    if page.ends is not None:
        listed, notes = page.ends
        width = place.right - right
        items += list_items(listed, (right, top), width)
        below = top - list_height(listed, width) - _OVER_NOTES
        items += Notes("", notes, width).items((right, below), "wire-ends:notes")
    items += _edges(refit, paper, page.blocks)
    names = ", ".join(one.work.run for one in page.blocks)
    held = all(one.held for one in page.blocks)
    return Draft(
        number=group.number,
        name=group.name,
        title=group.title,
        subtitle=words.SUBTITLE[len(page.blocks) == 1].format(names=names),
        paper=paper,
        scale=common.AS_SHOWN,
        items=tuple(items),
        views=apart(views),
        description=words.DESCRIPTION.format(names=names),
        stamped=True,
        hold=words.ALL_ON_HOLD if held else "",
    )


def _header(refit: Refit, paper: Paper, group: _Group, blocks: Sequence[Block]) -> tuple[Item, ...]:
    """Return the line's name, its rope or wire, the arrow to the bow, and what the marks mean, over a rule."""
    fmt, place = numbers(refit.boat), field(paper)
    lines = ", ".join(dict.fromkeys(line_of(refit, work.run, fmt) for work in group.runs))
    count = len(group.runs)
    said = words.HEADER[1 if count == 1 else 0].format(line=lines, count=count)
    notes = list(_notes(refit, blocks))
    # Beside the stamp is room for one line; what the drawing shows by itself is left out first.
    while text_width(" ".join(notes), 2.5) > place.width - _STAMP:
        notes.pop()
    note = " ".join(notes)
    items, right = headline(paper, group.title.upper(), said, f"line:{group.number}", note)
    bow = max(right + 22.0, 0.5 * (place.left + place.right) + 14.0)
    word = words.PORT if all(work.run.startswith("C-") for work in group.runs) else words.BOW
    return (*items, *bow_arrow((bow, place.top - 6.45), -1.0, 1.0, word))


def _notes(refit: Refit, blocks: Sequence[Block]) -> Iterator[str]:
    """Yield what the marks and the figures at the holes mean."""
    made = [one for one in blocks if not one.held]
    yield from _measured_take_ups(refit, made)
    if made:
        yield words.NOTE_MARKS[numbers(refit.boat).unit]
    if any(one.work.fit.holes for one in blocks):
        source = limits(refit.boat.eye_factors).source
        yield words.NOTE_HOLES.format(thimble=thimble_out(refit), source=source)
    if any(one.work.fit.buries for one in made):
        yield words.NOTE_SPLICE
    if any(_ends_in_terminal(refit, one.work) for one in made):
        yield words.NOTE_WIRE
    yield words.NOTE_WIDTH


def _measured_take_ups(refit: Refit, made: Sequence[Block]) -> Iterator[str]:
    """Yield a note for each rope whose take-up was measured on the first eyes of lines of this boat."""
    fmt = numbers(refit.boat)
    for name in dict.fromkeys(refit.placed.runs[one.work.run].spec.line for one in made):
        take_up = refit.boat.lines[name].take_up
        if take_up is not None and take_up.measured_on:
            yield words.NOTE_TAKE_UP.format(
                each=length(take_up.each, fmt), unit=fmt.unit, runs=", ".join(take_up.measured_on)
            )  # fmt: skip


def _edges(refit: Refit, paper: Paper, blocks: Sequence[Block]) -> list[Item]:
    """Return the caution that a bush narrows the bores, over the title block; none where edges are chosen."""
    if not edges_not_chosen(refit, (one.work.run for one in blocks)):
        return []
    at = (paper.frame.right - BLOCK_WIDTH + 2.0, paper.frame.bottom + BLOCK_HEIGHT + 2.0)
    return [Text(at, words.NOTE_BARE, 2.5, "OPEN-ITEM", tag="notes:edges")]


def _ends_in_terminal(refit: Refit, work: RunWork) -> bool:
    run = refit.placed.runs[work.run]
    return any(family(line_end(refit.boat, run, where))["kind"] == "terminal" for where in BOTH)
