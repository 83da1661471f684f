"""The orders of fittings, and of tubes and plates that are to be made."""

from __future__ import annotations

from geom.drafting.line_text import fine_length
from geom.drafting.page import notes_list
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat
from geom.paperwork.lists import as_stated, columns, made_to
from geom.paperwork.orders import text as words
from geom.paperwork.quote.quantities import to_make
from geom.purchasing.parts_list import CHOICE, PartRow, parts_list
from geom.refit import Refit
from geom.sheets.order.parts import load_words, where_words
from geom.tables import numbers


def fitting_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the lists of the order of fittings; none where there is nothing to buy."""
    fmt = numbers(refit.boat)
    held = frozenset(run for order in refit.order.lines for run, _ in order.on_hold)
    bought = [row for row in parts_list(refit.boat, refit.placed.runs, held) if row.count and CHOICE not in row.missing]
    if not bought:
        return ()
    rows = tuple(_part_row(row, f"part:{number}", fmt) for number, row in enumerate(bought, start=1))
    shares = (11, 21, 26, 32, 22, 24, 22, 38)
    notes = tuple(note.format(held=", ".join(sorted(held)) or words.NONE_HELD) for note in words.FITTINGS_NOTES)
    return (
        RuledList(words.PARTS.format(unit=fmt.unit), columns(words.PART_HEADS, shares, (0,)), rows, "parts"),
        notes_list(notes, "parts:notes"),
    )


def _part_row(row: PartRow, tag: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    known = [f"{name} {_size(name, value, fmt)}" for name, value in row.sizes]
    places = where_words(row.ends) if row.ends else ", ".join(row.holes)
    load = "" if row.strength is None else f"{load_words(row.strength.value, fmt)}: {row.strength.source}"
    return (
        Cell(str(row.count), f"{tag}:count", weight="semibold"),
        Cell(row.part, f"{tag}:part", weight="semibold"),
        Cell(row.kind),
        Cell(", ".join((*known, *row.facts))),
        Cell(row.material or ""),
        Cell(load),
        Cell(", ".join(row.missing)),
        Cell(places),
    )


def _size(name: str, value: float, fmt: LengthFormat) -> str:
    return fine_length(value, fmt) if name.endswith("Ø") else as_stated(value, fmt)


def tube_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the lists of the order of tubes and plates; none where no stanchion is to be made."""
    fmt = numbers(refit.boat)
    rows = tuple(
        (
            Cell(str(len(posts)), f"tube:{number}:count", weight="semibold"),
            Cell(part.name, weight="semibold"),
            Cell("" if part.cut is None else made_to(part.cut, fmt), f"tube:{number}:cut"),
            Cell(", ".join(f"{name.replace('_', ' ')} {as_stated(value, fmt)}" for name, value in part.sizes)),
            Cell(part.material or ""),
            Cell(", ".join(posts)),
        )
        for number, (part, posts) in enumerate(to_make(refit), start=1)
    )
    if not rows:
        return ()
    shares = (11, 34, 20, 56, 24, 44)
    return (
        RuledList(words.TUBE_PARTS.format(unit=fmt.unit), columns(words.TUBE_HEADS, shares, (0, 2)), rows, "tubes"),
        notes_list(words.TUBES_NOTES, "tubes:notes"),
    )
