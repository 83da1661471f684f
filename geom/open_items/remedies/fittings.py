"""Remedies at fittings and tubes: more range, a smaller gap, another pin or jaw, a wider stop, a thicker wall."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.open_items.group import once
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.remedy import Candidate, Edits, Part, ids, one_length, steps_off
from geom.refit import Refit
from geom.remark import Remark

# Size of a step [mm], and the largest number of them.
TENTH, MOST = 0.1, 2000


def more_range(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each fitting of the lines with a larger maximum, and with a smaller minimum."""
    for name in _fittings(refit, item):
        length = refit.boat.fittings[name].length
        if length.max is not None:
            yield _longest(refit, item, name)
        if length.min is not None and length.min > TENTH:
            yield _shortest(refit, item, name, math.floor(length.min / TENTH))


def _longest(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("fittings", name, "length", "max")
    return one_length(refit, item, path, TENTH, MOST, lambda to: Remark("remedy.max_length", at=name, to_mm=to))


def _shortest(refit: Refit, item: OpenItem, name: str, most: int) -> Candidate:
    path = ("fittings", name, "length", "min")
    return one_length(refit, item, path, -TENTH, most, lambda to: Remark("remedy.min_length", at=name, to_mm=to))


def smaller_gap(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each lashing of the lines with a smaller maximum, and a smaller planned gap where that is over it."""
    for name in _fittings(refit, item):
        if refit.boat.fittings[name].family == "lashing":
            yield _lashing(refit, item, name)


def _lashing(refit: Refit, item: OpenItem, name: str) -> Candidate:
    length, place = refit.boat.fittings[name].length, ("fittings", name, "length")
    widest = max(length.planned, length.max or 0.0)

    def edits(tenths: int) -> Edits:
        to = widest - tenths * TENTH
        planned = (edit.length(refit.boat, (*place, "planned"), to),) if length.planned > to else ()
        maximum = (edit.length(refit.boat, (*place, "max"), to),) if length.max is not None and length.max > to else ()
        return (*planned, *maximum)

    guess = steps_off([one.margin for one in item.findings], TENTH)
    part = Part(name, ids(item), edits, guess, math.floor(widest / TENTH) - 1)
    return Candidate((part,), lambda steps: Remark("remedy.gap", at=name, to_mm=widest - steps[0] * TENTH), TENTH)


def other_pin(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the pin of each fitting thinner, until it goes into its hole."""
    for name in _fittings(refit, item):
        if refit.boat.fittings[name].pin is not None:
            yield _pin(refit, item, name)


def _pin(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("fittings", name, "pin")
    most = math.floor((refit.boat.fittings[name].pin or 0.0) / TENTH) - 1
    return one_length(refit, item, path, -TENTH, most, lambda to: Remark("remedy.pin", at=name, to_mm=to))


def other_jaw(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the jaw of each fitting wider, until it goes over its plate."""
    for name in _fittings(refit, item):
        if refit.boat.fittings[name].jaw is not None:
            yield _jaw(refit, item, name)


def _jaw(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("fittings", name, "jaw")
    return one_length(refit, item, path, TENTH, MOST, lambda to: Remark("remedy.jaw", at=name, to_mm=to))


def longer_eye(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a longer eye at each kind of end in use."""
    specs = [refit.placed.runs[run].spec for run in item.places if run in refit.placed.runs]
    for name in once(end.end for spec in specs for end in (spec.start, spec.finish)):
        if refit.boat.ends[name].throat_to_pin is not None:
            yield _eye(refit, item, name)


def _eye(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("ends", name, "throat_to_pin")
    return one_length(refit, item, path, 1.0, 200, lambda to: Remark("remedy.eye_length", at=name, to_mm=to))


def both_hands(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a turnbuckle with one left-hand and one right-hand stud."""
    for name in _fittings(refit, item):
        if refit.boat.fittings[name].hand in ("left", "right"):
            yield _both_hands(refit, item, name)


def _both_hands(refit: Refit, item: OpenItem, name: str) -> Candidate:
    edits = (edit.word(refit.boat, ("fittings", name, "hand"), "left and right"),)
    return Candidate((Part(name, ids(item), lambda _: edits),), lambda _: Remark("remedy.both_hands", at=name))


def wider_stop(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a wider stop on a line."""
    if len(item.places) == 1:
        run = item.places[0]
        for index, slid in enumerate(refit.placed.runs[run].spec.slide_on):
            if slid.kind == "stop" and slid.width is not None:
                yield _stop(refit, item, run, index)


def _stop(refit: Refit, item: OpenItem, run: str, index: int) -> Candidate:
    path = ("runs", run, "slide_on", str(index), "width")
    return one_length(refit, item, path, TENTH, MOST, lambda to: Remark("remedy.stop", at=run, to_mm=to))


def thicker_wall(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the tube of the posts with a thicker wall."""
    tubes = once(refit.placed.posts[post].spec.tube for post in item.places)
    if len(tubes) == 1:
        name, tube = tubes[0], refit.boat.tubes[tubes[0]]
        most = math.floor((tube.od / 2.0 - tube.wall) / TENTH) - 1
        if most >= 1:
            path = ("tubes", name, "wall")
            yield one_length(
                refit, item, path, TENTH, most, lambda to: Remark("remedy.wall", at=name, to_mm=to)
            )  # fmt: skip


def _fittings(refit: Refit, item: OpenItem) -> tuple[str, ...]:
    """Return the fittings of an item's lines."""
    runs = [refit.placed.runs[run].spec for run in item.places if run in refit.placed.runs]
    return once(name for run in runs for end in (run.start, run.finish) for name in end.fittings)
