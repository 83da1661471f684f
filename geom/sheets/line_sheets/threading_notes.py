"""What a threading plan says in words: why a run is threaded so, its tools, its steps with lengths and splices."""

from __future__ import annotations

from geom.drafting.hole_text import edges_not_chosen
from geom.drafting.line_text import fine_length, in_words, length, tape_length
from geom.placement.eyes import Where
from geom.placement.line_ends import OTHER, run_end
from geom.refit import Refit
from geom.rigging.threading_plan import Attempt
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import threading_text
from geom.sheets.line_sheets.threading_figure import splice_number
from geom.tables import numbers

_ENDS: dict[Where, str] = {"start": "forward", "finish": "after"}


def note_lines(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return what stands under a diagram: why it is so, what is slid on in order, tools, what stays captive."""
    fmt, plan = numbers(refit.boat), work.plan
    if work.refused:
        return ()
    lines = [threading_text.WHY.format(text=reason(refit, work))]
    if plan.slide_on:
        named = [item.item if item.hole is None else f"{item.item} for {item.hole}" for item in plan.slide_on]
        text = ", ".join(f"{number} {name}" for number, name in enumerate(named, start=1))
        lines.append(threading_text.ON_THE_LINE.format(text=text))
    tools = ", ".join(in_words(tool, fmt) for tool in plan.tools)
    lines.append(threading_text.TOOLS.format(text=tools or threading_text.NOT_STATED))
    room = plan.fid_room
    if room is not None:
        lines.append(threading_text.FID_ROOM.format(
            needed=length(room.needed, fmt), there=length(room.there, fmt), unit=fmt.unit,
            enough=threading_text.FID_ENOUGH[room.enough],
        ))  # fmt: skip
    if edges_not_chosen(refit, (work.run,)):
        lines.append(threading_text.BARE)
    if plan.captive:
        lines.append(threading_text.CAPTIVE.format(text=in_words(plan.captive, fmt)))
    return tuple(lines)


def reason(refit: Refit, work: RunWork) -> str:
    """Return why a run is threaded so, the bores it speaks of in the sheet's unit."""
    plan = work.plan
    if not refit.placed.runs[work.run].passages:
        return threading_text.NO_HOLE_WHY
    if plan.in_place is None:
        way = next(attempt for attempt in plan.tried if attempt.direction == plan.direction)
        return threading_text.SO_ON_BENCH.format(direction=way.direction, why=in_words(way.why, numbers(refit.boat)))
    whys = [_stopped(refit, work, attempt) for attempt in plan.tried]
    if whys[0] == whys[1]:
        text = threading_text.EITHER_WAY.format(text=whys[0])
    else:
        ways = zip(plan.tried, whys, strict=True)
        text = "; ".join(threading_text.EACH_WAY.format(direction=attempt.direction, text=why) for attempt, why in ways)
    return f"{text}. {threading_text.SO_IN_PLACE.format(end=_ENDS[plan.in_place])}"


def _stopped(refit: Refit, work: RunWork, attempt: Attempt) -> str:
    """Return what keeps a finished end from being drawn through."""
    fmt = numbers(refit.boat)
    if attempt.stopped is None:
        return in_words(attempt.why, fmt)
    hole, eye = attempt.stopped
    end, verdict = run_end(refit.placed.runs[work.run], attempt.leading).end, threading_text.WHY_STOPPED[eye.verdict]
    if eye.needs is None:
        return threading_text.MADE_UP_ONLY.format(end=end, hole=hole, verdict=verdict)
    return threading_text.MADE_UP.format(
        end=end, hole=hole, verdict=verdict, needs=fine_length(eye.needs, fmt), has=fine_length(eye.has, fmt),
        unit=fmt.unit,
    )  # fmt: skip


def step_lines(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return the numbered steps of a run, with the splice to make and the lengths of the fittings; none if held back.

    Lengths are pin to pin, planned and in brackets from least to most.
    """
    if work.refused:
        return ()
    fmt, found = numbers(refit.boat), []
    for number, step in enumerate(work.plan.work, start=1):
        more = ""
        if step.makes is not None:
            splice = splice_number(refit, work, step.makes)
            more = "" if splice is None else threading_text.SPLICE.format(number=splice)
        elif step.fastens is not None:
            more = _fittings(refit, work, step.fastens)
        elif step.marks is not None:
            value = work.lengths.from_throat(OTHER[step.marks])
            more = threading_text.NOT_STATED if value is None else f"{tape_length(value, fmt)} {fmt.unit}"
        found.append(f"{number} {in_words(step.does, fmt)}{f': {more}' if more else ''}")
    return tuple(found)


def _fittings(refit: Refit, work: RunWork, where: Where) -> str:
    fmt, found = numbers(refit.boat), []
    names = run_end(refit.placed.runs[work.run], where).fittings
    for name in names:
        size = refit.boat.fittings[name].length
        words = threading_text.FASTENED_PLAIN if size.min is None and size.max is None else threading_text.FASTENED
        minimum, maximum = (
            threading_text.NOT_STATED if value is None else length(value, fmt) for value in (size.min, size.max)
        )
        text = words.format(planned=length(size.planned, fmt), unit=fmt.unit, minimum=minimum, maximum=maximum)
        found.append(text if len(names) == 1 else threading_text.NAMED.format(name=name, size=text))
    return ", ".join(found)
