"""Parts to buy, identical parts together: count, known data, missing data and where they are fitted.

Parts at the ends of a line on hold are counted separately. Rope, wire and cord are ordered by length, see `order.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from geom.boat.model import Boat, BreakingLoad, Fitting, LineEnd
from geom.data import table
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, family, line_end, run_end
from geom.placement.place import PlacedRun
from geom.placement.spacers import spacer_tubes
from geom.placement.stack import closes_gap
from geom.rigging.terminals import is_stud

# Data that may have to be taken from the part or on board.
PIN, JAW, THREAD, HAND = "pin", "jaw", "thread", "hand"
WIDTH, LENGTH, BOLT, CHOICE = "width", "length", "bolt for the hole", "choice"
SPACER_BORE = "bore, as the bolt"


@dataclass
class PartRow:
    """Identical parts: name in the boat file, kind, known sizes by name [mm], known facts.

    `ends` are the runs and ends where they are fitted, `holes` the holes or posts; `on_hold` is the number at lines on
    hold, `missing` are the data still needed, besides material and breaking load.
    """

    part: str
    kind: str
    sizes: tuple[tuple[str, float], ...] = ()
    facts: tuple[str, ...] = ()
    material: str | None = None
    strength: BreakingLoad | None = None
    missing: tuple[str, ...] = ()
    count: int = 0
    on_hold: int = 0
    ends: list[tuple[str, Where]] = field(default_factory=list)
    ends_on_hold: list[tuple[str, Where]] = field(default_factory=list)
    holes: list[str] = field(default_factory=list)


def parts_list(boat: Boat, runs: dict[str, PlacedRun], on_hold: frozenset[str]) -> tuple[PartRow, ...]:
    """Return the parts to buy, those at the ends of runs first.

    Args:
        boat: the boat file.
        runs: every placed run.
        on_hold: runs whose line is on hold.
    """
    rows: dict[tuple[object, ...], PartRow] = {}
    for run in runs.values():
        for where in BOTH:
            for made in _at_end(boat, run, where):
                key = (made.part, made.kind, made.sizes, made.facts)
                row = rows.setdefault(key, made)
                if run.id in on_hold:
                    row.on_hold += 1
                    row.ends_on_hold.append((run.id, where))
                else:
                    row.count += 1
                    row.ends.append((run.id, where))
    at_holes = (*_gate_eyes(runs), *_spacers(boat), *_bushes(runs, boat), *_open_edges(runs))
    return (*rows.values(), *at_holes, *_base_bolts(boat))


def _at_end(boat: Boat, run: PlacedRun, where: Where) -> Iterator[PartRow]:
    end, stated = line_end(boat, run, where), run_end(run, where)
    for word in stated.fittings:
        fitting = boat.fittings[word]
        # Lashing cord is ordered by length.
        if fitting.family != "lashing":
            yield _fitting(word, fitting)
    if family(end)["kind"] == "terminal":
        yield _terminal(stated.end, end, boat.lines[run.spec.line].diameter)
    if end.thimble is not None:
        named = (("girth", end.thimble.girth), (WIDTH, end.thimble.width))
        missing = (WIDTH,) if end.thimble.width is None else ()
        yield PartRow("thimble", f"{end.thimble.pattern} thimble", _stated(named), missing=missing)


def _fitting(word: str, fitting: Fitting) -> PartRow:
    length = fitting.length
    named = (
        ("min", length.min), ("set at", length.planned), ("max", length.max), (PIN, fitting.pin),
        (JAW, fitting.jaw),
    )  # fmt: skip
    return PartRow(
        word,
        fitting.family,
        _stated(named),
        _threads(fitting.thread, fitting.hand),
        fitting.material,
        fitting.strength,
        missing_of(fitting),
    )


def missing_of(fitting: Fitting) -> tuple[str, ...]:
    """Return what is to be found out of a fitting, by the keys of the boat file."""
    rule = table.row("fitting_families", word=fitting.family)
    required = (
        (PIN, fitting.pin is None and not closes_gap(fitting)),
        (JAW, fitting.jaw is None and not closes_gap(fitting)),
        (THREAD, rule["threads"] == "yes" and fitting.thread is None),
        (HAND, rule["needs_hand"] != "none" and rule["needs_hand"] != "no" and fitting.hand is None),
    )
    return tuple(name for name, is_missing in required if is_missing)


def _terminal(word: str, end: LineEnd, diameter: float) -> PartRow:
    named = (
        ("for line Ø", diameter),
        (WIDTH, end.width),
        ("off the cut", end.deduction),
        ("engaged", end.thread_engaged),
    )
    # Forks and eyes have no thread.
    threaded = is_stud(end)
    required = ((THREAD, threaded and end.thread is None), (HAND, threaded and end.hand is None))
    return PartRow(
        word,
        end.family,
        _stated(named),
        (*_threads(end.thread, end.hand), *_bearing(end)),
        end.material,
        end.strength,
        tuple(name for name, is_missing in required if is_missing),
    )


def _stated(named: Sequence[tuple[str, float | None]]) -> tuple[tuple[str, float], ...]:
    return tuple((name, value) for name, value in named if value is not None)


def _threads(thread: str | None, hand: str | None) -> tuple[str, ...]:
    return tuple(f"{name} {value}" for name, value in ((THREAD, thread), (HAND, hand)) if value is not None)


def _bearing(end: LineEnd) -> tuple[str, ...]:
    return () if end.bears_on is None else (f"bears on its {end.bears_on}",)


def _gate_eyes(runs: dict[str, PlacedRun]) -> Iterator[PartRow]:
    """Yield the double eyes through posts where runs end off the tube axis, one per hole."""
    found: dict[float, PartRow] = {}
    for run in runs.values():
        for end in (run.spec.start, run.spec.finish):
            if end.post is None or not end.eye_offset:
                continue
            hole = f"{end.post}-{run.level}"
            sizes = (("pins apart", 2.0 * end.eye_offset),)
            row = found.setdefault(
                end.eye_offset, PartRow("gate eye", "double eye through a post", sizes, missing=(BOLT,))
            )
            if not any(hole in other.holes for other in found.values()):
                row.holes.append(hole)
                row.count += 1
    yield from found.values()


def _spacers(boat: Boat) -> Iterator[PartRow]:
    """Yield the spacer tubes of bolts thinner than their holes: outside as the hole or its liner, as long as the way.

    Their bore is that of the bolt, which the boat file does not state. Source: common practice, no source.
    """
    found: dict[tuple[float, float], PartRow] = {}
    for name, spacer in spacer_tubes(boat).items():
        sizes = (("outside Ø", spacer.od), ("length", spacer.length))
        made = PartRow("spacer tube", "on the bolt of a double eye", sizes, missing=(SPACER_BORE,))
        row = found.setdefault((spacer.od, spacer.length), made)
        row.holes.append(name)
        row.count += 1
    yield from found.values()


def _open_edges(runs: dict[str, PlacedRun]) -> Iterator[PartRow]:
    """Yield the holes for rope whose edges are not chosen: bushes, tubes or sleeves may have to be bought for them."""
    passages = (passage.hole for run in runs.values() for passage in run.passages)
    holes = [hole.id for hole in passages if hole.edge.edge == "not chosen"]
    if holes:
        yield PartRow("edge of holes", "for rope, not chosen", missing=(CHOICE,), count=len(holes), holes=holes)


def _bushes(runs: dict[str, PlacedRun], boat: Boat) -> Iterator[PartRow]:
    """Yield the bushes and through-tubes of holes: those that lines pass, then those stated for other holes."""
    found: dict[tuple[str, float, float, float], PartRow] = {}
    passed = {passage.hole.id: passage.hole.edge for run in runs.values() for passage in run.passages}
    for post in boat.posts:
        for level, hole in post.holes.items():
            name = f"{post.id}-{level}"
            edge = passed.get(name)
            bush = hole.liner if edge is None else edge.bush
            if bush is None:
                continue
            kind = "bush of a hole" if edge is None or edge.edge == "own liner" else f"{edge.edge} of a hole"
            sizes = (("outside Ø", hole.diameter), ("bore", bush.bore), ("length", bush.length))
            row = found.setdefault((kind, hole.diameter, bush.bore, bush.length), PartRow("liner", kind, sizes))
            row.holes.append(name)
            row.count += 1
    yield from found.values()


def _base_bolts(boat: Boat) -> Iterator[PartRow]:
    """Yield the bolts of the bases."""
    found: dict[float, PartRow] = {}
    for post in boat.posts:
        if post.base is None:
            continue
        base = boat.bases[post.base]
        row = found.setdefault(
            base.bolt, PartRow("base bolt", "with nut and washer", (("Ø", base.bolt),), missing=(LENGTH,))
        )
        row.holes.append(post.id)
        row.count += len(base.bolts)
    yield from found.values()
