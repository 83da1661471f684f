"""The order of rope and cord as sold, with the reel plan."""

from __future__ import annotations

from geom.drafting.line_text import fine_length, in_words, length
from geom.drafting.page import notes_list
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat
from geom.paperwork.lists import columns
from geom.paperwork.orders import text as words
from geom.paperwork.orders.wire import wire_lines
from geom.paperwork.quote.quantities import of_net
from geom.purchasing.order import LineOrder, SmallOrder
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.strength import line_strength
from geom.sheets.order.parts import load_words
from geom.sheets.order.reel_bars import long_length, piece_length
from geom.sheets.order.text import LENGTH_UNITS
from geom.tables import numbers


def rope_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the lists of the order; none where nothing is sold by length."""
    fmt = numbers(refit.boat)
    bought = [order for order in refit.order.lines if order.total and not _made_up(refit, order)]
    cord = [small for small in refit.order.small if isinstance(small.what, Remark) and not of_net(small)]
    if not bought and not cord:
        return ()
    rows = tuple(_line_row(refit, order, fmt) for order in bought)
    heads = tuple(head.format(unit=fmt.unit) for head in words.ROPE_BUY_HEADS)
    return (
        RuledList(words.ROPE_BUY, columns(heads, (26, 36, 16, 22, 34, 46), (2, 3)), rows, "rope-buy"),
        _reels(bought, fmt),
        _pieces(bought, fmt),
        _cord(cord, fmt),
        notes_list(words.ROPE_NOTES, "rope:notes"),
    )


def _made_up(refit: Refit, order: LineOrder) -> bool:
    """Return whether all runs of a line are ordered made up, from the maker of wire lines."""
    elsewhere = {line.run for line in wire_lines(refit)}
    return all(made.run in elsewhere for made in order.made_of)


def _line_row(refit: Refit, order: LineOrder, fmt: LengthFormat) -> tuple[Cell, ...]:
    line, tag = refit.boat.lines[order.line], f"rope:{order.line}"
    strength = line_strength(line)
    load = ""
    if strength.holds is not None:
        load = f"{load_words(strength.holds, fmt)}: {in_words(strength.source, fmt)}"
    unit = LENGTH_UNITS[fmt.unit]
    sold = words.BY_LENGTH.format(unit=unit)
    bought = order.total
    if order.plan is not None:
        sold = words.REELS.format(lengths=", ".join(_lengths(order, fmt)))
        bought = order.plan.bought
    return (
        Cell(order.line, tag, weight="semibold"),
        # A construction often names its material.
        Cell(order.construction if line.material in order.construction else f"{order.construction}, {line.material}"),
        Cell(fine_length(order.diameter, fmt), f"{tag}:diameter"),
        Cell(long_length(bought, fmt), f"{tag}:bought"),
        Cell(sold),
        Cell(load, f"{tag}:load"),
    )


def _lengths(order: LineOrder, fmt: LengthFormat) -> list[str]:
    assert order.plan is not None
    stocks = [reel.stock for reel in order.plan.reels]
    return [f"{stocks.count(stock)} x {long_length(stock, fmt)}" for stock in dict.fromkeys(stocks)]


def _reels(bought: list[LineOrder], fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (
            Cell(f"{order.line} {number}", f"rope:{order.line}:reel:{number}"),
            Cell(length(reel.stock, fmt)),
            Cell(", ".join(f"{piece.name} {piece_length(piece.length, fmt)}" for piece in reel.pieces)),
            Cell(length(reel.left, fmt), f"rope:{order.line}:reel:{number}:left"),
        )
        for order in bought
        if order.plan is not None
        for number, reel in enumerate(order.plan.reels, start=1)
    )
    title = words.ROPE_REELS.format(unit=fmt.unit)
    return RuledList(title, columns(words.ROPE_REEL_HEADS, (30, 20, 106, 24), (1, 3)), rows, "rope-reels")


def _pieces(bought: list[LineOrder], fmt: LengthFormat) -> RuledList:
    """Return the pieces of the lines that are sold by length."""
    rows = tuple(
        (
            Cell(piece.name, f"rope:piece:{piece.name}"),
            Cell(order.line),
            Cell(piece_length(piece.length, fmt), f"rope:piece:{piece.name}:length"),
        )
        for order in bought
        if order.plan is None
        for piece in order.pieces
    )
    title = words.ROPE_PIECES.format(unit=fmt.unit)
    return RuledList(title, columns(words.ROPE_PIECE_HEADS, (60, 60, 30), (2,)), rows, "rope-pieces")


def _count(parts: list[SmallOrder]) -> int:
    return sum(part.count for part in parts)


def _cord(cord: list[SmallOrder], fmt: LengthFormat) -> RuledList:
    alike: dict[tuple[object, ...], list[SmallOrder]] = {}
    for small in cord:
        alike.setdefault((small.what, small.length, small.diameter), []).append(small)
    rows = tuple(
        (
            Cell(in_words(found[0].what, fmt)),
            Cell(str(_count(found)), f"cord:{number}:count"),
            Cell(fine_length(found[0].diameter, fmt)),
            Cell("" if found[0].length is None else piece_length(found[0].length, fmt), f"cord:{number}:length"),
            Cell(", ".join(dict.fromkeys(small.run for small in found))),
        )
        for number, found in enumerate(alike.values(), start=1)
    )
    title = words.CORD.format(unit=fmt.unit)
    return RuledList(title, columns(words.CORD_HEADS, (44, 14, 14, 26, 80), (1, 2, 3)), rows, "rope-cord")
