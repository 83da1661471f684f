"""How the fabricator's sheets write sizes: lengths for the shop, tubes as they are bought, angles with short words."""

from __future__ import annotations

from collections.abc import Sequence

from geom.figure import LengthFormat
from geom.units import Mm, Rad, decimal, degrees, without_zero

# Words of a way, positive and negative. "in" behind a figure would be read as inches.
ATHWARTSHIPS, FORE_AND_AFT = ("outbd", "inbd"), ("aft", "fwd")


def shop(value: Mm, fmt: LengthFormat) -> str:
    """Return a length as the shop reads it: 0.1 mm, or .01 in without a leading zero.

    Args:
        value: the length [mm].
        fmt: format of lengths.
    """
    return fmt.figure(value)


def as_bought(value: Mm, fmt: LengthFormat) -> str:
    """Return a size of bought material without needless digits, in inches to .001.

    Args:
        value: the size [mm].
        fmt: format of lengths.
    """
    text = decimal(value / fmt.mm, 3 if fmt.unit == "in" else 2)
    return without_zero(text.rstrip("0").rstrip("."), fmt.unit)


def same_decimals(texts: Sequence[str]) -> tuple[str, ...]:
    """Return sizes of one column with as many decimals as the finest of them; empty ones stay empty."""
    finest = max((len(text.partition(".")[2]) for text in texts), default=0)
    return tuple(
        text and f"{text}{'' if '.' in text or not finest else '.'}{'0' * (finest - len(text.partition('.')[2]))}"
        for text in texts
    )


def tube_size(od: Mm, wall: Mm, fmt: LengthFormat) -> str:
    """Return a tube as it is bought, `Ø25 x 1.5`.

    Args:
        od: outside diameter [mm].
        wall: its thickness [mm].
        fmt: format of lengths.
    """
    return f"Ø{as_bought(od, fmt)} x {as_bought(wall, fmt)}"


def turned(value: Rad, plus: str, minus: str, unit: str = "") -> str:
    """Return an angle to 0.1 degree with the word of its direction instead of a sign: `15.7 outbd`.

    Args:
        value: the angle [rad].
        plus: word for a positive angle.
        minus: word for a negative angle.
        unit: behind the figure, where no heading has it.
    """
    text = decimal(abs(degrees(value)), 1)
    return f"{text}{unit}" if float(text) == 0.0 else f"{text}{unit} {plus if value > 0.0 else minus}"
