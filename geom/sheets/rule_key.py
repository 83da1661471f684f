"""The key of a rule sheet: only what stands on that sheet is explained."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geom.figure import Item, Text
from geom.refit import Refit
from geom.rules.rule import Finding
from geom.sheets import rule_words as words

_HEAD, _TAIL = "rule:", ":verdict"


def shown_findings(refit: Refit, items: Sequence[Item]) -> tuple[Finding, ...]:
    """Return the findings that have a row among the items of a sheet."""
    rows = {
        item.tag[len(_HEAD) : -len(_TAIL)]
        for item in items
        if isinstance(item, Text) and item.tag.startswith(_HEAD) and item.tag.endswith(_TAIL)
    }
    return tuple(finding for finding in refit.findings if finding.id in rows)


def has_coverage(items: Sequence[Item]) -> bool:
    """Tell whether clauses that are checked and not checked are listed among the items of a sheet."""
    return any(isinstance(item, Text) and item.tag.startswith("coverage") for item in items)


def rule_key(shown: Sequence[Finding], waived: bool) -> tuple[str, ...]:
    """Return the lines of the key for the findings that a sheet shows."""
    return tuple(line for line in _lines(shown, waived) if line)


def _lines(shown: Sequence[Finding], waived: bool) -> Iterator[str]:
    if not shown:
        yield words.RULE_KEY_LAST
        return
    yield words.RULE_KEY
    compared = not all(finding.binding for finding in shown)
    yield _joined(words.RULE_KEY_COMPARED if compared else "", words.RULE_KEY_MARGIN)
    marks = {finding.sure for finding in shown}
    said = [mark for name, mark in words.SURE_WORDS.items() if name in marks]
    yield _joined(
        words.RULE_KEY_SURE.format(marks="; ".join(said)) if said else "",
        words.RULE_KEY_MEMORY if any(mark.startswith("memory") for mark in marks) else "",
    )
    open_ones = any("cannot tell" in (finding.verdict, finding.would) for finding in shown)
    yield _joined(
        words.RULE_KEY_CANNOT if open_ones else "",
        words.RULE_KEY_STATIONS if any("deck stations" in finding.quantity for finding in shown) else "",
        words.RULE_KEY_WAIVER if waived else "",
        words.RULE_KEY_LAST,
    )


def _joined(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)
