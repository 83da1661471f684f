"""The order list: rope and wire with their reels, lashing cord, twine, sleeves, fittings by run end; mass and cost.

A price or mass not stated in the boat file is left blank, and the total lists what it does not include.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from geom.boat.model import Boat, GuardLine
from geom.data import table
from geom.errors import OutsideTableError
from geom.frozen import frozen
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, is_spliced, line_end, run_end
from geom.placement.nets import PlacedNet, placed_nets
from geom.placement.place import PlacedRun, end_name
from geom.purchasing.reels import Piece, ReelPlan, reel_plan
from geom.remark import Remark, Stated
from geom.rigging.lashing import lashing_cord
from geom.rigging.reel import ReelLength
from geom.rigging.splice import practice
from geom.rigging.work import LineWork
from geom.units import Gram, Mm, Money, Ratio

_INCH = 25.4
_TRIAL_NAMES = {"trial_splice": "trial splice", "test_piece": "test piece"}


@dataclass(frozen=True)
class LineOrder:
    """One kind of line: its pieces, total length [mm], reels (None where no stock length is stated), mass [g], cost.

    `made_of` are the parts of each piece of a run, `trials` the pieces to try out splice and holes, `mass_source` is
    the source of the mass, `on_hold` are the runs whose line is not ordered, with the reasons.
    """

    line: str
    construction: str
    diameter: Mm
    pieces: tuple[Piece, ...]
    total: Mm
    plan: ReelPlan | None
    mass: Gram | None
    cost: Money | None
    on_hold: tuple[tuple[str, tuple[Remark, ...]], ...]
    made_of: tuple[ReelLength, ...]
    trials: tuple[Piece, ...]
    mass_source: Stated


@frozen
class EndOrder:
    """One part at one end of a run: adjusting range, pin and jaw [mm], mass [g]; None where not stated."""

    run: str
    end: Where
    at: str
    part: str
    family: str
    minimum: Mm | None
    planned: Mm | None
    maximum: Mm | None
    pin: Mm | None
    jaw: Mm | None
    thread: str | None
    hand: str | None
    mass: Gram | None
    price: Money | None


@frozen
class SmallOrder:
    """Cord or sleeves for a run or a net: count, length of each [mm], price of each; diameter and turns of a cord."""

    what: Stated
    run: str
    count: int
    length: Mm | None
    price: Money | None
    source: str
    diameter: Mm | None = None
    turns: Ratio | None = None


@dataclass(frozen=True)
class Order:
    """Everything to buy: `cost` and `mass` [g] are totals of the items that state them; the other items are listed."""

    lines: tuple[LineOrder, ...]
    ends: tuple[EndOrder, ...]
    small: tuple[SmallOrder, ...]
    cost: Money
    without_price: tuple[Stated, ...]
    mass: Gram
    without_mass: tuple[Stated, ...]
    currency: str | None


def mass_per_metre(line: GuardLine) -> float | None:
    """Return the mass of a line [g/m]: as stated, else for wire by its diameter; None where not known.

    Source: data/wire_stretch.csv, quantity mass.
    """
    if line.mass is not None:
        return line.mass
    try:
        factor = table.datum("wire_stretch", construction=line.construction, quantity="mass")
    except OutsideTableError:
        return None
    return factor.value * line.diameter**2


def mass_source(line: GuardLine) -> Stated:
    """Return the source of the mass of a line; empty where it is not known."""
    if line.mass is not None:
        return "boat file"
    if mass_per_metre(line) is None:
        return ""
    found = table.datum("wire_stretch", construction=line.construction, quantity="mass")
    return Remark("source.sure", source=found.source, sure=found.sure)


def order_list(work: LineWork) -> Order:
    """Return the order list; lines that must not be cut are on hold."""
    boat, runs = work.placed.boat, work.placed.runs
    lines = tuple(_line_order(boat, name, runs, work) for name in _used(boat, runs))
    ends = tuple(row for run in runs.values() for where in BOTH for row in _end_rows(boat, run, where))
    # Cord, sleeves and twine of a line on hold depend on what is made in its place.
    small = tuple(row for run in runs.values() if not work.runs[run.id].refused for row in _small_rows(boat, run))
    small += tuple(row for net in placed_nets(work.placed) for row in _net_rows(net))
    priced: list[tuple[Stated, float | None]] = [(order.line, order.cost) for order in lines if order.total]
    priced += [(_at_end(row), row.price) for row in ends]
    priced += [
        (Remark("part.of_run", run=row.run, part=row.what), None if row.price is None else row.price * row.count)
        for row in small
    ]
    weighed: list[tuple[Stated, float | None]] = [(order.line, order.mass) for order in lines if order.total]
    weighed += [(_at_end(row), row.mass) for row in ends]
    return Order(
        lines=lines,
        ends=ends,
        small=small,
        cost=math.fsum(price for _, price in priced if price is not None),
        without_price=tuple(name for name, price in priced if price is None),
        mass=math.fsum(mass for _, mass in weighed if mass is not None),
        without_mass=tuple(name for name, mass in weighed if mass is None),
        currency=boat.currency,
    )


def _at_end(row: EndOrder) -> Remark:
    return Remark("part.at_end", run=row.run, end=row.end, part=row.part)


def _used(boat: Boat, runs: dict[str, PlacedRun]) -> list[str]:
    used = {run.spec.line for run in runs.values()}
    return [name for name in boat.lines if name in used]


def _line_order(boat: Boat, name: str, runs: dict[str, PlacedRun], work: LineWork) -> LineOrder:
    line = boat.lines[name]
    pieces, on_hold, made_of = [], [], []
    for run in runs.values():
        if run.spec.line != name:
            continue
        made = work.runs[run.id]
        if made.refused or made.reel is None:
            on_hold.append((run.id, made.refused or made.lengths.missing))
        else:
            made_of.append(made.reel)
            pieces.append(Piece(run.id, made.reel.from_reel))
    trials = tuple(_trials(boat, [run for run in runs.values() if run.spec.line == name])) if pieces else ()
    pieces += trials
    plan = reel_plan(tuple(pieces), line.reels) if line.reels and pieces else None
    total = math.fsum(piece.length for piece in pieces)
    bought = plan.bought if plan is not None else total
    per_metre = mass_per_metre(line)
    return LineOrder(
        line=name,
        construction=line.construction,
        diameter=line.diameter,
        pieces=tuple(pieces),
        total=total,
        plan=plan,
        mass=None if per_metre is None else per_metre * total / 1000.0,
        cost=None if line.price_per_m is None else line.price_per_m * bought / 1000.0,
        on_hold=tuple(on_hold),
        made_of=tuple(made_of),
        trials=trials,
        mass_source=mass_source(line),
    )


def _trials(boat: Boat, runs: list[PlacedRun]) -> Iterator[Piece]:
    """Yield the rope for a trial splice, and for a test piece to draw through the holes, of the runs of one line.

    Source: data/splice_practice.csv, keys trial_splice and test_piece; on inch boats rounded up to whole inches.
    """
    spliced = [run for run in runs if any(is_spliced(line_end(boat, run, where)) for where in BOTH)]
    step = _INCH if boat.units.length in ("in", "ft") else 1.0
    for key, wanted in (("trial_splice", bool(spliced)), ("test_piece", any(run.passages for run in spliced))):
        if wanted:
            yield Piece(_TRIAL_NAMES[key], math.ceil(practice(key) / step) * step)


def _end_rows(boat: Boat, run: PlacedRun, where: Where) -> list[EndOrder]:
    stated, end = run_end(run, where), line_end(boat, run, where)
    at = end_name(stated)
    rows = [
        EndOrder(
            run.id, where, at, stated.end, end.family, None, None, None,
            None, None, end.thread, end.hand, end.mass, end.price,
        )
    ]  # fmt: skip
    for name in stated.fittings:
        part, size = boat.fittings[name], boat.fittings[name].length
        rows.append(
            EndOrder(
                run.id, where, at, name, part.family, size.min, size.planned, size.max,
                part.pin, part.jaw, part.thread, part.hand, part.mass, part.price,
            )
        )  # fmt: skip
    return rows


def _small_rows(boat: Boat, run: PlacedRun) -> list[SmallOrder]:
    rows = [SmallOrder(item.item, run.id, 1, item.length, item.price, "boat file") for item in run.slide_on]
    splices = sum(is_spliced(line_end(boat, run, where)) for where in BOTH)
    if splices:
        twine = table.datum("splice_practice", key="twine")
        rows.append(SmallOrder(Remark("twine.of_splices"), run.id, splices, twine.value, None, twine.source))
    for where in BOTH:
        for name in run_end(run, where).fittings:
            fitting = boat.fittings[name]
            if fitting.family != "lashing":
                continue
            cord = lashing_cord(fitting)
            rows.append(
                SmallOrder(
                    Remark("cord.of_lashing", fitting=name),
                    run.id,
                    1,
                    cord.length,
                    None,
                    cord.length_source,
                    cord.diameter,
                    cord.turns,
                )
            )
    return rows


def _net_rows(net: PlacedNet) -> Iterator[SmallOrder]:
    """Yield the netting of a net, the rope round its edge, and its lacing; what is not known is not ordered."""
    spec, source = net.spec, "boat file"
    if net.area is not None:
        said = Remark("net.netting", bar_mm=spec.bar, area_m2=net.area * 1e-6)
        yield SmallOrder(said, net.id, 1, max(edge.length or 0.0 for edge in net.edges), None, source)
    if net.edge_cord is not None:
        yield SmallOrder(Remark("net.edge_cord"), net.id, 1, net.edge_cord, None, source, spec.edge_cord)
    if net.lacing is not None and spec.lacing is not None:
        yield SmallOrder(Remark("net.lacing"), net.id, 1, net.lacing, None, source, spec.lacing.diameter)
