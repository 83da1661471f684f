"""UK harmonised code for small vessels, section 22.2.

Limits with edition and source: data/rules/uk-harmonised.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Finding
from geom.rules.measures import heights, supports
from geom.rules.measures.boat_facts import by_hand

WORD = "uk-harmonised"


def height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper course stands at least 1000 mm above the deck.

    Source: UK harmonised code, 22.2.2.
    """
    for measure in heights.upper_lines(placed):
        yield clause.at_least(measure, clause.limit("min height"))


def courses(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """There are at least three courses.

    Source: UK harmonised code, 22.2.2.
    """
    for measure in supports.courses(placed):
        yield clause.at_least(measure, clause.limit("min courses"))


def lowest_opening(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The opening below the lowest course is no more than 230 mm.

    Source: UK harmonised code, 22.2.2.
    """
    for measure in heights.openings_above_deck(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


def other_openings(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The other courses are no more than 380 mm apart.

    Source: UK harmonised code, 22.2.2.
    """
    for measure in heights.openings_between_lines(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


def cockpit(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """An unprotected opening is no more than 500 mm.

    Source: UK harmonised code, 22.2.2.
    """
    yield clause.at_most(by_hand(placed, "cockpit_opening"), clause.limit("max cockpit opening"))


CLAUSES = (
    Clause("22.2.2 height", "upper course height", height),
    Clause("22.2.2 courses", "courses", courses),
    Clause("22.2.2 lowest opening", "lowest opening", lowest_opening),
    Clause("22.2.2 other openings", "other openings", other_openings, nothing=Remark("clause.one_line_only")),
    Clause("22.2.2 cockpit", "unprotected opening", cockpit),
    Clause("22.2.2 small craft", "reference to ISO 15085", None, Remark("clause.person_says_which")),
)
