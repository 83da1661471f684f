"""The marks of a run's line, measured from the end that is made first, and the words at its ends and holes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from geom.drafting.line_text import fine_length, length, run_rope
from geom.drafting.ruling import broken
from geom.drafting.straight_line import Spot
from geom.figure import LengthFormat
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.tables import numbers
from geom.units import inch_fraction

LETTERING, NAME, NUMBER = 2.5, 3.5, 3.5
# Space of a mark's number along the line, and where the numbers begin over its axis [paper mm].
PITCH, LABELS = 5.2, 5.4
# Between a mark's number and its word, and around both [paper mm].
WORD_GAP, ROUND = 1.2, 1.0
# Rows under the axis: ZERO, the names, the first and each further line of small words [paper mm].
ZERO_ROW, NAME_ROW, FIRST_ROW, ROW = 6.2, 10.8, 14.6, 3.6
# By how much the words are lower under the bars of buries [paper mm].
UNDER_BURIES = 4.8
# Widths at which the small words of ends and holes are wrapped, in the order in which they are tried [mm].
WRAPPED = ((74.0, 44.0), (74.0, 32.0), (60.0, 40.0), (50.0, 32.0), (42.0, 26.0), (36.0, 18.0))
# A longer eye reaches beyond what is drawn round its bearing point at the largest scale of a broken line [mm].
_LONG_EYE = 40.0
# What a hole's symbol takes beside its name [mm].
SYMBOL_ROOM = 4.4
# To which side of its mark an end's words go on, inward of the line.
_EDGE: dict[Where, int] = {"start": -1, "finish": 1}


@dataclass(frozen=True)
class Straightened:
    """What is drawn of a run: marks in order along the line from its forward end, and the fittings beyond [mm]."""

    refit: Refit
    work: RunWork
    spots: tuple[Spot, ...]
    before: float
    after: float
    wrapped: tuple[float, float]

    @property
    def finished(self) -> float:
        """The line between its bearing points [mm]."""
        return self.work.fit.finished

    @property
    def run(self) -> PlacedRun:
        """The placed run."""
        return self.refit.placed.runs[self.work.run]

    @property
    def held(self) -> bool:
        """Whether nothing may be cut for this run yet."""
        return is_held(self.work)

    @property
    def zero(self) -> float:
        """The station that marks are measured from: where the end made first bears [mm]."""
        return 0.0 if self.work.making.first == "start" else self.finished

    @property
    def numbers(self) -> LengthFormat:
        """How marks are written: those of rope to whole millimetres."""
        return numbers(self.refit.boat) if self.held else mark_numbers(self.refit, self.work)

    @property
    def above(self) -> float:
        """Paper over the line's axis: what the longest mark takes [mm]."""
        widest = max((number_width(self, spot) + word_width(spot) for spot in self.spots if spot.word), default=0.0)
        return LABELS + ROUND + widest

    @property
    def below(self) -> float:
        """Paper under the line's axis [mm]."""
        run = self.work.run
        if self.held and shows_buries(self.work):
            return FIRST_ROW + UNDER_BURIES
        rows = [len(end_lines(self.refit, self.work, where, self.wrapped[0])) for where in BOTH]
        rows += [len(hole_lines(self.refit, run, hole.hole, self.wrapped[1])) for hole in self.work.fit.holes]
        return FIRST_ROW + (max(rows) - 1) * ROW + 0.9


def shows_buries(work: RunWork) -> bool:
    """Return whether the buries are drawn as bars, because they do not fit into the line."""
    return bool(work.refused) and len(work.fit.buries) == 2 and not work.fit.holes and not work.fit.fits


def mark_numbers(refit: Refit, work: RunWork) -> LengthFormat:
    """Return how a run's marks are written: those of rope to whole millimetres."""
    fmt = numbers(refit.boat)
    return replace(fmt, decimals=0) if fmt.unit == "mm" and run_rope(refit, work.run) else fmt


def is_held(work: RunWork) -> bool:
    """Return whether a run may not be cut: refused, or a measure of its length is missing."""
    return bool(work.refused) or work.cut is None


def straightened(refit: Refit, work: RunWork, wrapped: tuple[float, float]) -> Straightened:
    """Return the marks of a run; of a line on hold only its ends and holes, without a figure.

    Args:
        refit: the boat as calculated.
        work: the run.
        wrapped: widths at which the small words of its ends and holes are wrapped [mm].
    """
    run = refit.placed.runs[work.run]
    before, after = (
        math.fsum(refit.boat.fittings[name].length.planned for name in run_end(run, where).fittings) for where in BOTH
    )
    room = _Room(*wrapped, {"start": before, "finish": after})
    found = [*_line_marks(refit, work, room), *_wire_marks(refit, work), *_pins(refit, work, room)]
    found.sort(key=lambda spot: spot.at)
    # A hole between two marks of an end, as one within a long eye, is in their piece: no break goes through an end.
    for where in BOTH:
        own = [index for index, spot in enumerate(found) if spot.part == where]
        found[own[0] : own[-1]] = [replace(spot, part=where) for spot in found[own[0] : own[-1]]]
    return Straightened(refit, work, tuple(found), before, after, wrapped)


@dataclass(frozen=True)
class _Room:
    """Widths at which the words of ends and holes are wrapped, and the fittings beyond each end [mm]."""

    end_width: float
    hole_width: float
    beyond: dict[Where, float]


def _line_marks(refit: Refit, work: RunWork, given: _Room) -> Iterator[Spot]:
    run, held = refit.placed.runs[work.run], is_held(work)
    for station in work.along:
        tag = f"mark:{work.run}:{station.what}:{station.place}"
        if held and station.what not in ("bears", "hole"):
            # A long eye is drawn whole where the line is broken.
            if station.what == "throat" and min(station.at, work.fit.finished - station.at) > _LONG_EYE:
                yield Spot(station.at, "", tag, _where(run, station.place))
            continue
        if station.what == "hole":
            word = "" if held else words.MARKS["hole"]
            yield Spot(
                station.at, word, tag, station.place, _hole_room(refit, work.run, station.place, given.hole_width)
            )
            continue
        where = _where(run, station.place)
        if station.what == "bears":
            word = "" if held else words.MARKS[_held_by(refit, run, where)]
            room, edge = (
                (0.0, 0) if given.beyond[where] else (end_room(refit, work, where, given.end_width), _EDGE[where])
            )
            yield Spot(station.at, word, tag, where, room, edge)
        else:
            yield Spot(station.at, words.MARKS[station.what], tag, where)


def _where(run: PlacedRun, place: str) -> Where:
    return "start" if place == end_name(run.spec.start) else "finish"


def _held_by(refit: Refit, run: PlacedRun, where: Where) -> str:
    """Return what the bearing point of an end bears on, as a key of the words: pin, lashing or a fitting."""
    nearest = run_end(run, where).inner
    if nearest is None:
        return "pin"
    return "lashed" if refit.boat.fittings[nearest].family == "lashing" else "bears"


def _wire_marks(refit: Refit, work: RunWork) -> Iterator[Spot]:
    """Yield where a wire ends in its terminals."""
    if is_held(work):
        return
    run = refit.placed.runs[work.run]
    for where, at, out in zip(BOTH, (0.0, work.fit.finished), (-1.0, 1.0), strict=True):
        taken = line_end(refit.boat, run, where).deduction
        if taken:
            tag = f"mark:{work.run}:wire ends:{end_name(run_end(run, where))}"
            yield Spot(at - out * taken, words.MARKS["wire ends"], tag, where)


def _pins(refit: Refit, work: RunWork, given: _Room) -> Iterator[Spot]:
    """Yield the pins on the boat beyond the fittings of an end, without a figure: the words of the end are there."""
    run = refit.placed.runs[work.run]
    for where, at, out in zip(BOTH, (0.0, work.fit.finished), (-1.0, 1.0), strict=True):
        if given.beyond[where]:
            tag = f"mark:{work.run}:pin:{end_name(run_end(run, where))}"
            room = end_room(refit, work, where, given.end_width)
            yield Spot(at + out * given.beyond[where], "", tag, where, room, _EDGE[where])


def number(shown: Straightened, spot: Spot) -> str:
    """Return a mark's distance from zero: an inch mark as a tape is read, a millimetre mark as it measures."""
    value, fmt = abs(spot.at - shown.zero), shown.numbers
    return inch_fraction(value, 32) if fmt.unit == "in" else length(value, fmt)


def number_width(shown: Straightened, spot: Spot) -> float:
    """Return the width of a mark's number [mm]."""
    return text_width(number(shown, spot), NUMBER, "semibold")


def word_width(spot: Spot) -> float:
    """Return the width of a mark's word, with the gap before it [mm]."""
    return WORD_GAP + text_width(spot.word, LETTERING)


def tube_outside(refit: Refit, hole: str) -> float:
    """Return the outside diameter of the tube that a hole is in [mm]."""
    passages = (passage for run in refit.placed.runs.values() for passage in run.passages)
    post = next(passage.hole.post for passage in passages if passage.hole.id == hole)
    return refit.placed.posts[post].tube_od


def _hole_room(refit: Refit, run: str, hole: str, width: float) -> float:
    # No line is shown at a larger scale than 1:2.
    name = text_width(hole, NAME, "semibold") + SYMBOL_ROOM
    lines = (text_width(line, LETTERING) for line in hole_lines(refit, run, hole, width))
    return max(name, *lines, tube_outside(refit, hole) / 2.0) + 3.0


def hole_lines(refit: Refit, run: str, hole: str, width: float) -> tuple[str, ...]:
    """Return the small words under a hole: bore and what the finished end needs, its verdict, what is slid on there.

    Args:
        refit: the boat as calculated.
        run: id of the run.
        hole: id of the hole.
        width: at which they are wrapped [mm].
    """
    fmt, placed = numbers(refit.boat), refit.placed.runs[run]
    found = refit.placed.eye(hole)
    items = [item for item in placed.slide_on if item.hole == hole]
    slid = [item.item if item.length is None else f"{item.item} {length(item.length, fmt)}" for item in items]
    size = words.BORE.format(bore=fine_length(found.has, fmt))
    if any(one.hole.id == hole and one.hole.edge.bush is not None for one in placed.passages):
        size = words.BUSHED.format(size=size)
    if found.needs is not None:
        size = words.BORE_NEEDS.format(size=size, needs=fine_length(found.needs, fmt))
    verdict = words.PROVED if found.proved else words.PASSES[found.verdict]
    stated = (words.VERDICT.format(size=size, verdict=verdict), *(words.ITEM_THERE.format(item=item) for item in slid))
    return tuple(line for text in stated for line in broken(text, width, LETTERING))


def end_lines(refit: Refit, work: RunWork, where: Where, width: float) -> tuple[str, ...]:
    """Return the small words under an end: when and how it is made; of a line on hold what holds it.

    Args:
        refit: the boat as calculated.
        work: the run.
        where: which end.
        width: at which they are wrapped [mm].
    """
    fmt, run = mark_numbers(refit, work), refit.placed.runs[work.run]
    stated, end = run_end(run, where), line_end(refit.boat, run, where)
    if not is_held(work):
        splice = refit.work.splice_numbers.get((work.run, where))
        made = end.family if splice is None else words.SPLICE.format(number=splice)
        return broken(words.MADE_AS.format(made=words.MADE[_made(work, where)], end=made), width, LETTERING)
    parts = [
        words.FITTING.format(name=name, planned=length(refit.boat.fittings[name].length.planned, fmt))
        for name in stated.fittings
    ]
    return broken(", ".join(parts), width, LETTERING) if parts else ()


def _made(work: RunWork, where: Where) -> str:
    if work.plan.in_place == where:
        return "board"
    return "first" if work.making.first == where else "second"


def end_room(refit: Refit, work: RunWork, where: Where, width: float) -> float:
    """Return the width of the words under an end, the small ones wrapped at a width [mm]."""
    name = text_width(end_name(run_end(refit.placed.runs[work.run], where)), NAME, "semibold")
    return max([name, *(text_width(line, LETTERING) for line in end_lines(refit, work, where, width))]) + 3.0
