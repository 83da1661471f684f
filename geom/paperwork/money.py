"""Money and quantities as exact decimals: a low, a likely and a high figure, and the one rounding of amounts."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from functools import reduce

_PLAIN = re.compile(r"\d{1,9}(\.\d{1,6})?")
_HUNDREDTH = Decimal("0.01")
NOTHING = Decimal(0)


@dataclass(frozen=True)
class Spread:
    """A figure that is not known exactly: low, likely, high; all three alike where it is."""

    low: Decimal
    likely: Decimal
    high: Decimal

    def times(self, other: Spread) -> Spread:
        """Return the product, low by low, likely by likely, high by high."""
        return Spread(self.low * other.low, self.likely * other.likely, self.high * other.high)

    def plus(self, other: Spread) -> Spread:
        """Return the sum, low with low, likely with likely, high with high."""
        return Spread(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def rounded(self, step: Decimal) -> Spread:
        """Return the amounts rounded to the smallest amount of a currency, see `rounded`."""
        return Spread(rounded(self.low, step), rounded(self.likely, step), rounded(self.high, step))

    @property
    def parts(self) -> tuple[Decimal, Decimal, Decimal]:
        """Low, likely and high."""
        return self.low, self.likely, self.high


def exactly(value: Decimal | int) -> Spread:
    """Return a figure that is known exactly."""
    one = Decimal(value)
    return Spread(one, one, one)


def total(parts: Iterable[Spread]) -> Spread:
    """Return the sum of figures; nothing where there are none."""
    return reduce(Spread.plus, parts, exactly(0))


def rounded(amount: Decimal, step: Decimal) -> Decimal:
    """Return an amount rounded to the smallest amount of its currency, halves up.

    Each amount of a bill is rounded once, where it arises; totals add rounded amounts.
    """
    return (amount / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def to_buy_in(size: float, unit_size: float) -> Decimal:
    """Return a length or an area to buy in a unit of sale, rounded up to two decimals as on the order list.

    Args:
        size: the length or area [mm or mm2].
        unit_size: the unit, such as a metre or a square foot [mm or mm2].
    """
    exact = Decimal(f"{size / unit_size:.9f}") - Decimal("1e-8")
    return max(exact, NOTHING).quantize(_HUNDREDTH, ROUND_CEILING)


def read_amount(text: object) -> Decimal:
    """Return an amount or a quantity as its exact decimal.

    Raises:
        ValueError: not digits with a decimal point.
    """
    if isinstance(text, Decimal):
        return text
    if not isinstance(text, str) or not _PLAIN.fullmatch(text.strip()):
        raise ValueError("expected an amount | digits with a decimal point, not below 0, such as 3.85")
    return Decimal(text.strip())
