"""The lines of a side with its gate open: which fall slack, by how much, and how far they drop.

A line that ends at the gate post stays taut. A line that continues through the post to the hook falls slack by
all of its gate part, unless a stop on it bears against the post.
Source: geometry of a line longer than its span: a straight V pressed down by hand, a parabola under its own weight.
"""

from __future__ import annotations

import math

from geom.boat.model import Boat, Gate
from geom.frozen import frozen
from geom.placement.gate_lines import GatePassage, gate_passage, is_own_line
from geom.placement.place import PlacedPost, PlacedRun, place_run
from geom.remark import Remark
from geom.rigging.alternatives import continuous_run
from geom.rigging.splice import practice
from geom.units import Mm


@frozen
class Drop:
    """Length of line that comes free, and the drop of the widest span pressed by hand and under its own weight [mm]."""

    free: Mm
    by_hand: Mm
    own_weight: Mm


@frozen
class GateOpen:
    """One line of one open gate. `slack` lists the runs that fall slack, `hangs` is the length of the loose end [mm].

    `without_stop` and `with_stop` are None for a line that ends at the gate post. `has_stop`: the boat file has a
    stop there; `planned` is False for a line that is only an alternative.
    """

    gate: str
    run: str
    planned: bool
    slack: tuple[str, ...]
    hangs: Mm
    widest_span: Mm | None
    widest_between: tuple[str, str] | None
    without_stop: Drop | None
    with_stop: Drop | None
    has_stop: bool
    says: Remark


def drop(span: float, free: float) -> Drop:
    """Return the drop of a span when line comes free over it [mm].

    Source: V of two straight legs, s = sqrt((L + x)^2 - L^2) / 2; shallow parabola, x = 8 s^2 / 3 L.

    Args:
        span: straight distance between its supports [mm].
        free: length of line beyond that [mm].
    """
    return Drop(free, math.sqrt((span + free) ** 2 - span**2) / 2.0, math.sqrt(3.0 * span * free / 8.0))


def gates_open(boat: Boat, posts: dict[str, PlacedPost], runs: dict[str, PlacedRun]) -> tuple[GateOpen, ...]:
    """Return every line of every gate with the gate open.

    A gate with a line of its own is also given as one continuous line to its hook, where there is one: see
    `alternatives`.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        runs: every placed run by its id.
    """
    found = []
    for gate in boat.gates:
        for run in runs.values():
            passage = gate_passage(gate, run)
            if is_own_line(gate, run):
                found.append(_own(gate, run))
                joined = continuous_run(boat, run)
                if joined is not None and joined[1].id == gate.id:
                    other = place_run(boat, posts, joined[0])
                    across = gate_passage(gate, other)
                    assert across is not None
                    found.append(_through(gate, other, across, planned=False))
            elif passage is not None:
                found.append(_through(gate, run, passage, planned=True))
    return tuple(found)


def _own(gate: Gate, run: PlacedRun) -> GateOpen:
    return GateOpen(
        gate=gate.id,
        run=run.id,
        planned=True,
        slack=(run.id,),
        hangs=run.path,
        widest_span=None,
        widest_between=None,
        without_stop=None,
        with_stop=None,
        has_stop=False,
        says=_stays_taut(gate, run),
    )


def _stays_taut(gate: Gate, run: PlacedRun) -> Remark:
    posts = tuple(end.post for end in (run.spec.start, run.spec.finish) if end.post is not None)
    if len(posts) == 2:
        return Remark("gate.lines_stay_taut", posts=gate.supports, loose_mm=run.path)
    if posts:
        return Remark("gate.line_beside_stays_taut", post=posts[0], loose_mm=run.path)
    return Remark("gate.between_rails", loose_mm=run.path)


def _through(gate: Gate, run: PlacedRun, passage: GatePassage, planned: bool) -> GateOpen:
    """Return a line that continues to the hook: its gate part is the last span, or the first."""
    opening, post = run.spans[passage.span], passage.post
    widest = max(passage.held, key=lambda i: run.spans[i])
    span = run.spans[widest]
    free, stopped = drop(span, opening), drop(span, practice("stop_clear"))
    return GateOpen(
        gate=gate.id,
        run=run.id,
        planned=planned,
        slack=(run.id,),
        hangs=opening,
        widest_span=span,
        widest_between=(run.names[widest], run.names[widest + 1]),
        without_stop=free,
        with_stop=stopped,
        has_stop=passage.has_stop,
        says=Remark(
            "gate.side_falls_slack",
            post=post,
            free_mm=opening,
            drop_mm=free.by_hand,
            span_mm=span,
            stopped_free_mm=stopped.free,
            stopped_drop_mm=stopped.by_hand,
        ),
    )
