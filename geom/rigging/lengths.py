"""Finished, marked and cut length of a run, every term with its formula.

Finished: the path less the fittings at their planned setting, under the set tension. Marked: less the elastic
stretch between marking and set tension, and less the bedding-in still to come. Cut: the length off the reel.
Source: common practice, no source, for spliced ends:
finished - throat to pin + rope round + bury + take-up + trim at each end, rounded up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from geom.boat.model import Boat, GuardLine, LineEnd
from geom.frozen import frozen
from geom.mechanics.stretch import bedding_in, elastic_strain, stiffness_range
from geom.mechanics.tension import RunTension, marking_range
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, family, line_end, run_end
from geom.placement.place import PlacedRun
from geom.placement.stack import Stack, finished_length
from geom.remark import Remark, Stated
from geom.rigging.dimension_chain import plus_minus
from geom.rigging.line_remark import LineRemark
from geom.rigging.making import Making
from geom.rigging.splice import DEFAULT_RULE, TakeUpRange, bury_length, practice, take_up_of
from geom.rigging.wire.eye import tail_of
from geom.units import Mm

# Below this a length is a rounding error [mm].
_DUST = 1e-6


@frozen
class RunLengths:
    """The lengths of a run [mm]; `cut` is None where a measure is missing, `missing` lists those.

    `cut` has no working tail in it: the length off the reel is in reel.py. `cut_min` and `cut_max` are for the min and
    max take-up of this rope; `trims` are cut off beyond the ends.
    """

    run: str
    path: Mm
    stack: Mm
    finished: Mm
    deduction: Deduction
    marked: Mm
    cut: Mm | None
    cut_min: Mm | None
    cut_max: Mm | None
    terms: tuple[Term, ...]
    take_ups: tuple[TakeUpRange, ...]
    trims: dict[Where, Mm]
    missing: tuple[Remark, ...]
    remarks: tuple[LineRemark, ...]

    @property
    def eye_to_eye(self) -> Mm | None:
        """Distance between the eye marks before splicing [mm]: the marked line less both eyes, plus both take-ups.

        None unless both ends are spliced and every measure is known.
        """
        spliced = {term.end for term in self.terms if term.name == "bury"}
        if len(spliced) < 2 or self.missing:
            return None
        return self.marked + math.fsum(term.value for term in self.terms if term.name in ("throat to pin", "take-up"))

    def from_throat(self, made: Where) -> float | None:
        """Return the distance from the throat of the finished eye to the eye mark of the other end [mm].

        The take-up of the finished eye is used up, that of the other end is still to come. None as for `eye_to_eye`.

        Args:
            made: the end that is made first.
        """
        before = self.eye_to_eye
        if before is None:
            return None
        return before - math.fsum(term.value for term in self.terms if term.name == "take-up" and term.end == made)

    @property
    def formula(self) -> Remark:
        """The cut length as a sum of its terms."""
        signs = ("sum.less" if term.value < 0.0 else "sum.plus" if index else "sum.first"
                 for index, term in enumerate(self.terms))  # fmt: skip
        parts = tuple(
            Remark(sign, value=abs(term.value), term=term.name) for sign, term in zip(signs, self.terms, strict=True)
        )
        return Remark("sum.terms", terms=parts)


def round_up(length: float) -> float:
    """Return the cut length of a rope rounded up to the step of common practice [mm]."""
    step = practice("cut_rounding")
    return math.ceil((length - _DUST) / step) * step


def run_lengths(boat: Boat, run: PlacedRun, stack: Stack, made: Making, tensions: RunTension) -> RunLengths:
    """Return the lengths of a run.

    Args:
        boat: the boat file.
        run: the placed run.
        stack: its fittings.
        made: the order of making, for the locks.
        tensions: under which it is marked and set.
    """
    line = boat.lines[run.spec.line]
    finished = finished_length(run, stack)
    taken_off = deduction(line, finished, tensions)
    formula = Remark("term.finished", path_mm=run.path, fittings_mm=stack.total)
    gathered = TermList([Term("finished", formula, finished)])
    for where in BOTH:
        end_terms(line, line_end(boat, run, where), run_end(run, where).end, where, made, gathered)
    terms, take_ups, missing = gathered.terms, gathered.take_ups, gathered.missing
    rope = is_rope(line)
    if not rope:
        terms += taken_off.terms
    total = math.fsum(term.value for term in terms)
    shortest = total - math.fsum(t.expected - t.minimum for t in take_ups)
    longest = total + math.fsum(t.maximum - t.expected for t in take_ups)
    cuts = [round_up(value) if rope else value for value in (total, shortest, longest)]
    known = not missing
    return RunLengths(
        run=run.id,
        path=run.path,
        stack=stack.total,
        finished=finished,
        deduction=taken_off,
        marked=finished - taken_off.total,
        cut=cuts[0] if known else None,
        cut_min=cuts[1] if known else None,
        cut_max=cuts[2] if known else None,
        terms=tuple(terms),
        take_ups=tuple(take_ups),
        trims=gathered.trims,
        missing=tuple(missing),
        remarks=tuple(_remarks(boat, run, stack, taken_off, missing, take_ups, tensions)),
    )


def _remarks(
    boat: Boat,
    run: PlacedRun,
    stack: Stack,
    off: Deduction,
    missing: list[Remark],
    take_ups: list[TakeUpRange],
    tensions: RunTension,
) -> list[LineRemark]:
    found, tape = [], plus_minus(boat).tape
    if missing:
        found.append(LineRemark("cut", "cannot tell", run.id, Remark("cut.missing", missing=tuple(missing))))
    if any(not take_up.measured for take_up in take_ups):
        says = Remark(
            "take_up.between",
            min_mm=math.fsum(take_up.minimum for take_up in take_ups),
            expected_mm=math.fsum(take_up.expected for take_up in take_ups),
            max_mm=math.fsum(take_up.maximum for take_up in take_ups),
        )
        found.append(LineRemark("take-up", "notice", run.id, says, source=take_ups[0].source))
    if stack.total >= run.path:
        says = Remark("finished.nothing_left", fittings_mm=stack.total, path_mm=run.path)
        found.append(LineRemark("nothing-left", "refused", run.id, says))
    # By a recommended tension alone a line is judged only where it matters more than the reading of a tape.
    if off.total > (0.0 if tensions.stated or off.bedding else tape):
        found.append(room_for(run, stack, off))
    if off.by_marking is not None and off.by_marking > tape:
        low, high = marking_range()
        says = Remark("marking.changes_length", low_n=low, high_n=high, by_mm=off.by_marking, tape_mm=tape)
        found.append(LineRemark("marking", "notice", run.id, says, off.by_marking, tape, "mm"))
    return found


@frozen
class Deduction:
    """Deduction from the finished length before marking [mm], and its terms; `determined` where all are known.

    `by_marking` is by how much the length changes over the range of a steady pull where the marking tension is not
    stated [mm], each way; zero where it is stated, None where no stiffness is known.
    """

    elastic: Mm
    bedding: Mm
    determined: bool
    terms: tuple[Term, ...]
    by_marking: Mm | None

    @property
    def total(self) -> Mm:
        """Elastic stretch and bedding-in together [mm]."""
        return self.elastic + self.bedding


def deduction(line: GuardLine, finished: float, tensions: RunTension) -> Deduction:
    """Return the lengthening of the line between marking and service.

    No elastic stretch is deducted where the stiffness of the line is neither stated nor in the table, no bedding-in
    where none is stated.

    Args:
        line: the rope or wire.
        finished: finished length of the run [mm].
        tensions: under which the line is marked and set.
    """
    terms = []
    elastic, determined = 0.0, True
    pull = tensions.set_tension - tensions.marking_tension
    share = elastic_strain(line, pull)
    if share is None:
        determined = False
    else:
        elastic = finished * share / (1.0 + share)
        formula = Remark(
            "term.elastic", percent=share * 100.0, marking_n=tensions.marking_tension, set_n=tensions.set_tension
        )
        terms.append(Term("elastic stretch", formula, -elastic))
    bedding = 0.0
    if line.bedding_in is None:
        determined = False
    else:
        still = bedding_in(line)
        assert still is not None
        bedding = finished * still.expected / (1.0 + still.expected)
        formula = Remark("term.bedding", percent=still.expected * 100.0, source=still.source)
        terms.append(Term("bedding-in", formula, -bedding))
    return Deduction(elastic, bedding, determined, tuple(terms), change_by_marking(line, finished, tensions))


def change_by_marking(line: GuardLine, finished: float, tensions: RunTension) -> float | None:
    """Return the change in length over the range of a steady marking pull [mm], each way; see `Deduction`.

    Args:
        line: the rope or wire.
        finished: finished length of the run [mm].
        tensions: under which the line is marked and set.
    """
    if tensions.marked_by == "boat file":
        return 0.0
    known = stiffness_range(line)
    if known is None:
        return None
    return finished * max(abs(pull - tensions.marking_tension) for pull in marking_range()) / known.minimum


def room_for(run: PlacedRun, stack: Stack, off: Deduction) -> LineRemark:
    """Return the remark whether the fittings can open by the deduction, to hold the line before it stretches.

    Args:
        run: the placed run.
        stack: its fittings, for how far they open.
        off: the deduction.
    """
    if stack.lengthen is None:
        unknown = Remark("deduction.opening_not_given", short_mm=off.total)
        return LineRemark("deduction", "cannot tell", run.id, unknown, off.total, None, "mm")
    if off.total > stack.lengthen:
        short = Remark("deduction.opening_too_small", short_mm=off.total, opens_mm=stack.lengthen)
        return LineRemark("deduction", "refused", run.id, short, off.total, stack.lengthen, "mm")
    fits = Remark("deduction.opening_fits", short_mm=off.total)
    return LineRemark("deduction", "agreed", run.id, fits, off.total, stack.lengthen, "mm")


@frozen
class Term:
    """One term of a length: its name, formula, signed value [mm] and the end it belongs to."""

    name: str
    formula: Stated
    value: Mm
    end: Where | None = None


@dataclass
class TermList:
    """Terms, take-ups, trims and missing measures of the ends, collected end by end."""

    terms: list[Term] = field(default_factory=list)
    take_ups: list[TakeUpRange] = field(default_factory=list)
    trims: dict[Where, float] = field(default_factory=dict)
    missing: list[Remark] = field(default_factory=list)


def is_rope(line: GuardLine) -> bool:
    """Return whether a line is rope, by its construction."""
    return line.rope


def strands_of(line: GuardLine) -> int | None:
    """Return the number of strands of a hollow braid: as stated, else by its construction, else None."""
    if line.strands is not None:
        return int(line.strands)
    head, dash, _ = line.construction.partition("-strand")
    return int(head) if dash and head.isdigit() else None


def bury_of(line: GuardLine) -> float:
    """Return the bury of one splice of this line, by the rule in the boat file [mm]."""
    return bury_length(line.diameter, line.splice_rule or DEFAULT_RULE)


def end_terms(line: GuardLine, end: LineEnd, name: str, where: Where, made: Making, into: TermList) -> None:
    """Add the terms of one end to the cut length, and the measures that are missing.

    Args:
        line: the rope or wire.
        end: what is made on it.
        name: of the end in the boat file.
        where: which end of the run it is.
        made: the order of making, for the locks.
        into: collects the terms.
    """
    kind = family(end)["kind"]
    trim = end.trim or 0.0
    if kind == "splice":
        _splice(line, end, name, where, made, into)
    elif kind == "terminal":
        if end.deduction is None:
            into.missing.append(Remark("missing.measure", key="deduction", end=name))
        else:
            into.terms.append(Term("terminal", Remark("term.deduction", end=name), -end.deduction, where))
    elif kind == "wire eye":
        _wire_eye(line, end, name, where, into)
    elif kind in ("knot", "sewn"):
        turned = "the rope in the knot" if kind == "knot" else "what is turned back and sewn"
        if end.eye_girth is None:
            into.missing.append(Remark("missing.measure_of", key="eye_girth", end=name, what=turned))
            return
        if kind == "knot":
            into.terms.append(Term("stop clear of the post", Remark("term.hand_tight"), practice("stop_clear"), where))
        into.terms.append(Term(turned, name, end.eye_girth, where))
        into.terms.append(Term("tail", Remark("term.trim_of", end=name), trim, where))
    else:
        into.terms.append(Term("trim", name, trim, where))
        into.trims[where] = trim


def _wire_eye(line: GuardLine, end: LineEnd, name: str, where: Where, into: TermList) -> None:
    """Add the wire of an eye: round it from the throat, and its tail through the sleeve or unlaid for the tucks."""
    measures = (
        ("throat_to_pin", "throat to pin", end.throat_to_pin),
        ("eye_girth", "wire round", end.eye_girth),
        ("tail", "tail", tail_of(line, end)),
    )
    for key, term, value in measures:
        if value is None:
            into.missing.append(Remark("missing.measure", key=key, end=name))
        else:
            into.terms.append(Term(term, name, -value if key == "throat_to_pin" else value, where))


def _splice(line: GuardLine, end: LineEnd, name: str, where: Where, made: Making, into: TermList) -> None:
    bury = bury_of(line)
    take_up = take_up_of(bury, line.take_up)
    into.take_ups.append(take_up)
    locked = made.lock(where) == "locked Brummel"
    lock = practice("lock_allowance") * line.diameter if locked else 0.0
    trim = end.trim or 0.0
    formula = Remark("term.trim", trim_mm=trim)
    if lock and trim:
        formula = Remark("term.trim_and_lock", trim_mm=trim, lock_mm=min(lock, trim))
    into.trims[where] = max(trim - lock, 0.0)
    measures = (("throat_to_pin", "throat to pin", end.throat_to_pin), ("eye_girth", "rope round", end.eye_girth))
    for key, term, value in measures:
        if value is None:
            into.missing.append(Remark("missing.measure", key=key, end=name))
        else:
            into.terms.append(Term(term, name, -value if key == "throat_to_pin" else value, where))
    into.terms += [
        Term("bury", Remark("term.bury", times=bury / line.diameter, diameter_mm=line.diameter), bury, where),
        Term("take-up", take_up.source, take_up.expected, where),
        Term("lock and trim", formula, max(lock, trim), where),
    ]
