"""All line work of a boat in one bundle: per run lengths, splices, fit, threading, budget; gates; the order.

What a run card, a cut list, a threading plan and an order list print stands here; the order and the comparison are
worked out when they are first asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from geom.boat.model import Boat
from geom.data import table
from geom.runs.alternatives import Alternative, alternatives
from geom.runs.budget import Budget, budget
from geom.runs.cut_terms import strands_of
from geom.runs.end_fit import end_fit
from geom.runs.eye import Where
from geom.runs.fit import BuryFit, bury_fit
from geom.runs.gate_open import GateOpen, gates_open
from geom.runs.lengths import RunLengths, run_lengths
from geom.runs.making import BOTH, Making, line_end, making, run_end
from geom.runs.making_log import LogLine, making_log, tension_remarks
from geom.runs.place import PlacedRun
from geom.runs.placed import Placed
from geom.runs.remark import Remark, worst_first
from geom.runs.settings import Setting, gap_remarks, settings
from geom.runs.splice import DEFAULT_RULE, DEFAULT_TAPER, Recipe, splice_recipe
from geom.runs.stations import Station, stations
from geom.runs.strength import Strength, run_strength
from geom.runs.threading_plan import ThreadingPlan, threading_plan
from geom.runs.wire_oversize import wire_remarks

if TYPE_CHECKING:
    from geom.runs.compare import Choice
    from geom.runs.order import Order

# A run with one of these refused is not cut.
STOPS_THE_CUT = ("buries", "nothing-left", "threading", "deduction")


@dataclass(frozen=True)
class RunWork:
    """The line work of one run; `splices` are the recipes of its ends, None where nothing is spliced or told."""

    run: str
    making: Making
    lengths: RunLengths
    fit: BuryFit
    alternatives: tuple[Alternative, ...]
    plan: ThreadingPlan
    budget: Budget
    settings: tuple[Setting, ...]
    stations: tuple[Station, ...]
    log: tuple[LogLine, ...]
    strength: Strength
    splices: dict[Where, Recipe | None]
    remarks: tuple[Remark, ...]

    @property
    def refused(self) -> str | None:
        """Why this line must not be cut, None where nothing speaks against it."""
        reasons = [remark.text for remark in self.remarks if remark.kind == "refused" and remark.code in STOPS_THE_CUT]
        return "; ".join(reasons) or None

    @property
    def cut(self) -> float | None:
        """Cut length [mm]; None where the line is refused or a measure is missing."""
        return None if self.refused else self.lengths.cut


@dataclass(frozen=True)
class LineWork:
    """The line work of a boat: runs by id, open gates, the order, and lines side by side where the file asks."""

    runs: dict[str, RunWork]
    gates: tuple[GateOpen, ...]
    placed: Placed

    @cached_property
    def order(self) -> Order:
        """What is to be bought; refused lines are held back."""
        from geom.runs.order import order_list

        refused = {work.run: work.refused for work in self.runs.values() if work.refused is not None}
        lengths = {key: work.lengths for key, work in self.runs.items()}
        in_place = frozenset(work.run for work in self.runs.values() if work.plan.in_place is not None)
        return order_list(self.placed.boat, self.placed.runs, lengths, refused, in_place)

    @cached_property
    def comparison(self) -> tuple[Choice, ...]:
        """The lines that the file wants side by side."""
        from geom.runs.compare import compare_lines

        return compare_lines(self.placed.boat, tuple(self.placed.runs.values()), self.placed.boat.compare)

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """Every remark of every run, in the order of the runs, the gravest of each first."""
        return tuple(remark for work in self.runs.values() for remark in work.remarks)


def line_work(placed: Placed) -> LineWork:
    """Return the line work of a placed boat."""
    works = {run.id: _run_work(placed, run) for run in placed.runs.values()}
    return LineWork(
        runs=works,
        gates=gates_open(placed.boat, placed.posts, placed.runs),
        placed=placed,
    )


def _run_work(placed: Placed, run: PlacedRun) -> RunWork:
    boat, stack, eyes = placed.boat, placed.stacks[run.id], placed.eyes[run.id]
    made = making(boat, run, eyes)
    lengths = run_lengths(boat, run, stack, made)
    fit = bury_fit(boat, run, stack)
    plan = threading_plan(boat, run, eyes, made, fit)
    error = budget(boat, placed.posts, run, stack, lengths)
    cards = settings(boat, run)
    remarks = (
        *lengths.remarks,
        *fit.remarks,
        *plan.remarks,
        *error.remarks,
        *gap_remarks(run, cards),
        *tension_remarks(run),
        *end_fit(boat, placed.posts, run),
        *_bury_rule(boat, run),
        *wire_remarks(boat, run),
    )
    return RunWork(
        run=run.id,
        making=made,
        lengths=lengths,
        fit=fit,
        alternatives=alternatives(boat, placed.posts, run, fit),
        plan=plan,
        budget=error,
        settings=cards,
        stations=stations(run, fit),
        log=making_log(boat, run, plan.in_place is not None),
        strength=run_strength(boat, run),
        splices={where: _recipe(boat, run, made, where) for where in BOTH},
        remarks=worst_first(remarks),
    )


def _recipe(boat: Boat, run: PlacedRun, made: Making, where: Where) -> Recipe | None:
    """Return the splice of an end; None where it is not spliced or a measure for it is missing."""
    line, end, told = boat.lines[run.told.line], line_end(boat, run, where), run_end(run, where)
    lock, strands = made.lock(where), strands_of(line)
    if lock is None or strands is None or end.rope_round is None:
        return None
    pin = boat.fittings[told.fittings[0]].pin if told.fittings else told.anchorage.bar if told.anchorage else None
    return splice_recipe(
        line.diameter,
        strands,
        end.rope_round,
        rule=line.splice_rule or DEFAULT_RULE,
        taper=line.taper or DEFAULT_TAPER,
        lock=lock,
        throat_to_pin=end.throat_to_pin,
        pin=pin,
        trial=line.take_up,
    )


def _bury_rule(boat: Boat, run: PlacedRun) -> tuple[Remark, ...]:
    """Return a notice where the chosen bury is shorter than what is commonly published."""
    line = boat.lines[run.told.line]
    if line.splice_rule is None:
        return ()
    rule, least = table.datum("splice_rules", rule=line.splice_rule), table.datum("splice_practice", key="warn_below")
    if rule.value >= least.value:
        return ()
    text = f"bury of {rule.value:g} d is shorter than {least.value:g} d"
    return (Remark("short-bury", "notice", run.id, "bury", text, rule.value, least.value, "d", least.source),)
