"""What a threading plan says in words: why a run is threaded so, its tools, its steps with lengths and splices."""

from __future__ import annotations

from geom.drafting.line_text import fine_length, length, tape_length
from geom.placement.eyes import Where
from geom.placement.line_ends import OTHER, run_end
from geom.refit import Refit
from geom.rigging.threading_plan import Attempt
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import threading_text as told
from geom.sheets.line_sheets.threading_figure import splice_number
from geom.tables import numbers

_ENDS: dict[Where, str] = {"start": "forward", "finish": "after"}


def note_lines(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return what stands under a diagram: why it is so, what is slid on in order, tools, what stays captive."""
    how, plan = numbers(refit.boat), work.plan
    if work.refused:
        return ()
    lines = [told.WHY.format(text=reason(refit, work))]
    if plan.slide_on:
        named = [item.item if item.hole is None else f"{item.item} for {item.hole}" for item in plan.slide_on]
        text = ", ".join(f"{number} {name}" for number, name in enumerate(named, start=1))
        lines.append(told.ON_THE_LINE.format(text=text))
    lines.append(told.TOOLS.format(text=", ".join(plan.tools) or told.NOT_STATED))
    room = plan.fid_room
    if room is not None:
        lines.append(told.FID_ROOM.format(
            needed=length(room.needed, how), there=length(room.there, how), unit=how.unit,
            enough=told.FID_ENOUGH[room.enough],
        ))  # fmt: skip
    if plan.captive:
        lines.append(told.CAPTIVE.format(text="; ".join(plan.captive)))
    return tuple(lines)


def reason(refit: Refit, work: RunWork) -> str:
    """Return why a run is threaded so, the bores it speaks of in the sheet's unit."""
    plan = work.plan
    if not refit.placed.runs[work.run].passages:
        return told.NO_HOLE_WHY
    if plan.in_place is None:
        way = next(attempt for attempt in plan.tried if attempt.direction == plan.direction)
        return told.SO_ON_BENCH.format(direction=way.direction, why=way.why)
    whys = [_stopped(refit, work, attempt) for attempt in plan.tried]
    if whys[0] == whys[1]:
        text = told.EITHER_WAY.format(text=whys[0])
    else:
        ways = zip(plan.tried, whys, strict=True)
        text = "; ".join(told.EACH_WAY.format(direction=attempt.direction, text=why) for attempt, why in ways)
    return f"{text}. {told.SO_IN_PLACE.format(end=_ENDS[plan.in_place])}"


def _stopped(refit: Refit, work: RunWork, attempt: Attempt) -> str:
    """Return what keeps a made-up end from being drawn through."""
    if attempt.stopped is None:
        return attempt.why
    how = numbers(refit.boat)
    hole, eye = attempt.stopped
    end, verdict = run_end(refit.placed.runs[work.run], attempt.leading).end, told.WHY_STOPPED[eye.verdict]
    if eye.needs is None:
        return told.MADE_UP_ONLY.format(end=end, hole=hole, verdict=verdict)
    return told.MADE_UP.format(
        end=end, hole=hole, verdict=verdict, needs=fine_length(eye.needs, how), has=fine_length(eye.has, how),
        unit=how.unit,
    )  # fmt: skip


def step_lines(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return the numbered steps of a run, with the splice to make and the lengths of the fittings; none if held back.

    Lengths are pin to pin, planned and in brackets from least to most.
    """
    if work.refused:
        return ()
    how, found = numbers(refit.boat), []
    for number, step in enumerate(work.plan.work, start=1):
        more = ""
        if step.makes is not None:
            splice = splice_number(refit, work, step.makes)
            more = "" if splice is None else told.SPLICE.format(number=splice)
        elif step.fastens is not None:
            more = _fittings(refit, work, step.fastens)
        elif step.marks is not None:
            value = work.lengths.from_throat(OTHER[step.marks])
            more = told.NOT_STATED if value is None else f"{tape_length(value, how)} {how.unit}"
        found.append(f"{number} {step.text}{f': {more}' if more else ''}")
    return tuple(found)


def _fittings(refit: Refit, work: RunWork, where: Where) -> str:
    how, found = numbers(refit.boat), []
    names = run_end(refit.placed.runs[work.run], where).fittings
    for name in names:
        size = refit.boat.fittings[name].length
        words = told.FASTENED_PLAIN if size.least is None and size.most is None else told.FASTENED
        least, most = (told.NOT_STATED if value is None else length(value, how) for value in (size.least, size.most))
        text = words.format(planned=length(size.planned, how), unit=how.unit, least=least, most=most)
        found.append(text if len(names) == 1 else told.NAMED.format(name=name, size=text))
    return ", ".join(found)
