"""Finished, marked and cut length of a run, every term with its formula.

Finished: the path less the fittings at their planned setting, under the set tension. Marked: less what the
line still stretches between marking and set tension, and less the bedding-in that is still to come. Cut: what
comes off the reel. Source: common practice, no source, for spliced ends:
finished - throat to pin + rope round + bury + take-up + trim at each end, rounded up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Boat
from geom.runs.cut_terms import Gathered, Term, end_terms, is_rope
from geom.runs.deduction import Deduction, deduction, room_for
from geom.runs.eye import Where
from geom.runs.making import BOTH, Making, line_end, run_end
from geom.runs.place import PlacedRun
from geom.runs.remark import Remark
from geom.runs.splice import practice
from geom.runs.stack import Stack, finished_length
from geom.runs.take_up import TakeUpRange

# What the two measures between eyes are called, on run cards and in steps.
EYE_TO_EYE = "EYE MARK TO EYE MARK"
FROM_THROAT = "FROM THE MADE EYE'S THROAT"

# Below this a length is a rounding of the arithmetic, not a measure [mm].
_DUST = 1e-6


@dataclass(frozen=True)
class RunLengths:
    """The lengths of a run [mm]; `cut` None where a measure is missing, `missing` says which.

    `cut_least` and `cut_most` take the least and most take-up that this rope may have.
    """

    run: str
    path: float
    stack: float
    finished: float
    deduction: Deduction
    marked: float
    cut: float | None
    cut_least: float | None
    cut_most: float | None
    terms: tuple[Term, ...]
    take_ups: tuple[TakeUpRange, ...]
    missing: tuple[str, ...]
    remarks: tuple[Remark, ...]

    @property
    def eye_to_eye(self) -> float | None:
        """From eye mark to eye mark before splicing [mm]: the marked line less both eyes, plus both take-ups.

        None where not both ends are spliced, or a measure is missing.
        """
        spliced = {term.end for term in self.terms if term.name == "bury"}
        if len(spliced) < 2 or self.missing:
            return None
        return self.marked + math.fsum(term.value for term in self.terms if term.name in ("throat to pin", "take-up"))

    def from_throat(self, made: Where) -> float | None:
        """Return from the throat of the eye made first to the eye mark of the end still to be spliced [mm].

        The made eye has its take-up behind it, the other end's is still to come. None as for `eye_to_eye`.

        Args:
            made: the end that is made first.
        """
        before = self.eye_to_eye
        if before is None:
            return None
        return before - math.fsum(term.value for term in self.terms if term.name == "take-up" and term.end == made)

    @property
    def formula(self) -> str:
        """The cut length as one line of arithmetic, in mm."""
        parts = [f"{'- ' if term.value < 0.0 else '+ ' if index else ''}{abs(term.value):.1f} {term.name}"
                 for index, term in enumerate(self.terms)]  # fmt: skip
        return " ".join(parts)


def round_up(length: float) -> float:
    """Return a rope's cut length rounded up as the trade does [mm]."""
    step = practice("cut_rounding")
    return math.ceil((length - _DUST) / step) * step


def run_lengths(boat: Boat, run: PlacedRun, stack: Stack, made: Making) -> RunLengths:
    """Return the lengths of a run.

    Args:
        boat: the boat file.
        run: the placed run.
        stack: its fittings.
        made: the order of making, for the locks.
    """
    line = boat.lines[run.told.line]
    finished = finished_length(run, stack)
    taken_off = deduction(run, line, finished)
    gathered = Gathered([Term("finished", f"path {run.path:.1f} - fittings {stack.total:.1f}", finished)])
    for where in BOTH:
        end_terms(line, line_end(boat, run, where), run_end(run, where).end, where, made, gathered)
    terms, take_ups, missing = gathered.terms, gathered.take_ups, gathered.missing
    rope = is_rope(line)
    if not rope:
        terms += taken_off.terms
    total = math.fsum(term.value for term in terms)
    shortest = total - math.fsum(t.expected - t.least for t in take_ups)
    longest = total + math.fsum(t.most - t.expected for t in take_ups)
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
        cut_least=cuts[1] if known else None,
        cut_most=cuts[2] if known else None,
        terms=tuple(terms),
        take_ups=tuple(take_ups),
        missing=tuple(missing),
        remarks=tuple(_remarks(run, stack, taken_off, missing, take_ups)),
    )


def _remarks(
    run: PlacedRun, stack: Stack, off: Deduction, missing: list[str], take_ups: list[TakeUpRange]
) -> list[Remark]:
    found = []
    if missing:
        text = f"no cut length: the file gives no {', no '.join(missing)}"
        found.append(Remark("cut", "cannot tell", run.id, "cut length", text))
    if any(not take_up.measured for take_up in take_ups):
        short = math.fsum(take_up.most - take_up.expected for take_up in take_ups)
        text = f"take-up not measured on this rope: the cut may be {short:.0f} mm short; make a trial bury first"
        found.append(Remark("take-up", "notice", run.id, "take-up", text, source=take_ups[0].source))
    if stack.total >= run.path:
        text = f"the fittings take {stack.total:.1f} mm of a path of {run.path:.1f} mm: no line is left"
        found.append(Remark("nothing-left", "refused", run.id, "finished length", text))
    if off.total > 0.0:
        found.append(room_for(run, stack, off))
    return found
