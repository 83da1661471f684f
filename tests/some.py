"""What a test loops over must not be empty: a loop over nothing proves nothing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

T = TypeVar("T")


def some(found: Iterable[T]) -> tuple[T, ...]:
    """Return what was found, which must not be nothing."""
    items = tuple(found)
    assert items, "nothing to look at: this loop would prove nothing"
    return items
