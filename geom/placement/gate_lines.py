"""The lines of a gate: those between its posts, and those that pass one post and go on across the opening."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from geom.boat.model import Gate
from geom.placement.place import PlacedRun


@dataclass(frozen=True)
class GatePassage:
    """A line across a gate's opening and beyond a post of it.

    `span` is the index of the gate part. `held` are the spans on the longer side, which a stop at `post` keeps taut
    with the gate open; `has_stop`: the boat file has a stop there.
    """

    span: int
    held: range
    post: str
    has_stop: bool


def is_own_line(gate: Gate, run: PlacedRun) -> bool:
    """Return whether a run goes from one support of a gate to the other."""
    return {run.spec.start.support, run.spec.finish.support} == set(gate.supports)


def gate_passage(gate: Gate, run: PlacedRun) -> GatePassage | None:
    """Return how a run goes through one support of a gate and on across its opening; None where it does not."""
    if is_own_line(gate, run):
        return None
    names = [run.spec.start.support, *run.spec.through, run.spec.finish.support]
    at = next((i for i, ends in enumerate(pairwise(names)) if set(ends) == set(gate.supports)), None)
    if at is None:
        return None
    # The part held from the far end is the longer one; slack from the gate part runs back into it.
    before = at >= len(run.spans) / 2.0
    held = range(at) if before else range(at + 1, len(run.spans))
    post = names[at] if before else names[at + 1]
    has_stop = any(item.kind == "stop" and (item.hole or "").startswith(f"{post}-") for item in run.spec.slide_on)
    return GatePassage(at, held or range(len(run.spans)), post, has_stop)
