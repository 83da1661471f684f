"""Many findings made readable: what fails one by one, the rest one line for each clause and verdict."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from geom.rules.finding import ORDER, Finding, Verdict


@dataclass(frozen=True)
class Line:
    """A finding that stands for `count` of its kind, the tightest; `others` are the rest, the tightest first."""

    finding: Finding
    others: tuple[Finding, ...] = ()

    @property
    def count(self) -> int:
        """How many findings the line stands for."""
        return 1 + len(self.others)

    @property
    def would_fail(self) -> int:
        """How many of them would fail were the document binding or the limit sure."""
        return sum(one.would == "fail" for one in (self.finding, *self.others))


def digest(findings: tuple[Finding, ...]) -> tuple[Line, ...]:
    """Return the findings worst first: each failure and each waived one alone, the others by clause and verdict.

    Places past a limit do not share a line with places within it, where neither is a failure. A clause that is put
    for comparison only takes one line: no place that keeps it hides one that does not.

    Within a verdict the order is that of the documents.
    """
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        past = "past" if (finding.margin or 0.0) < 0.0 else ""
        verdict = (finding.verdict, finding.would or "", past) if finding.binding else ("comparison",)
        kind = (finding.document, finding.edition, finding.clause, *verdict)
        alone = (finding.id,) if finding.verdict == "fail" or finding.waivers else ()
        groups.setdefault((*kind, *alone), []).append(finding)
    lines = []
    for group in groups.values():
        tightest, *others = sorted(group, key=_tightest_first)
        lines.append(Line(tightest, tuple(others)))
    documents = list(dict.fromkeys(finding.document for finding in findings))
    return tuple(sorted(lines, key=lambda line: (_gravity(line.finding), documents.index(line.finding.document))))


def counts(findings: tuple[Finding, ...]) -> tuple[tuple[str, str, dict[Verdict, int]], ...]:
    """Return for each document and edition how many findings have each verdict."""
    kinds = dict.fromkeys((finding.document, finding.edition) for finding in findings)
    table = Counter((finding.document, finding.edition, finding.verdict) for finding in findings)
    return tuple((*kind, {verdict: table[(*kind, verdict)] for verdict in ORDER}) for kind in kinds)


def _gravity(finding: Finding) -> tuple[int, int]:
    return ORDER.index(finding.verdict), len(ORDER) if finding.would is None else ORDER.index(finding.would)


def _tightest_first(finding: Finding) -> tuple[tuple[int, int], float, float]:
    margin = math.inf if finding.margin is None else finding.margin
    return _gravity(finding), margin, math.inf if finding.demand is None else -finding.demand
