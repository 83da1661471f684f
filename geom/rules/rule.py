"""What a rule says of a boat: one finding per place, with document, clause, measured value and limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "fail", "cannot tell", "not applicable", "notice"]
# Worst first, as reports list them.
ORDER: tuple[Verdict, ...] = ("fail", "cannot tell", "notice", "pass", "not applicable")


@dataclass(frozen=True)
class Finding:
    """One clause against one place of one boat.

    `measured`, `limit` and `margin` are in `unit`; margin is positive where the limit is kept. A
    quantity that cannot be measured is None, and its verdict `cannot tell`.
    """

    id: str
    document: str
    edition: str
    clause: str
    subject: str
    quantity: str
    verdict: Verdict
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    margin: float | None = None
    run: str | None = None
    post: str | None = None
    note: str = ""
    uncertainty: float | None = None


@dataclass(frozen=True)
class Clause:
    """One clause as a function from a placed boat to findings, with its number in its document."""

    document: str
    edition: str
    clause: str
    title: str
    check: Callable[..., Iterator[Finding]]


def at_least(measured: float | None, limit: float) -> tuple[Verdict, float | None]:
    """Return verdict and margin of a value that must not be less than a limit."""
    if measured is None:
        return "cannot tell", None
    return ("pass" if measured >= limit else "fail"), measured - limit


def at_most(measured: float | None, limit: float) -> tuple[Verdict, float | None]:
    """Return verdict and margin of a value that must not be more than a limit."""
    if measured is None:
        return "cannot tell", None
    return ("pass" if measured <= limit else "fail"), limit - measured
