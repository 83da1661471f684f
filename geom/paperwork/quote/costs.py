"""A quotation: every quantity at its rate, what has no rate, provisional sums of the open items, tax, totals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from geom.errors import Fault, InputError
from geom.open_items import OpenItem, open_items
from geom.paperwork.money import Spread, exactly, rounded, total
from geom.paperwork.quote import quantities
from geom.paperwork.quote.quantities import UNITS, Quantity
from geom.paperwork.rates import Operation, Rate, Rates, Tax
from geom.refit import Refit
from geom.remark import Remark, Stated

Section = Literal["materials", "outside work", "work", "provisional sums"]
SECTIONS: tuple[Section, ...] = ("materials", "outside work", "work", "provisional sums")
Basis = Literal["rate file", "boat file", "no rate"]
_ONE = Decimal(1)


@dataclass(frozen=True)
class BillLine:
    """One line of a bill: what it is, its quantity, its rate, its amount; `amount` is None where there is no rate.

    `each` are the hours of one operation, else None; `waste` is the ratio added to what is cut from a length.
    """

    section: Section
    item: str
    what: Stated
    places: tuple[str, ...]
    unit: str
    quantity: Spread
    each: Spread | None
    waste: Spread | None
    rate: Decimal | None
    amount: Spread | None
    basis: Basis


@dataclass(frozen=True)
class Quotation:
    """A bill with its totals: net, tax and gross, each low, likely and high; lines without a rate are not in them."""

    currency: str
    rounding: Decimal
    rates_from: str
    tax_of: Tax | None
    lines: tuple[BillLine, ...]
    tax: Spread

    def section(self, name: Section) -> tuple[BillLine, ...]:
        """Return the lines of a section."""
        return tuple(line for line in self.lines if line.section == name)

    def sum_of(self, name: Section) -> Spread:
        """Return the sum of a section, without its lines that have no rate."""
        return _sum(self.section(name))

    @property
    def net(self) -> Spread:
        """The sum of all sections."""
        return _sum(self.lines)

    @property
    def gross(self) -> Spread:
        """Net and tax together."""
        return self.net.plus(self.tax)

    @property
    def without_rate(self) -> tuple[BillLine, ...]:
        """The lines that have no rate and no amount."""
        return tuple(line for line in self.lines if line.amount is None)


def _sum(lines: Iterable[BillLine]) -> Spread:
    return total(line.amount for line in lines if line.amount is not None)


def quotation(refit: Refit, rates: Rates, source: str) -> Quotation:
    """Return the quotation of a refit at some rates.

    Args:
        refit: the calculated boat.
        rates: of the yard.
        source: name of the rate file, for messages.

    Raises:
        InputError: a rate is for each of what is sold by length, or by length for what is counted.
    """
    currency = refit.boat.currency
    lines = [
        purchase_line("materials", one, rates.materials.get(one.item), rates, currency, source)
        for one in quantities.materials(refit)
    ]
    lines += [
        purchase_line("outside work", one, rates.outside.get(one.item), rates, currency, source)
        for one in quantities.outside(refit)
    ]
    lines += _work(refit, rates)
    lines += [_provisional(item, rates) for item in open_items(refit)]
    return quotation_of(lines, rates)


def quotation_of(lines: Sequence[BillLine], rates: Rates) -> Quotation:
    """Return the quotation of some lines, with the tax on their sum.

    Args:
        lines: of the bill.
        rates: of the yard.
    """
    tax = exactly(0)
    if rates.tax is not None:
        tax = _sum(lines).times(exactly(rates.tax.percent / 100)).rounded(rates.rounding)
    return Quotation(
        currency=rates.currency,
        rounding=rates.rounding,
        rates_from=rates.rates_from,
        tax_of=rates.tax,
        lines=tuple(lines),
        tax=tax,
    )


def purchase_line(
    section: Section, one: Quantity, rate: Rate | None, rates: Rates, currency: str | None, source: str
) -> BillLine:
    """Return the line of what is bought, at the rate of the rate file, else at the price of the boat file.

    Args:
        section: of the bill.
        one: what is bought.
        rate: of the rate file, None where it has none.
        rates: of the yard.
        currency: of the prices of the boat file.
        source: name of the rate file, for messages.

    Raises:
        InputError: the rate is in a unit in which it is not sold.
    """
    basis: Basis = "rate file"
    if rate is None:
        basis = "no rate"
        if one.price is not None and currency == rates.currency:
            basis = "boat file"
            per: Literal["m", "each"] = "m" if one.sold == "length" else "each"
            rate = Rate(per=per, rate=Decimal(f"{one.price:.12g}"))
    units = UNITS[one.sold]
    unit = next(iter(units)) if rate is None else rate.per
    if unit not in units:
        valid = " or ".join(units)
        key = f"{'materials' if section == 'materials' else 'outside'}.{one.item}.per"
        raise InputError(source, [Fault("the unit does not go with what it is a rate of", key, read=unit, valid=valid)])
    quantity = one.in_unit(unit)
    waste = None if rate is None or one.by_reel else rate.waste
    used = quantity if waste is None else quantity.times(waste.plus(exactly(1)))
    amount = None if rate is None else used.times(exactly(rate.rate)).rounded(rates.rounding)
    return BillLine(
        section, one.item, one.what, one.places, unit, quantity, None, waste, None if rate is None else rate.rate,
        amount, basis,
    )  # fmt: skip


def _work(refit: Refit, rates: Rates) -> Iterator[BillLine]:
    """Yield the operations that the boat has, then the journeys."""
    for operation, places in quantities.operations(refit).items():
        if places:
            yield operation_line(operation, places, rates)
    if rates.visits is None:
        missing = Remark("quote.operation", operation="travel")
        yield BillLine("work", "travel", missing, (), "visits", exactly(0), None, None, None, None, "no rate")
    elif rates.visits:
        yield operation_line("travel", (), rates)


def operation_line(operation: Operation, places: tuple[str, ...], rates: Rates) -> BillLine:
    """Return the line of an operation, once for each of its places; travel counts the visits of the rates.

    Args:
        operation: what is done.
        places: where.
        rates: of the yard.
    """
    travel = operation == "travel"
    count = exactly(rates.visits if travel and rates.visits is not None else len(places))
    each, amount = rates.hours.get(operation), None
    if each is not None and rates.hour is not None:
        amount = count.times(each).times(exactly(rates.hour)).rounded(rates.rounding)
    what = Remark("quote.operation", operation=operation)
    basis: Basis = "no rate" if amount is None else "rate file"
    unit = "visits" if travel else "times"
    return BillLine("work", operation, what, places, unit, count, each, None, rates.hour, amount, basis)


def _provisional(item: OpenItem, rates: Rates) -> BillLine:
    allowed = rates.provisional.get(item.name)
    amount = None if allowed is None else allowed.rounded(rates.rounding)
    basis: Basis = "no rate" if allowed is None else "rate file"
    return BillLine(
        "provisional sums", item.name, item.cause, item.places, "sum", exactly(_ONE), None, None, None, amount, basis
    )


def in_step(amount: Decimal, step: Decimal) -> str:
    """Return an amount as text, with the decimals of the smallest amount of its currency.

    Args:
        amount: the amount.
        step: smallest amount of the currency.
    """
    return f"{rounded(amount, step):f}"
