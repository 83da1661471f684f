"""The order of wire lines made elsewhere: lengths as a chain, lines, ends, fittings as set."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geom.drafting.line_text import diameter, end_label, in_words
from geom.drafting.page import notes_list
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat
from geom.paperwork.lists import as_stated, columns, made_to
from geom.paperwork.orders import text as words
from geom.paperwork.orders.wire import SetFitting, WireEnd, WireLine
from geom.refit import Refit
from geom.remark import Remark
from geom.tables import numbers
from geom.units import decimal


def wire_lists(refit: Refit, lines: Sequence[WireLine]) -> tuple[RuledList, ...]:
    """Return the lists of the order; none where no line is to be ordered or on hold."""
    if not lines:
        return ()
    fmt = numbers(refit.boat)
    ready = [line for line in lines if not line.hold]
    return (
        chain_list(ready, fmt),
        _lines(ready, fmt),
        _ends(ready, fmt),
        _fittings(ready, fmt),
        _held(lines, fmt),
        notes_list(_notes(lines, fmt), "wire:notes"),
    )


def chain_list(lines: Sequence[WireLine], fmt: LengthFormat) -> RuledList:
    """Return the lengths of each line from its forward pin to its after pin; as printed they add up."""
    rows = tuple(
        (
            Cell(line.run, f"wire:{line.run}", weight="semibold"),
            _set(line.ends[0], line.run, fmt),
            _adds(line.ends[0], line.run, fmt),
            Cell("" if line.wire is None else made_to(line.wire, fmt), f"wire:{line.run}:wire"),
            _adds(line.ends[1], line.run, fmt),
            _set(line.ends[1], line.run, fmt),
            Cell(
                "" if line.pin_to_pin is None else made_to(line.pin_to_pin, fmt),
                f"wire:{line.run}:pin-to-pin",
                weight="semibold",
            ),
            Cell("" if line.stretch is None else made_to(line.stretch, fmt), f"wire:{line.run}:stretch"),
        )
        for line in lines
    )
    shares = (16, 29, 22, 20, 22, 29, 20, 20)
    return RuledList(
        words.WIRE_CHAIN.format(unit=fmt.unit),
        columns(words.WIRE_CHAIN_HEADS, shares, tuple(range(1, 8))),
        rows,
        "wire-chain",
        groups=words.WIRE_GROUPS,
    )


def _set(end: WireEnd, run: str, fmt: LengthFormat) -> Cell:
    """Return the lengths of the fittings of an end as a sum."""
    said = " + ".join(as_stated(one.length, fmt) for one in end.fittings)
    return Cell(said or words.NONE, f"wire:{run}:{end.end}:fittings")


def _adds(end: WireEnd, run: str, fmt: LengthFormat) -> Cell:
    return Cell("" if end.adds is None else as_stated(end.adds, fmt), f"wire:{run}:{end.end}:adds")


def _lines(lines: Sequence[WireLine], fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (
            Cell(line.run, weight="semibold"),
            Cell(
                words.WIRE_OF.format(
                    construction=line.construction, material=line.material, diameter=diameter(line.diameter, fmt)
                ),
                f"wire:{line.run}:line",
            ),
            Cell(in_words(Remark("papers.tension", pull_n=line.marking_tension), fmt), f"wire:{line.run}:marking"),
            Cell(in_words(Remark("papers.set_tension", pull_n=line.set_tension), fmt), f"wire:{line.run}:set"),
            Cell(_left(line.shortens, fmt), f"wire:{line.run}:shortens"),
            Cell(_left(line.opens, fmt), f"wire:{line.run}:opens"),
            Cell(words.PLUS_MINUS.format(value=as_stated(line.tolerance, fmt)), f"wire:{line.run}:tolerance"),
        )
        for line in lines
    )
    shares = (16, 52, 28, 28, 18, 18, 22)
    return RuledList(words.WIRE_LINES, columns(words.WIRE_LINE_HEADS, shares, (2, 3, 4, 5, 6)), rows, "wire-lines")


def _limit(one: SetFitting, value: float | None, fmt: LengthFormat) -> str:
    """Return a limit of a fitting; a dash for one that adjusts nothing."""
    return _left(value, fmt) if one.adjusts else words.NONE


def _left(value: float | None, fmt: LengthFormat) -> str:
    return words.TBC if value is None else as_stated(value, fmt)


def _ends(lines: Sequence[WireLine], fmt: LengthFormat) -> RuledList:
    rows = tuple(_end_row(line, end, fmt) for line in lines for end in line.ends)
    shares = (15, 17, 44, 17, 13, 20, 21, 14, 14, 15)
    title = words.WIRE_ENDS.format(unit=fmt.unit)
    return RuledList(title, columns(words.WIRE_END_HEADS, shares, (7, 8)), rows, "wire-ends")


def _end_row(line: WireLine, end: WireEnd, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag = f"wire:{line.run}:{end.end}"
    plane = "" if end.turn is None or end.lean is None else words.PLANE.format(
        turn=decimal(math.degrees(end.turn), 1), lean=decimal(math.degrees(end.lean), 1)
    )  # fmt: skip
    return (
        Cell(line.run if end.end == "start" else "", weight="semibold"),
        Cell(words.END[end.end]),
        Cell(end_label(end.terminal, end.family), f"{tag}:terminal"),
        Cell(end.thread or "", f"{tag}:thread"),
        Cell(end.hand or "", f"{tag}:hand"),
        Cell(plane, f"{tag}:plane"),
        Cell(words.MADE["on board" if end.on_board else "ashore"], f"{tag}:made"),
        Cell("" if end.width is None else as_stated(end.width, fmt), f"{tag}:width"),
        Cell(""),
        Cell("" if end.insertion is None else as_stated(end.insertion, fmt), f"{tag}:mark"),
    )


def _fittings(lines: Sequence[WireLine], fmt: LengthFormat) -> RuledList:
    """Return each fitting once with its setting, and the lines that it is on."""
    found: dict[SetFitting, list[str]] = {}
    for line in lines:
        for end in line.ends:
            for one in end.fittings:
                found.setdefault(one, []).append(line.run)
    rows = tuple(
        (
            Cell(one.name, weight="semibold"),
            Cell(one.family),
            Cell(as_stated(one.length, fmt), f"wire:fitting:{one.name}:set"),
            Cell(_limit(one, one.opened, fmt), f"wire:fitting:{one.name}:opened"),
            Cell(_limit(one, one.minimum, fmt), f"wire:fitting:{one.name}:min"),
            Cell(_limit(one, one.maximum, fmt), f"wire:fitting:{one.name}:max"),
            Cell(", ".join(dict.fromkeys(runs))),
        )
        for one, runs in found.items()
    )
    shares = (26, 40, 17, 22, 15, 15, 41)
    title = words.WIRE_FITTINGS.format(unit=fmt.unit)
    return RuledList(title, columns(words.WIRE_FITTING_HEADS, shares, (2, 3, 4, 5)), rows, "wire-fittings")


def _held(lines: Sequence[WireLine], fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (
            Cell(line.run, f"wire:{line.run}:held", weight="semibold"),
            Cell(in_words(line.hold, fmt), layer="HOLD"),
        )
        for line in lines
        if line.hold
    )
    return RuledList(words.WIRE_HELD, columns(words.WIRE_HELD_HEADS, (20, 156)), rows, "wire-held")


def _notes(lines: Sequence[WireLine], fmt: LengthFormat) -> tuple[str, ...]:
    return tuple(_said(lines, fmt))


def _said(lines: Sequence[WireLine], fmt: LengthFormat) -> Iterator[str]:
    for note in words.WIRE_NOTES:
        yield note.format(source=in_words(lines[0].tolerance_source, fmt))
    ready = [line for line in lines if not line.hold and line.shortens is not None and line.opens is not None]
    less = [line.run for line in ready if (line.shortens or 0.0) < (line.opens or 0.0)]
    if less:
        yield words.LESS_TAKE_UP.format(runs=", ".join(less))
