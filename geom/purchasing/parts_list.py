"""Parts to buy, alike ones together: how many, what is known of them, what has still to be found out, where they go.

What stands at the ends of a line that is held back is counted apart. Rope, wire and cord are ordered by length, see
`order.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from geom.boat.model import Boat, BreakingLoad, Fitting, LineEnd
from geom.data import table
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, family, line_end, run_end
from geom.placement.place import PlacedRun

# What somebody has to find out on the part or on board, by word.
PIN, JAW, THREAD, HAND = "pin", "jaw", "thread", "hand"
WIDTH, LENGTH, BOLT = "width", "length", "bolt for the hole"


@dataclass
class BuyRow:
    """Alike parts: the file's word, the kind, the sizes that are known by name [mm], words that are known.

    `ends` are the runs and ends where they go, `holes` the holes or posts; `held` counts those at lines that are held
    back, `missing` is what has to be found out beside the material and the breaking load.
    """

    part: str
    kind: str
    sizes: tuple[tuple[str, float], ...] = ()
    facts: tuple[str, ...] = ()
    material: str | None = None
    strength: BreakingLoad | None = None
    missing: tuple[str, ...] = ()
    count: int = 0
    held: int = 0
    ends: list[tuple[str, Where]] = field(default_factory=list)
    held_ends: list[tuple[str, Where]] = field(default_factory=list)
    holes: list[str] = field(default_factory=list)


def parts_list(boat: Boat, runs: dict[str, PlacedRun], held: frozenset[str]) -> tuple[BuyRow, ...]:
    """Return the parts to buy, those at the runs' ends first.

    Args:
        boat: the boat file.
        runs: every placed run.
        held: runs whose line is held back.
    """
    rows: dict[tuple[object, ...], BuyRow] = {}
    for run in runs.values():
        for where in BOTH:
            for made in _at_end(boat, run, where):
                key = (made.part, made.kind, made.sizes, made.facts)
                row = rows.setdefault(key, made)
                if run.id in held:
                    row.held += 1
                    row.held_ends.append((run.id, where))
                else:
                    row.count += 1
                    row.ends.append((run.id, where))
    return (*rows.values(), *_gate_eyes(runs), *_liners(boat), *_base_bolts(boat))


def _at_end(boat: Boat, run: PlacedRun, where: Where) -> Iterator[BuyRow]:
    end, stated = line_end(boat, run, where), run_end(run, where)
    for word in stated.fittings:
        fitting = boat.fittings[word]
        # The cord of a lashing is on the list of cord.
        if fitting.family != "lashing":
            yield _fitting(word, fitting)
    if family(end)["kind"] == "terminal":
        yield _terminal(stated.end, end, boat.lines[run.spec.line].diameter)
    if end.thimble is not None:
        named = (("girth", end.thimble.girth), (WIDTH, end.thimble.width))
        missing = (WIDTH,) if end.thimble.width is None else ()
        yield BuyRow("thimble", f"{end.thimble.pattern} thimble", _stated(named), missing=missing)


def _fitting(word: str, fitting: Fitting) -> BuyRow:
    length = fitting.length
    named = (
        ("min", length.min), ("set at", length.planned), ("max", length.max), (PIN, fitting.pin),
        (JAW, fitting.jaw),
    )  # fmt: skip
    rule = table.row("fitting_families", word=fitting.family)
    required = (
        (PIN, fitting.pin is None),
        (JAW, fitting.jaw is None),
        (THREAD, rule["threads"] == "yes" and fitting.thread is None),
        (HAND, rule["needs_hand"] != "none" and rule["needs_hand"] != "no" and fitting.hand is None),
    )
    return BuyRow(
        word,
        fitting.family,
        _stated(named),
        _threads(fitting.thread, fitting.hand),
        fitting.material,
        fitting.strength,
        tuple(name for name, is_missing in required if is_missing),
    )


def _terminal(word: str, end: LineEnd, diameter: float) -> BuyRow:
    named = (("for line Ø", diameter), (WIDTH, end.width), ("off the cut", end.deduction))
    required = ((THREAD, end.thread is None), (HAND, end.hand is None))
    return BuyRow(
        word,
        end.family,
        _stated(named),
        _threads(end.thread, end.hand),
        end.material,
        end.strength,
        tuple(name for name, is_missing in required if is_missing),
    )


def _stated(named: Sequence[tuple[str, float | None]]) -> tuple[tuple[str, float], ...]:
    return tuple((name, value) for name, value in named if value is not None)


def _threads(thread: str | None, hand: str | None) -> tuple[str, ...]:
    return tuple(f"{name} {value}" for name, value in ((THREAD, thread), (HAND, hand)) if value is not None)


def _gate_eyes(runs: dict[str, PlacedRun]) -> Iterator[BuyRow]:
    """Yield the double eyes through posts where runs end off the tube's axis, one for each hole."""
    found: dict[float, BuyRow] = {}
    for run in runs.values():
        for end in (run.spec.start, run.spec.finish):
            if end.post is None or not end.eye_offset:
                continue
            hole = f"{end.post}-{run.level}"
            sizes = (("hole to hole", 2.0 * end.eye_offset),)
            row = found.setdefault(
                end.eye_offset, BuyRow("gate eye", "double eye through a post", sizes, missing=(BOLT,))
            )
            if not any(hole in other.holes for other in found.values()):
                row.holes.append(hole)
                row.count += 1
    yield from found.values()


def _liners(boat: Boat) -> Iterator[BuyRow]:
    """Yield the liners of planned holes."""
    found: dict[tuple[float, float, float], BuyRow] = {}
    for post in boat.posts:
        for level, hole in post.holes.items():
            if hole.planned is None or hole.planned.liner is None:
                continue
            liner, bore = hole.planned.liner, hole.planned.diameter
            sizes = (("outside Ø", bore), ("bore", liner.bore), ("length", liner.length))
            row = found.setdefault((bore, liner.bore, liner.length), BuyRow("liner", "bush of a hole", sizes))
            row.holes.append(f"{post.id}-{level}")
            row.count += 1
    yield from found.values()


def _base_bolts(boat: Boat) -> Iterator[BuyRow]:
    """Yield the bolts of the posts' bases."""
    found: dict[float, BuyRow] = {}
    for post in boat.posts:
        if post.base is None:
            continue
        base = boat.bases[post.base]
        row = found.setdefault(
            base.bolt, BuyRow("base bolt", "with nut and washer", (("Ø", base.bolt),), missing=(LENGTH,))
        )
        row.holes.append(post.id)
        row.count += len(base.bolts)
    yield from found.values()
