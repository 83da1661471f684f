"""US 46 CFR 169.327, deck rails and lifelines of sailing school vessels.

Limits with edition and source: data/rules/cfr-169.327.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Finding
from geom.rules.measures import heights, supports

WORD = "cfr-169.327"


def height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Rails or lifelines stand at least 762 mm (30 in) above the deck.

    Source: 46 CFR 169.327.
    """
    for measure in heights.upper_lines(placed):
        yield clause.at_least(measure, clause.limit("min height"))


def spacing(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Stanchions stand no more than 2134 mm (7 ft) apart.

    Source: 46 CFR 169.327.
    """
    for measure in supports.spacing(placed):
        yield clause.at_most(measure, clause.limit("max support spacing"))


def courses(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Courses are no more than 305 mm (12 in) apart.

    Source: 46 CFR 169.327.
    """
    for measure in heights.openings_between_lines(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


def lowest_opening(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The opening below the lowest course is no more than 229 mm (9 in).

    Source: 46 CFR 169.327.
    """
    for measure in heights.openings_above_deck(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


CLAUSES = (
    Clause("169.327 height", "line height", height),
    Clause("169.327 spacing", "stanchion spacing", spacing),
    Clause("169.327 fixing", "fixing of stanchions", None, Remark("clause.fixing_seen_on_board")),
    Clause("169.327 courses", "courses apart", courses, nothing=Remark("clause.one_line_only")),
    Clause("169.327 lowest opening", "lowest opening", lowest_opening),
)
