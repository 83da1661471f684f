"""Marking tension and set tension of a run: each figure with its source, read by lengths, loads, rules and sheets.

Set tension: as the boat file states it, else that which the push test of the edition in force needs on the widest span
tested of the run, else the same push by practice where the rule tests none of its spans. Marking tension: as the boat
file states it, else a steady pull of common practice. Units: mm and N.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from geom.boat.model import LEVELS, Boat
from geom.data.editions import Number, PushTest, push_test
from geom.data.table import Datum, datum
from geom.frozen import frozen
from geom.mechanics.catenary import tension_while_loaded
from geom.mechanics.person_load import STANDARD_GRAVITY
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed, once, support_points
from geom.remark import Remark
from geom.units import Mm, N, raised, to_compare

SetBy = Literal["boat file", "push test", "practice"]
MarkedBy = Literal["boat file", "practice"]


@frozen
class RunTension:
    """Marking and set tension of a run [N], what each is by, and the span on which the push test governs.

    `test_span` is the index of that span, `between` its ends, `needed` the set tension that the push test needs there,
    ends giving. `tested` is False where no span of the run extends aft of the mast, so that the rule tests none.
    `push` is the force of the test as its edition prints it.
    """

    run: str
    set_tension: N
    set_by: SetBy
    marking_tension: N
    marked_by: MarkedBy
    test_span: int
    between: tuple[str, str]
    needed: N
    push: Number
    limit: Mm
    tested: bool

    @property
    def force(self) -> N:
        """The force of the push test [N]."""
        return self.push.value

    @property
    def stated(self) -> bool:
        """Whether the boat file states the set tension."""
        return self.set_by == "boat file"

    @property
    def recommended(self) -> N:
        """The set tension that the push test needs, as it is recommended whether or not the boat file states one."""
        return _rounded_up(self.needed)

    @property
    def test_span_number(self) -> int:
        """Number of the span on which the push test governs, 1 for the first."""
        return self.test_span + 1

    @property
    def source(self) -> Remark:
        """Where the set tension comes from."""
        if self.stated:
            return Remark("tension.stated")
        if self.set_by == "practice":
            return Remark("tension.by_practice", force_n=self.force, limit_mm=self.limit, between=self.between)
        return Remark(
            "tension.by_push_test",
            edition=self.edition,
            force_n=self.force,
            limit_mm=self.limit,
            between=self.between,
        )

    @property
    def edition(self) -> Remark:
        """The edition whose push test it is, and whether that is known from memory only."""
        code = "edition.from_memory" if self.push.sure.startswith("memory") else "edition.named"
        return Remark(code, edition=self.push.edition)

    @property
    def set_pull(self) -> Remark:
        """The set tension as a step of the work prints it."""
        return Remark("pull.set_stated" if self.stated else "pull.recommended", pull_n=self.set_tension)

    @property
    def marking_pull(self) -> Remark:
        """The marking tension as a step of the work prints it."""
        if self.marked_by == "boat file":
            return Remark("pull.stated", pull_n=self.marking_tension)
        low, high = marking_range()
        return Remark("pull.marking_practice", pull_n=self.marking_tension, low_n=low, high_n=high)

    @property
    def marking_source(self) -> Remark:
        """Where the marking tension comes from."""
        if self.marked_by == "boat file":
            return Remark("tension.stated")
        low, high = marking_range()
        return Remark("tension.marking_practice", low_n=low, high_n=high)


def run_tension(placed: Placed, run: PlacedRun) -> RunTension:
    """Return the marking and set tension of a run.

    Args:
        placed: the boat in space.
        run: the placed run.
    """
    push, limit = _test(placed).force, push_limit(placed, run)
    spans, mast = range(len(run.spans)), placed.boat.boat.mast_x
    # A line across the boat may go forward.
    ends = [max(a[0], b[0]) for a, b in pairwise(support_points(placed, run))]
    aft = [span for span in spans if mast is None or ends[span] > mast]
    weight = weight_of_line(placed, run)
    needed = {span: tension_for(push.value, run.spans[span], limit, weight) for span in aft or spans}
    # Equal spans are told apart by their order, not by the last digit.
    test_span = max(needed, key=lambda span: (to_compare(needed[span]), -span))
    stated, marking = run.spec.set_tension, run.spec.marking_tension
    return RunTension(
        run=run.id,
        set_tension=_rounded_up(needed[test_span]) if stated is None else stated,
        set_by="boat file" if stated is not None else "push test" if aft else "practice",
        marking_tension=datum("splice_practice", key="marking_tension").value if marking is None else marking,
        marked_by="practice" if marking is None else "boat file",
        test_span=test_span,
        between=(run.names[test_span], run.names[test_span + 1]),
        needed=needed[test_span],
        push=push,
        limit=limit,
        tested=bool(aft),
    )


def _rounded_up(tension: float) -> float:
    """Return a tension rounded up to whole newtons: as it is printed it still keeps the limit."""
    return float(raised(tension, 0))


@once
def run_tensions(placed: Placed) -> dict[str, RunTension]:
    """Return the tensions of each run by its id."""
    return {run.id: run_tension(placed, run) for run in placed.runs.values()}


def tension_for(force: float, span: float, limit: float, weight: float) -> float:
    """Return the set tension at which a span keeps a deflection limit though its ends give [N].

    For a shallow line its weight deflects mid-span like half that weight acting there.

    Args:
        force: at mid-span, square to the line [N].
        span: distance between the supports [mm].
        limit: maximum deflection [mm].
        weight: of the line per length [N/mm].
    """
    return tension_while_loaded(force + 0.5 * weight * span, span, limit)


def weight_of_line(placed: Placed, run: PlacedRun) -> float:
    """Return the weight of the line of a run per length [N/mm], zero where no mass is stated."""
    mass = placed.line(run).mass
    return 0.0 if mass is None else mass * 1e-6 * STANDARD_GRAVITY


def marking_range() -> tuple[float, float]:
    """Return the range of a steady pull by hand under which a line is marked [N].

    Source: common practice, no source; data/splice_practice.csv.
    """
    low, high = (datum("splice_practice", key=f"marking_tension_{end}").value for end in ("low", "high"))
    return low, high


def max_by_hand() -> Datum:
    """Return the highest set tension that is reached by hand [N].

    Source: common practice, no source; data/splice_practice.csv, key max_set_tension.
    """
    return datum("splice_practice", key="max_set_tension")


def push_test_force(boat: Boat) -> float:
    """Return the force of the push test by the edition in force for a boat [N]."""
    return push_test(boat.named_editions).force.value


def push_limit(placed: Placed, run: PlacedRun) -> float:
    """Return the deflection limit of the push test in force for a run [mm]: lower for the upper or only line."""
    levels = {other.level for other in placed.runs.values() if other.side == run.side}
    test = _test(placed)
    upper = run.level == next(level for level in LEVELS if level in levels)
    return (test.max_upper if upper else test.max_other).value


@once
def _test(placed: Placed) -> PushTest:
    return push_test(placed.boat.named_editions)
