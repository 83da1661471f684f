"""The order as ruled lists: lines and parts, cord, pieces, lines on hold, totals, line comparison."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import compress
from typing import cast

from geom.drafting.line_text import cut_words, fine_length, in_words, length, run_rope
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.mechanics.tension import max_by_hand
from geom.open_items import open_items
from geom.open_items.concerns import of_run
from geom.placement.line_ends import family
from geom.purchasing.line_options import LineOption
from geom.purchasing.order import EndOrder, LineOrder, SmallOrder
from geom.refit import Refit
from geom.remark import Stated
from geom.rigging.reel import ReelLength
from geom.sheets.order import text as words
from geom.sheets.order.parts import buy_list
from geom.sheets.order.reel_bars import as_ordered, long_length, piece_length
from geom.tables import numbers
from geom.units import LengthFormat, decimal, in_unit, pounds_force
from geom.words import worded

# Parts of a length off the reel beside what stays in the line; a part that no piece has is left out.
_PARTS = ("spare", "trim", "tail")


def order_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return all lists that have rows, in the order of the sheet."""
    made = (
        buy_list(refit), small_list(refit), sums_list(refit), ends_list(refit), compare_list(refit), pieces_list(refit),
        reels_list(refit), on_hold(refit),
    )  # fmt: skip
    return tuple(ruled for ruled in made if ruled.rows)


def _columns(heads: Sequence[str], shares: Sequence[float], right: Sequence[int] = ()) -> tuple[ListColumn, ...]:
    return tuple(
        ListColumn(head, share, "right" if index in right else "left")
        for index, (head, share) in enumerate(zip(heads, shares, strict=True))
    )


def _plain(value: float | None, decimals: int = 0) -> str:
    return "" if value is None else decimal(value, decimals)


def reels_list(refit: Refit) -> RuledList:
    """Return the reels of each kind of line with stated stock lengths: lengths bought and left over."""
    fmt = numbers(refit.boat)
    rows = tuple(_reels_row(order, fmt) for order in refit.order.lines if order.plan is not None)
    columns = _columns(words.REELS_HEADS, (50, 100, 30, 30), (2, 3))
    return RuledList(words.REELS.format(unit=fmt.unit), columns, rows, "order-lines")


def _reels_row(order: LineOrder, fmt: LengthFormat) -> tuple[Cell, ...]:
    plan = order.plan
    assert plan is not None
    stocks = [reel.stock for reel in plan.reels]
    reels = [
        words.REELS_OF.format(count=stocks.count(stock), stock=length(stock, fmt)) for stock in dict.fromkeys(stocks)
    ]
    return (
        Cell(order.line),
        Cell(", ".join(reels), f"order:{order.line}:reels"),
        Cell(length(plan.bought, fmt), f"order:{order.line}:stock"),
        Cell(length(plan.waste, fmt), f"order:{order.line}:waste"),
    )


def pieces_list(refit: Refit) -> RuledList:
    """Return each piece: its parts, the length ordered, the reel it is cut from."""
    fmt = numbers(refit.boat)
    orders = refit.order.lines
    pieces = [made for order in orders for made in order.made_of]
    # Empty columns are left out.
    shown = (
        True, True, True, *(any(getattr(made, key) > 0.0 for made in pieces) for key in _PARTS), True,
        any(order.plan is not None for order in orders),
    )  # fmt: skip
    rows = []
    for order in orders:
        reels = () if order.plan is None else order.plan.reels
        on = {piece.name: str(number) for number, reel in enumerate(reels, start=1) for piece in reel.pieces}
        for made in order.made_of:
            reel = Cell(on.get(made.run, ""), f"piece:{made.run}:reel")
            rows.append(tuple(compress((*_piece_row(refit, order, made, fmt), reel), shown)))
        for trial in order.trials:
            tag = f"piece:{order.line}:{trial.name}"
            blank = [Cell("")] * (1 + len(_PARTS))
            cells = (Cell(trial.name), Cell(order.line), *blank, Cell(piece_length(trial.length, fmt), f"{tag}:length"))
            rows.append(tuple(compress((*cells, Cell(on.get(trial.name, ""), f"{tag}:reel")), shown)))
    columns = _columns(words.PIECES_HEADS, (24, 50, 30, 34, 24, 34, 34, 20), (2, 3, 4, 5, 6, 7))
    return RuledList(words.PIECES.format(unit=fmt.unit), tuple(compress(columns, shown)), tuple(rows), "order-pieces")


def _piece_row(refit: Refit, order: LineOrder, made: ReelLength, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag = f"piece:{made.run}"
    parts = {key: getattr(made, key) for key in _PARTS}
    return (
        Cell(made.run),
        Cell(order.line),
        Cell(cut_words(made.in_line, run_rope(refit, made.run), fmt), f"{tag}:in-line"),
        *(
            Cell(cut_words(value, True, fmt) if value > 0.0 else "", f"{tag}:{key}")
            for key, value in parts.items()
        ),
        Cell(piece_length(made.from_reel, fmt), f"{tag}:length"),
    )  # fmt: skip


def on_hold(refit: Refit) -> RuledList:
    """Return the runs whose line is not ordered, with the open items that they wait for; why stands on their sheets."""
    found = open_items(refit)
    rows = []
    for order in refit.order.lines:
        for run, _ in order.on_hold:
            waits = [str(one.number) for one in of_run(refit, run, found)]
            rows.append((Cell(run, f"held:{run}"), Cell(order.line), Cell(", ".join(waits), f"held:{run}:items")))
    columns = _columns(words.ON_HOLD_HEADS, (40, 60, 60))
    return RuledList(words.ON_HOLD, columns, tuple(rows), "order-on-hold")


def ends_list(refit: Refit) -> RuledList:
    """Return the fittings and terminals run by run, with empty cells for what is measured on the part."""
    fmt = numbers(refit.boat)
    counts: dict[str, int] = {}
    rows = []
    for end in refit.order.ends:
        key = f"{end.run}:{end.end}"
        counts[key] = counts.get(key, 0) + 1
        if is_measured(refit, end):
            terminal = end.part not in refit.boat.fittings
            rows.append(_end_row(end, f"end:{key}:{counts[key]}", fmt, terminal))
    shares = (18, 18, 30, 30, 44, 20, 20, 20, 24, 24, 34, 34)
    columns = _columns(words.MEASURE_HEADS, shares, (5, 6, 7, 8, 9))
    return RuledList(words.MEASURE.format(unit=fmt.unit), columns, tuple(rows), "order-ends")


def is_measured(refit: Refit, end: EndOrder) -> bool:
    """Return whether a part at a run end has sizes to be measured: bought ready made, its line not on hold."""
    if refit.work.runs[end.run].cut is None:
        return False
    if end.part in refit.boat.fittings:
        return end.family != "lashing"
    return family(refit.boat.ends[end.part])["kind"] == "terminal"


def _end_row(end: EndOrder, tag: str, fmt: LengthFormat, terminal: bool) -> tuple[Cell, ...]:
    known = {"min": end.minimum, "planned": end.planned, "max": end.maximum}
    sizes = {"pin": end.pin, "jaw": end.jaw}
    # Of a terminal only thread and hand are to be filled in.
    unknown = words.NOTHING if terminal else ""
    return (
        Cell(end.run), Cell(words.END[end.end]), Cell(end.at), Cell(end.part, f"{tag}:part"), Cell(end.family),
        *(Cell(length(value, fmt) or unknown, f"{tag}:{key}") for key, value in (known | sizes).items()),
        Cell(end.thread or "", f"{tag}:thread"),
        Cell(end.hand or "", f"{tag}:hand"),
    )  # fmt: skip


def small_list(refit: Refit) -> RuledList:
    """Return cord, sleeves and other items slid on, identical parts together, with their runs."""
    fmt = numbers(refit.boat)
    alike: dict[tuple[object, ...], list[SmallOrder]] = {}
    for small in refit.order.small:
        key = (small.what, small.length, small.price, small.source, small.diameter, small.turns)
        alike.setdefault(key, []).append(small)
    rows = tuple(_small_row(parts, f"small:{number}", fmt) for number, parts in enumerate(alike.values(), start=1))
    columns = _columns(words.SMALL_HEADS, (14, 44, 16, 26, 24, 16, 26, 24, 100, 70), (0, 2, 3, 4, 5, 7))
    priced = any(parts[0].price is not None for parts in alike.values())
    if not priced:
        columns = tuple(column for column in columns if column.head != words.SMALL_HEADS[7])
        rows = tuple((*row[:7], *row[8:]) for row in rows)
    return RuledList(words.SMALL.format(unit=fmt.unit), columns, rows, "order-small")


def _small_row(parts: Sequence[SmallOrder], tag: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    first, count = parts[0], sum(part.count for part in parts)
    # Each is cut to a whole inch or millimetre, and the total is of these.
    each = None if first.length is None else as_ordered(first.length, fmt)
    return (
        Cell(str(count), f"{tag}:count"),
        Cell(in_words(first.what, fmt), f"{tag}:what"),
        Cell(fine_length(first.diameter, fmt), f"{tag}:diameter"),
        Cell("" if each is None else piece_length(each, fmt), f"{tag}:length"),
        Cell("" if each is None else long_length(each * count, fmt), f"{tag}:total"),
        Cell("" if first.turns is None else f"{first.turns:g}", f"{tag}:turns"),
        Cell(""),
        Cell(_plain(first.price, 2), f"{tag}:price"),
        Cell(", ".join(dict.fromkeys(part.run for part in parts)), f"{tag}:runs"),
        Cell(first.source, f"{tag}:source"),
    )


def sums_list(refit: Refit) -> RuledList:
    """Return the totals of mass and cost where known, what they leave out, and the sources of the masses."""
    order, fmt = refit.order, numbers(refit.boat)
    unit = fmt.unit
    mass = words.MASS[unit].format(grams=decimal(order.mass, 0), pounds=decimal(in_unit(order.mass, "lb", "mass"), 2))
    cost = words.SUM_OF_COST if order.currency is None else words.SUM_OF_COST_IN.format(currency=order.currency)
    stated = [f"{one.line}: {in_words(one.mass_source, fmt)}" for one in order.lines if one.total and one.mass_source]
    lines = {
        "mass": (words.SUM_OF_MASS[unit], mass, order.without_mass, "; ".join(stated)),
        "cost": (cost, decimal(order.cost, 2), order.without_price, ""),
    }
    known = [key for key, value in (("mass", order.mass), ("cost", order.cost)) if value]
    rows = tuple(
        (Cell(name), Cell(value, f"sum:{key}"), _missing(out, f"sum:no-{key}"), Cell(source))
        for key, (name, value, out, source) in lines.items()
        if key in known
    )
    title = words.SUMS[known[0] if len(known) == 1 else "both"]
    return RuledList(title, _columns(words.SUMS_HEADS, (24, 24, 100, 146), (1,)), rows, "order-sums")


def _missing(names: Sequence[Stated], tag: str) -> Cell:
    """Return what a total leaves out, each kind of part once with its quantity."""
    kinds = [worded(name if isinstance(name, str) else cast("Stated", name["part"])) for name in names]
    stated = (words.COUNTED.format(count=kinds.count(kind), kind=kind) for kind in dict.fromkeys(kinds))
    return Cell(", ".join(stated), tag)


def compare_list(refit: Refit) -> RuledList:
    """Return the lines listed for comparison in the boat file."""
    fmt = numbers(refit.boat)
    force, mass = words.COMPARE_UNITS[fmt.unit]
    pull = _force(max_by_hand().value, fmt)
    heads = [head.format(pull=pull, force=force, mass=mass) for head in words.COMPARE_HEADS]
    columns = _columns(heads, (34, 36, 16, 26, 30, 22, 22, 44, 22, 96), (2, 3, 4, 5, 6))
    rows = tuple(_choice_row(choice, fmt) for choice in refit.line_options)
    return RuledList(words.COMPARE.format(unit=fmt.unit), columns, rows, "order-compare")


def _force(value: float, fmt: LengthFormat) -> str:
    """Return a force [N] as text without its unit: newtons, or pounds on inch sheets."""
    return pounds_force(value) if fmt.unit == "in" else decimal(value, 0)


def _mass(value: float, fmt: LengthFormat) -> str:
    """Return a mass [g] as text without its unit: grams, or pounds on inch sheets."""
    return decimal(in_unit(value, "lb", "mass"), 2) if fmt.unit == "in" else decimal(value, 0)


def _choice_row(choice: LineOption, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag, holds = f"compare:{choice.line}", choice.strength.holds
    years = ""
    if choice.service_years is not None:
        minimum, maximum = choice.service_years
        years = f"{minimum:g} or more" if maximum is None else f"{minimum:g} to {maximum:g}"
    eye = "" if choice.eye is None else f"{choice.eye}, {choice.worst_hole}"
    return (
        Cell(choice.line),
        Cell(choice.construction),
        Cell(fine_length(choice.diameter, fmt), f"{tag}:diameter"),
        Cell("" if holds is None else _force(holds, fmt), f"{tag}:holds"),
        Cell(length(choice.stretch, fmt), f"{tag}:stretch"),
        Cell("" if choice.mass is None else _mass(choice.mass, fmt), f"{tag}:mass"),
        Cell(_plain(choice.cost, 2), f"{tag}:cost"),
        Cell(eye, f"{tag}:eye"),
        Cell(years, f"{tag}:years"),
        Cell(in_words(choice.notices, fmt), f"{tag}:notices"),
    )
