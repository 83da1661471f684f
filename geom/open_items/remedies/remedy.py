"""A remedy: one change of the boat that closes an item, the smallest that does, with its side effects."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from geom.open_items.group import once
from geom.open_items.item import Change, OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.edit import Edit
from geom.refit import Refit
from geom.remark import Remark

Edits = tuple[Edit, ...]


@dataclass(frozen=True)
class Part:
    """What is to be solved at one place: which findings must pass, and the edits of so many steps.

    `guess` is the likely number of steps, `most` the largest that makes sense.
    """

    place: str
    findings: frozenset[str]
    edits: Callable[[int], Edits]
    guess: int = 1
    most: int = 1


@dataclass(frozen=True)
class Candidate:
    """A kind of change that may close an item: its parts, the size of a step in `unit`, and what it is called.

    `step` is 0 for a change without a measure, which is made or not.
    """

    parts: tuple[Part, ...]
    what: Callable[[tuple[int, ...]], Remark]
    step: float = 0.0
    unit: str = "mm"

    def edits(self, steps: tuple[int, ...]) -> Edits:
        """Return the edits of all parts, each with its number of steps."""
        return tuple(edit for part, number in zip(self.parts, steps, strict=True) for edit in part.edits(number))


@dataclass(frozen=True)
class Remedy:
    """A change that closes item number `item`, checked by calculating the changed boat.

    `changes` are made to the boat file. `clears` are the other items that it closes, `makes` the causes of items that
    it opens, `cut_anew` the lines whose finished length it changes. `steps` are the numbers of steps of `candidate`.
    """

    item: int
    what: Remark
    changes: tuple[Change, ...]
    clears: tuple[int, ...]
    makes: tuple[Remark, ...]
    cut_anew: tuple[str, ...]
    steps: tuple[int, ...] = ()
    candidate: Candidate | None = field(default=None, repr=False, compare=False)


def ids(item: OpenItem) -> frozenset[str]:
    """Return the ids of an item's findings."""
    return frozenset(finding.id for finding in item.findings)


def fittings_of(refit: Refit, item: OpenItem) -> tuple[str, ...]:
    """Return the fittings of an item's lines."""
    runs = [refit.placed.runs[run].spec for run in item.places if run in refit.placed.runs]
    return once(name for run in runs for end in (run.start, run.finish) for name in end.fittings)


def steps_off(margins: list[float | None], step: float) -> int:
    """Return by how many steps the worst margin is off its limit, 1 at least.

    Args:
        margins: margins of findings, negative where they fail.
        step: size of a step [unit of the margins].
    """
    return max([math.ceil(-margin / step - 1e-9) for margin in margins if margin is not None] + [1])


def by_mm(steps: tuple[int, ...]) -> Remark:
    """Return by how many millimetres places are changed: up to the largest number where they differ."""
    return Remark("remedy.by" if len(set(steps)) == 1 else "remedy.by_up_to", by_mm=float(max(steps)))


def each_place(
    item: OpenItem,
    edits: Callable[[str, int], Edits],
    what: Callable[[Remark], Remark],
    findings: Callable[[OpenItem, str], frozenset[str]],
    most: int,
) -> Candidate:
    """Return a candidate that changes each place of an item by whole millimetres, as far as that place needs.

    Args:
        item: the item.
        edits: of a place, for a number of millimetres.
        what: names the candidate by its millimetres.
        findings: the ids of the findings of a place.
        most: the largest number of millimetres.
    """

    def part(place: str) -> Part:
        own = findings(item, place)
        margins = [finding.margin for finding in item.findings if finding.id in own]
        return Part(place, own, partial(edits, place), steps_off(margins, 1.0), most)

    return Candidate(tuple(map(part, item.places)), lambda steps: what(by_mm(steps)), step=1.0)


def one_value(
    refit: Refit,
    item: OpenItem,
    path: tuple[str, ...],
    step: float,
    most: int,
    what: Callable[[float], Remark],
    unit: str = "mm",
    guess: int | None = None,
) -> Candidate:
    """Return a candidate that changes one length, force or stress of the boat file in steps.

    Args:
        refit: the refit.
        item: the item.
        path: of the value.
        step: size of a step [unit], negative where the value becomes smaller.
        most: the largest number of steps.
        what: names the candidate by the new value [unit].
        unit: mm, N or MPa; forces and stresses are whole numbers.
        guess: the likely number of steps; None for what the margins of the findings lack.
    """
    old: float = edit.at(refit.boat, path)
    start = old if unit == "mm" else math.floor(old)

    def edits(number: int) -> Edits:
        return (edit.quantity(refit.boat, path, start + number * step, unit),)

    if guess is None:
        guess = steps_off([finding.margin for finding in item.findings if finding.unit == unit], abs(step))
    part = Part(".".join(path), ids(item), edits, guess, most)
    return Candidate((part,), lambda steps: what(round(start + steps[0] * step, 4)), abs(step), unit)
