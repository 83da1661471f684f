"""The work on a run from the plain line to the logged setting, step by step.

Source: common practice, no source; pulls are in data/splice_practice.csv, tools in data/end_families.csv.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geom.boat.model import Boat, SlideOn
from geom.data import table
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, OTHER, family, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.remark import Remark, one_sentence
from geom.rigging.lengths import is_rope
from geom.rigging.making import Making

# Words of data/end_families.csv for items of the run: each of these has a step of its own.
_OF_THE_RUN = ("sleeves of the run", "sleeves and liners of the run")
# What long marks are measured from: eye to eye where both ends are spliced, else along the line.
EYE_TO_EYE, FROM_THROAT = Remark("marks.eye_to_eye"), Remark("marks.from_throat")
LONG_MARKS = {True: EYE_TO_EYE, False: Remark("marks.line_length")}
SPLICE_MARKS = Remark("marks.of_splices")


@dataclass(frozen=True)
class Step:
    """One step of the work: what is done, in order.

    `makes` is the end made in this step, `fastens` the end fastened, `marks` the end whose eye is marked from the
    throat of the finished eye at the other end, `cuts` whether the line is cut to length.
    """

    does: tuple[Remark, ...]
    makes: Where | None = None
    fastens: Where | None = None
    marks: Where | None = None
    cuts: bool = False

    @property
    def remark(self) -> Remark:
        """The whole step in one sentence."""
        return one_sentence(*self.does)


@dataclass(frozen=True)
class Order:
    """What determines the order of the work.

    `leading` is the end that goes through the holes, `in_place` the one made on board (None: both on the bench),
    `slide` the items slid on in order, `late` the ends whose thimble goes in after threading.
    """

    leading: Where
    in_place: Where | None
    slide: tuple[SlideOn, ...]
    late: tuple[Where, ...]
    made: Making


def work_steps(boat: Boat, run: PlacedRun, order: Order) -> tuple[Step, ...]:
    """Return the work in order; every item goes on the line before the end that would stop it is made.

    Args:
        boat: the boat file.
        run: the placed run.
        order: what determines the order of the work.
    """
    return tuple(_on_board(boat, run, order) if order.in_place is not None else _on_the_bench(boat, run, order))


def _on_board(boat: Boat, run: PlacedRun, order: Order) -> Iterator[Step]:
    """Yield the work where the leading end is made on board, once the plain line is through its holes."""
    last = order.leading
    first = OTHER[last]
    point = end_name(run_end(run, last))
    haul = Remark("step.haul_at_tension") if _rope(boat, run) else Remark("step.haul")
    yield _marked(boat, run)
    yield from _before(boat, run, first)
    yield _make(boat, run, first, order, "bench")
    paired = _both_spliced(boat, run)
    if paired:
        yield from _set_pull(boat, run, first)
        yield _mark_again(run, last)
    else:
        yield from _set_pull(boat, run, first, Remark("step.then_mark_from_it"))
    yield from _free_end_through(run, order)
    yield _fasten(boat, run, first)
    from_throat = Remark("step.check_from_throat", marks=FROM_THROAT, at=point)
    yield Step((haul, from_throat if paired else Remark("step.check_marks", at=point)), cuts=True)
    yield from _before(boat, run, last)
    yield _make(boat, run, last, order, "board")
    if is_spliced(line_end(boat, run, last)):
        # The pull loads the whole line, so its other end comes off the boat for it.
        where = Remark("step.between_strong_points")
        yield from _set_pull(boat, run, last, where, ahead=_held(boat, run, first, "take_off"))
        yield Step((_held(boat, run, first, "fasten_again"), _held(boat, run, last, "fasten")), fastens=last)
    else:
        yield _fasten(boat, run, last)
    yield _set(boat, run)


def _on_the_bench(boat: Boat, run: PlacedRun, order: Order) -> Iterator[Step]:
    """Yield the work where both ends are made on the bench, and a finished end is drawn through the holes."""
    first = order.made.first
    last = OTHER[first]
    yield _marked(boat, run)
    yield from _before(boat, run, first)
    yield _make(boat, run, first, order, "bench")
    yield from _set_pull(boat, run, first)
    if _both_spliced(boat, run):
        yield _mark_again(run, last)
        yield Step((Remark("step.cut_beyond_eye"),), cuts=True)
    else:
        yield Step((Remark("step.mark_again_from", kind=_kind(boat, run, first)),), cuts=True)
    yield from (_slid(item, "before_second_end") for item in order.slide)
    yield from _before(boat, run, last)
    yield _make(boat, run, last, order, "bench")
    yield from _set_pull(boat, run, last, Remark("step.measure_between_ends"))
    for hole in _way(run, order.leading):
        end = run_end(run, order.leading).end
        yield Step((Remark("step.finished_end_through", hole=hole, end=end),))
    yield _fasten(boat, run, OTHER[order.leading])
    yield from (Step((Remark("step.thimble_in", at=end_name(run_end(run, where))),)) for where in order.late)
    yield _fasten(boat, run, order.leading)
    yield _set(boat, run)


def _way(run: PlacedRun, leading: Where) -> list[str]:
    holes = [passage.hole.id for passage in run.passages]
    return holes if leading == "finish" else holes[::-1]


def _free_end_through(run: PlacedRun, order: Order) -> Iterator[Step]:
    """Yield the passage of the free end through the holes; each item goes on after the hole it belongs to."""
    holes = _way(run, order.leading)
    yield from (_slid(item, "from_free_end") for item in order.slide if item.hole not in holes)
    for hole in holes:
        yield Step((Remark("step.free_end_through", hole=hole),))
        yield from (_slid(item, "from_free_end") for item in order.slide if item.hole == hole)


def _rope(boat: Boat, run: PlacedRun) -> bool:
    return is_rope(boat.lines[run.spec.line])


def _kind(boat: Boat, run: PlacedRun, where: Where) -> str:
    return family(line_end(boat, run, where))["kind"]


def _marked(boat: Boat, run: PlacedRun) -> Step:
    tension = run.spec.marking_tension
    if _rope(boat, run):
        pull = Remark("pull.marking_not_stated") if tension is None else Remark("pull.stated", pull_n=tension)
        stretch = Remark("step.pre_stretch")
        if any(is_spliced(line_end(boat, run, where)) for where in BOTH):
            long = Remark("step.long_marks", marks=LONG_MARKS[_both_spliced(boat, run)], pull=pull)
            return Step((stretch, long, Remark("step.splice_marks", marks=SPLICE_MARKS)))
        return Step((stretch, Remark("step.mark_rope", pull=pull)))
    return Step((Remark("step.mark_wire") if tension is None else Remark("step.mark_wire_under", pull_n=tension),))


def _make(boat: Boat, run: PlacedRun, where: Where, order: Order, manner: Literal["bench", "board"]) -> Step:
    end, stated = line_end(boat, run, where), run_end(run, where)
    lock = order.made.lock(where)
    details = [] if lock is None else [Remark("step.with_lock", lock=lock)]
    if end.thimble is not None:
        drawn = order.in_place is None and bool(run.passages) and where == order.leading
        details.append(Remark("step.without_thimble") if drawn else Remark("step.with_thimble"))
    make = Remark(
        "step.make", where=manner, end=stated.end, family=end.family, at=end_name(stated), details=tuple(details)
    )  # fmt: skip
    return Step((make,), makes=where)


def _both_spliced(boat: Boat, run: PlacedRun) -> bool:
    return all(is_spliced(line_end(boat, run, where)) for where in BOTH)


def _mark_again(run: PlacedRun, where: Where) -> Step:
    """Return the marking of an eye once the other eye is finished and its take-up is used up."""
    point = end_name(run_end(run, where))
    return Step((Remark("step.mark_eye_again", at=point, marks=FROM_THROAT),), marks=where)


def _set_pull(
    boat: Boat, run: PlacedRun, where: Where, then: Remark | None = None, ahead: Remark | None = None
) -> Iterator[Step]:
    """Yield the set pull of a splice; other ends are not pulled."""
    if is_spliced(line_end(boat, run, where)):
        pull = table.datum("splice_practice", key="set_pull").value
        work = (ahead, Remark("step.set_pull", at=end_name(run_end(run, where)), pull_n=pull), then)
        yield Step(tuple(one for one in work if one is not None))


def _fasten(boat: Boat, run: PlacedRun, where: Where) -> Step:
    return Step((_held(boat, run, where, "fasten"),), fastens=where)


def _held(boat: Boat, run: PlacedRun, where: Where, work: Literal["fasten", "fasten_again", "take_off"]) -> Remark:
    """Return the fastening or removal of an end: by its fittings, or at the pin where it has none."""
    stated = run_end(run, where)
    if stated.fittings:
        return Remark(f"step.{work}", at=end_name(stated), fittings=tuple(stated.fittings))
    return Remark(f"step.{work}_pin", at=end_name(stated), kind=_kind(boat, run, where))


def _set(boat: Boat, run: PlacedRun) -> Step:
    tension = run.spec.set_tension
    pull = Remark("pull.set_not_stated") if tension is None else Remark("pull.stated", pull_n=tension)
    names = (*run.spec.start.fittings, *run.spec.finish.fittings)
    pinned = any(boat.fittings[name].family != "lashing" for name in names)
    return Step((Remark("step.set", pull=pull), *((Remark("step.pins_last"),) if pinned else ())))


def _slid(item: SlideOn, when: Literal["from_free_end", "before_second_end"]) -> Step:
    if item.hole:
        return Step((Remark("step.slide_on_for", item=item.item, hole=item.hole, when=when),))
    return Step((Remark("step.slide_on", item=item.item, when=when),))


def _before(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Step]:
    """Yield what has to be on the line before an end is made, by its family."""
    for part in family(line_end(boat, run, where))["before"].split(";"):
        if part.strip() and part.strip() not in _OF_THE_RUN:
            yield Step((Remark("step.before_end", end=run_end(run, where).end, part=part.strip()),))
