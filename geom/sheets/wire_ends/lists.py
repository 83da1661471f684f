"""The ends of wire lines as lists: how each is made and its tightest hole, for a page of their own or a line sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from geom.data import table
from geom.drafting.line_text import end_label, fine_length
from geom.drafting.page import notes_list
from geom.drafting.ruling import ListColumn, RuledList, without_empty_columns
from geom.figure import Cell
from geom.refit import Refit
from geom.rigging.wire.ends import EndInHole, MadeWireEnd
from geom.rigging.work import RunWork
from geom.sheets.wire_ends import text as words
from geom.tables import numbers
from geom.units import LengthFormat

_END_SHARES = (25, 17, 28, 20, 14, 15, 14, 14, 12, 14, 13)
_ONE_SHARES = (12, 15, 34, 24, 17, 16, 14, 14, 15, 14, 13, 16, 13, 20, 20)
_HOLE_SHARES = (34, 17, 42, 14, 24, 24)
_SPLICE_SHARES = (22, 19, 16, 24, 30, 75)
# What is not printed of a line on hold.
_BLANK = (Cell(""),) * (len(_END_SHARES) - 4)


def wire_end_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the lists of wire ends with their notes; none where no line ends in a terminal or wire eye."""
    works = [work for work in refit.work.runs.values() if work.wire_ends]
    if not works:
        return ()
    fmt = numbers(refit.boat)
    ready = [work for work in works if not work.refused]
    ends = _alike(_end_row(work, end, fmt) for work in works for end in work.wire_ends)
    holes = _alike(_hole_rows(ready, fmt), 2)
    splices = _alike(_splice_rows(ready, fmt))
    lists = (
        _list(words.ENDS, words.END_HEADS, _END_SHARES, 4, ends, "wire-ends", fmt),
        _list(words.HOLES, words.HOLE_HEADS, _HOLE_SHARES, 3, holes, "wire-end-holes", fmt),
        _list(words.SPLICES, words.SPLICE_HEADS, _SPLICE_SHARES, 2, splices, "wire-splices", fmt),
    )
    return (*lists, notes_list(tuple(_notes(ready, lists)), "wire-ends:notes"))


def wire_ends_in_one(refit: Refit) -> tuple[RuledList, tuple[str, ...]] | None:
    """Return the ends with their tightest holes in one list, and the notes on it.

    None without wire ends, and where one is on hold or spliced by hand.
    """
    works, fmt = [work for work in refit.work.runs.values() if work.wire_ends], numbers(refit.boat)
    if not works or any(work.refused or any(end.splice for end in work.wire_ends) for work in works):
        return None
    rows = ((*_end_row(work, end, fmt), *_hole_cells(work, end, fmt)) for work in works for end in work.wire_ends)
    ends = _list(words.ENDS, (*words.END_HEADS, *words.HOLE_HEADS_IN_ONE), _ONE_SHARES, 4, rows, "wire-ends", fmt)
    return ends, tuple(_notes(works, (ends,)))


def _list(
    title: str,
    heads: tuple[str, ...],
    shares: tuple[float, ...],
    figures: int,
    rows: Iterator[tuple[Cell, ...]],
    tag: str,
    fmt: LengthFormat,
) -> RuledList:
    """Return a list whose columns from `figures` on are aligned to the right, but for words; without empty ones."""
    columns = tuple(
        ListColumn(head, share, "right" if number >= figures and head not in ("SOURCES", "HOLE") else "left")
        for number, (head, share) in enumerate(zip(heads, shares, strict=True))
    )
    return without_empty_columns(RuledList(title.format(unit=fmt.unit), columns, tuple(rows), tag))


def _end_row(work: RunWork, end: MadeWireEnd, fmt: LengthFormat) -> tuple[Cell, ...]:
    run, where, tag = *_named(work, end), f"wire-end:{work.run}:{end.end}"
    what = end_label(end.name, end.family)
    if work.refused:
        return (run, where, Cell(what, f"{tag}:what"), Cell(words.ON_HOLD, f"{tag}:held", layer="HOLD"), *_BLANK)
    return (
        run,
        where,
        Cell(what, f"{tag}:what"),
        Cell(words.MADE[end.on_board], f"{tag}:made"),
        Cell(_insertion(end, fmt), f"{tag}:mark"),
        Cell(_gauge(end.before, fmt), f"{tag}:before"),
        Cell(_gauge(end.go, fmt), f"{tag}:go"),
        Cell(_gauge(end.no_go, fmt), f"{tag}:no-go"),
        Cell(words.TBC if "width" in end.to_come else fine_length(end.width, fmt), f"{tag}:width"),
        Cell(fine_length(end.rigid, fmt), f"{tag}:rigid"),
        Cell(fine_length(end.tail, fmt), f"{tag}:tail"),
    )


def _alike(rows: Iterator[tuple[Cell, ...]], *places: int) -> Iterator[tuple[Cell, ...]]:
    """Yield rows that differ in their line alone as one, which names all their lines.

    Args:
        rows: the line in the first cell of each.
        places: other cells that may differ, and are joined like the lines.
    """
    joined = (0, *places)
    found: dict[tuple[str, ...], list[tuple[Cell, ...]]] = {}
    for row in rows:
        found.setdefault(tuple(cell.text for at, cell in enumerate(row) if at not in joined), []).append(row)
    for same in found.values():
        first = list(same[0])
        for at in joined:
            first[at] = replace(first[at], text=", ".join(row[at].text for row in same))
        yield tuple(first)


def _insertion(end: MadeWireEnd, fmt: LengthFormat) -> str:
    """Return where the insertion is marked; a wire eye has no such mark."""
    return words.TBC if "insertion" in end.to_come else fine_length(end.insertion, fmt)


def _gauge(value: float | None, fmt: LengthFormat) -> str:
    return "" if value is None else fmt.gauge(value)


def _named(work: RunWork, end: MadeWireEnd) -> tuple[Cell, Cell]:
    tag = f"wire-end:{work.run}:{end.end}"
    return Cell(work.run, f"{tag}:run", weight="semibold"), Cell(words.END[end.end], f"{tag}:end")


def _hole_rows(works: list[RunWork], fmt: LengthFormat) -> Iterator[tuple[Cell, ...]]:
    for work in works:
        for end in work.wire_ends:
            if end.holes:
                yield (
                    Cell(work.run, weight="semibold"),
                    Cell(words.END[end.end]),
                    *_hole_cells(work, end, fmt),
                )


def _hole_cells(work: RunWork, end: MadeWireEnd, fmt: LengthFormat) -> tuple[Cell, ...]:
    """Return the tightest hole of an end, its bore and by how much the end clears it; empty where it passes none."""
    if not end.holes:
        return (Cell(""),) * len(words.HOLE_HEADS_IN_ONE)
    tight: EndInHole = min(end.holes, key=lambda one: one.bore)
    tag = f"wire-end:{work.run}:{end.end}:hole"
    return (
        Cell(tight.hole, f"{tag}:name"),
        Cell(fine_length(tight.bore, fmt), f"{tag}:bore"),
        Cell(_signed(tight.clear, fmt), f"{tag}:clear"),
        Cell(_signed(tight.clear_before, fmt), f"{tag}:clear-before"),
    )


def _signed(value: float | None, fmt: LengthFormat) -> str:
    """Return a clearance, with its sign where it is below zero however little."""
    if value is None:
        return ""
    text = fine_length(abs(value), fmt)
    return text if value >= 0.0 or math.isclose(value, 0.0, abs_tol=1e-9) else f"-{text}"


def _splice_rows(works: list[RunWork], fmt: LengthFormat) -> Iterator[tuple[Cell, ...]]:
    for work in works:
        for end in work.wire_ends:
            if end.splice is None:
                continue
            tag = f"wire-end:{work.run}:{end.end}:splice"
            yield (
                Cell(work.run, weight="semibold"),
                Cell(words.END[end.end]),
                Cell(fine_length(end.splice.tail, fmt), f"{tag}:tail"),
                Cell(str(end.splice.whole_tucks), f"{tag}:whole"),
                Cell(str(end.splice.half_tucks), f"{tag}:half"),
                Cell("; ".join(end.splice.sources), f"{tag}:sources", layer="SECOND"),
            )


def _notes(works: Sequence[RunWork], lists: Sequence[RuledList]) -> Iterator[str]:
    heads = {column.head for one in lists if one.rows for column in one.columns}
    yield from (note for head, note in words.NOTES.items() if head in heads)
    yield words.SOURCE_NOTE
    if any(end.splice is not None for work in works for end in work.wire_ends):
        low, high = (table.datum("wire_splice", key=key) for key in ("share_low", "share_high"))
        yield words.HAND_NOTE.format(low=100.0 * low.value, high=100.0 * high.value, source=low.source)
