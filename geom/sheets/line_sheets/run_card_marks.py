"""The marks of a run's line: where each stands, what is written beside it, how tall the drawn line gets."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from geom.drafting import text as words
from geom.drafting.line_text import fine_length, length, made_where, run_rope
from geom.drafting.straight_line import Spot
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.tables import numbers
from geom.units import LengthFormat, inch_fraction

LETTERING, MARK = 2.5, 3.5
# Room that a mark's number takes along the line, and where the numbers begin over its axis [paper mm].
PITCH, LABELS = 5.2, 7.2
# Paper under the line's axis: with the finished length drawn, and with the buries of a line that is not to be cut.
BELOW, BELOW_BURIES = 23.8, 25.0


@dataclass(frozen=True)
class Straightened:
    """What is to be drawn of a run: marks in order, the line's length, fittings beyond either end [mm]."""

    refit: Refit
    work: RunWork
    spots: tuple[Spot, ...]
    before: float
    after: float

    @property
    def finished(self) -> float:
        """The line between its bearing points [mm]."""
        return self.work.fit.finished

    @property
    def zero(self) -> float:
        """Station from which marks are measured: where the end made first bears [mm]."""
        return 0.0 if self.work.making.first == "start" else self.finished

    def from_zero(self, at: float) -> float:
        """Return the distance of a station from zero, minus beyond that end [mm]."""
        return at if self.work.making.first == "start" else self.finished - at

    @property
    def run(self) -> PlacedRun:
        """The placed run."""
        return self.refit.placed.runs[self.work.run]

    @property
    def numbers(self) -> LengthFormat:
        """How marks are written: a rope that is to be cut is marked to whole millimetres."""
        fmt = numbers(self.refit.boat)
        whole = fmt.unit == "mm" and run_rope(self.refit, self.work.run) and not self.work.refused
        return replace(fmt, decimals=0) if whole else fmt

    @property
    def shows_buries(self) -> bool:
        """Whether the buries are drawn as bars, because they do not fit into the line."""
        return bool(self.work.refused and len(self.work.fit.buries) == 2 and not self.work.fit.holes)

    @property
    def above(self) -> float:
        """Paper over the line's axis: what the longest mark takes [mm]."""
        return LABELS + 1.6 + max(text_width(mark_text(self, spot, filled=True), MARK) for spot in self.spots)

    @property
    def below(self) -> float:
        """Paper under the line's axis [mm]."""
        return BELOW_BURIES if self.shows_buries else BELOW

    @property
    def height(self) -> float:
        """How tall the drawn line stands [mm]."""
        return self.above + self.below


def straightened(refit: Refit, work: RunWork) -> Straightened:
    """Return the marks of a run; of a line that is not to be cut only its ends and holes."""
    run = refit.placed.runs[work.run]
    before, after = (
        math.fsum(refit.boat.fittings[name].length.planned for name in run_end(run, where).fittings) for where in BOTH
    )
    # A line that is not to be cut is shown in one piece, so that its buries lie over each other.
    whole = work.run if work.refused and not work.fit.holes else None
    beyond = {"start": before, "finish": after}
    found = [*_line_marks(refit, work, whole, beyond), *_end_marks(refit, work, whole, beyond)]
    return Straightened(refit, work, tuple(sorted(found, key=lambda spot: spot.at)), before, after)


def _line_marks(refit: Refit, work: RunWork, whole: str | None, beyond: dict[str, float]) -> Iterator[Spot]:
    run = refit.placed.runs[work.run]
    for station in work.stations:
        if work.refused and station.what not in ("bears", "hole"):
            continue
        tag = f"mark:{work.run}:{station.what}:{station.place}"
        word = run_card_words.MARKS[station.what]
        if station.what == "hole":
            yield Spot(station.at, word, tag, station.place, _hole_room(refit, work.run, station.place))
            continue
        where: Where = "start" if station.place == end_name(run.spec.start) else "finish"
        room, edge = 0.0, 0
        if station.what == "bears":
            word = words.ZERO if station.from_first == 0.0 else word
            if not beyond[where]:
                room, edge = end_room(refit, work, where)
        yield Spot(station.at, word, tag, whole or where, room, edge)


def _end_marks(refit: Refit, work: RunWork, whole: str | None, beyond: dict[str, float]) -> Iterator[Spot]:
    """Return where a wire ends in its terminals, and the pins on the boat beyond the fittings."""
    run = refit.placed.runs[work.run]
    for where, at, out in zip(BOTH, (0.0, work.fit.finished), (-1.0, 1.0), strict=True):
        tag, place = f"mark:{work.run}", end_name(run_end(run, where))
        taken = line_end(refit.boat, run, where).deduction
        if taken is not None and not work.refused:
            word = run_card_words.MARKS["wire ends"]
            yield Spot(at - out * taken, word, f"{tag}:wire ends:{place}", whole or where)
        if beyond[where]:
            word = run_card_words.MARKS["pin"]
            room, edge = end_room(refit, work, where)
            yield Spot(at + out * beyond[where], word, f"{tag}:pin:{place}", whole or where, room, edge)


def mark_text(shown: Straightened, spot: Spot, filled: bool = False) -> str:
    """Return what stands beside a mark: an inch mark as a tape is read, a millimetre mark as it measures.

    Args:
        shown: the run.
        spot: the mark.
        filled: whether the number itself is written in place of the sign for the measured value.
    """
    fmt = shown.numbers
    at = shown.from_zero(spot.at)
    number = inch_fraction(abs(at), 32) if fmt.unit == "in" else length(abs(at), fmt) if filled else "<>"
    return f"{'-' if at < 0.0 else ''}{number} {spot.word}"


def end_words(refit: Refit, work: RunWork, where: Where) -> tuple[str, str, str]:
    """Return what stands under an end: its fittings, its name and place, and where it is made (empty if refused)."""
    fmt, stated = numbers(refit.boat), run_end(refit.placed.runs[work.run], where)
    fittings = ", ".join(f"{name} {length(refit.boat.fittings[name].length.planned, fmt)}" for name in stated.fittings)
    word = words.FORWARD_END if where == "start" else words.AFTER_END
    return fittings, f"{word}: {end_name(stated)}", "" if work.refused else made_where(work, where)


def end_room(refit: Refit, work: RunWork, where: Where) -> tuple[float, int]:
    """Return the width of the words under an end [mm], and to which side of it they stand."""
    fittings, name, made = end_words(refit, work, where)
    fittings = f"{fittings}, {run_card_words.TERMINAL}" if fittings else fittings
    widths = (text_width(fittings, LETTERING), text_width(name, LETTERING), text_width(made, MARK))
    return max(widths) + 3.0, -1 if where == "start" else 1


def tube_outside(refit: Refit, hole: str) -> float:
    """Return the outside diameter of the tube that a hole is in [mm]."""
    passages = (passage for run in refit.placed.runs.values() for passage in run.passages)
    post = next(passage.hole.post for passage in passages if passage.hole.id == hole)
    return refit.placed.posts[post].tube_od


def _hole_room(refit: Refit, run: str, hole: str) -> float:
    name, size, *stated = (text_width(line, LETTERING) for line in hole_words(refit, run, hole))
    # No line is shown at a larger scale than 1:2.
    return max(name, size + 4.5, *stated, tube_outside(refit, hole) / 2.0) + 3.0


def hole_words(refit: Refit, run: str, hole: str) -> tuple[str, ...]:
    """Return what stands under a hole: its id, its size, whether the finished end passes, what is slid on there."""
    fmt = numbers(refit.boat)
    passage = next(p for p in refit.placed.runs[run].passages if p.hole.id == hole)
    verdict = run_card_words.MADE_UP[refit.placed.eye(hole).verdict]
    items = [item for item in refit.placed.runs[run].spec.slide_on if item.hole == hole]
    slid = [item.item if item.length is None else f"{item.item} {length(item.length, fmt)}" for item in items]
    return (hole, f"Ø{fine_length(passage.hole.bore, fmt)}", ", ".join((verdict, *slid)))
