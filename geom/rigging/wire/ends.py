"""The ends of a wire line as they are made: insertion, diameters before and after swaging, wire eyes, each hole.

How far the wire goes into a terminal is marked on the wire before it is put in, and seen at its mouth afterwards.
Source: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from geom.boat.model import Boat, GuardLine, LineEnd
from geom.data import table
from geom.placement.eyes import Where, limits
from geom.placement.line_ends import BOTH, HAND_SPLICED, is_wire_eye, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.remark import Remark
from geom.rigging.line_remark import LineRemark
from geom.rigging.terminals import is_terminal
from geom.rigging.wire.eye import STRANDED, HandSplice, hand_splice, tail_of
from geom.units import Mm


@dataclass(frozen=True)
class EndInHole:
    """A wire end at one hole: the bore, and how much narrower its finished and its unswaged width are [mm].

    None where that width is not stated; below zero it does not pass.
    """

    hole: str
    bore: Mm
    clear: Mm | None
    clear_before: Mm | None


@dataclass(frozen=True)
class MadeWireEnd:
    """One end of a wire line as it is made [mm]; None where it is not stated or does not apply.

    `on_board` is whether it is made after threading. `insertion` is marked from the wire's end; `before`, `go` and
    `no_go` are the diameters of its shank or sleeve, `width` its largest finished width, `rigid` the length from its
    bearing point that does not bend. `tail` is the wire of an eye beyond its throat, `splice` its tucks by hand.
    """

    end: Where
    at: str
    name: str
    family: str
    on_board: bool
    insertion: Mm | None
    before: Mm | None
    go: Mm | None
    no_go: Mm | None
    width: Mm | None
    rigid: Mm | None
    tail: Mm | None
    splice: HandSplice | None
    holes: tuple[EndInHole, ...]

    @property
    def to_come(self) -> tuple[str, ...]:
        """What is to be measured on the part, by the keys of the boat file: a wire eye has no insertion."""
        made_of_wire = self.tail is not None or self.splice is not None
        return (
            *(("width",) if self.width is None else ()),
            *(("insertion",) if self.insertion is None and not made_of_wire else ()),
        )


def made_wire_ends(boat: Boat, run: PlacedRun, on_board: Where | None) -> tuple[MadeWireEnd, ...]:
    """Return the terminals and wire eyes of a run.

    Args:
        boat: the boat file.
        run: the placed run.
        on_board: the end that is made after threading, None where both are made ashore.
    """
    line = boat.lines[run.spec.line]
    return tuple(
        _made(line, run, where, line_end(boat, run, where), where == on_board)
        for where in BOTH
        if is_terminal(line_end(boat, run, where)) or is_wire_eye(line_end(boat, run, where))
    )


def _made(line: GuardLine, run: PlacedRun, where: Where, end: LineEnd, on_board: bool) -> MadeWireEnd:
    stated, swage = run_end(run, where), end.swage
    before = None if swage is None else swage.before
    return MadeWireEnd(
        end=where,
        at=end_name(stated),
        name=stated.end,
        family=end.family,
        on_board=on_board,
        insertion=end.insertion,
        before=before,
        go=None if swage is None else swage.go,
        no_go=None if swage is None else swage.no_go,
        width=end.width,
        rigid=end.rigid,
        tail=tail_of(line, end),
        splice=hand_splice(line, end),
        holes=tuple(
            EndInHole(passage.hole.id, passage.hole.bore, _less(passage.hole.bore, end.width),
                      _less(passage.hole.bore, before))
            for passage in run.passages
        ),
    )  # fmt: skip


def _less(bore: float, width: float | None) -> float | None:
    return None if width is None else bore - width


def wire_end_remarks(boat: Boat, run: PlacedRun) -> tuple[LineRemark, ...]:
    """Return what is to be said of the ends of a wire line as they are made.

    Args:
        boat: the boat file.
        run: the placed run.
    """
    return tuple(said for where in BOTH for said in _remarks(boat, run, where))


def _remarks(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    line, end, stated = boat.lines[run.spec.line], line_end(boat, run, where), run_end(run, where)
    if where == "start" and line.coated and line.over_coating is None and run.passages:
        says = Remark("wire.over_coating_not_stated", line=run.spec.line)
        yield LineRemark("coating", "cannot tell", run.id, says)
    if is_terminal(end) and end.insertion is None:
        says = Remark("wire_end.insertion_not_stated", end=where, name=stated.end)
        yield LineRemark("insertion", "notice", run.id, says, end=where)
    if end.family == HAND_SPLICED and not any(word in line.construction for word in STRANDED):
        says = Remark("wire_end.not_stranded", end=where, construction=line.construction)
        source = Remark("source.common_practice")
        yield LineRemark("hand-splice", "refused", run.id, says, source=source, end=where)
    yield from _turnbuckle_travel(boat, run, where)
    if end.swage is not None and end.swage.before is not None and is_terminal(end):
        rule = limits(boat.eye_factors)
        narrow = [one.hole for one in run.passages if one.hole.bore + rule.tolerance < end.swage.before]
        passes = end.width is not None and all(one.hole.bore + rule.tolerance >= end.width for one in run.passages)
        if narrow and passes:
            says = Remark("wire_end.swage_first", end=where, name=stated.end, before_mm=end.swage.before,
                          holes=tuple(hole.id for hole in narrow))  # fmt: skip
            yield LineRemark("swage-first", "notice", run.id, says, end=where)


def _turnbuckle_travel(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    """Check the thread of a stud left in its turnbuckle when that is opened and closed fully.

    A turnbuckle of a left-hand and a right-hand thread moves on both alike, so that the stud has half of its travel.
    Source: geometry of two threads of one pitch.
    """
    end, stated = line_end(boat, run, where), run_end(run, where)
    word = stated.inner
    if end.bears_on != "thread" or end.thread_engaged is None or word is None:
        return
    fitting = boat.fittings[word]
    if table.row("fitting_families", word=fitting.family)["needs_hand"] != "both" or fitting.length.max is None:
        return
    left = end.thread_engaged - 0.5 * (fitting.length.max - fitting.length.planned)
    least = fitting.min_thread_engagement or 0.0
    if left < least or math.isclose(left, 0.0, abs_tol=1e-9):
        says = Remark("wire_end.stud_runs_out", end=where, fitting=word, left_mm=left, least_mm=least)
        yield LineRemark("stud-travel", "notice", run.id, says, left, least, "mm", "geometry", end=where)
