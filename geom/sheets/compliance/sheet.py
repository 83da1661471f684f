"""Sheets of the rules: findings by document with their coverage; then sides and survey."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import RuledList, flow, list_height, list_items
from geom.drafting.sheet import Draft, key_items, list_area
from geom.figure import Item, Rect, Text
from geom.refit import Refit
from geom.rules.finding import Finding
from geom.sheets.compliance import text as rule_words
from geom.sheets.compliance.key import has_coverage, has_pulls, has_summary, rule_key, shown_findings, units_on
from geom.sheets.compliance.lists import beyond, coverage_list, finding_lists, pull_tests, summary
from geom.sheets.compliance.survey import closures, point_sides, posts_as_found, run_sides, survey_key

_BETWEEN = 8.0
# Smallest height of sides and survey beside another list [mm].
_MIN_SURVEY = 60.0
# Largest number of letters of a second name in the title.
_SHORT = 9


def rule_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of findings and coverage, and those of asymmetry, tapes and posts as found."""
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    findings = (*_with_rows(summary(refit), beyond(refit)), *finding_lists(refit), *_with_rows(pull_tests(refit)))
    covered = coverage_list(refit)
    areas = (list_area(paper),)
    sheets = flow((*findings, covered), areas, _BETWEEN)
    if len(sheets) > len(flow(findings, areas, _BETWEEN)):
        # The coverage is placed under sides and survey where it fits, instead of on another sheet.
        together = _agreement(refit, paper, covered)
        if len(together) == 1:
            return (*_rules(refit, paper, flow(findings, areas, _BETWEEN)), *together)
    return (*_rules(refit, paper, sheets), *_agreement(refit, paper))


def _rules(refit: Refit, paper: Paper, sheets: Sequence[tuple[Item, ...]]) -> tuple[Draft, ...]:
    waived = any(finding.waivers for finding in refit.findings)
    drafts = []
    for number, items in enumerate(sheets, start=1):
        shown = shown_findings(refit, items)
        what = _what(shown, has_pulls(items), has_coverage(items))
        drafts.append(
            Draft(
                number="A1",
                name="rules",
                title=rule_words.RULES_TITLE.format(number=number, count=len(sheets), what=what),
                subtitle=rule_words.RULES_KIND,
                paper=paper,
                scale="none",
                items=(*items, *key_items(paper, words.KEY, rule_key(shown, waived, has_summary(items)))),
                description="Requirements of each document, measured values and verdicts; clauses not checked.",
                tolerance=rule_words.NO_TOLERANCE,
                units=units_on(refit, items),
            )
        )
    return tuple(drafts)


def _what(shown: Sequence[Finding], pulled: bool, covered: bool) -> str:
    """Return the content of a rule sheet for its title: its first document or list, and any more."""
    named = [finding.document if finding.binding else rule_words.RULES_COMPARISON for finding in shown]
    listed = [
        *dict.fromkeys(named),
        *([rule_words.RULES_PULLS] if pulled else []),
        *([rule_words.RULES_COVERAGE] if covered else []),
    ]
    first, *more = listed or [rule_words.RULES_SUMMARY]
    first = first.removeprefix(rule_words.BODY)
    if not more:
        return first
    if len(more) == 1 and len(more[0]) <= _SHORT:
        return f"{first}, {more[0]}"
    return rule_words.AND_MORE.format(first=first)


def _agreement(refit: Refit, paper: Paper, under: RuledList | None = None) -> tuple[Draft, ...]:
    """Return the sheets of sides and survey, each with `under` across the foot."""
    area = list_area(paper)
    foot: tuple[Item, ...] = ()
    if under is not None:
        tall = list_height(under, area.width)
        foot = list_items(under, (area.left, area.bottom + tall), area.width)
        area = Rect(area.left, area.bottom + tall + _BETWEEN, area.right, area.top)
        if area.height < _MIN_SURVEY:
            return ()
    middle, half = (area.left + area.right) / 2.0, _BETWEEN / 2.0
    given = refit.loaded.mirrored_from
    remark_height = 0.0 if given is None else 8.0
    left = Rect(area.left, area.bottom, middle - half, area.top - remark_height)
    right = Rect(middle + half, area.bottom, area.right, area.top - remark_height)
    columns = list(
        zip_longest(
            flow(_with_rows(run_sides(refit), point_sides(refit)), (left,), _BETWEEN),
            flow(_with_rows(closures(refit), posts_as_found(refit)), (right,), _BETWEEN),
            fillvalue=(),
        )
    )
    at = (area.left, area.top - 3.5)
    remark = () if given is None else (Text(at, _mirrored(refit), 3.5, "TEXT", tag="mirrored"),)
    return tuple(
        Draft(
            number="A2",
            name="sides-and-survey",
            title=_numbered(number, len(columns), under is not None),
            subtitle=rule_words.AGREEMENT_KIND,
            paper=paper,
            scale="none",
            items=(*remark, *sides, *survey, *foot, *_survey_key(refit, paper, (*sides, *survey))),
            description="Port against starboard, tapes against coordinates, posts against the fair line.",
        )
        for number, (sides, survey) in enumerate(columns, start=1)
    )


def _numbered(number: int, count: int, covered: bool) -> str:
    title = rule_words.AGREEMENT_COVERED if covered else rule_words.AGREEMENT_TITLE
    return title if count == 1 else rule_words.AGREEMENT_NUMBERED.format(title=title, number=number, count=count)


def _survey_key(refit: Refit, paper: Paper, items: Sequence[Item]) -> tuple[Item, ...]:
    tags = {item.tag.partition(":")[0] for item in items if isinstance(item, Text)}
    return key_items(paper, words.KEY, survey_key(refit, tags))


def _with_rows(*lists: RuledList) -> tuple[RuledList, ...]:
    return tuple(ruled for ruled in lists if ruled.rows)


def _mirrored(refit: Refit) -> str:
    given = refit.loaded.mirrored_from
    assert given is not None
    other = words.SIDE["P" if given == "S" else "S"]
    return rule_words.MIRRORED.format(side=other, given=words.SIDE[given].lower())
