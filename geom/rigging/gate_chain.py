"""What lies between the holes of a gate at one level, from the forward post aft: a chain that adds up."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom.boat.model import RunEnd
from geom.placement.gates import GateLevel, PlacedGate
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed
from geom.rigging.work import LineWork
from geom.units import Mm

TermKind = Literal["eye", "fitting", "line"]


@dataclass(frozen=True)
class GateTerm:
    """One link of a chain: what it is, its name in the boat file, its length [mm]."""

    kind: TermKind
    name: str
    length: Mm


@dataclass(frozen=True)
class GateChain:
    """One level of a gate.

    `faces` are half the tubes' diameters, forward and aft, which `clear` leaves of `hole_to_hole` [mm], 0 at the eyes
    of a rail. `terms` follow each other from the forward support to the after one; there are none where no line runs
    from one to the other.
    """

    gate: str
    level: str
    run: str | None
    hole_to_hole: Mm
    clear: Mm
    faces: tuple[Mm, Mm]
    terms: tuple[GateTerm, ...]

    @property
    def pin_to_pin(self) -> Mm | None:
        """The length between the pins of the eyes [mm]; None without a line."""
        return math.fsum(term.length for term in self.terms if term.kind != "eye") if self.terms else None

    @property
    def finished(self) -> Mm | None:
        """The finished line [mm]; None without one."""
        return next((term.length for term in self.terms if term.kind == "line"), None)

    @property
    def fittings(self) -> Mm:
        """The fittings in the line at their planned setting [mm]."""
        return math.fsum(term.length for term in self.terms if term.kind == "fitting")


def gate_chains(placed: Placed, work: LineWork, gate: PlacedGate) -> tuple[GateChain, ...]:
    """Return the chain of each level of a gate, the highest first.

    Args:
        placed: the boat in space.
        work: its line work.
        gate: the gate.
    """
    return tuple(_chain(placed, work, gate, level) for level in gate.levels)


def _chain(placed: Placed, work: LineWork, gate: PlacedGate, level: GateLevel) -> GateChain:
    run = next(
        (
            run
            for run in placed.runs.values()
            if run.level == level.level and {run.spec.start.support, run.spec.finish.support} == set(gate.names)
        ),
        None,
    )
    terms = () if run is None else _terms(placed, work, run, gate.names[0])
    forward, aft = gate.supports
    return GateChain(
        gate=gate.id,
        level=level.level,
        run=None if run is None else run.id,
        hole_to_hole=level.hole_to_hole,
        clear=level.clear,
        faces=(forward.radius, aft.radius),
        terms=terms,
    )


def _terms(placed: Placed, work: LineWork, run: PlacedRun, forward: str) -> tuple[GateTerm, ...]:
    line = GateTerm("line", run.spec.line, work.runs[run.id].lengths.finished)
    found = (*_end(placed, run.spec.start), line, *reversed(_end(placed, run.spec.finish)))
    return found if run.spec.start.support == forward else tuple(reversed(found))


def _end(placed: Placed, end: RunEnd) -> tuple[GateTerm, ...]:
    """Return the links of one end from its support to the line: on a post the eye off the tube's axis; the fittings."""
    fittings = tuple(GateTerm("fitting", name, placed.boat.fittings[name].length.planned) for name in end.fittings)
    return fittings if end.post is None else (GateTerm("eye", "gate eye", end.eye_offset or 0.0), *fittings)
