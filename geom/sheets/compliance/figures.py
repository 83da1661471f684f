"""Text of findings on paper: numbers, units, clauses and notes, in the units of the boat file."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from geom.drafting.ruling import KEPT
from geom.remark import Stated
from geom.rules.finding import ROUNDING, Finding
from geom.units import LengthFormat, decimal, decimals_apart, in_unit, without_zero
from geom.words import Units, worded

_MAX_DECIMALS = 4
# Forces from this size on are in kN [N]: a limit from memory is not known to the newton.
_LARGE_FORCE = 1000.0
# The number of a clause in its document; the rest of our name of it is its subject.
_NUMBER = re.compile(r"(?:H-)?\d[\d.\-]*(?: [a-h]\))?(?: [ivx]+\b)?")


def figures(finding: Finding, fmt: LengthFormat) -> tuple[str, str, str, str]:
    """Return measured value, limit, margin and unit as text, empty where there is none.

    For a boat file in inches lengths are in inches with mm in brackets, forces in lbf with N in brackets. Value, limit
    and margin of a finding have the same decimals, enough of them to tell a value from its limit; the margin is the
    difference of the two as they are printed.

    Args:
        finding: the finding.
        fmt: format of lengths.
    """
    scales, more = _scales(finding, fmt), more_decimals(finding, fmt)
    unit = finding.unit
    if fmt.unit != "mm" and finding.unit in ("mm", "N"):
        unit = {"mm": f"{fmt.unit} [mm]", "N": "lbf [N]"}[finding.unit]
    elif _is_large(finding):
        unit = "kN"
    return (
        _written(finding.measured, scales, more),
        _written(finding.limit, scales, more),
        _bracketed([_margin(finding, scale, more) for scale in scales]) if finding.margin is not None else "",
        unit,
    )


def more_decimals(finding: Finding, fmt: LengthFormat) -> int:
    """Return the decimals beyond the usual ones that tell the value of a finding from its limit."""
    value, limit, scales = finding.measured, finding.limit, _scales(finding, fmt)
    if value is None or limit is None:
        return 0
    return decimals_apart(value, limit, lambda more: (_written(value, scales, more), _written(limit, scales, more)))


@dataclass(frozen=True)
class _Scale:
    """A unit that figures are written in: its size in the unit of the finding, its decimals, its word."""

    size: float
    decimals: int
    word: str = ""

    def text(self, value: float, more: int) -> str:
        """Return a value in the unit of the finding with some more decimals."""
        # A half in the last decimal is rounded up, whatever its float representation.
        return without_zero(decimal(value / self.size * (1.0 + 1e-12), self.decimals + more), self.word)


def _scales(finding: Finding, fmt: LengthFormat) -> tuple[_Scale, ...]:
    """Return the units that the figures of a finding are written in; a length below 1 in with one more decimal."""
    inches, largest = fmt.unit != "mm", _largest(finding)
    if finding.unit == "mm" and inches:
        own = fmt.decimals + (largest < fmt.mm)
        return (_Scale(fmt.mm, own, fmt.unit), _Scale(1.0, 1 if largest >= 100.0 else 2))
    if finding.unit == "N" and inches:
        return (_Scale(1.0 / in_unit(1.0, "lbf", "force"), 0), _Scale(1.0, 0))
    if finding.unit == "N":
        return (_Scale(1000.0, 1) if _is_large(finding) else _Scale(1.0, 0),)
    return (_Scale(1.0, 0 if finding.unit == "count" else 1),)


def _is_large(finding: Finding) -> bool:
    return finding.unit == "N" and _largest(finding) >= _LARGE_FORCE


def _largest(finding: Finding) -> float:
    return max(abs(value or 0.0) for value in (finding.measured, finding.limit))


def _written(value: float | None, scales: Sequence[_Scale], more: int) -> str:
    """Return a figure in its units, empty where there is none."""
    return "" if value is None else _bracketed([scale.text(value, more) for scale in scales])


def _margin(finding: Finding, scale: _Scale, more: int) -> str:
    """Return the margin of a finding: value and limit as printed, one less the other, but never as nil."""
    value, limit, margin = finding.measured, finding.limit, finding.margin
    assert margin is not None
    if value is not None and limit is not None and math.isclose(abs(value - limit), abs(margin), abs_tol=ROUNDING):
        apart = abs(float(scale.text(value, more)) - float(scale.text(limit, more)))
        margin = math.copysign(apart * scale.size, margin)
    text = scale.text(margin, more)
    while float(text) == 0.0 and abs(margin) > 1e-6 and scale.decimals + more < _MAX_DECIMALS:
        more += 1
        text = scale.text(margin, more)
    return text


def _bracketed(texts: Sequence[str]) -> str:
    """Return a figure, the same in another unit in brackets behind it."""
    return f"{texts[0]}{KEPT}[{texts[1]}]" if len(texts) > 1 else texts[0]


def notes_in_own_units(finding: Finding, fmt: LengthFormat) -> str:
    """Return the notes of a finding with its lengths and forces as the boat writes them, as fine as its figures."""
    return worded(finding.notes, Units(fmt, pounds=True, more=more_decimals(finding, fmt)))


def in_own_units(said: Stated | Sequence[Stated], fmt: LengthFormat) -> str:
    """Return remarks with their lengths and forces as the boat writes them."""
    return worded(said, Units(fmt, pounds=True))


def clause_number(clause: str) -> str:
    """Return the number of a clause in its document, with non-breaking spaces; empty where it has none."""
    found = _NUMBER.match(clause)
    return found.group().replace(" ", KEPT) if found else ""


def clause_words(clause: str, subject: str) -> str:
    """Return a clause's number in the document and its subject."""
    number = clause_number(clause)
    return f"{number}: {subject}" if number else subject


def with_document(finding: Finding) -> str:
    """Return document and clause as one text, without repeating a number that the document's name ends with."""
    number = clause_number(finding.clause)
    if not number or finding.document.endswith(number):
        return f"{finding.document}: {finding.subject}"
    return f"{finding.document}, {number}: {finding.subject}"
