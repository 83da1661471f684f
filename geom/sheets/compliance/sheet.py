"""Pages of the rules: findings by document with their coverage; then sides and survey."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.drafting import text as words
from geom.drafting.page import Document, notes_list, page_flow, page_paper
from geom.drafting.sheet import Draft
from geom.refit import Refit
from geom.rules.digest import digest
from geom.sheets.compliance import text as rule_words
from geom.sheets.compliance.key import rule_key, units_on
from geom.sheets.compliance.lists import beyond, coverage_list, finding_lists, items_list, pull_tests, summary
from geom.sheets.compliance.survey import closures, point_sides, posts_as_found, run_sides, survey_key

_FINDINGS = Document(
    "A1", "rules", rule_words.RULES_TITLE, rule_words.RULES_KIND,
    "Requirements of each document, measured values and verdicts; clauses not checked.",
)  # fmt: skip
_AGREEMENT = Document(
    "A2", "sides-and-survey", rule_words.AGREEMENT_TITLE, rule_words.AGREEMENT_KIND,
    "Port against starboard, tapes against coordinates, stanchions against the others of the boat.",
    rule_words.AGREEMENT_CONTENTS,
)  # fmt: skip


def rule_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return the pages of findings and coverage, and those of asymmetry, tapes and posts as found."""
    return (*_rules(refit), *_agreement(refit))


def _rules(refit: Refit) -> Iterator[Draft]:
    waived = any(finding.waivers for finding in refit.findings)
    # The notes explain the words of every list behind them.
    notes = notes_list(rule_key([line.finding for line in digest(refit.findings)], waived, True), "rules:notes")
    lists = (summary(refit), beyond(refit), notes, *finding_lists(refit), pull_tests(refit), coverage_list(refit))
    documents = dict.fromkeys((f"rules:{finding.document}", finding.document) for finding in refit.findings)
    pages, paper = replace(_FINDINGS, contents=(*documents, *rule_words.RULES_CONTENTS)), page_paper(refit)
    for items in page_flow(paper, pages.title, lists):
        yield pages.page(paper, items, units_on(refit, items))


def _agreement(refit: Refit) -> tuple[Draft, ...]:
    """Return the pages of sides and survey."""
    lists = (run_sides(refit), point_sides(refit), closures(refit), posts_as_found(refit))
    shown = {one.rows[0][0].tag.partition(":")[0] for one in lists if one.rows}
    every = (items_list(refit), *lists)
    given = refit.loaded.mirrored_from
    remark = () if given is None else (_mirrored(refit),)
    notes = notes_list((*remark, *survey_key(refit, shown)), "survey:notes")
    return _AGREEMENT.pages(refit, (*every, notes), tolerance="")


def _mirrored(refit: Refit) -> str:
    given = refit.loaded.mirrored_from
    assert given is not None
    other = words.SIDE["P" if given == "S" else "S"]
    return rule_words.MIRRORED.format(side=other, given=words.SIDE[given].lower())
