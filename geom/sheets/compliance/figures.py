"""Text of findings on paper: numbers, units, clauses and notes, in the units of the boat file."""

from __future__ import annotations

import re
from collections.abc import Sequence

from geom.drafting.ruling import KEPT
from geom.remark import Stated
from geom.rules.finding import Finding
from geom.units import LengthFormat, decimal, decimals_apart, in_unit, without_zero
from geom.words import Units, worded

_MAX_DECIMALS = 4
# Forces from this size on are in kN [N]: a limit from memory is not known to the newton.
_LARGE_FORCE = 1000.0
# The number of a clause in its document; the rest of our name of it is its subject.
_NUMBER = re.compile(r"(?:H-)?\d[\d.\-]*(?: [a-h]\))?(?: [ivx]+\b)?")


def figures(finding: Finding, fmt: LengthFormat) -> tuple[str, str, str, str]:
    """Return measured value, limit, margin and unit as text, empty where there is none.

    For a boat file in inches lengths are in inches with mm in brackets, forces in lbf with N in brackets. A value that
    differs from its limit is written with enough decimals to tell them apart; the margin has no more of them.

    Args:
        finding: the finding.
        fmt: format of lengths.
    """
    inches = fmt.unit != "mm"
    large, more = _is_large(finding), more_decimals(finding, fmt)
    numbers = (
        _written(finding.measured, finding.unit, fmt, large, more),
        _written(finding.limit, finding.unit, fmt, large, more),
        _written(finding.margin, finding.unit, fmt, large, more, larger=_largest(finding)),
    )
    unit = finding.unit
    if inches and finding.unit in ("mm", "N"):
        unit = {"mm": f"{fmt.unit} [mm]", "N": "lbf [N]"}[finding.unit]
    elif large:
        unit = "kN"
    return (*numbers, unit)


def more_decimals(finding: Finding, fmt: LengthFormat) -> int:
    """Return the decimals beyond the usual ones that tell the value of a finding from its limit."""
    value, limit, large = finding.measured, finding.limit, _is_large(finding)
    if value is None or limit is None:
        return 0
    return decimals_apart(
        value,
        limit,
        lambda more: (
            _written(value, finding.unit, fmt, large, more),
            _written(limit, finding.unit, fmt, large, more),
        ),
    )


def _is_large(finding: Finding) -> bool:
    return finding.unit == "N" and _largest(finding) >= _LARGE_FORCE


def _largest(finding: Finding) -> float:
    return max(abs(value or 0.0) for value in (finding.measured, finding.limit))


def _written(
    value: float | None, unit: str, fmt: LengthFormat, large: bool, more: int, larger: float | None = None
) -> str:
    """Return a figure; a margin with the decimals of the larger of value and limit, but never as nil."""
    if value is None:
        return ""
    inches, never_nil = fmt.unit != "mm", larger is not None
    size = abs(value) if larger is None else larger
    if unit == "mm" and inches:
        bracketed = _decimal(value, (1 if size >= 100.0 else 2) + more, never_nil)
        return f"{_inches(value, fmt, size, more, never_nil)}{KEPT}[{bracketed}]"
    if unit == "N" and inches:
        return f"{_decimal(in_unit(value, 'lbf', 'force'), more, never_nil)}{KEPT}[{_decimal(value, more, never_nil)}]"
    if unit == "N":
        return _decimal(value / 1000.0, 1 + more, never_nil) if large else _decimal(value, more, never_nil)
    return _decimal(value, (0 if unit == "count" else 1) + more, never_nil)


def _inches(value: float, fmt: LengthFormat, size: float, more: int, never_nil: bool) -> str:
    """Return a length in the file's unit, of a size below 1 with one more decimal."""
    own = value / fmt.mm
    figure = _decimal(own, (fmt.decimals if size >= fmt.mm else fmt.decimals + 1) + more, never_nil)
    return without_zero(figure, fmt.unit)


def _decimal(value: float, decimals: int, never_nil: bool) -> str:
    # A half in the last decimal is rounded up, whatever its float representation.
    value *= 1.0 + 1e-12
    text = decimal(value, decimals)
    while never_nil and float(text) == 0.0 and abs(value) > 1e-6 and decimals < _MAX_DECIMALS:
        decimals += 1
        text = decimal(value, decimals)
    return text


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
