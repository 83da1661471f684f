"""The costed bill for the yard: every line with quantity, rate, amount and basis, as CSV and as a workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from decimal import Decimal

from geom.paperwork.money import Spread
from geom.paperwork.quote import text as words
from geom.paperwork.quote.costs import BillLine, Quotation, in_step
from geom.paperwork.quote.sheet import tax_words
from geom.paperwork.workbook import workbook_bytes
from geom.refit import Refit
from geom.tables import numbers
from geom.words import Units, worded

_HUNDRED = Decimal(100)
Entry = str | Decimal | None


def bill_rows(refit: Refit, quoted: Quotation) -> tuple[tuple[Entry, ...], ...]:
    """Return the bill as rows under their headings, the totals last."""
    units = Units(numbers(refit.boat), millimetres=True, pounds=True)
    rows = [_row(line, quoted, units) for line in quoted.lines]
    for name, spread in _totals(quoted):
        empty: tuple[Entry, ...] = (None,) * 13
        rows.append((name, *empty, None, *_three(spread, quoted.rounding), None))
    return (words.BILL_HEADS, *rows)


def _row(line: BillLine, quoted: Quotation, units: Units) -> tuple[Entry, ...]:
    return (
        line.section,
        line.item,
        worded(line.what, units),
        "; ".join(line.places),
        line.unit,
        *line.quantity.parts,
        *_parts(line.each),
        *_parts(None if line.waste is None else _percent(line.waste)),
        line.rate,
        *((None,) * 3 if line.amount is None else _three(line.amount, quoted.rounding)),
        line.basis,
    )


def _percent(waste: Spread) -> Spread:
    return Spread(*((part * _HUNDRED).normalize() for part in waste.parts))


def _parts(spread: Spread | None) -> tuple[Entry, ...]:
    return (None,) * 3 if spread is None else spread.parts


def _three(spread: Spread, step: Decimal) -> tuple[Entry, ...]:
    return tuple(Decimal(in_step(value, step)) for value in spread.parts)


def _totals(quoted: Quotation) -> Iterator[tuple[str, Spread]]:
    yield words.NET.lower(), quoted.net
    if quoted.tax_of is not None:
        yield tax_words(quoted.tax_of), quoted.tax
        yield words.GROSS.lower(), quoted.gross


def bill_csv(refit: Refit, quoted: Quotation) -> bytes:
    """Return the bill as CSV, figures with a decimal point."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    for row in bill_rows(refit, quoted):
        writer.writerow(
            ["" if value is None else f"{value:f}" if isinstance(value, Decimal) else value for value in row]
        )
    return stream.getvalue().encode("utf-8")


def bill_workbook(refit: Refit, quoted: Quotation) -> bytes:
    """Return the bill as a workbook (XLSX)."""
    return workbook_bytes("bill", bill_rows(refit, quoted), refit.boat.revision.date)
