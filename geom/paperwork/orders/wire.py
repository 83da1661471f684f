"""Wire lines made elsewhere: what a finished line is ordered by, and can be measured again by, pin to pin.

Pin to pin is measured with gate hooks closed and turnbuckles at the stated length, under the marking tension: the wire,
what the terminals add at each end, and the fittings. Stretched to its set tension the line is as long as its path.
Source: common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.placement.stack import adjusts
from geom.refit import Refit
from geom.remark import Remark, Stated
from geom.rigging.dimension_chain import plus_minus
from geom.rigging.terminals import is_swage, is_terminal
from geom.units import Mm, N, Rad


@dataclass(frozen=True)
class SetFitting:
    """One fitting of an end: its word, kind, length pin to pin as set, its limits [mm]; None where not stated.

    `adjusts` is False for a kind without a range, such as a shackle.
    """

    name: str
    family: str
    length: Mm
    minimum: Mm | None
    maximum: Mm | None
    adjusts: bool

    @property
    def opened(self) -> Mm | None:
        """How far it is opened from its least length [mm]; None where that is not stated."""
        return None if self.minimum is None else self.length - self.minimum


@dataclass(frozen=True)
class WireEnd:
    """One end of a wire line: its fittings from the boat inwards, its terminal, and how it stands on the boat.

    `adds` is from the end of the wire to the bearing point of the terminal, `insertion` how far the wire goes into it
    [mm]; `width` the largest diameter after swaging; `turn` and `lean` the plane of the fork, from the plate that it is
    pinned to; None where not stated.
    """

    end: Where
    at: str
    fittings: tuple[SetFitting, ...]
    terminal: str
    family: str
    swaged: bool
    on_board: bool
    adds: Mm | None
    insertion: Mm | None
    width: Mm | None
    thread: str | None
    hand: str | None
    turn: Rad | None
    lean: Rad | None


@dataclass(frozen=True)
class WireLine:
    """One wire line: the wire, its ends, its length pin to pin as made under the marking tension [mm].

    `stretch` is what it lengthens by to its set tension. `shortens` and `opens` are what the fittings still take up and
    let out; `tolerance` is plus or minus on the length. A line on hold has reasons in `hold` and no lengths.
    """

    run: str
    line: str
    construction: str
    material: str
    diameter: Mm
    ends: tuple[WireEnd, WireEnd]
    wire: Mm | None
    pin_to_pin: Mm | None
    stretch: Mm | None
    marking_tension: N
    set_tension: N
    shortens: Mm | None
    opens: Mm | None
    tolerance: Mm
    tolerance_source: Stated
    hold: tuple[Remark, ...]


def wire_lines(refit: Refit) -> tuple[WireLine, ...]:
    """Return the wire lines with a terminal at both ends, in the order of the boat file."""
    return tuple(
        _line(refit, run)
        for run in refit.placed.runs.values()
        if all(is_terminal(line_end(refit.boat, run, where)) for where in BOTH)
    )


def _line(refit: Refit, run: PlacedRun) -> WireLine:
    boat, work = refit.boat, refit.work.runs[run.id]
    line, tensions, off = boat.lines[run.spec.line], refit.work.tensions[run.id], plus_minus(boat)
    hold = work.refused or work.lengths.missing
    stack = refit.placed.stacks[run.id]
    start, finish = (_end(refit, run, where) for where in BOTH)
    return WireLine(
        run=run.id,
        line=run.spec.line,
        construction=line.construction,
        material=line.material,
        diameter=line.diameter,
        ends=(start, finish),
        wire=None if hold else work.cut,
        pin_to_pin=None if hold else math.fsum((work.lengths.marked, work.lengths.stack)),
        stretch=None if hold else work.lengths.deduction.total,
        marking_tension=tensions.marking_tension,
        set_tension=tensions.set_tension,
        shortens=stack.shorten,
        opens=stack.lengthen,
        tolerance=off.tape,
        tolerance_source=off.tape_source,
        hold=hold,
    )


def _end(refit: Refit, run: PlacedRun, where: Where) -> WireEnd:
    boat, stated, end = refit.boat, run_end(run, where), line_end(refit.boat, run, where)
    plate = stated.anchorage
    flat = plate is not None and plate.plane_turn is not None
    return WireEnd(
        end=where,
        at=end_name(stated),
        fittings=tuple(
            SetFitting(name, one.family, one.length.planned, one.length.min, one.length.max, adjusts(one))
            for name, one in ((name, boat.fittings[name]) for name in stated.fittings)
        ),
        terminal=stated.end,
        family=end.family,
        swaged=is_swage(end),
        on_board=refit.work.runs[run.id].plan.in_place == where,
        adds=end.deduction,
        insertion=end.insertion,
        width=end.width,
        thread=end.thread,
        hand=end.hand,
        turn=plate.plane_turn if flat and plate is not None else None,
        lean=plate.plane_lean if flat and plate is not None else None,
    )
