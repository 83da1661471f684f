"""Sheets of the rules: findings by document with their coverage; then the sides and the survey against each other."""

from __future__ import annotations

from itertools import zip_longest

from geom.figure import Rect, Text
from geom.refit import Refit
from geom.sheets import words
from geom.sheets.draft import Draft, key_items, list_area
from geom.sheets.paper import Paper, papers
from geom.sheets.rule_lists import coverage_list, finding_lists, summary
from geom.sheets.ruled_list import RuledList, flow
from geom.sheets.survey_lists import asymmetry, closures, posts_as_found

_BETWEEN = 8.0


def rule_sheet(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheets of findings and coverage, and those of asymmetry, tapes and posts as found."""
    paper = papers(refit.boat.drawing.sheets, least=1)[0]
    return (*_rules(refit, paper), *_agreement(refit, paper))


def _rules(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    lists = (summary(refit), *finding_lists(refit), coverage_list(refit))
    key = key_items(paper, words.KEY, words.RULE_KEY)
    return tuple(
        Draft(
            name="rules",
            title=words.RULES_TITLE,
            kind=words.RULES_KIND,
            paper=paper,
            scale="none",
            items=(*items, *key),
            description="What each document asks, what was measured, and the verdict; with what is not checked.",
        )
        for items in flow(lists, (list_area(paper),), _BETWEEN)
    )


def _agreement(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    area = list_area(paper)
    middle, half = (area.left + area.right) / 2.0, _BETWEEN / 2.0
    given = refit.loaded.mirrored_from
    room = 0.0 if given is None else 8.0
    left = Rect(area.left, area.bottom, middle - half, area.top - room)
    right = Rect(middle + half, area.bottom, area.right, area.top - room)
    columns = zip_longest(
        flow(_with_rows(asymmetry(refit)), (left,), _BETWEEN),
        flow(_with_rows(closures(refit), posts_as_found(refit)), (right,), _BETWEEN),
        fillvalue=(),
    )
    key = key_items(paper, words.KEY, words.SURVEY_KEY)
    said = () if given is None else (Text((area.left, area.top - 3.5), _mirrored(refit), 3.5, "TEXT", tag="mirrored"),)
    return tuple(
        Draft(
            name="sides-and-survey",
            title=words.AGREEMENT_TITLE,
            kind=words.AGREEMENT_KIND,
            paper=paper,
            scale="none",
            items=(*said, *sides, *survey, *key),
            description="Port against starboard, tapes against coordinates, posts against the fair line.",
        )
        for sides, survey in columns
    )


def _with_rows(*lists: RuledList) -> tuple[RuledList, ...]:
    return tuple(one for one in lists if one.rows)


def _mirrored(refit: Refit) -> str:
    given = refit.loaded.mirrored_from
    assert given is not None
    other = words.SIDE["P" if given == "S" else "S"]
    return words.MIRRORED.format(side=other, given=words.SIDE[given].lower())
