"""US 46 CFR 45.115, guard rails under a load line.

Limits with edition and source: data/rules/cfr-45.115.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Finding
from geom.rules.measures import heights, supports

WORD = "cfr-45.115"


def height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Rails stand at least 36 in above the deck.

    Source: 46 CFR 45.115.
    """
    for measure in heights.upper_lines(placed):
        yield clause.at_least(measure, clause.limit("min height"))


def courses(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Rails have at least three courses.

    Source: 46 CFR 45.115.
    """
    for measure in supports.courses(placed):
        yield clause.at_least(measure, clause.limit("min courses"))


def lowest_opening(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The opening below the lowest course is no more than 9 in.

    Source: 46 CFR 45.115.
    """
    for measure in heights.openings_above_deck(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


def other_openings(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The other courses are no more than 15 in apart.

    Source: 46 CFR 45.115.
    """
    for measure in heights.openings_between_lines(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


CLAUSES = (
    Clause("45.115 height", "rail height", height),
    Clause("45.115 courses", "courses", courses),
    Clause("45.115 lowest opening", "lowest opening", lowest_opening),
    Clause("45.115 other openings", "other openings", other_openings, nothing=Remark("clause.one_line_only")),
)
