"""What each end of a line adds to its cut length, or takes off it, as terms with their formulas.

Source: common practice, no source; what a terminal takes off the wire is its maker's to say and the file's to tell.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from geom.boat.model import GuardLine, LineEnd
from geom.runs.eye import Where
from geom.runs.making import Making, family
from geom.runs.splice import DEFAULT_RULE, bury_length, practice
from geom.runs.take_up import TakeUpRange, take_up_of


@dataclass(frozen=True)
class Term:
    """One term of a length: its name, how it comes about, its value with its sign [mm], the end it belongs to."""

    name: str
    formula: str
    value: float
    end: Where | None = None


@dataclass
class Gathered:
    """Terms, take-ups and missing measures of the ends, as they are collected."""

    terms: list[Term] = field(default_factory=list)
    take_ups: list[TakeUpRange] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)


def is_rope(line: GuardLine) -> bool:
    """Tell whether a line is rope, by its construction."""
    return line.construction.endswith(("HMPE", "braid"))


def strands_of(line: GuardLine) -> int | None:
    """Return the strands of a hollow braid: as told, else what its construction says, else None."""
    if line.strands is not None:
        return int(line.strands)
    head, dash, _ = line.construction.partition("-strand")
    return int(head) if dash and head.isdigit() else None


def bury_of(line: GuardLine) -> float:
    """Return the bury of one splice of this line, by the rule that the file chose [mm]."""
    return bury_length(line.diameter, line.splice_rule or DEFAULT_RULE)


def end_terms(line: GuardLine, end: LineEnd, name: str, where: Where, made: Making, into: Gathered) -> None:
    """Gather what one end adds to the cut length, and note what the file leaves out.

    Args:
        line: the rope or wire.
        end: what is made on it.
        name: the file's word for the end.
        where: which end of the run it is.
        made: the order of making, for the locks.
        into: where the terms go.
    """
    kind = family(end)["kind"]
    trim = end.trim or 0.0
    if kind == "splice":
        _splice(line, end, name, where, made, into)
    elif kind == "terminal":
        if end.deduction is None:
            into.missing.append(f"deduction of {name}")
        else:
            into.terms.append(Term("terminal", f"deduction of {name}", -end.deduction, where))
    elif kind in ("knot", "sewn"):
        turned = "the rope in the knot" if kind == "knot" else "what is turned back and sewn"
        if end.rope_round is None:
            into.missing.append(f"rope_round of {name} ({turned})")
            return
        if kind == "knot":
            into.terms.append(Term("stop clear of the post", "hand tight", practice("stop_clear"), where))
        into.terms.append(Term(turned, name, end.rope_round, where))
        into.terms.append(Term("tail", f"trim of {name}", trim, where))
    else:
        into.terms.append(Term("trim", name, trim, where))


def _splice(line: GuardLine, end: LineEnd, name: str, where: Where, made: Making, into: Gathered) -> None:
    bury = bury_of(line)
    take_up = take_up_of(bury, line.take_up)
    into.take_ups.append(take_up)
    for key, value in (("throat_to_pin", end.throat_to_pin), ("rope_round", end.rope_round)):
        if value is None:
            into.missing.append(f"{key} of {name}")
    locked = made.lock(where) == "standing part passed"
    lock = practice("lock_allowance") * line.diameter if locked else 0.0
    trim = end.trim or 0.0
    note = f"trim {trim:.1f}" + (f", of which {min(lock, trim):.1f} go into the lock" if lock and trim else "")
    into.terms += [
        Term("throat to pin", name, -(end.throat_to_pin or 0.0), where),
        Term("rope round", name, end.rope_round or 0.0, where),
        Term("bury", f"{bury / line.diameter:g} d of {line.diameter:g} mm", bury, where),
        Term("take-up", take_up.source, take_up.expected, where),
        Term("lock and trim", note, max(lock, trim), where),
    ]
