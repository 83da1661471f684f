"""The quotation for the owner: totals, what they hold, provisional sums, what is not priced."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from geom.drafting.line_text import in_words
from geom.drafting.page import notes_list
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat, Sheet
from geom.open_items import open_items
from geom.paperwork.lists import columns
from geom.paperwork.money import Spread
from geom.paperwork.paper import Paper, pages
from geom.paperwork.quote import text as words
from geom.paperwork.quote.costs import SECTIONS, BillLine, Quotation, Section, in_step
from geom.paperwork.rates import Tax
from geom.refit import Refit
from geom.remark import Remark
from geom.tables import numbers

QUOTATION = Paper("Q1", "quotation", words.TITLE, words.KIND, words.DESCRIPTION)
_SIGNED_ROW = 9.0


def quotation_sheets(refit: Refit, quoted: Quotation) -> tuple[Sheet, ...]:
    """Return the pages of the quotation."""
    fmt = numbers(refit.boat)
    lists = (
        totals_list(quoted),
        gaps_list(quoted, fmt),
        *(section_list(quoted, section, fmt) for section in SECTIONS[:-1]),
        provisional_list(refit, quoted, fmt),
        _agreed(),
        notes_list(tuple(_notes(quoted)), "quote:notes"),
    )
    return pages(refit, QUOTATION, lists, units=f"{quoted.currency}; m, ft" if fmt.unit == "in" else quoted.currency)


def _amounts(spread: Spread, step: Decimal, tag: str, weight: str = "regular") -> tuple[Cell, ...]:
    named = (("low", spread.low), ("likely", spread.likely), ("high", spread.high))
    return tuple(Cell(in_step(value, step), f"{tag}:{key}", weight=weight) for key, value in named)  # type: ignore[arg-type]


def totals_list(quoted: Quotation) -> RuledList:
    """Return the sum of each section, net, tax and total."""
    step = quoted.rounding
    rows = [
        (Cell(words.SECTION[name]), *_amounts(quoted.sum_of(name), step, f"sum:{name}"))
        for name in SECTIONS
        if quoted.section(name)
    ]
    rows.append((Cell(words.NET, weight="semibold"), *_amounts(quoted.net, step, "net", "semibold")))
    if quoted.tax_of is not None:
        rows.append((Cell(tax_words(quoted.tax_of)), *_amounts(quoted.tax, step, "tax")))
        rows.append((Cell(words.GROSS, weight="semibold"), *_amounts(quoted.gross, step, "gross", "semibold")))
    shown = columns(words.RANGE_HEADS, (70, 30, 30, 30), (1, 2, 3))
    return RuledList(words.AMOUNTS.format(currency=quoted.currency), shown, tuple(rows), "quote-totals")


def tax_words(tax: Tax) -> str:
    """Return the name of a tax with its per cent."""
    return words.TAX.format(name=tax.name, percent=f"{tax.percent:f}")


def section_list(quoted: Quotation, section: Section, fmt: LengthFormat) -> RuledList:
    """Return the lines of a section with quantity and likely amount.

    Args:
        quoted: the quotation.
        section: of its lines.
        fmt: format of lengths.
    """
    rows = tuple(
        (
            Cell(_what(line, fmt)),
            Cell(quantity_words(line), f"{section}:{line.item}:quantity"),
            Cell(
                words.NO_RATE if line.amount is None else in_step(line.amount.likely, quoted.rounding),
                f"{section}:{line.item}:amount",
            ),
        )
        for line in quoted.section(section)
    )
    shown = columns(words.LINE_HEADS, (122, 26, 26), (1, 2))
    title = words.LINES.format(section=words.SECTION[section].upper(), currency=quoted.currency)
    return RuledList(title, shown, rows, f"quote-{section.replace(' ', '-')}")


def _what(line: BillLine, fmt: LengthFormat) -> str:
    """Return the word and the kind of what is bought, what it is for the rest."""
    said = in_words(line.what, fmt)
    if line.section in ("work", "provisional sums"):
        return said
    return line.item if isinstance(line.what, Remark) else f"{line.item}: {said}"


def quantity_words(line: BillLine) -> str:
    """Return the likely quantity with its unit."""
    return f"{line.quantity.likely:f} {words.UNIT[line.unit]}".strip()


def provisional_list(refit: Refit, quoted: Quotation, fmt: LengthFormat) -> RuledList:
    """Return the sum allowed for each open item, with the item's number on the sheets.

    Args:
        refit: the calculated boat.
        quoted: its quotation.
        fmt: format of lengths.
    """
    rows = []
    for item, line in zip(open_items(refit), quoted.section("provisional sums"), strict=True):
        tag = f"item:{item.number}"
        none = (Cell(""), Cell(words.NO_RATE, f"{tag}:amount"), Cell(""))
        amounts = none if line.amount is None else _amounts(line.amount, quoted.rounding, tag)
        rows.append((Cell(str(item.number), tag), Cell(in_words(item.cause, fmt)), *amounts))
    shown = columns(words.SUM_HEADS, (12, 96, 22, 22, 22), (2, 3, 4))
    return RuledList(words.SUMS.format(currency=quoted.currency), shown, tuple(rows), "quote-provisional")


def gaps_list(quoted: Quotation, fmt: LengthFormat) -> RuledList:
    """Return the lines without a rate, counted in the title."""
    found = quoted.without_rate
    rows = tuple(
        (
            Cell(_what(line, fmt), f"gap:{line.item}"),
            Cell(words.SECTION[line.section]),
            Cell(quantity_words(line)),
        )
        for line in found
    )
    title = words.GAPS.format(count=len(found), all=len(quoted.lines))
    return RuledList(title, columns(words.GAP_HEADS, (104, 40, 30), (2,)), rows, "quote-gaps")


def _agreed() -> RuledList:
    rows = tuple((Cell(who), Cell(""), Cell(""), Cell("")) for who in words.AGREED_FOR)
    shown = columns(words.AGREED_HEADS, (20, 60, 30, 64))
    return RuledList(words.AGREED, shown, rows, "quote-agreed", minimum=_SIGNED_ROW)


def _notes(quoted: Quotation) -> Iterator[str]:
    for note in words.NOTES:
        yield note.format(rounding=f"{quoted.rounding:f}", currency=quoted.currency, rates_from=quoted.rates_from)
