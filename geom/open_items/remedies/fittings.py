"""Remedies at fittings: more range, a smaller gap, another pin, jaw or thimble, stitching, a wider stop."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.line_model import Run
from geom.open_items.group import once, some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.remedy import Candidate, Edits, Part, fittings_of, ids, one_value, steps_off
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding

# Size of a step [mm], and the largest number of them.
TENTH, MOST = 0.1, 2000
# Largest range of an adjuster each way [mm].
MOST_RANGE = 200
# Families of fittings that take up a line's error.
_ADJUSTABLE = ("lashing", "open-body turnbuckle", "closed-body turnbuckle")


def more_range(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each fitting of the lines with a larger maximum, and with a smaller minimum."""
    for name in fittings_of(refit, item):
        length = refit.boat.fittings[name].length
        if length.max is not None:
            yield _longest(refit, item, name)
        if length.min is not None and length.min > TENTH:
            yield _shortest(refit, item, name, math.floor(length.min / TENTH))


def _longest(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("fittings", name, "length", "max")
    return one_value(refit, item, path, TENTH, MOST, lambda to: Remark("remedy.max_length", at=name, to_mm=to))


def _shortest(refit: Refit, item: OpenItem, name: str, most: int) -> Candidate:
    path = ("fittings", name, "length", "min")
    return one_value(refit, item, path, -TENTH, most, lambda to: Remark("remedy.min_length", at=name, to_mm=to))


def smaller_gap(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each lashing of the lines with a smaller maximum, and a smaller planned gap where that is over it."""
    for name in fittings_of(refit, item):
        if refit.boat.fittings[name].family == "lashing":
            yield _lashing(refit, item, name)


def _lashing(refit: Refit, item: OpenItem, name: str) -> Candidate:
    length, place = refit.boat.fittings[name].length, ("fittings", name, "length")
    widest = max(length.planned, length.max or 0.0)

    def edits(tenths: int) -> Edits:
        to = widest - tenths * TENTH
        planned = (edit.quantity(refit.boat, (*place, "planned"), to),) if length.planned > to else ()
        maximum = (
            (edit.quantity(refit.boat, (*place, "max"), to),) if length.max is not None and length.max > to else ()
        )
        return (*planned, *maximum)

    guess = steps_off([one.margin for one in item.findings], TENTH)
    part = Part(name, ids(item), edits, guess, math.floor(widest / TENTH) - 1)
    return Candidate((part,), lambda steps: Remark("remedy.gap", at=name, to_mm=widest - steps[0] * TENTH), TENTH)


def other_pin(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the pin of each fitting thinner, until it goes into its hole."""
    for name in fittings_of(refit, item):
        if refit.boat.fittings[name].pin is not None:
            yield _pin(refit, item, name)


def _pin(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("fittings", name, "pin")
    most = math.floor((refit.boat.fittings[name].pin or 0.0) / TENTH) - 1
    return one_value(refit, item, path, -TENTH, most, lambda to: Remark("remedy.pin", at=name, to_mm=to))


def other_jaw(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the jaw of each fitting wider, until it goes over its plate."""
    for name in fittings_of(refit, item):
        if refit.boat.fittings[name].jaw is not None:
            yield _jaw(refit, item, name)


def _jaw(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("fittings", name, "jaw")
    return one_value(refit, item, path, TENTH, MOST, lambda to: Remark("remedy.jaw", at=name, to_mm=to))


def longer_eye(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a longer eye at each kind of end in use."""
    for name in once(end.end for spec in _specs(refit, item) for end in (spec.start, spec.finish)):
        if refit.boat.ends[name].throat_to_pin is not None:
            yield _eye(refit, item, name)


def _eye(refit: Refit, item: OpenItem, name: str) -> Candidate:
    path = ("ends", name, "throat_to_pin")
    return one_value(refit, item, path, 1.0, 200, lambda to: Remark("remedy.eye_length", at=name, to_mm=to))


def both_hands(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a turnbuckle with one left-hand and one right-hand stud."""
    for name in fittings_of(refit, item):
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
    return one_value(refit, item, path, TENTH, MOST, lambda to: Remark("remedy.stop", at=run, to_mm=to))


def open_thimbles(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield open thimbles in place of closed ones, which go into an eye after threading."""
    ends = once(end.end for run in _specs(refit, item) for end in (run.start, run.finish))
    closed = [name for name in ends if _is_closed(refit, name)]
    edits = tuple(edit.word(refit.boat, ("ends", name, "thimble", "pattern"), "open") for name in closed)
    if edits:
        yield Candidate(
            (Part(closed[0], ids(item), lambda _: edits),),
            lambda _: Remark("remedy.open_thimble", at=Remark("item.places", places=tuple(closed))),
        )


def _is_closed(refit: Refit, end: str) -> bool:
    thimble = refit.boat.ends[end].thimble
    return thimble is not None and thimble.pattern == "closed"


def stitched(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield lock-stitching at the splices that have none."""
    ends = once(end.end for run in _specs(refit, item) for end in (run.start, run.finish))
    loose = tuple(name for name in ends if refit.boat.ends[name].stitching in ("none", "whipped"))
    edits = tuple(edit.word(refit.boat, ("ends", name, "stitching"), "lock-stitched") for name in loose)
    if edits:
        yield Candidate(
            (Part(loose[0], ids(item), lambda _: edits),),
            lambda _: Remark("remedy.stitched", at=Remark("item.places", places=loose)),
        )


def adjusters(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield one kind of lashing or turnbuckle with so much range both ways in each of the lines."""
    specs = _specs(refit, item)
    bare = tuple(run.id for run in specs if not run.start.fittings and not run.finish.fittings)
    boat = refit.boat
    for name in fittings_of(refit, item) or tuple(boat.fittings)[:1]:
        if boat.fittings[name].family in _ADJUSTABLE:
            yield _in_each(refit, item, name, bare)


def _in_each(refit: Refit, item: OpenItem, name: str, bare: tuple[str, ...]) -> Candidate:
    """Return a fitting with a range both ways at the after ends of lines without one [whole mm]."""
    boat = refit.boat
    old, place = boat.fittings[name].length, ("fittings", name, "length")
    ends = tuple(edit.names(boat, ("runs", run, "finish", "fittings"), (name,)) for run in bare)

    def edits(each_way: int) -> Edits:
        planned = max(old.planned, float(each_way))
        wanted = {"min": planned - each_way, "planned": planned, "max": planned + each_way}
        return (*ends, *(edit.quantity(boat, (*place, key), value) for key, value in wanted.items()))

    budgets = [refit.work.runs[run].budget for run in item.places if run in refit.work.runs]
    guess = math.ceil(max((max(one.needed_shorten, one.needed_lengthen) for one in budgets), default=1.0))
    return Candidate(
        (Part(name, ids(item), edits, guess, MOST_RANGE),),
        lambda steps: Remark(
            "remedy.adjusters", fitting=name, at=some_of(item.places, "runs"), each_way_mm=float(steps[0])
        ),
        step=1.0,
    )


def measured_opening(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield an opening or a height that was measured on board brought to its limit."""
    for key in once(finding.quantity.code.partition(".")[2] for finding in item.findings):
        path = ("rules", "measured", key)
        if edit.at(refit.boat, path) is not None:
            sign = -1.0 if any((one.margin or 0.0) < 0.0 and _over(one) for one in item.findings) else 1.0
            yield _brought(refit, item, path, sign)


def _brought(refit: Refit, item: OpenItem, path: tuple[str, ...], sign: float) -> Candidate:
    what = item.findings[0].quantity
    return one_value(refit, item, path, sign, MOST, lambda to: Remark("remedy.measured", what=what, to_mm=to))


def _over(finding: Finding) -> bool:
    return finding.measured is not None and finding.limit is not None and finding.measured > finding.limit


def _specs(refit: Refit, item: OpenItem) -> list[Run]:
    """Return the lines of an item, as the boat file has them."""
    return [refit.placed.runs[run].spec for run in item.places if run in refit.placed.runs]
