"""Numbers for a text that is the same on every machine."""

from __future__ import annotations

DECIMALS = 6


def r(value: float) -> float:
    """Return a number rounded, without a minus zero."""
    return round(value, DECIMALS) + 0.0


def o(value: float | None) -> float | None:
    """Return a number rounded, or None where there is none."""
    return None if value is None else r(value)
