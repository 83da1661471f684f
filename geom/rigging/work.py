"""The line work of a boat: lengths, splices, fit, threading and budget of each run, and the open gates.

The sheets of each line, the cut list and the making log print these results.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from geom.boat.model import Boat, Lock
from geom.data import table
from geom.frozen import cached_property, frozen
from geom.mechanics.tension import RunTension, run_tensions
from geom.placement.eyes import Where
from geom.placement.kept import same_beside
from geom.placement.line_ends import BOTH, run_end
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed, once
from geom.remark import Remark, one_sentence
from geom.rigging.acceptance import checks
from geom.rigging.alternatives import Alternative, alternatives
from geom.rigging.budget import Budget, budget
from geom.rigging.build_log import LogLine, making_log, tension_remarks
from geom.rigging.end_compatibility import bearing_pin, end_fit
from geom.rigging.fit import BuryFit, Station, bury_fit, stations, wire_remarks
from geom.rigging.gate_open import GateOpen, gates_open
from geom.rigging.lengths import RunLengths, Term, is_rope, run_lengths, strands_of
from geom.rigging.line_remark import LineRemark, worst_first
from geom.rigging.making import Making, making
from geom.rigging.pulls import pre_stretch, set_pull
from geom.rigging.reel import Heading, ReelLength, RopeMark, reel_length, rope_marks
from geom.rigging.settings import Setting, gap_remarks, settings
from geom.rigging.splice import DEFAULT_RULE, DEFAULT_TAPER, Recipe, girth_round, splice_recipe
from geom.rigging.stopper import Stopper, captive_posts, stopper
from geom.rigging.strength import Strength, run_strength
from geom.rigging.terminals import swage_choices, terminal_remarks
from geom.rigging.threading_plan import ThreadingPlan, threading_plan
from geom.rigging.threading_steps import Figures, work_steps
from geom.rigging.wire.ends import MadeWireEnd, made_wire_ends, wire_end_remarks
from geom.units import Mm


@dataclass(frozen=True)
class EndSplice:
    """The splice of one end of a run."""

    end: Where
    recipe: Recipe


@dataclass(frozen=True)
class DistinctSplice:
    """A splice that one or more ends of a boat have: the line, the recipe, and those ends by run."""

    line: str
    recipe: Recipe
    ends: tuple[tuple[str, Where], ...]


# A run with one of these refused is not cut.
STOPS_THE_CUT = ("buries", "nothing-left", "threading", "deduction", "girth", "stitching", "swage", "hand-splice")


@frozen
class RunWork:
    """The line work of one run: what decides whether it is cut, and for its sheets what they read of it.

    `rope` is False for wire and webbing; `threading` is its plan without the steps; `splices` are the recipes of its
    ends, None where not spliced or not determined. A line on hold has no length to cut, no marks, no settings and no
    steps.
    """

    run: str
    making: Making
    rope: bool
    lengths: RunLengths
    fit: BuryFit
    threading: ThreadingPlan
    budget: Budget
    splices: dict[Where, Recipe | None]
    remarks: tuple[LineRemark, ...]
    placed: Placed = field(compare=False, repr=False)

    @cached_property
    def refused(self) -> tuple[Remark, ...]:
        """Reasons why this line must not be cut; empty where it may be cut."""
        return tuple(remark.says for remark in self.remarks if _stops_the_cut(remark))

    @cached_property
    def reel(self) -> ReelLength | None:
        """The length off the reel; None where the line is on hold, or not cut from its computed length."""
        return None if self.refused else self._off_reel

    @cached_property
    def _off_reel(self) -> ReelLength | None:
        return reel_length(self.placed.boat, self.lengths, self.threading.in_place is not None)

    @property
    def tensions(self) -> RunTension:
        """The tensions under which it is marked and set."""
        return run_tensions(self.placed)[self.run]

    @cached_property
    def figures(self) -> Figures:
        """The figures that its steps name."""
        placed, run, last = self.placed, self._placed_run, self.threading.in_place
        line = placed.line(run)
        pull = set_pull(line)
        return Figures(
            tensions=self.tensions,
            lengths=self.lengths,
            reel=self._off_reel,
            trims=self.lengths.trims,
            splices=self.splices,
            checks=checks(placed.boat, run, placed.stacks[run.id], self.lengths, self.budget, self.making.first),
            set_pull=pull,
            pre_stretch=pre_stretch(line),
            stopper=None if last is None else stopper(self.fit, last),
            captive=() if last is None else captive_posts(placed, run, pull.pull),
        )

    @cached_property
    def plan(self) -> ThreadingPlan:
        """Its threading plan with the steps of the work."""
        if self.refused:
            return self.threading
        steps = work_steps(self.placed.boat, self._placed_run, self.threading.order, self.figures)
        return replace(self.threading, work=steps)

    @cached_property
    def alternatives(self) -> tuple[Alternative, ...]:
        """What may be done where its buries do not fit, or where a swage is not made on board."""
        boat, run = self.placed.boat, self._placed_run
        others = alternatives(boat, self.placed.posts, run, self.fit)
        return (*others, *swage_choices(boat, run, self.threading))

    @cached_property
    def settings(self) -> tuple[Setting, ...]:
        """The settings of its fittings."""
        return () if self.refused else settings(self.placed.boat, self._placed_run)

    @cached_property
    def along(self) -> tuple[Station, ...]:
        """What lies on the finished line."""
        return stations(self._placed_run, self.fit, self.making.first)

    @cached_property
    def marks(self) -> tuple[RopeMark, ...]:
        """The marks laid off along the rope before the first splice."""
        return () if self.refused else rope_marks(self.lengths, self.splices, self.making.first)

    @cached_property
    def log(self) -> tuple[LogLine, ...]:
        """What is measured and written down while it is made."""
        on_board = self.threading.in_place is not None
        return making_log(self.placed.boat, self._placed_run, on_board, self.tensions)

    @cached_property
    def strength(self) -> Strength:
        """The strength of line and ends."""
        return run_strength(self.placed.boat, self._placed_run)

    @cached_property
    def wire_ends(self) -> tuple[MadeWireEnd, ...]:
        """Its ends made of wire."""
        return made_wire_ends(self.placed.boat, self._placed_run, self.threading.in_place)

    @property
    def _placed_run(self) -> PlacedRun:
        return self.placed.runs[self.run]

    @property
    def refusal(self) -> Remark | None:
        """Reasons why this line must not be cut, in one sentence; None where it may be cut."""
        return one_sentence(*self.refused) if self.refused else None

    @property
    def stations(self) -> tuple[Station, ...]:
        """The marks along the finished line; none where the line is refused."""
        return () if self.refused else self.along

    @property
    def end_splices(self) -> tuple[EndSplice, ...]:
        """The splices of its ends; none where the line is refused."""
        found = ((where, recipe) for where, recipe in self.splices.items() if recipe is not None and not self.refused)
        return tuple(EndSplice(where, recipe) for where, recipe in found)

    @property
    def stopper(self) -> Stopper | None:
        """Where the set pull of the end made on board is taken up; None where the line is refused."""
        return None if self.refused else self.figures.stopper

    @property
    def terms(self) -> tuple[Term, ...]:
        """The terms of the cut length; none where the line is refused."""
        return () if self.refused else self.lengths.terms

    @property
    def cut_min(self) -> Mm | None:
        """Cut length at the least take-up [mm]; None as for `cut`."""
        return None if self.refused else self.lengths.cut_min

    @property
    def cut_max(self) -> Mm | None:
        """Cut length at the most take-up [mm]; None as for `cut`."""
        return None if self.refused else self.lengths.cut_max

    @property
    def cut(self) -> Mm | None:
        """Cut length without a working tail [mm]; None where the line is refused or a measure is missing."""
        return None if self.refused else self.lengths.cut

    @property
    def from_reel(self) -> Mm | None:
        """Length of rope off the reel [mm]; None for wire, or where the line is refused or a measure is missing."""
        return None if self.refused or self.reel is None or not self.rope else self.reel.from_reel

    @property
    def headline(self) -> Mm | None:
        """The one length that heads a run [mm]: off the reel for rope, cut for wire; None as for those."""
        return self.from_reel if self.rope else self.cut

    @property
    def heading(self) -> Heading:
        """What the length that heads it is; wire with a working tail is cut to its length on board."""
        if self.rope:
            return "from reel"
        return "cut" if self.reel is None or not self.reel.tail else "final cut"

    @property
    def cut_of_wire(self) -> Mm | None:
        """Cut length of wire [mm]; None for rope, which heads its length off the reel, and as for `cut`."""
        return None if self.rope else self.cut

    @property
    def eye_to_eye(self) -> Mm | None:
        """Distance between the eye marks before splicing [mm]; None where the line is refused or not spliced twice."""
        return None if self.refused else self.lengths.eye_to_eye

    @property
    def from_made_throat(self) -> Mm | None:
        """Distance from the throat of the eye made first to the other eye mark [mm]; None as for `eye_to_eye`."""
        return None if self.refused else self.lengths.from_throat(self.making.first)


@dataclass(frozen=True)
class LineWork:
    """The line work of a boat: runs by id, their tensions, and the lines that fall slack when a gate is opened."""

    runs: dict[str, RunWork]
    tensions: dict[str, RunTension]
    gates: tuple[GateOpen, ...]
    placed: Placed

    @property
    def remarks(self) -> tuple[LineRemark, ...]:
        """All remarks in the order of the runs, the most serious of each run first."""
        return tuple(remark for work in self.runs.values() for remark in work.remarks)

    @cached_property
    def distinct_splices(self) -> tuple[DistinctSplice, ...]:
        """Every distinct splice of the boat, in the order of the runs; runs that are refused have none."""
        ends_of: dict[tuple[str, Recipe], list[tuple[str, Where]]] = {}
        for run, work in self.runs.items():
            for splice in work.end_splices:
                ends_of.setdefault((self.placed.runs[run].spec.line, splice.recipe), []).append((run, splice.end))
        return tuple(DistinctSplice(*made, tuple(ends)) for made, ends in ends_of.items())

    @cached_property
    def splice_numbers(self) -> dict[tuple[str, Where], int]:
        """The number of the splice of each end that has one, by run and end."""
        return {end: number for number, splice in enumerate(self.distinct_splices, start=1) for end in splice.ends}


def line_work(placed: Placed, before: LineWork | None = None) -> LineWork:
    """Return the line work of a placed boat.

    Args:
        placed: the boat in space.
        before: the line work of the same boat with other values; that of runs which these do not touch is kept.
    """
    tensions = run_tensions(placed)
    kept = {} if before is None else _kept(placed, tensions, before)
    works = {run.id: kept.get(run.id) or _run_work(placed, run, tensions[run.id]) for run in placed.runs.values()}
    return LineWork(
        runs=works,
        tensions=tensions,
        gates=gates_open(placed.boat, placed.posts, placed.runs),
        placed=placed,
    )


def _kept(placed: Placed, tensions: dict[str, RunTension], before: LineWork) -> dict[str, RunWork]:
    """Return the work of the runs that are placed as before; one with alternatives depends on other runs too."""
    if not same_beside(placed.boat, before.placed.boat):
        return {}
    return {
        name: work
        for name, work in before.runs.items()
        if work.fit.fits
        and placed.runs.get(name) is before.placed.runs[name]
        and tensions.get(name) == before.tensions[name]
    }


def _run_work(placed: Placed, run: PlacedRun, tensions: RunTension) -> RunWork:
    boat, stack, eyes = placed.boat, placed.stacks[run.id], placed.eyes[run.id]
    made = making(boat, run, eyes)
    lengths = run_lengths(boat, run, stack, made, tensions)
    fit = bury_fit(boat, run, stack)
    error = budget(boat, placed.posts, run, stack, lengths)
    splices = {where: _recipe(placed, run, made, where) for where in BOTH}
    plan = threading_plan(boat, run, eyes, made, fit)
    remarks = (
        *lengths.remarks,
        *fit.remarks,
        *plan.remarks,
        *error.remarks,
        *gap_remarks(boat, run, settings(boat, run)),
        *tension_remarks(run.id, tensions),
        *end_fit(boat, placed.posts, run),
        *_bury_rule(boat, run),
        *_full_section(run, splices),
        *wire_remarks(boat, run),
        *terminal_remarks(placed, run, fit, plan),
        *wire_end_remarks(boat, run),
    )
    return RunWork(
        run=run.id,
        making=made,
        rope=is_rope(boat.lines[run.spec.line]),
        lengths=lengths,
        fit=fit,
        threading=plan,
        budget=error,
        splices=splices,
        remarks=worst_first(remarks),
        placed=placed,
    )


def _stops_the_cut(remark: LineRemark) -> bool:
    return remark.kind == "refused" and remark.code in STOPS_THE_CUT


def _recipe(placed: Placed, run: PlacedRun, made: Making, where: Where) -> Recipe | None:
    """Return the splice of an end; None where it is not spliced or a measure for it is missing."""
    lock = made.lock(where)
    if lock is None:
        return None
    return _splice_of(placed, run.spec.line, run_end(run, where).end, lock, bearing_pin(placed.boat, run, where))


@once
def _splice_of(placed: Placed, of_line: str, of_end: str, lock: Lock, pin: float | None) -> Recipe | None:
    line, end = placed.boat.lines[of_line], placed.boat.ends[of_end]
    strands = strands_of(line)
    if strands is None or end.eye_girth is None:
        return None
    if end.eye_girth < girth_round(line.diameter, pin):
        return None
    return splice_recipe(
        line.diameter,
        strands,
        end.eye_girth,
        rule=line.splice_rule or DEFAULT_RULE,
        taper=line.taper or DEFAULT_TAPER,
        lock=lock,
        throat_to_pin=end.throat_to_pin,
        pin=pin,
        trial=line.take_up,
    )


def _bury_rule(boat: Boat, run: PlacedRun) -> tuple[LineRemark, ...]:
    """Return a notice where the chosen bury is shorter than commonly published."""
    line = boat.lines[run.spec.line]
    if line.splice_rule is None:
        return ()
    rule, minimum = table.datum("splice_rules", rule=line.splice_rule), table.datum("splice_practice", key="warn_below")
    if rule.value >= minimum.value:
        return ()
    says = Remark("bury.short", has=rule.value, min=minimum.value)
    return (LineRemark("short-bury", "notice", run.id, says, rule.value, minimum.value, "d", minimum.source),)


def _full_section(run: PlacedRun, splices: dict[Where, Recipe | None]) -> Iterator[LineRemark]:
    """Yield a notice for each splice whose taper leaves too short a full section."""
    share = table.datum("splice_practice", key="min_full_section")
    for where, recipe in splices.items():
        for warning in () if recipe is None else recipe.warnings:
            if recipe is not None and warning.code == "bury.full_section_short":
                yield LineRemark(
                    "full-section", "notice", run.id, Remark("end.says", end=where, says=warning),
                    recipe.full_section, share.value * recipe.bury, "mm", share.source, share.sure,
                    end=where,
                )  # fmt: skip
