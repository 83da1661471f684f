"""Which end of a run is made on the bench and which on board, in which direction it is threaded, what slides on when.

Both directions are tried; the verdicts of every hole on the way decide, the sleeves that have to travel
through holes count too. Source: common practice, no source; tools stand in data/end_families.csv.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat, SlideOn
from geom.placement.eyes import ORDER, EyeVerdict, RunEyes, Where, limits, thimble_goes_in
from geom.placement.line_ends import BOTH, OTHER, family, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.rigging.fit import BuryFit
from geom.rigging.lengths import bury_of
from geom.rigging.making import Making
from geom.rigging.remark import Remark
from geom.rigging.splice import practice
from geom.rigging.threading_steps import Order, Step, work_steps
from geom.units import Mm

_WAYS: dict[Where, str] = {"start": "forward", "finish": "aft"}


@dataclass(frozen=True)
class Attempt:
    """One direction of threading: the end that leads, whether it goes through ready made, and why (not).

    `stopped` is the hole that the made-up end does not pass, with its verdict; None where it passes all of them or
    something slid on keeps it off.
    """

    leading: Where
    direction: str
    ready_made: bool
    plain: bool
    why: str
    stopped: tuple[str, EyeVerdict] | None = None


@dataclass(frozen=True)
class FidRoom:
    """Room to work at an end made in place [mm]: needed from the throat, there up to the nearest hole, slack wanted."""

    needed: Mm
    there: Mm
    slack: Mm

    @property
    def enough(self) -> bool:
        """Whether the exit mark and the fid stay clear of the nearest hole."""
        return self.there >= self.needed


@dataclass(frozen=True)
class ThreadingPlan:
    """How a run is made and threaded. `work` is in order, ready to be read out on deck.

    `in_place` None where both ends are made on the bench; `possible` False where not even the plain line
    goes through; `captive` is what stays on the line or the boat once both ends are made.
    """

    run: str
    bench: tuple[Where, ...]
    in_place: Where | None
    direction: str
    from_point: str
    to_point: str
    possible: bool
    tried: tuple[Attempt, Attempt]
    reason: str
    work: tuple[Step, ...]
    slide_on: tuple[SlideOn, ...]
    tools: tuple[str, ...]
    fid_room: FidRoom | None
    thimbles: tuple[str, ...]
    captive: tuple[str, ...]
    remarks: tuple[Remark, ...]

    @property
    def steps(self) -> tuple[str, ...]:
        """The work in words, step by step."""
        return tuple(step.text for step in self.work)

    def thimble(self, where: Where) -> str | None:
        """Return when an end's thimble goes in: `while the eye is made`, `after threading`; None without a thimble.

        `not after threading` and `cannot tell` are of an end drawn through holes whose finished eye may not take it.
        """
        stated = next((text for text in self.thimbles if text.startswith(f"{where}: ")), None)
        return None if stated is None else stated.removeprefix(f"{where}: ").partition(",")[0]


def threading_plan(boat: Boat, run: PlacedRun, eyes: RunEyes, made: Making, fit: BuryFit) -> ThreadingPlan:
    """Return the threading plan of a run.

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
        work=work_steps(boat, run, Order(leading, in_place, slide, _late(thimbles), made)),
        slide_on=slide,
        tools=_tools(boat, run, in_place),
        fid_room=room,
        thimbles=thimbles,
        captive=_captive(boat, run, eyes),
        remarks=remarks,
    )


def _attempt(boat: Boat, run: PlacedRun, eyes: RunEyes, leading: Where) -> Attempt:
    """Return whether an end goes through all holes ready made, and whether at least the plain line does."""
    name = run_end(run, leading).end
    direction = _WAYS[leading]
    if not run.passages:
        return Attempt(leading, direction, True, True, "no hole on the way")
    verdicts = [(hole.hole, hole.start if leading == "start" else hole.finish) for hole in eyes.holes]
    plain = all(verdict.verdict != "line does not pass" for _, verdict in verdicts)
    stops = [(hole, verdict) for hole, verdict in verdicts if not verdict.goes_through]
    if stops:
        hole, worst = max(stops, key=lambda stop: ORDER.index(stop[1].verdict))
        needs = "" if worst.needs is None else f", needs a hole of {worst.needs:.1f} mm, it is {worst.has:.1f} mm"
        why = f"made-up {name} at {hole}: {worst.verdict}{needs}"
        return Attempt(leading, direction, False, plain, why, (hole, worst))
    stuck = blocked_by(run, leading, limits(boat.eye_factors).tolerance)
    if stuck is not None:
        return Attempt(leading, direction, False, plain, stuck)
    return Attempt(leading, direction, True, plain, f"the made-up {name} goes through every hole")


def _choose(
    run: PlacedRun, eyes: RunEyes, made: Making, tried: tuple[Attempt, Attempt]
) -> tuple[Where, Where | None, str]:
    """Return the leading end, the end made in place (None where both are made on the bench), and the reason."""
    by_end = {attempt.leading: attempt for attempt in tried}
    if not run.passages:
        return made.last, None, "no hole on the way: both ends are made on the bench"
    order: tuple[Where, Where] = (eyes.leading, OTHER[eyes.leading])
    for where in order:
        if by_end[where].ready_made:
            return where, None, f"threaded {by_end[where].direction}: {by_end[where].why}; both ends on the bench"
    last = eyes.in_place or made.last
    whys = "; ".join(f"{attempt.direction}: {attempt.why}" for attempt in tried)
    return last, last, f"neither way goes ready made ({whys}): the {_end_word(last)} end is made in place"


def _end_word(where: Where) -> str:
    return "forward" if where == "start" else "after"


def _thimbles(boat: Boat, run: PlacedRun, drawn: Where | None) -> tuple[str, ...]:
    """Return for each end with a thimble when it goes in, as `start: after threading, why`.

    Only the end that is drawn through holes ready made has to go through them without its thimble.
    """
    found = []
    for where in BOTH:
        end = line_end(boat, run, where)
        if end.thimble is None:
            continue
        if where != drawn:
            found.append(f"{where}: while the eye is made")
            continue
        goes_in, why = thimble_goes_in(end)
        when = {True: "after threading", False: "not after threading", None: "cannot tell"}[goes_in]
        found.append(f"{where}: {when}, {why}")
    return tuple(found)


def _late(thimbles: tuple[str, ...]) -> tuple[Where, ...]:
    return tuple(where for where in BOTH if any(text.startswith(f"{where}: after threading") for text in thimbles))


def _fid_room(boat: Boat, run: PlacedRun, where: Where, fit: BuryFit) -> FidRoom | None:
    """Return the room for a splice made in place; None for an end that is not spliced.

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


def _tools(boat: Boat, run: PlacedRun, in_place: Where | None) -> tuple[str, ...]:
    tools: list[str] = []
    for where in BOTH:
        for tool in family(line_end(boat, run, where))["tools"].split(","):
            if tool.strip() and tool.strip() not in tools:
                tools.append(tool.strip())
    # Only a made-up end is drawn through; a plain one is pushed or led through by hand.
    if run.passages and in_place is None:
        tools.append("messenger line")
    return tuple(tools)


def _captive(boat: Boat, run: PlacedRun, eyes: RunEyes) -> tuple[str, ...]:
    """Return what cannot be taken off again without cutting an end."""
    found = []
    through = {
        where: all((hole.start if where == "start" else hole.finish).goes_through for hole in eyes.holes)
        for where in BOTH
    }
    closed = {where: family(line_end(boat, run, where))["makes_captive"] == "yes" for where in BOTH}
    if run.passages and not any(through.values()):
        names = ", ".join(passage.hole.id for passage in run.passages)
        found.append(f"the line stays in {names} until an end is cut off")
    if run.spec.slide_on and all(closed.values()):
        found += [f"{item.item} stays on the line" for item in run.spec.slide_on]
    return tuple(found)


def _remarks(
    run: PlacedRun, possible: bool, room: FidRoom | None, made: Making, thimbles: tuple[str, ...]
) -> tuple[Remark, ...]:
    found = list(made.remarks)
    for text in thimbles:
        if ": not after threading" in text:
            found.append(Remark("thimble", "refused", run.id, "thimble", text))
        elif ": cannot tell" in text:
            found.append(Remark("thimble", "cannot tell", run.id, "thimble", text))
    if not possible:
        found.append(Remark("threading", "refused", run.id, "threading", "the line itself does not go through a hole"))
    if room is not None and not room.enough:
        text = f"the fid needs {room.needed:.0f} mm from the throat and the nearest hole is {room.there:.0f} mm away"
        found.append(Remark("fid-room", "notice", run.id, "room for the fid", text, room.there, room.needed, "mm"))
    return tuple(found)


def in_order(run: PlacedRun, leading: Where) -> tuple[SlideOn, ...]:
    """Return the items in the order in which they go on from the leading, plain end.

    The item that comes to lie nearest the far end goes on first. An item that belongs to no hole lies at
    the far end, behind all holes, and goes on before them.
    """
    holes = [passage.hole.id for passage in run.passages]
    from_far = holes if leading == "finish" else holes[::-1]

    def rank(item: SlideOn) -> int:
        return -1 if item.hole is None or item.hole not in from_far else from_far.index(item.hole)

    return tuple(sorted(run.spec.slide_on, key=rank))


def blocked_by(run: PlacedRun, leading: Where, tolerance: float) -> str | None:
    """Return which item keeps a line with both ends made from being drawn through, None where none does.

    With both ends made everything is on the line before it is threaded, so an item for a far hole has to
    travel through the holes before it.

    Args:
        run: the placed run.
        leading: the end that is drawn through.
        tolerance: by which a bore may fall short [mm].
    """
    bores = [(passage.hole.id, passage.hole.bore) for passage in run.passages]
    way = bores if leading == "finish" else bores[::-1]
    for item in run.spec.slide_on:
        if item.hole is None:
            continue
        names = [name for name, _ in way]
        before = way[: names.index(item.hole)] if item.hole in names else []
        for name, bore in before:
            if item.width is None:
                return f"{item.item} has to travel through {name} and its width is not given"
            if item.width > bore + tolerance:
                return f"{item.item} ({item.width:g} mm) does not travel through {name} ({bore:g} mm)"
    return None
