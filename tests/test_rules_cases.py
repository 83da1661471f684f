"""Every clause against its cases: at least one boat that passes and one that fails, as data, by one runner."""

from __future__ import annotations

import pytest

from geom.rules.finding import Finding
from geom.rules.register import DOCUMENTS
from geom.words import worded
from tests.rule_cases import Case, cases, findings

CASES = cases()
# A path differs between the sides only on a boat of two sides; see test_rules_boats. A side without a single line
# is no side that rules apply to, so that nothing breaks the one course of a short vessel; a scope is left, not broken.
ELSEWHERE = {("common-practice", "pair"), ("common-practice", "netting")}
NEVER_BROKEN = {("uk-1993", "22.2.3 courses"), ("iso-15085", "1")}


@pytest.mark.parametrize("case", CASES, ids=str)
def test_case(case: Case) -> None:
    found = findings(case)
    assert len(found) == 1, f"{len(found)} findings of {case.clause} at {case.at}"
    finding = found[0]
    assert finding.verdict == case.verdict, finding
    note = worded(finding.notes)
    assert case.says in note, note
    if case.would is not None:
        assert finding.would == case.would
    if case.measured is not None:
        assert finding.measured == pytest.approx(case.measured, rel=1e-4)
    if case.limit is not None:
        assert finding.limit == pytest.approx(case.limit, rel=1e-9)
    if case.kind == "failing":
        assert fails(finding), "a failing case has to fail, or say that it would"
    if case.kind == "passing":
        assert not fails(finding)
        assert finding.verdict in ("pass", "notice", "not applicable")


def fails(finding: Finding) -> bool:
    """Tell whether a finding fails, would fail by a doubtful limit, or speaks against the boat."""
    refused = any(note.code == "hmpe.admission" and note["answer"] == "not allowed" for note in finding.notes)
    speaks_against = ("wire.grade_recommended", "wire.coated", "eye.make_on_board", "retention.set_screw_alone")
    against = refused or any(note.code in speaks_against for note in finding.notes)
    short = finding.margin is not None and finding.margin < 0.0
    return finding.verdict == "fail" or (finding.verdict == "notice" and (short or against))


@pytest.mark.parametrize("kind", ["passing", "failing"])
def test_every_computed_clause_has_a_case(kind: str) -> None:
    computed = {(word, clause.clause) for word, clauses in DOCUMENTS.items() for clause in clauses if clause.check}
    have = {(case.document, case.clause) for case in CASES if case.kind == kind}
    exempt = ELSEWHERE | NEVER_BROKEN if kind == "failing" else ELSEWHERE
    assert computed - have - exempt == set(), f"clauses without a {kind} case"
    assert have <= computed


def test_a_case_of_another_verdict_is_detected() -> None:
    sound = next(case for case in CASES if case.clause == "3.14.1 c)" and case.kind == "passing")
    wrong = Case("osr", sound.clause, "failing", sound.at, "fail")
    with pytest.raises(AssertionError):
        test_case(wrong)
