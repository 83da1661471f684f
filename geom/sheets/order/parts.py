"""The parts list of the order: rope and wire first, then parts, identical ones in one row."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import compress

from geom.boat.model import BreakingLoad
from geom.drafting.line_text import diameter, fine_length, in_words, length
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.placement.eyes import Where
from geom.purchasing.order import LineOrder
from geom.purchasing.parts_list import PartRow, parts_list
from geom.refit import Refit
from geom.rigging.strength import line_strength
from geom.sheets.order import text as words
from geom.sheets.order.reel_bars import counted, long_length
from geom.tables import numbers
from geom.units import LengthFormat

_LBF = 4.4482216152605
# Shares of the columns; without a breaking load that column is as wide as its heading, for what is known of the parts.
_SHARES = (18, 24, 27, 42, 56, 34, 71, 46, 82)
_WITHOUT_LOADS = (18, 24, 27, 46, 80, 34, 44, 46, 81)


def buy_list(refit: Refit) -> RuledList:
    """Return each kind of line and of part once: quantity, known data, and data to be found out."""
    fmt = numbers(refit.boat)
    order = refit.order
    rows = [_line_row(refit, one, fmt) for one in order.lines]
    held = frozenset(run for one in order.lines for run, _ in one.on_hold)
    parts = parts_list(refit.boat, refit.placed.runs, held)
    rows += [_part_row(one, f"buy:{number}", fmt) for number, one in enumerate(parts, start=1)]
    loads = any(row[words.BUY_HEADS.index(words.LOAD_HEAD)].text for row in rows)
    columns = tuple(
        ListColumn(head, share, "right" if index < 2 else "left")
        for index, (head, share) in enumerate(zip(words.BUY_HEADS, _SHARES if loads else _WITHOUT_LOADS, strict=True))
    )
    # Where nothing is on hold the column would be empty.
    shown = [column.head != words.BUY_HEADS[1] or bool(held) for column in columns]
    kept = tuple(tuple(compress(row, shown)) for row in rows)
    return RuledList(words.BUY.format(unit=fmt.unit), tuple(compress(columns, shown)), kept, "order-buy")


def load_words(load: float, fmt: LengthFormat) -> str:
    """Return a breaking load [N] as text; on inch sheets in lbf first."""
    form = words.LOAD_LBF if fmt.unit == "in" else words.LOAD_KN
    return form.format(pounds=load / _LBF, kilo=load / 1000.0)


def _line_row(refit: Refit, order: LineOrder, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag, line = f"order:{order.line}", refit.boat.lines[order.line]
    strength = line_strength(line)
    load = ""
    if strength.holds is not None:
        load = words.LOAD_FROM.format(load=load_words(strength.holds, fmt), source=in_words(strength.source, fmt))
    known = diameter(order.diameter, fmt)
    pieces = counted(len(order.pieces), words.PIECE_WORDS)
    return (
        Cell(long_length(order.total, fmt), f"{tag}:total"),
        Cell(counted(len(order.on_hold), words.LINE_WORDS) if order.on_hold else "", f"{tag}:held"),
        Cell(order.line),
        Cell(order.construction),
        Cell(f"{known}, {pieces}", f"{tag}:known"),
        Cell(line.material),
        Cell(load, f"{tag}:load"),
        Cell(""),
        Cell(words.SEE_PIECES if order.pieces else ""),
    )


def _part_row(row: PartRow, tag: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    known = [f"{name}{'' if name.endswith('Ø') else ' '}{_size(name, value, fmt)}" for name, value in row.sizes]
    places = where_words(row.ends or row.ends_on_hold) if row.ends or row.ends_on_hold else ", ".join(row.holes)
    return (
        Cell(str(row.count), f"{tag}:count"),
        Cell(str(row.on_hold) if row.on_hold else "", f"{tag}:held"),
        Cell(row.part, f"{tag}:part"),
        Cell(row.kind),
        Cell(", ".join([*known, *row.facts]), f"{tag}:known"),
        Cell(row.material or ""),
        Cell(_load(row.strength, fmt), f"{tag}:load"),
        Cell(", ".join(row.missing), f"{tag}:asked"),
        Cell(places, f"{tag}:where"),
    )


def _size(name: str, value: float, fmt: LengthFormat) -> str:
    """Return a size as text; diameters of rope and wire in inches to one more decimal."""
    return fine_length(value, fmt) if name.endswith("Ø") or name in ("bore", "width") else length(value, fmt)


def _load(load: BreakingLoad | None, fmt: LengthFormat) -> str:
    if load is None:
        return ""
    return words.LOAD_FROM.format(load=load_words(load.value, fmt), source=load.source)


def where_words(ends: Sequence[tuple[str, Where]]) -> str:
    """Return run ends as text, grouped by end: `both ends: S-F-U; after end: S-G-U`."""
    runs: dict[str, list[str]] = {}
    for run, where in ends:
        runs.setdefault(run, []).append(where)
    kinds: dict[str, list[str]] = {}
    for run, found in runs.items():
        kinds.setdefault("both" if len(set(found)) == len(words.END) else found[0], []).append(run)
    return "; ".join(words.ENDS[kind].format(runs=", ".join(names)) for kind, names in kinds.items())
