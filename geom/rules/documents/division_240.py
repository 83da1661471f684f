"""French Division 240, articles 240-2.56 to 240-2.59 in the order of 1987, consolidated.

Superseded for CE-marked boats. Limits with source: data/rules/division-240.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Condition, Finding, Measure
from geom.rules.measures import heights, lines, supports
from geom.rules.measures.boat_facts import by_hand, design_category, shorter_than

WORD = "division-240"


def height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper line stands 600 mm high on a boat of 8 m and more, 450 mm on a shorter one.

    Source: Division 240, 240-2.58.
    """
    short = shorter_than(placed, clause.limit("min length").value)
    for measure in heights.upper_lines(placed):
        yield clause.eased_at_least(measure, clause.limit("min height"), clause.limit("min height, short boat"), short)


def gap(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Where the upper line is over 450 mm high, no gap from deck to line or line to line is over 300 mm.

    Source: Division 240, 240-2.58.
    """
    binds_above = clause.limit("height above which it binds").value
    for side in heights.sides(placed):
        tops = [m.value for m in heights.at_posts(placed, side, heights.levels(placed, side)[0]) if m.value is not None]
        if tops and max(tops) <= binds_above:
            measure = Measure(f"{side}-gap", Remark("quantity.gaps"), None, where=Remark("place.side", side=side))
            yield clause.say("not applicable", measure, Remark("height.nowhere_over", limit_mm=binds_above))
        else:
            for measure in heights.openings(placed, side):
                yield clause.at_most(measure, clause.limit("max gap"))


def line_load(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines hold 1300 daN lengthwise in category A, 900 daN in B and C; their fixings are not in the boat file.

    Source: Division 240, 240-2.58.
    """
    category = design_category(placed)
    answer = None if category not in ("A", "B", "C") else category != "A"
    reason = Remark("category.no_design") if category is None else Remark("category.design", category=category)
    eased = Condition(answer, (reason,))
    for line in lines.used_lines(placed):
        strict = clause.limit("min load, category A")
        yield clause.eased_at_least(
            lines.breaking_load(line), strict, clause.limit("min load, categories B and C"), eased
        )


def spacing(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Stanchions stand no more than 2200 mm apart.

    Source: Division 240, 240-2.58.
    """
    for measure in supports.spacing(placed):
        yield clause.at_most(measure, clause.limit("max support spacing"))


def cockpit(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """An open cockpit leaves no gap over 500 mm.

    Source: Division 240, 240-2.58.
    """
    yield clause.at_most(by_hand(placed, "cockpit_opening"), clause.limit("max cockpit opening"))


def pulpit(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """An open part of a pulpit is no more than 360 mm wide.

    Source: Division 240, 240-2.56.
    """
    yield clause.at_most(by_hand(placed, "pulpit_opening"), clause.limit("max pulpit opening"))


def toe_rail(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A sailing boat's toe-rail stands at least 30 mm high.

    Source: Division 240, 240-2.56.
    """
    yield clause.at_least(by_hand(placed, "toe_rail_height"), clause.limit("min toe-rail height"))


def toe_rail_gap(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A gap in the toe-rail is no longer than 100 mm.

    Source: Division 240, 240-2.56.
    """
    yield clause.at_most(by_hand(placed, "toe_rail_gap"), clause.limit("max gap"))


CLAUSES = (
    Clause("240-2.58 height", "upper line height", height),
    Clause("240-2.58 gap", "gaps", gap),
    Clause("240-2.58 line", "line load", line_load),
    Clause("240-2.58 spacing", "stanchion spacing", spacing),
    Clause("240-2.58 stanchion", "stanchion load", None, Remark("clause.contested_load")),
    Clause("240-2.58 cockpit", "opening of an open cockpit", cockpit),
    Clause("240-2.56 pulpit", "pulpit opening", pulpit),
    Clause("240-2.56 toe-rail", "toe-rail", toe_rail),
    Clause("240-2.56 toe-rail gap", "gap in toe-rail", toe_rail_gap),
    Clause("240-2.59", "harness line", None, Remark("clause.harness_line")),
)  # fmt: skip
