"""Many findings made readable: what fails one by one, the rest one line for each clause and verdict."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from geom.rules.rule import ORDER, Finding, Verdict


@dataclass(frozen=True)
class Line:
    """A finding that stands for `count` of its kind: the one with the least margin."""

    finding: Finding
    count: int


def digest(findings: tuple[Finding, ...]) -> tuple[Line, ...]:
    """Return the findings worst first: each failure and each waived one alone, the others by clause and verdict.

    A document that is put for comparison only takes one line for each verdict.

    Within a verdict the order is that of the documents, then of the margin.
    """
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        clause = finding.clause if finding.binding else ""
        kind = (finding.document, finding.edition, clause, finding.verdict)
        alone = (finding.id,) if finding.verdict == "fail" or finding.waiver else ()
        groups.setdefault((*kind, *alone), []).append(finding)
    lines = [Line(min(group, key=_margin), len(group)) for group in groups.values()]
    documents = list(dict.fromkeys(finding.document for finding in findings))
    return tuple(
        sorted(lines, key=lambda line: (ORDER.index(line.finding.verdict), documents.index(line.finding.document)))
    )


def counts(findings: tuple[Finding, ...]) -> tuple[tuple[str, str, dict[Verdict, int]], ...]:
    """Return for each document and edition how many findings have each verdict."""
    kinds = dict.fromkeys((finding.document, finding.edition) for finding in findings)
    table = Counter((finding.document, finding.edition, finding.verdict) for finding in findings)
    return tuple((*kind, {verdict: table[(*kind, verdict)] for verdict in ORDER}) for kind in kinds)


def _margin(finding: Finding) -> float:
    return math.inf if finding.margin is None else finding.margin
