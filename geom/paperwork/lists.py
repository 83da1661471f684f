"""Columns and figures of the lists on papers."""

from __future__ import annotations

from collections.abc import Sequence

from geom.drafting.ruling import ListColumn
from geom.units import LengthFormat, decimal

# Decimals that a length of the boat file is written with at most: a thousandth of a millimetre or of an inch.
_EXACT = 3


def columns(heads: Sequence[str], shares: Sequence[float], right: Sequence[int] = ()) -> tuple[ListColumn, ...]:
    """Return columns of a list.

    Args:
        heads: their headings.
        shares: of the width.
        right: which of them, from 0, hold figures aligned to the right.
    """
    return tuple(
        ListColumn(head, share, "right" if index in right else "left")
        for index, (head, share) in enumerate(zip(heads, shares, strict=True))
    )


def as_stated(value: float, fmt: LengthFormat) -> str:
    """Return a length [mm] that the boat file states, with the decimals that it takes, at most three."""
    text = decimal(value / fmt.mm, _EXACT)
    return text.rstrip("0").rstrip(".") if "." in text else text


def made_to(value: float, fmt: LengthFormat) -> str:
    """Return a length [mm] that is made and measured: to 0.1 mm, on inch boats to 0.001 in."""
    return decimal(value / fmt.mm, fmt.decimals if fmt.unit == "mm" else _EXACT)
