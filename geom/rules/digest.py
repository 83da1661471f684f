"""Findings condensed for reading: failures one by one, the rest in one line per clause and verdict."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from geom.rules.finding import ORDER, Finding, Verdict


@dataclass(frozen=True)
class Line:
    """The most critical of `count` findings of a kind; `others` are the rest, the most critical first."""

    finding: Finding
    others: tuple[Finding, ...] = ()

    @property
    def count(self) -> int:
        """The number of findings in the line."""
        return 1 + len(self.others)

    @property
    def would_fail(self) -> int:
        """The number of them that would fail if the document were binding and the limit confirmed."""
        return sum(one.would == "fail" for one in (self.finding, *self.others))


def digest(findings: tuple[Finding, ...]) -> tuple[Line, ...]:
    """Return the findings, worst first: failures and waived findings singly, the others by clause and verdict.

    Findings beyond a limit and within it are kept apart where neither is a failure, marginal ones from others, and, of
    those without a figure, those that say different things. A clause applied for comparison only takes one line, led
    by its most critical finding. Within a verdict the order is that of the documents.
    """
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        past = "past" if (finding.margin or 0.0) < 0.0 else ""
        marginal = "marginal" if finding.marginal else ""
        verdict = (
            (finding.verdict, finding.would or "", past, marginal, *_said(finding))
            if finding.binding
            else ("comparison",)
        )
        kind = (finding.document, finding.edition, finding.clause, *verdict)
        alone = (finding.id,) if finding.verdict == "fail" or finding.waivers else ()
        groups.setdefault((*kind, *alone), []).append(finding)
    lines = []
    for group in groups.values():
        critical, *others = sorted(group, key=_most_critical_first)
        lines.append(Line(critical, tuple(others)))
    documents = list(dict.fromkeys(finding.document for finding in findings))
    return tuple(sorted(lines, key=lambda line: (_severity(line.finding), documents.index(line.finding.document))))


def counts(findings: tuple[Finding, ...]) -> tuple[tuple[str, str, dict[Verdict, int]], ...]:
    """Return the number of findings by verdict, for each document and edition."""
    kinds = dict.fromkeys((finding.document, finding.edition) for finding in findings)
    table = Counter((finding.document, finding.edition, finding.verdict) for finding in findings)
    return tuple((*kind, {verdict: table[(*kind, verdict)] for verdict in ORDER}) for kind in kinds)


def _said(finding: Finding) -> tuple[str, ...]:
    """Return what a finding without value and limit says, where it is to be acted on; empty for any other."""
    if finding.verdict not in ("cannot tell", "notice") or (finding.measured, finding.limit) != (None, None):
        return ()
    return tuple(sorted(frozenset[str]().union(*(note.codes() for note in finding.notes))))


def _severity(finding: Finding) -> tuple[int, int]:
    return ORDER.index(finding.verdict), len(ORDER) if finding.would is None else ORDER.index(finding.would)


def _most_critical_first(finding: Finding) -> tuple[tuple[int, int], float, float]:
    margin = math.inf if finding.margin is None else finding.margin
    return _severity(finding), margin, math.inf if finding.demand is None else -finding.demand
