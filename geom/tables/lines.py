"""Tables of the line work: cutting, marking, threading and ordering, run by run."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH
from geom.purchasing.line_options import LineOption
from geom.purchasing.order import EndOrder, SmallOrder
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.acceptance import Acceptance
from geom.rigging.alternatives import Alternative
from geom.rigging.budget import Budget
from geom.rigging.build_log import LogLine
from geom.rigging.fit import Station
from geom.rigging.gate_open import GateOpen
from geom.rigging.lengths import RunLengths, Term
from geom.rigging.reel import ReelLength, RopeMark
from geom.rigging.settings import Setting
from geom.rigging.strength import Link
from geom.rigging.wire.ends import EndInHole, MadeWireEnd
from geom.rigging.work import RunWork
from geom.tables.splices import SpliceMark, splice_marks
from geom.tables.table import Column, Kind, Table, column, numbered
from geom.units import Mm
from geom.words import worded

ON_HOLD = Remark("line.on_hold")
_RUN = Column("run", "RUN", lambda row: row[0].run)


def _per_run(refit: Refit, name: str, title: str, items: Callable[[RunWork], Iterable[Any]], *columns: Column) -> Table:
    """Return a table of the items of each run; a row is a run and one of its items."""
    rows = tuple((run, item) for run in refit.work.runs.values() for item in items(run))
    return Table(name, title, (_RUN, *columns), rows, numbered(run.run for run, _ in rows))


def _per_run_made(
    refit: Refit, name: str, title: str, items: Callable[[RunWork], Iterable[Any]], says: int, *columns: Column
) -> Table:
    """Return a table as `_per_run`, with one row for a line on hold.

    Args:
        refit: the calculated boat.
        name: of the table.
        title: of the table.
        items: the items of a run that is made.
        says: index of the column that says that a line is on hold.
        columns: over the items.
    """

    def shown(index: int, one: Column) -> Column:
        held = worded(ON_HOLD) if index == says else None
        said = one.said
        return replace(
            one,
            read=lambda row: held if row[1] is None else one.read(row),
            said=None if said is None else lambda row: held if row[1] is None else said(row),
        )

    made = (shown(index, one) for index, one in enumerate(columns))
    return _per_run(refit, name, title, lambda run: (None,) if run.refused else items(run), *made)


def _item(owner: Any, *paths: str, kind: Kind | None = None) -> tuple[Column, ...]:
    return tuple(column(owner, path, kind=kind, of=lambda row: row[1]) for path in paths)


def cut_list(refit: Refit) -> Table:
    """Return path, fittings, finished and marked length of each run, its length off the reel as a sum, and the verdict.

    Wire has a cut length instead.
    """
    lengths = partial(column, RunLengths, of=lambda run: run.lengths)
    reel = partial(column, ReelLength, of=lambda run: run.reel if run.from_reel is not None else None)
    columns = (
        column(RunWork, "run"),
        lengths("path"),
        lengths("stack"),
        lengths("finished"),
        lengths("marked"),
        column(RunWork, "eye_to_eye"),
        column(RunWork, "from_made_throat"),
        column(RunWork, "from_reel"),
        reel("in_line"),
        reel("in_line_min"),
        reel("take_up_spare=spare"),
        reel("trim"),
        reel("working_tail=tail"),
        reel("rounding"),
        column(RunWork, "cut=cut_of_wire"),
        _unless_stopped(lengths("cut_min")),
        _unless_stopped(lengths("cut_max")),
        Column("formula", "FORMULA", lambda run: "" if _stop(run) else worded(run.lengths.formula)),
        Column("verdict", "VERDICT", lambda run: _stop(run) or "cut"),
    )
    found = tuple(refit.work.runs.values())
    return Table("cut-list", "CUT LIST", columns, found, numbered(run.run for run in found))


def _stop(run: RunWork) -> str:
    """Return why a run must not be cut; empty where it may be."""
    return worded(run.refused or run.lengths.missing)


def _unless_stopped(of: Column) -> Column:
    return replace(of, read=lambda run: None if _stop(run) else of.read(run))


def cut_terms(refit: Refit) -> Table:
    """Return the terms of each cut length."""
    columns = _item(Term, "term=name", "value", "end", "formula")
    title = "LENGTH IN LINE AND TRIM, TERM BY TERM"
    return _per_run_made(refit, "cut-terms", title, lambda run: run.terms, 0, *columns)


def budgets(refit: Refit) -> Table:
    """Return the length error of each run, and the adjustment needed and available each way."""
    paths = (
        "run", "combined", "after_first_eye=after_first", "needed_shorten", "shorten", "needed_lengthen", "lengthen",
        "verdict", "note=says",
    )  # fmt: skip
    found = tuple(run.budget for run in refit.work.runs.values())
    columns = tuple(column(Budget, path) for path in paths)
    return Table("error-budget", "ERROR BUDGET", columns, found, numbered(one.run for one in found))


def setting_cards(refit: Refit) -> Table:
    """Return the adjusters of each run as set while the line is marked."""
    columns = _item(
        Setting, "end", "fitting", "min=minimum", "planned", "max=maximum", "opening_from_closed=beyond_closed",
        "each_stud=per_stud", "thread_showing=showing", "thread", "hand",
    )  # fmt: skip
    return _per_run_made(refit, "setting-cards", "ADJUSTERS WHILE MARKING", lambda run: run.settings, 1, *columns)


def stations(refit: Refit) -> Table:
    """Return the marks of each finished line, measured from where the end made first bears."""

    def marks(run: RunWork) -> Iterable[Station]:
        return sorted(run.stations, key=lambda station: station.from_first)

    columns = _item(Station, "from_end_made_first=from_first", "mark=what", "place")
    return _per_run_made(refit, "stations", "MARKS ALONG THE FINISHED LINE", marks, 1, *columns)


def rope_marks(refit: Refit) -> Table:
    """Return the marks laid off along each rope before the first splice, from its end at the end made first."""
    columns = _item(RopeMark, "from_rope_end=at", "mark", "end")
    return _per_run_made(refit, "rope-marks", "MARKS ALONG THE ROPE", lambda run: run.marks, 1, *columns)


@dataclass(frozen=True)
class ThreadingStep:
    """One step of a threading plan; the first carries the reason."""

    number: int | None
    work: Remark
    reason: tuple[Remark, ...]
    cuts_off: Mm | None = None


def threading(refit: Refit) -> Table:
    """Return the steps of each threading plan; a line on hold has one row with the reason."""

    def steps(run: RunWork) -> Iterator[ThreadingStep]:
        if run.refused:
            yield ThreadingStep(None, ON_HOLD, run.refused)
        else:
            for number, step in enumerate(run.plan.work, start=1):
                yield ThreadingStep(number, step.remark, (run.plan.reason,) if number == 1 else (), step.cuts_off)

    columns = _item(ThreadingStep, "step=number", "work", "reason", "cuts_off")
    return _per_run(refit, "threading", "THREADING PLAN", steps, *columns)


@dataclass(frozen=True)
class StepCheck:
    """One distance measured in the making, with the step that requires it."""

    number: int
    check: Acceptance


def checks(refit: Refit) -> Table:
    """Return the distances measured in the making of each run, with the figures to accept and to reject."""

    def found(run: RunWork) -> Iterator[StepCheck]:
        for number, step in enumerate(run.plan.work, start=1):
            if step.check is not None:
                yield StepCheck(number, step.check)

    paths = (
        "step=number", "check.measure", "check.expected", "accept_min=check.accept_low", "accept_max=check.accept_high",
        "reject_under=check.reject_low", "reject_over=check.reject_high",
    )  # fmt: skip
    return _per_run_made(refit, "checks", "ACCEPT AND REJECT", found, 1, *_item(StepCheck, *paths))


@dataclass(frozen=True)
class EndMark:
    """One mark of the splice at one end of a run."""

    end: Where
    mark: SpliceMark


def splices(refit: Refit) -> Table:
    """Return the marks of each splice."""

    def marks(run: RunWork) -> Iterator[EndMark]:
        for where in BOTH:
            recipe = run.splices[where]
            if recipe is not None:
                yield from (EndMark(where, mark) for mark in splice_marks(recipe))

    paths = ("end", "mark.mark", "mark.measured_from", "mark.distance", "distance_in=mark.inches", "mark.note")
    return _per_run_made(refit, "splices", "SPLICES", marks, 1, *_item(EndMark, *paths))


@dataclass(frozen=True)
class EndAtHole:
    """One wire end at one hole."""

    end: Where
    name: str
    at: EndInHole


def wire_ends(refit: Refit) -> Table:
    """Return the terminals and wire eyes of each run as they are made."""
    columns = (
        *_item(MadeWireEnd, "end", "name", "family", "on_board", "insertion"),
        *_item(MadeWireEnd, "diameter_before=before", "go", "no_go", kind="gauge"),
        *_item(MadeWireEnd, "width", "rigid_length=rigid", "tail"),
        *_item(MadeWireEnd, "whole_tucks=splice.whole_tucks", "half_tucks=splice.half_tucks"),
    )
    return _per_run_made(refit, "wire-ends", "WIRE ENDS", lambda run: run.wire_ends, 1, *columns)


def wire_ends_in_holes(refit: Refit) -> Table:
    """Return each wire end at each hole of its run: the bore, and by how much it is passed."""

    def found(run: RunWork) -> Iterator[EndAtHole]:
        for end in run.wire_ends:
            yield from (EndAtHole(end.end, end.name, hole) for hole in end.holes)

    columns = _item(EndAtHole, "end", "name", "at.hole", "at.bore", "at.clear", "at.clear_before")
    return _per_run_made(refit, "wire-ends-in-holes", "WIRE ENDS IN HOLES", found, 1, *columns)


def alternatives(refit: Refit) -> Table:
    """Return the alternatives to each refused run."""
    columns = _item(Alternative, "what", "figures", "to_check")
    return _per_run(refit, "alternatives", "ALTERNATIVES", lambda run: run.alternatives, *columns)


def bill_by_end(refit: Refit) -> Table:
    """Return the parts at each run end; unknown sizes and hands are None, to be filled in."""
    paths = (
        "run", "end", "at", "part", "family", "min=minimum", "planned", "max=maximum", "pin", "jaw", "thread", "hand",
        "mass", "price",
    )  # fmt: skip
    found = refit.order.ends
    held = Column("line", "LINE", lambda row: worded(ON_HOLD) if refit.work.runs[row.run].refused else "")
    columns = (*(column(EndOrder, path) for path in paths), held)
    return Table("bill-by-end", "FITTINGS BY RUN END", columns, found, numbered(one.run for one in found))


@dataclass(frozen=True)
class ReelCut:
    """One piece of line with the reel it is cut from, or the remainder of a reel [mm]."""

    line: str
    reel: str
    reel_length: Mm | None
    piece: str
    order: Mm | None
    left: Mm | None = None


def line_orders(refit: Refit) -> Table:
    """Return each piece of line with the reel it is cut from, and the remainder of each reel."""
    found = tuple(_reel_cuts(refit))
    columns = tuple(column(ReelCut, path) for path in ("line", "reel", "reel_length", "piece", "order", "left"))
    return Table("line-order", "REEL CUTTING PLAN", columns, found, numbered(one.line for one in found))


def _reel_cuts(refit: Refit) -> Iterator[ReelCut]:
    for order in refit.order.lines:
        if order.plan is None:
            yield from (ReelCut(order.line, "", None, piece.name, piece.length) for piece in order.pieces)
        else:
            for number, reel in enumerate(order.plan.reels, start=1):
                for piece in reel.pieces:
                    yield ReelCut(order.line, str(number), reel.stock, piece.name, piece.length)
                yield ReelCut(order.line, str(number), reel.stock, "left over", None, reel.left)
            for piece in order.plan.too_long:
                yield ReelCut(order.line, "none holds it", None, piece.name, piece.length)
        yield from (ReelCut(order.line, "not ordered", None, run, None) for run, _ in order.on_hold)


def small_parts(refit: Refit) -> Table:
    """Return each cord and sleeve."""
    paths = ("run", "part=what", "count", "diameter", "length", "turns", "price", "source")
    found = refit.order.small
    columns = tuple(column(SmallOrder, path) for path in paths)
    return Table("small-parts", "SMALL PARTS", columns, found, numbered(one.run for one in found))


def open_gates(refit: Refit) -> Table:
    """Return each line of each open gate."""
    of = partial(column, GateOpen)
    columns = (
        of("gate"),
        of("run"),
        Column("planned", "PLANNED", lambda gate: "planned" if gate.planned else "alternative"),
        of("hangs"),
        of("free_without_stop=without_stop.free"),
        of("drop_without_stop=without_stop.by_hand"),
        of("free_with_stop=with_stop.free"),
        of("drop_with_stop=with_stop.by_hand"),
        of("note=says"),
    )
    found = refit.work.gates
    return Table("open-gates", "GATES OPEN", columns, found, numbered(one.gate for one in found))


def strengths(refit: Refit) -> Table:
    """Return the strength of each link of each run; None where it is not stated."""
    link, holds, source = _item(Link, "link=name", "holds", "source")
    weakest = Column("weakest", "WEAKEST", lambda row: "weakest known" if row[1] is row[0].strength.weakest else "")
    columns = (link, holds, weakest, source)
    return _per_run(refit, "strengths", "STRENGTH BY COMPONENT", lambda run: run.strength.links, *columns)


def comparison(refit: Refit) -> Table:
    """Return the lines that the boat file lists for comparison."""
    paths = (
        "line", "construction", "diameter", "breaking_load=strength.holds", "stretch_at_445_n=stretch", "mass", "cost",
        "eye", "worst_hole", "service_min=service_years.0", "service_max=service_years.1", "notices",
    )  # fmt: skip
    found = refit.line_options
    columns = tuple(column(LineOption, path) for path in paths)
    return Table("line-comparison", "LINE COMPARISON", columns, found, numbered(one.line for one in found))


def logs(refit: Refit) -> Table:
    """Return the steps of each build log with the boxes to fill in; a line on hold has one row."""

    def steps(run: RunWork) -> Iterable[LogLine]:
        return (LogLine(ON_HOLD, None, ()),) if run.refused else run.log

    boxes = Column("boxes", "BOXES", lambda row: " / ".join(row[1].boxes))
    return _per_run(refit, "making-log", "BUILD LOG", steps, *_item(LogLine, "step", "figure"), boxes)
