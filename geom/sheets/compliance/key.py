"""The key of a rule sheet, for the items on that sheet only."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geom.figure import Item, Text
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding
from geom.sheets.compliance import text as words
from geom.sheets.compliance.figures import figures
from geom.tables import numbers
from geom.words import Units, units_of

# Units that figures of findings are written in, as the title block lists them.
_UNITS = ("mm", "in", "m", "ft", "kN", "N", "lbf", "MPa", "deg", "%")
# Start of the tags of pull tests.
PULL = "pull:"
_HEAD, _TAIL = "rule:", ":verdict"
_AT_STATIONS = ("quantity.lowest_at_stations", "quantity.largest_opening_at_stations")


def shown_findings(refit: Refit, items: Sequence[Item]) -> tuple[Finding, ...]:
    """Return the findings with a row among the items of a sheet."""
    rows = {
        item.tag[len(_HEAD) : -len(_TAIL)]
        for item in items
        if isinstance(item, Text) and item.tag.startswith(_HEAD) and item.tag.endswith(_TAIL)
    }
    return tuple(finding for finding in refit.findings if finding.id in rows)


def units_on(refit: Refit, items: Sequence[Item]) -> str:
    """Return the units in which a sheet's findings are written, a unit in brackets left out, for its title block."""
    fmt = numbers(refit.boat)
    used: set[str] = set()
    for finding in shown_findings(refit, items):
        used.add(figures(finding, fmt)[3].partition(" ")[0])
        used |= units_of((finding.quantity, *finding.notes), Units(fmt, pounds=True))
    if has_pulls(items):
        used |= units_of(Remark("pull.at_top", pull_n=1.0), Units(fmt, pounds=True))
    return ", ".join(unit for unit in _UNITS if unit in used) or words.NO_UNITS


def has_pulls(items: Sequence[Item]) -> bool:
    """Return whether pull tests are among the items of a sheet."""
    return any(isinstance(item, Text) and item.tag.startswith(PULL) for item in items)


def rule_key(shown: Sequence[Finding], waived: bool, summed: bool) -> tuple[str, ...]:
    """Return the lines of the key for the findings on a sheet.

    Args:
        shown: findings with a row.
        waived: whether any finding of the boat is waived.
        summed: whether the sheet has the summary of verdicts.
    """
    return tuple(line for line in _lines(shown, waived, summed) if line)


def _lines(shown: Sequence[Finding], waived: bool, summed: bool) -> Iterator[str]:
    notice = words.RULE_KEY_NOTICE if summed or any(finding.verdict == "notice" for finding in shown) else ""
    if not shown:
        yield notice
        yield words.RULE_KEY_LAST
        return
    yield _joined(
        words.RULE_KEY if any(finding.binding for finding in shown) else "",
        "" if all(finding.binding for finding in shown) else words.RULE_KEY_COMPARED,
        words.RULE_KEY_TIGHTEST,
        words.RULE_KEY_MARGIN,
    )
    marks = {finding.sure for finding in shown}
    marks_used = [mark for name, mark in words.SURE_WORDS.items() if name in marks]
    notes = {sure for finding in shown for note in finding.notes for sure in _sureties(note)}
    in_notes = [mark for name, mark in words.SURE_WORDS.items() if name not in marks and name in notes]
    yield _joined(
        words.RULE_KEY_SURE.format(marks="; ".join(marks_used)) if marks_used else "",
        words.RULE_KEY_SURE_NOTE.format(marks="; ".join(in_notes)) if in_notes else "",
    )
    yield notice
    undetermined = any("cannot tell" in (finding.verdict, finding.would) for finding in shown)
    yield _joined(
        words.RULE_KEY_CANNOT if undetermined else "",
        words.RULE_KEY_MARGINAL if any(finding.marginal for finding in shown) else "",
        words.RULE_KEY_STATIONS if any(finding.quantity.code in _AT_STATIONS for finding in shown) else "",
        words.RULE_KEY_WAIVER if waived else "",
        words.RULE_KEY_LAST,
    )


def _sureties(note: Remark) -> Iterator[str]:
    """Yield how sure the sources in a remark are."""
    for name, value in note.values:
        if name == "sure" and isinstance(value, str):
            yield value
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, Remark):
                yield from _sureties(one)


def _joined(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)
