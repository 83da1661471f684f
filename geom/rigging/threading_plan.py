"""The threading plan: which ends are made on the bench or on board, the direction, and the order of items slid on.

Both directions are tried. The verdict of every hole on the way decides, and the sleeves that have to pass through
holes. Source: common practice, no source; tools are in data/end_families.csv.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from geom.boat.model import Boat, SlideOn
from geom.frozen import frozen
from geom.placement.eyes import ORDER, EyeVerdict, RunEyes, Where, limits, thimble_goes_in
from geom.placement.line_ends import BOTH, OTHER, family, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.remark import Remark, Stated
from geom.rigging.fit import BuryFit
from geom.rigging.lengths import bury_of
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.rigging.making import Making
from geom.rigging.splice import practice
from geom.rigging.threading_steps import Order, Step
from geom.units import Mm

_WAYS: dict[Where, str] = {"start": "forward", "finish": "aft"}


@frozen
class Attempt:
    """One direction of threading: the leading end, whether it passes finished, and the reason.

    `plain`: the line without an end passes. `stopped` is the hole that the finished end does not pass, with its
    verdict; None where it passes all of them, or where an item on the line stops it.
    """

    leading: Where
    direction: str
    ready_made: bool
    plain: bool
    why: Remark
    stopped: tuple[str, EyeVerdict] | None = None


@dataclass(frozen=True)
class FidRoom:
    """Working room at an end made on board [mm]: needed from the throat, available to the nearest hole, and slack."""

    needed: Mm
    there: Mm
    slack: Mm

    @property
    def enough(self) -> bool:
        """Whether exit mark and fid stay clear of the nearest hole."""
        return self.there >= self.needed


ThimbleWhen = Literal["while the eye is made", "after threading", "not after threading", "cannot tell"]


@frozen
class ThimbleTime:
    """When the thimble of an end goes in, and the reason; `why` is None where the end is not drawn through holes.

    `not after threading` and `cannot tell`: the end is drawn through holes, and the thimble does not or may not fit
    into the finished eye.
    """

    end: Where
    when: ThimbleWhen
    why: Remark | None = None


@frozen
class ThreadingPlan:
    """How a run is made and threaded; `work` lists the steps in order, as `order` determines it.

    `in_place` is the end made on board, None where both are made on the bench; `possible` is False where not even
    the plain line passes; `captive` lists what stays on the line or the boat once both ends are made.
    """

    run: str
    bench: tuple[Where, ...]
    in_place: Where | None
    direction: str
    from_point: str
    to_point: str
    possible: bool
    tried: tuple[Attempt, Attempt]
    reason: Remark
    order: Order
    slide_on: tuple[SlideOn, ...]
    tools: tuple[Stated, ...]
    fid_room: FidRoom | None
    thimbles: tuple[ThimbleTime, ...]
    captive: tuple[Remark, ...]
    remarks: tuple[LineRemark, ...]
    work: tuple[Step, ...] = ()

    def thimble(self, where: Where) -> ThimbleWhen | None:
        """Return when the thimble of an end goes in; None without a thimble."""
        return next((one.when for one in self.thimbles if one.end == where), None)


def threading_plan(boat: Boat, run: PlacedRun, eyes: RunEyes, made: Making, fit: BuryFit) -> ThreadingPlan:
    """Return the threading plan of a run, without its steps, which name lengths and pulls.

    Args:
        boat: the boat file.
        run: the placed run.
        eyes: the verdicts of its ends in its holes.
        made: the order of making.
        fit: the stations of its buries and holes.
    """
    tried = (_attempt(boat, run, eyes, "start"), _attempt(boat, run, eyes, "finish"))
    leading, in_place, reason = _choose(run, eyes, made, tried)
    points = (end_name(run.spec.finish), end_name(run.spec.start))
    from_point, to_point = points if leading == "start" else points[::-1]
    bench: tuple[Where, ...] = ("start", "finish") if in_place is None else (OTHER[in_place],)
    possible = not run.passages or any(attempt.plain for attempt in tried)
    slide = in_order(run, leading)
    thimbles = _thimbles(boat, run, leading if in_place is None and run.passages else None)
    room = None if in_place is None else _fid_room(boat, run, in_place, fit)
    remarks = _remarks(run, possible, room, made, thimbles)
    return ThreadingPlan(
        run=run.id,
        bench=bench,
        in_place=in_place,
        direction=_WAYS[leading],
        from_point=from_point,
        to_point=to_point,
        possible=possible,
        tried=tried,
        reason=reason,
        order=Order(leading, in_place, slide, _late(thimbles), made),
        slide_on=slide,
        tools=_tools(boat, run, in_place),
        fid_room=room,
        thimbles=thimbles,
        captive=_captive(boat, run, eyes),
        remarks=remarks,
    )


def _attempt(boat: Boat, run: PlacedRun, eyes: RunEyes, leading: Where) -> Attempt:
    """Return whether a finished end passes all holes, and whether the plain line does."""
    name = run_end(run, leading).end
    direction = _WAYS[leading]
    if not run.passages:
        return Attempt(leading, direction, True, True, Remark("way.no_holes"))
    verdicts = [(hole.hole, hole.start if leading == "start" else hole.finish) for hole in eyes.holes]
    plain = all(verdict.verdict != "line does not pass" for _, verdict in verdicts)
    stops = [(hole, verdict) for hole, verdict in verdicts if not verdict.goes_through]
    if stops:
        hole, worst = max(stops, key=lambda stop: ORDER.index(stop[1].verdict))
        why = Remark("way.stopped", end=name, hole=hole, verdict=worst.verdict)
        if worst.needs is not None:
            bores = {"needs_mm": worst.needs, "has_mm": worst.has}
            why = Remark("way.stopped_by_bore", end=name, hole=hole, verdict=worst.verdict, **bores)
        return Attempt(leading, direction, False, plain, why, (hole, worst))
    stuck = blocked_by(run, leading, limits(boat.eye_factors).tolerance)
    if stuck is not None:
        return Attempt(leading, direction, False, plain, stuck)
    return Attempt(leading, direction, True, plain, Remark("way.passes", end=name))


def _choose(
    run: PlacedRun, eyes: RunEyes, made: Making, tried: tuple[Attempt, Attempt]
) -> tuple[Where, Where | None, Remark]:
    """Return the leading end, the end made on board (None where both are made on the bench), and the reason."""
    by_end = {attempt.leading: attempt for attempt in tried}
    if not run.passages:
        return made.last, None, Remark("made.no_holes")
    order: tuple[Where, Where] = (eyes.leading, OTHER[eyes.leading])
    for where in order:
        if by_end[where].ready_made:
            way = by_end[where]
            return where, None, Remark("made.both_on_bench", direction=way.direction, why=way.why)
    last = eyes.in_place or made.last
    whys = tuple(Remark("way.direction", direction=attempt.direction, why=attempt.why) for attempt in tried)
    return last, last, Remark("made.neither_way", whys=whys, end=last)


def _thimbles(boat: Boat, run: PlacedRun, drawn: Where | None) -> tuple[ThimbleTime, ...]:
    """Return for each end with a thimble when it goes in.

    Only a finished end drawn through holes goes through without its thimble.
    """
    found = []
    for where in BOTH:
        end = line_end(boat, run, where)
        if end.thimble is None:
            continue
        if where != drawn:
            found.append(ThimbleTime(where, "while the eye is made"))
            continue
        goes_in, why = thimble_goes_in(end)
        when: dict[bool | None, ThimbleWhen] = {
            True: "after threading", False: "not after threading", None: "cannot tell",
        }  # fmt: skip
        found.append(ThimbleTime(where, when[goes_in], why))
    return tuple(found)


_DOUBTFUL: dict[ThimbleWhen, RemarkKind] = {"not after threading": "refused", "cannot tell": "cannot tell"}


def _late(thimbles: tuple[ThimbleTime, ...]) -> tuple[Where, ...]:
    return tuple(one.end for one in thimbles if one.when == "after threading")


def _fid_room(boat: Boat, run: PlacedRun, where: Where, fit: BuryFit) -> FidRoom | None:
    """Return the room for a splice made on board; None for an end that is not spliced.

    The exit mark and one fid have to lie between the throat and the nearest hole.
    """
    bury = next((bury for bury in fit.buries if bury.end == where), None)
    if bury is None:
        return None
    line = boat.lines[run.spec.line]
    tail = bury_of(line)
    exit_mark = practice("exit_over_tail") * tail
    reach = [abs(hole.at - bury.throat) for hole in fit.holes]
    there = min(reach) if reach else fit.finished
    return FidRoom(exit_mark + practice("fid") * line.diameter, there, exit_mark - tail)


def _tools(boat: Boat, run: PlacedRun, in_place: Where | None) -> tuple[Stated, ...]:
    tools: list[Stated] = []
    for where in BOTH:
        for tool in family(line_end(boat, run, where))["tools"].split(","):
            if tool.strip() and tool.strip() not in tools:
                tools.append(tool.strip())
    # Only a finished end is drawn through; a free end is led through by hand.
    if run.passages and in_place is None:
        tools.append(Remark("tool.messenger_line"))
    return tuple(tools)


def _captive(boat: Boat, run: PlacedRun, eyes: RunEyes) -> tuple[Remark, ...]:
    """Return what cannot be removed without cutting an end."""
    found = []
    through = {
        where: all((hole.start if where == "start" else hole.finish).goes_through for hole in eyes.holes)
        for where in BOTH
    }
    closed = {where: family(line_end(boat, run, where))["makes_captive"] == "yes" for where in BOTH}
    if run.passages and not any(through.values()):
        found.append(Remark("captive.line", holes=tuple(passage.hole.id for passage in run.passages)))
    if run.slide_on and all(closed.values()):
        found += [Remark("captive.item", item=item.item) for item in run.slide_on]
    return tuple(found)


def _remarks(
    run: PlacedRun, possible: bool, room: FidRoom | None, made: Making, thimbles: tuple[ThimbleTime, ...]
) -> tuple[LineRemark, ...]:
    found = list(made.remarks)
    for one in thimbles:
        kind = _DOUBTFUL.get(one.when)
        if kind is not None and one.why is not None:
            says = Remark("thimble.when", end=one.end, when=one.when, why=one.why)
            found.append(LineRemark("thimble", kind, run.id, says))
    if not possible:
        found.append(LineRemark("threading", "refused", run.id, Remark("threading.line_too_thick")))
    if room is not None and not room.enough:
        says = Remark("fid.no_room", needs_mm=room.needed, has_mm=room.there)
        found.append(LineRemark("fid-room", "notice", run.id, says, room.there, room.needed, "mm"))
    return tuple(found)


def in_order(run: PlacedRun, leading: Where) -> tuple[SlideOn, ...]:
    """Return the items in the order in which they slide on from the leading free end.

    The item nearest the far end goes on first. An item without a hole lies at the far end, beyond all holes, and
    goes on before the others.
    """
    holes = [passage.hole.id for passage in run.passages]
    from_far = holes if leading == "finish" else holes[::-1]

    def rank(item: SlideOn) -> int:
        return -1 if item.hole is None or item.hole not in from_far else from_far.index(item.hole)

    return tuple(sorted(run.slide_on, key=rank))


def blocked_by(run: PlacedRun, leading: Where, tolerance: float) -> Remark | None:
    """Return the item that stops a line with both ends finished from being drawn through, None where none does.

    With both ends finished all items are on the line before it is threaded, so an item for a far hole has to pass
    the holes before it.

    Args:
        run: the placed run.
        leading: the end drawn through.
        tolerance: by which a bore may be too small [mm].
    """
    bores = [(passage.hole.id, passage.hole.bore) for passage in run.passages]
    way = bores if leading == "finish" else bores[::-1]
    for item in run.slide_on:
        if item.hole is None:
            continue
        names = [name for name, _ in way]
        before = way[: names.index(item.hole)] if item.hole in names else []
        for name, bore in before:
            if item.width is None:
                return Remark("slide_on.width_not_given", item=item.item, hole=name)
            if item.width > bore + tolerance:
                return Remark("slide_on.too_wide", item=item.item, width_mm=item.width, hole=name, bore_mm=bore)
    return None
