"""What is to be bought as ruled lists: lines, pieces, fittings by run end, small parts, sums, lines side by side."""

from __future__ import annotations

from collections.abc import Sequence

from geom.figure import Cell
from geom.refit import Refit
from geom.runs.compare import COMPARED_AT, Choice
from geom.runs.order import EndOrder, LineOrder, SmallOrder
from geom.schedules import numbers
from geom.sheets import words
from geom.sheets.line_words import fine_length, length, refusal
from geom.sheets.ruled_list import ListColumn, RuledList
from geom.units import Numbers, decimal


def order_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return every list that has rows, in the order of the sheet."""
    made = (
        lines_list(refit), sums_list(refit), held_back(refit), pieces_list(refit), small_list(refit), ends_list(refit),
        compare_list(refit),
    )  # fmt: skip
    return tuple(ruled for ruled in made if ruled.rows)


def _columns(heads: Sequence[str], shares: Sequence[float], right: Sequence[int] = ()) -> tuple[ListColumn, ...]:
    return tuple(
        ListColumn(head, share, "right" if index in right else "left")
        for index, (head, share) in enumerate(zip(heads, shares, strict=True))
    )


def _plain(value: float | None, decimals: int = 0, missing: str = "-") -> str:
    return missing if value is None else decimal(value, decimals)


def lines_list(refit: Refit) -> RuledList:
    """Return each kind of line: how much of it, on which reels, waste, mass and cost."""
    how = numbers(refit.boat)
    rows = tuple(_line_row(order, how) for order in refit.work.order.lines)
    columns = _columns(words.LINES_ORDER_HEADS, (40, 46, 16, 18, 26, 50, 26, 26, 22, 24), (2, 3, 4, 6, 7, 8, 9))
    return RuledList(words.LINES_ORDER.format(unit=how.unit), columns, rows, "order-lines")


def _line_row(order: LineOrder, how: Numbers) -> tuple[Cell, ...]:
    tag, plan = f"order:{order.line}", order.plan
    reels = "-"
    if plan is not None:
        stocks = [reel.stock for reel in plan.reels]
        counts = dict.fromkeys(stocks)
        reels = ", ".join(f"{stocks.count(stock)} of {length(stock, how)}" for stock in counts) or "-"
    return (
        Cell(order.line),
        Cell(order.construction),
        Cell(fine_length(order.diameter, how), f"{tag}:diameter"),
        Cell(str(len(order.pieces)), f"{tag}:pieces"),
        Cell(length(order.total, how), f"{tag}:total"),
        Cell(reels, f"{tag}:reels"),
        Cell(length(None if plan is None else plan.bought, how), f"{tag}:stock"),
        Cell(length(None if plan is None else plan.waste, how), f"{tag}:waste"),
        Cell(_plain(order.mass), f"{tag}:mass"),
        Cell(_plain(order.cost, 2), f"{tag}:cost"),
    )


def pieces_list(refit: Refit) -> RuledList:
    """Return each piece with the reel it is cut from, and boxes for who cut it."""
    how = numbers(refit.boat)
    rows = []
    for order in refit.work.order.lines:
        reels = () if order.plan is None else order.plan.reels
        on = {piece.name: str(number) for number, reel in enumerate(reels, start=1) for piece in reel.pieces}
        for piece in order.pieces:
            tag = f"piece:{piece.name}"
            rows.append((
                Cell(piece.name), Cell(order.line), Cell(length(piece.length, how), f"{tag}:length"),
                Cell(on.get(piece.name, "-"), f"{tag}:reel"), Cell(""), Cell(""),
            ))  # fmt: skip
    columns = _columns(words.PIECES_ORDER_HEADS, (24, 50, 30, 20, 40, 60), (2, 3))
    return RuledList(words.PIECES_ORDER.format(unit=how.unit), columns, tuple(rows), "order-pieces")


def held_back(refit: Refit) -> RuledList:
    """Return the runs whose line is not ordered, with the reason."""
    how = numbers(refit.boat)
    rows = []
    for order in refit.work.order.lines:
        for run, why in order.held_back:
            work = refit.work.runs[run]
            told = refusal(work, how) if work.refused else why
            rows.append((Cell(run), Cell(order.line), Cell(told, f"held:{run}")))
    columns = _columns(words.HELD_BACK_HEADS, (24, 50, 220))
    return RuledList(words.HELD_BACK, columns, tuple(rows), "order-held-back")


def ends_list(refit: Refit) -> RuledList:
    """Return every part at every run end; what the file does not tell stays blank."""
    how = numbers(refit.boat)
    counts: dict[str, int] = {}
    rows = []
    for end in refit.work.order.ends:
        key = f"{end.run}:{end.end}"
        counts[key] = counts.get(key, 0) + 1
        rows.append(_end_row(end, f"end:{key}:{counts[key]}", how))
    shares = (18, 18, 32, 34, 48, 20, 20, 20, 18, 18, 26, 30, 18, 20)
    columns = _columns(words.ENDS_ORDER_HEADS, shares, (5, 6, 7, 8, 9, 12, 13))
    return RuledList(words.ENDS_ORDER.format(unit=how.unit), columns, tuple(rows), "order-ends")


def _end_row(end: EndOrder, tag: str, how: Numbers) -> tuple[Cell, ...]:
    sizes = {"least": end.least, "planned": end.planned, "most": end.most, "pin": end.pin, "jaw": end.jaw}
    return (
        Cell(end.run), Cell(words.END[end.end]), Cell(end.at), Cell(end.part, f"{tag}:part"), Cell(end.family),
        *(Cell("" if value is None else length(value, how), f"{tag}:{key}") for key, value in sizes.items()),
        Cell(end.thread or "", f"{tag}:thread"),
        Cell(end.hand or "", f"{tag}:hand"),
        Cell(_plain(end.mass, missing=""), f"{tag}:mass"),
        Cell(_plain(end.price, 2, ""), f"{tag}:price"),
    )  # fmt: skip


def small_list(refit: Refit) -> RuledList:
    """Return cord, sleeves and what else is slid on, alike parts together with the runs that they are for."""
    how = numbers(refit.boat)
    alike: dict[tuple[str, float | None, float | None, str], list[SmallOrder]] = {}
    for small in refit.work.order.small:
        alike.setdefault((small.what, small.length, small.price, small.source), []).append(small)
    rows = []
    for number, ((what, long, price, source), parts) in enumerate(alike.items(), start=1):
        tag = f"small:{number}"
        rows.append((
            Cell(what, f"{tag}:what"), Cell(str(sum(part.count for part in parts)), f"{tag}:count"),
            Cell("" if long is None else length(long, how), f"{tag}:length"),
            Cell(_plain(price, 2, ""), f"{tag}:price"),
            Cell(", ".join(dict.fromkeys(part.run for part in parts)), f"{tag}:runs"), Cell(source, f"{tag}:source"),
        ))  # fmt: skip
    columns = _columns(words.SMALL_ORDER_HEADS, (50, 18, 26, 26, 90, 90), (1, 2, 3))
    return RuledList(words.SMALL_ORDER.format(unit=how.unit), columns, tuple(rows), "order-small")


def sums_list(refit: Refit) -> RuledList:
    """Return the sums of mass and cost, and what is not in them because nobody told."""
    order = refit.work.order
    cost = words.SUM_OF_COST if order.currency is None else words.SUM_OF_COST_IN.format(currency=order.currency)
    rows = (
        (Cell(words.SUM_OF_MASS), Cell(_sum(order.mass, 0), "sum:mass"), _missing(order.without_mass, "sum:no-mass")),
        (Cell(cost), Cell(_sum(order.cost, 2), "sum:cost"), _missing(order.without_price, "sum:no-price")),
    )
    columns = _columns(words.SUMS_ORDER_HEADS, (24, 30, 240), (1,))
    return RuledList(words.SUMS_ORDER, columns, rows, "order-sums")


def _sum(value: float, decimals: int) -> str:
    """Return a sum; a dash where nothing at all is told."""
    return _plain(value or None, decimals)


def _missing(names: Sequence[str], tag: str) -> Cell:
    """Return what a sum leaves out, each kind of part once with how many of it."""
    kinds = [name.rpartition(": ")[2] for name in names]
    return Cell(", ".join(f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds)) or "-", tag)


def compare_list(refit: Refit) -> RuledList:
    """Return the lines that the file sets side by side."""
    how = numbers(refit.boat)
    heads = [head.format(pull=f"{COMPARED_AT:.0f}") for head in words.COMPARE_ORDER_HEADS]
    columns = _columns(heads, (34, 36, 16, 26, 30, 22, 22, 44, 22, 96), (2, 3, 4, 5, 6))
    rows = tuple(_choice_row(choice, how) for choice in refit.work.comparison)
    return RuledList(words.COMPARE_ORDER.format(unit=how.unit), columns, rows, "order-compare")


def _choice_row(choice: Choice, how: Numbers) -> tuple[Cell, ...]:
    tag = f"compare:{choice.line}"
    years = "-"
    if choice.service_years is not None:
        least, most = choice.service_years
        years = f"{least:g} or more" if most is None else f"{least:g} to {most:g}"
    eye = "-" if choice.eye is None else f"{choice.eye}, {choice.worst_hole}"
    return (
        Cell(choice.line),
        Cell(choice.construction),
        Cell(fine_length(choice.diameter, how), f"{tag}:diameter"),
        Cell(_plain(choice.strength.holds), f"{tag}:holds"),
        Cell(length(choice.stretch, how), f"{tag}:stretch"),
        Cell(_plain(choice.mass), f"{tag}:mass"),
        Cell(_plain(choice.cost, 2), f"{tag}:cost"),
        Cell(eye, f"{tag}:eye"),
        Cell(years, f"{tag}:years"),
        Cell("; ".join(choice.notices) or "-", f"{tag}:notices"),
    )
