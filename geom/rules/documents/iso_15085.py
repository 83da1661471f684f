"""ISO 15085, guard-rails and guard-lines of small craft, as far as its limits could be read second hand.

Limits with edition and source: data/rules/iso-15085.csv. The clause map is that of a draft of 2014.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import wraps

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules import edition as documents
from geom.rules.finding import ROUNDING, Clause, ClauseCheck, Condition, Finding, Verdict, whole_boat
from geom.rules.measures import heights, supports
from geom.rules.measures.boat_facts import design_category
from geom.rules.measures.post_strength import TopPull, not_shown, top_loads

WORD = "iso-15085"
Check = Callable[[Placed, ClauseCheck], Iterator[Finding]]


def scope(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The standard applies to small craft of a hull length up to 24 m.

    Source: ISO 15085:2003, 1.
    """
    length, maximum = placed.boat.boat.hull_length, clause.limit("max hull length")
    verdict: Verdict = "pass" if length <= maximum.value + ROUNDING else "not applicable"
    hull = whole_boat(Remark("quantity.hull_length"), length, "mm")
    yield clause.say(verdict, hull, limit=maximum, margin=maximum.value - length)


def within_scope(check: Check) -> Check:
    """Return the check of a clause that is not applicable to a boat beyond the scope of the standard."""

    @wraps(check)
    def checked(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
        maximum = documents.limits(WORD)[clause.edition, "1"]["max hull length"].value
        length = placed.boat.boat.hull_length
        if length <= maximum + ROUNDING:
            yield from check(placed, clause)
        else:
            beyond = Remark("scope.hull_too_long", hull_mm=length, max_mm=maximum)
            yield clause.say("not applicable", whole_boat(clause.quantity), beyond)

    return checked


@within_scope
def upper_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper guard-line stands 600 mm above the deck, or 450 mm in category C with a hull of 8.50 m or less.

    Source: ISO 15085:2003, 10.2 and table 4.
    """
    high, low = clause.limit("min upper height"), clause.limit("min low line height")
    admitted = low_line_admitted(placed, clause)
    for measure in heights.upper_lines(placed):
        yield clause.eased_at_least(measure, high, low, admitted)


@within_scope
def stanchion_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A stanchion is 600 mm high, or 450 mm where the low guard-line is admitted.

    Source: a test page naming ISO 15085:2023, clause not given; table 4 for the low line.
    """
    high, low = clause.limit("min height"), clause.limit("min low line height")
    admitted = low_line_admitted(placed, clause)
    for measure in supports.heads(placed):
        yield clause.eased_at_least(measure, high, low, admitted)


@within_scope
def stanchion_load_without_set(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A stanchion takes 280 N horizontally at its top without permanent set, athwartships and fore-and-aft.

    Its stress stays within the proof stress at every section, drilled holes included. A tube of a grade alone may be
    stronger than the minimum of the grade: a higher stress is not shown by calculation.
    Source: ISO 15085, clause not given, from memory; stress by strength of materials.
    """
    load = clause.limit("load")
    for post in top_loads(placed, load.value):
        if post.proof_stress is None:
            finding = clause.undetermined(post.measure, load)
        else:
            finding = clause.at_most(post.measure, load.at(post.proof_stress))
        if post.shown is None:
            notes = (*post.measure.notes, Remark("brace.between_bounds", stress_mpa=post.unbraced))
            yield finding.restated("cannot tell", notes)
        elif post.shown or post.proof_stated:
            yield finding
        else:
            pull = TopPull(load.value, post.way)
            yield not_shown(finding, Remark("strength.top_load_not_shown"), post.stress, pull)


def low_line_admitted(placed: Placed, clause: ClauseCheck) -> Condition:
    """Return whether the low guard-line is admitted: hull length 8.50 m or less, category C.

    Source: ISO 15085:2003, table 4.
    """
    length, maximum = placed.boat.boat.hull_length, clause.limit("max hull length, low line").value
    category = design_category(placed)
    if length > maximum + ROUNDING:
        return Condition(False, (Remark("low_line.hull_too_long", hull_mm=length, max_mm=maximum),))
    if category is None:
        return Condition(None, (Remark("low_line.no_category", hull_mm=length),))
    if category == "D":
        return Condition(None, (Remark("low_line.category_d_not_read", hull_mm=length),))
    code = "low_line.admitted" if category == "C" else "low_line.not_admitted"
    return Condition(category == "C", (Remark(code, hull_mm=length, category=category),))


CLAUSES = (
    Clause("1", "scope", scope),
    Clause("10.2 height", "upper line height", upper_height),
    Clause("10 stanchion height", "stanchion height", stanchion_height),
    Clause("10 load without set", "stanchion load without set", stanchion_load_without_set),
    Clause("10 load without break", "stanchion load without break", None, Remark("clause.wants_test")),
    Clause("10.1", "common requirements", None, Remark("clause.text_not_read")),
    Clause("10.3", "discontinuities", None, Remark("clause.text_not_read")),
    Clause("10.4", "openings", None, Remark("clause.text_not_read")),
    Clause("10 line strength", "guard-line strength", None, Remark("clause.text_not_read")),
    Clause("10 gates", "gates", None, Remark("clause.text_not_read")),
)
