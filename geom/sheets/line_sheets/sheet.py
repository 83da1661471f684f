"""The rigger's sheets R1 to R4, one a line of the boat: its runs one beneath the other, bow at left."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.boat.model import Level, Side
from geom.drafting import text as common
from geom.drafting.boat_view import OTHER_SIDES, SIDES
from geom.drafting.hole_text import edges_not_chosen
from geom.drafting.line_text import line_of, thimble_out
from geom.drafting.numbered_steps import PITCHES
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import broken
from geom.drafting.sheet import HEADLINE, UNDER_HEADLINE, Draft, field, headline
from geom.drafting.symbols import bow_arrow
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, Line, Text, View
from geom.open_items import OpenItem, open_items
from geom.placement.eyes import limits
from geom.placement.line_ends import BOTH, family, line_end
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.block import Block, block
from geom.tables import numbers

# Runs on a sheet at most, the space between two, and how far spare paper may widen it [mm].
_RUNS, _BETWEEN, _WIDER = 3, 4.4, 9.0
_OVER_BLOCK, _OVER_BAR, _LEFT_OF_BLOCK = 4.0, 8.0, 6.0
# Right of the 100 mm bar, and clear of the centring mark in the middle [mm].
_BESIDE_BAR, _MARK = 112.0, 3.0
_NUMBERS: dict[tuple[Side, Level], str] = {
    ("S", "U"): "R1", ("S", "M"): "R1m", ("S", "L"): "R2", ("P", "U"): "R3", ("P", "M"): "R3m", ("P", "L"): "R4",
}  # fmt: skip
# Lines across the boat, and those along the inboard edges of its hulls.
_ACROSS, _INBOARD = "R8", "R9"


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


def _groups(refit: Refit) -> tuple[_Group, ...]:
    works = [(refit.placed.runs[work.run], work) for work in refit.work.runs.values()]
    levels = {run.level for run, _ in works}
    if len(levels) == 1:
        runs = tuple(work for side in (*SIDES, *OTHER_SIDES) for run, work in works if run.side == side)
        return (_Group("R1", "guard-lines", words.SINGLE_LINE, runs),)
    groups = []
    for side in SIDES:
        for level in ("U", "M", "L"):
            runs = tuple(work for run, work in works if (run.side, run.level) == (side, level))
            if runs:
                title = words.TITLE[level].format(side=common.SIDE[side].lower())
                groups.append(_Group(_NUMBERS[side, level], title.replace(" ", "-"), title, runs))
    for number, title, sides in ((_ACROSS, words.ACROSS, ("C",)), (_INBOARD, words.INBOARD, ("SI", "PI"))):
        runs = tuple(work for side in sides for run, work in works if run.side == side)
        if runs:
            groups.append(_Group(number, title.replace(" ", "-"), title, runs))
    return tuple(groups)


def _sheets(refit: Refit, group: _Group, found: Sequence[OpenItem]) -> tuple[Draft, ...]:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        blocks = [block(refit, work, field(paper).width, found) for work in group.runs]
        try:
            return tuple(_draft(refit, paper, group, page) for page in _pages(paper, blocks))
        except GeometryError:
            continue
    raise GeometryError(f"no sheet holds a run of {group.title}")


@dataclass(frozen=True)
class _Fit:
    """How some runs fill a sheet: pitch of the steps, whether the last ones are left of the title block, the spare."""

    blocks: tuple[Block, ...]
    pitch: float
    narrow: bool
    spare: float


def _pages(paper: Paper, blocks: Sequence[Block]) -> list[_Fit]:
    """Return the runs of each sheet, as many as fit.

    Raises:
        GeometryError: a run does not fit.
    """
    pages: list[_Fit] = []
    left = list(blocks)
    while left:
        tried = (_fit(paper, tuple(left[:count])) for count in range(min(_RUNS, len(left)), 0, -1))
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


def _fit(paper: Paper, blocks: tuple[Block, ...]) -> _Fit | None:
    top, low, lowest = _bounds(paper)
    wide, last = field(paper).width, blocks[-1]
    over = math.fsum(one.top_height + _BETWEEN for one in blocks) - _BETWEEN
    for pitch in PITCHES:
        before = math.fsum(one.steps_height(wide, pitch) for one in blocks[:-1])
        whole = over + before + last.steps_height(wide, pitch)
        if whole <= top - low:
            return _Fit(blocks, pitch, False, top - low - whole)
        narrow = over + before + last.steps_height(_narrow_width(paper), pitch)
        if not last.held and narrow <= top - lowest and over + before <= top - low:
            return _Fit(blocks, pitch, True, min(top - lowest - narrow, top - low - over - before))
    return None


def _draft(refit: Refit, paper: Paper, group: _Group, page: _Fit) -> Draft:
    place = field(paper)
    views: list[View] = []
    items = list(_header(refit, paper, group, page.blocks))
    top, *_ = _bounds(paper)
    gap = _BETWEEN + min(_WIDER, page.spare / len(page.blocks))
    for one in page.blocks:
        if one is not page.blocks[0]:
            items.append(Line((place.left, top + 0.5 * gap), (place.right, top + 0.5 * gap), "TABLE"))
        last = one is page.blocks[-1]
        width = _narrow_width(paper) if last and page.narrow else place.width
        drawn = one.items(place.left, top, width, page.pitch)
        views += drawn[0]
        items += drawn[1]
        top -= one.top_height + one.steps_height(width, page.pitch) + gap
    items += _edges(refit, paper, page.blocks)
    names = ", ".join(one.work.run for one in page.blocks)
    held = all(one.held for one in page.blocks)
    return Draft(
        number=group.number,
        name=group.name,
        title=group.title,
        subtitle=words.SUBTITLE.format(names=names),
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
    note = " ".join(_notes(refit, blocks))
    items, right = headline(paper, group.title.upper(), said, f"line:{group.number}", note)
    bow = max(right + 22.0, 0.5 * (place.left + place.right) + 14.0)
    word = words.PORT if all(work.run.startswith("C-") for work in group.runs) else words.BOW
    return (*items, *bow_arrow((bow, place.top - 6.45), -1.0, 1.0, word))


def _notes(refit: Refit, blocks: Sequence[Block]) -> Iterator[str]:
    """Yield what the marks and the figures at the holes mean."""
    made = [one for one in blocks if not one.held]
    if made:
        yield words.NOTE_MARKS[numbers(refit.boat).unit]
        if any(one.work.fit.buries for one in made):
            yield words.NOTE_SPLICE
        if any(_ends_in_terminal(refit, one.work) for one in made):
            yield words.NOTE_WIRE
    yield words.NOTE_WIDTH
    if any(one.work.fit.holes for one in blocks):
        source = limits(refit.boat.eye_factors).source
        yield words.NOTE_HOLES.format(thimble=thimble_out(refit), source=source)


def _edges(refit: Refit, paper: Paper, blocks: Sequence[Block]) -> list[Item]:
    """Return the caution that a bush narrows the bores, right of the 100 mm bar; none where edges are chosen."""
    if not edges_not_chosen(refit, (one.work.run for one in blocks)):
        return []
    left = paper.frame.left + _BESIDE_BAR
    lines = broken(words.NOTE_BARE, 0.5 * paper.width - _MARK - left)
    base = paper.frame.bottom + 2.4 + 3.6 * (len(lines) - 1)
    return [Text((left, base - 3.6 * row), line, 2.5, "OPEN-ITEM", tag="notes:edges") for row, line in enumerate(lines)]


def _ends_in_terminal(refit: Refit, work: RunWork) -> bool:
    run = refit.placed.runs[work.run]
    return any(family(line_end(refit.boat, run, where))["kind"] == "terminal" for where in BOTH)
