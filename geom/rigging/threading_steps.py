"""The work on a run from the bare line to the logged setting, step by step in words to be read out on deck.

Source: common practice, no source; pulls stand in data/splice_practice.csv, tools in data/end_families.csv.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from geom.boat.model import Boat, Lock, SlideOn
from geom.data import table
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, OTHER, family, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.rigging.lengths import EYE_TO_EYE, FROM_THROAT, is_rope
from geom.rigging.making import Making

LOCKS: dict[Lock, str] = {
    "locked Brummel": "locked Brummel",
    "one-ended": "with a one-ended lock",
    "stitched bury": "with a lock-stitched straight bury",
}
# How marks are laid, in the same words on threading plans and splice sheets.
SPLICE_MARKS = "slack and straight, from the end that is left with its trim cut off"
LONG_MARKS = {
    True: f"{EYE_TO_EYE} under the marking tension",
    False: "the line's length under the marking tension",
}
_NOUNS = {"splice": "eye", "terminal": "terminal", "knot": "knot"}
_CLEAR = "between strong points, never against posts or rails"


@dataclass(frozen=True)
class Step:
    """One piece of work in words.

    `makes` is the end that is made in it, `fastens` the end that it fastens, `marks` the end whose eye mark it lays
    from the throat of the other end's made eye.
    """

    text: str
    makes: Where | None = None
    fastens: Where | None = None
    marks: Where | None = None


@dataclass(frozen=True)
class Order:
    """What the order of the work follows from.

    `leading` is the end that goes through the holes, `in_place` the one made on board (None: both on the bench),
    `slide` what is slid on in order, `late` the ends whose thimble goes in after threading.
    """

    leading: Where
    in_place: Where | None
    slide: tuple[SlideOn, ...]
    late: tuple[Where, ...]
    made: Making


def work_steps(boat: Boat, run: PlacedRun, order: Order) -> tuple[Step, ...]:
    """Return the work in order; everything goes on the line before the end that would keep it off is made."""
    return tuple(_on_board(boat, run, order) if order.in_place is not None else _on_the_bench(boat, run, order))


def _on_board(boat: Boat, run: PlacedRun, order: Order) -> Iterator[Step]:
    """Yield the work where the leading end is made on board, after the plain line is through its holes."""
    last = order.leading
    first = OTHER[last]
    point = end_name(run_end(run, last))
    tension = " at the marking tension" if _rope(boat, run) else ""
    yield _marked(boat, run)
    yield from _before(boat, run, first)
    yield _make(boat, run, first, order, "on the bench")
    paired = _both_spliced(boat, run)
    if paired:
        yield from _proof(boat, run, first, "")
        yield _mark_again(run, last)
    else:
        yield from _proof(boat, run, first, "; then mark the line again from it")
    yield from _plain_through(run, order)
    yield _fasten(boat, run, first)
    check = f"{FROM_THROAT} to EYE at {point}" if paired else f"its marks at {point} against the run card"
    yield Step(f"haul the plain end taut{tension}; check {check}, mark again, cut")
    yield from _before(boat, run, last)
    yield _make(boat, run, last, order, "in place")
    if is_spliced(line_end(boat, run, last)):
        # The pull goes through the whole line, so what holds its other end comes off the boat for it.
        yield from _proof(boat, run, last, f", {_CLEAR}", f"{_off(boat, run, first)}; ")
        yield _fasten(boat, run, last, f"{_holds(boat, run, first)} again; ")
    else:
        yield _fasten(boat, run, last)
    yield _set(boat, run)


def _on_the_bench(boat: Boat, run: PlacedRun, order: Order) -> Iterator[Step]:
    """Yield the work where both ends are made on the bench, and a ready-made end is drawn through the holes."""
    first = order.made.first
    last = OTHER[first]
    yield _marked(boat, run)
    yield from _before(boat, run, first)
    yield _make(boat, run, first, order, "on the bench")
    yield from _proof(boat, run, first, "")
    if _both_spliced(boat, run):
        yield _mark_again(run, last)
        yield Step("keep beyond EYE what the splice sheet says, cut the rest")
    else:
        yield Step(f"mark the line again from that {_noun(boat, run, first)}, check against the run card, cut")
    yield from (_slid(item, "before the second end is made") for item in order.slide)
    yield from _before(boat, run, last)
    yield _make(boat, run, last, order, "on the bench")
    yield from _proof(boat, run, last, "; measure between the ends")
    for hole in _way(run, order.leading):
        end = run_end(run, order.leading).end
        yield Step(f"through {hole}: the made-up {end}, drawn by a messenger line")
    yield _fasten(boat, run, OTHER[order.leading])
    yield from (Step(f"thimble into the eye at {end_name(run_end(run, where))}") for where in order.late)
    yield _fasten(boat, run, order.leading)
    yield _set(boat, run)


def _way(run: PlacedRun, leading: Where) -> list[str]:
    holes = [passage.hole.id for passage in run.passages]
    return holes if leading == "finish" else holes[::-1]


def _plain_through(run: PlacedRun, order: Order) -> Iterator[Step]:
    """Yield the way of the plain end through the holes; it takes each item on behind the hole it belongs to."""
    holes = _way(run, order.leading)
    yield from (_slid(item, "from the plain end") for item in order.slide if item.hole not in holes)
    for hole in holes:
        yield Step(f"through {hole}: the plain end, taped")
        yield from (_slid(item, "from the plain end") for item in order.slide if item.hole == hole)


def _rope(boat: Boat, run: PlacedRun) -> bool:
    return is_rope(boat.lines[run.spec.line])


def _noun(boat: Boat, run: PlacedRun, where: Where) -> str:
    return _NOUNS.get(family(line_end(boat, run, where))["kind"], "end")


def _marked(boat: Boat, run: PlacedRun) -> Step:
    tension = run.spec.marking_tension
    if _rope(boat, run):
        pull = "which the boat file does not state" if tension is None else f"{tension:.0f} N"
        if any(is_spliced(line_end(boat, run, where)) for where in BOTH):
            long = LONG_MARKS[_both_spliced(boat, run)]
            return Step(f"pre-stretch the rope; {long}, {pull}; marks of splices {SPLICE_MARKS}")
        return Step(f"pre-stretch the rope; mark it under the marking tension, {pull}")
    return Step("lay the wire out and mark it" + ("" if tension is None else f" under {tension:.0f} N"))


def _make(boat: Boat, run: PlacedRun, where: Where, order: Order, manner: str) -> Step:
    end, stated = line_end(boat, run, where), run_end(run, where)
    lock = order.made.lock(where)
    text = f"{manner}: make {stated.end} ({end.family}) at {end_name(stated)}"
    if lock is not None:
        text += f", {LOCKS[lock]}"
    if end.thimble is not None:
        drawn = order.in_place is None and bool(run.passages) and where == order.leading
        text += ", without its thimble" if drawn else ", its thimble in it"
    return Step(text, makes=where)


def _both_spliced(boat: Boat, run: PlacedRun) -> bool:
    return all(is_spliced(line_end(boat, run, where)) for where in BOTH)


def _mark_again(run: PlacedRun, where: Where) -> Step:
    """Return the marking of an end's eye once the other end's is made: the take-up of that one is used up."""
    point = end_name(run_end(run, where))
    return Step(f"mark EYE for {point} again, under the marking tension, {FROM_THROAT}", marks=where)


def _proof(boat: Boat, run: PlacedRun, where: Where, more: str, ahead: str = "") -> Iterator[Step]:
    """Yield the pull that beds a splice in; other ends are not pulled."""
    if is_spliced(line_end(boat, run, where)):
        pull = table.datum("splice_practice", key="proof_pull").value
        yield Step(f"{ahead}proof-pull the eye at {end_name(run_end(run, where))}: {pull:.0f} N or more{more}")


def _fasten(boat: Boat, run: PlacedRun, where: Where, ahead: str = "") -> Step:
    return Step(f"{ahead}{_holds(boat, run, where)}", fastens=where)


def _holds(boat: Boat, run: PlacedRun, where: Where) -> str:
    stated = run_end(run, where)
    if stated.fittings:
        return f"fasten at {end_name(stated)} by the {' and the '.join(stated.fittings)}"
    return f"fasten the {_noun(boat, run, where)} on the pin at {end_name(stated)}"


def _off(boat: Boat, run: PlacedRun, where: Where) -> str:
    stated = run_end(run, where)
    if stated.fittings:
        return f"take the {' and the '.join(stated.fittings)} off at {end_name(stated)}"
    return f"take the {_noun(boat, run, where)} off the pin at {end_name(stated)}"


def _set(boat: Boat, run: PlacedRun) -> Step:
    tension = run.spec.set_tension
    pull = "the boat file states no tension" if tension is None else f"{tension:.0f} N"
    names = (*run.spec.start.fittings, *run.spec.finish.fittings)
    pinned = any(boat.fittings[name].family != "lashing" for name in names)
    return Step(f"set the line ({pull}) and write the log" + ("; split pins and lock nuts last" if pinned else ""))


def _slid(item: SlideOn, when: str) -> Step:
    return Step(f"slide on {item.item}{f' for {item.hole}' if item.hole else ''}, {when}")


def _before(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Step]:
    """Yield what has to be on the line before an end is made, by its family and its file entry."""
    for part in family(line_end(boat, run, where))["before"].split(";"):
        if part.strip() and "sleeves" not in part:
            yield Step(f"on the line before {run_end(run, where).end}: {part.strip()}")
