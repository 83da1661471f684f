"""UK code of practice for small commercial sailing vessels, 1993, section 22.2.

Limits with edition and source: data/rules/uk-1993.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Condition, Finding, whole_boat
from geom.rules.measures import heights, supports
from geom.rules.measures.boat_facts import by_hand, shorter_than

WORD = "uk-1993"


def height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Where the crew works the deck the upper course stands 600 mm high, save on a vessel under 9 m.

    Source: UK code 1993, 22.2.2; 22.2.3 for the vessel whose length can be read either way.
    """
    short = shorter_than(placed, clause.limit("vessel length below, single course").value)
    if short.holds:
        yield _see_other(clause, "upper_course_height", "clause.other_binds", "22.2.3", short)
        return
    for measure in heights.upper_lines(placed):
        yield clause.eased_at_least(
            measure, clause.limit("min height"), clause.limit("min height, single course"), short
        )


def height_of_short_vessel(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """On a vessel under 9 m the course stands at least 450 mm high.

    Source: UK code 1993, 22.2.3.
    """
    short = shorter_than(placed, clause.limit("vessel length below").value)
    if short.holds is not True:
        yield _see_other(clause, "course_height", "clause.see_other", "22.2.2", short)
        return
    for measure in heights.upper_lines(placed):
        finding = clause.at_least(measure, clause.limit("min height"))
        yield finding.restated(finding.verdict, (*finding.notes, *short.reasons), finding.would)


def courses_of_short_vessel(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A vessel under 9 m has at least a single course.

    Source: UK code 1993, 22.2.3.
    """
    short = shorter_than(placed, clause.limit("vessel length below").value)
    if short.holds is not True:
        yield _see_other(clause, "courses", "clause.see_other", "22.2.2", short)
        return
    for measure in supports.courses(placed):
        finding = clause.at_least(measure, clause.limit("min courses"))
        yield finding.restated(finding.verdict, (*finding.notes, *short.reasons), finding.would)


def courses(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """There are two courses, save on a vessel under 9 m.

    Source: UK code 1993, 22.2.2; 22.2.3 for the vessel whose length can be read either way.
    """
    short = shorter_than(placed, clause.limit("vessel length below, single course").value)
    if short.holds:
        yield _see_other(clause, "courses", "clause.other_binds", "22.2.3", short)
        return
    for measure in supports.courses(placed):
        yield clause.eased_at_least(
            measure, clause.limit("min courses"), clause.limit("min courses, single course"), short
        )


def spacing(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Courses are supported at least every 2.2 m.

    Source: UK code 1993, 22.2.2.
    """
    for measure in supports.spacing(placed):
        yield clause.at_most(measure, clause.limit("max support spacing"))


def cockpit(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A cockpit that is open aft leaves no vertical opening over 500 mm.

    Source: UK code 1993, 22.2.5.
    """
    yield clause.at_most(by_hand(placed, "cockpit_opening"), clause.limit("max cockpit opening"))


def _see_other(clause: ClauseCheck, quantity: str, code: str, other: str, short: Condition) -> Finding:
    whole = whole_boat(Remark(f"quantity.{quantity}"))
    return clause.say("not applicable", whole, Remark(code, why=short.reasons, clause=other))


CLAUSES = (
    Clause("22.2.2 height", "upper course height", height),
    Clause("22.2.2 courses", "courses", courses),
    Clause("22.2.2 spacing", "support spacing", spacing),
    Clause("22.2.3 height", "course height, short vessel", height_of_short_vessel),
    Clause("22.2.3 courses", "courses, short vessel", courses_of_short_vessel),
    Clause("22.2.4", "three courses, 1000 mm", None, Remark("clause.person_says_if_bound")),
    Clause("22.2.5", "opening of an open cockpit", cockpit),
    Clause("22.2.6", "bow pulpit", None, Remark("clause.pulpit_not_in_file")),
)  # fmt: skip
