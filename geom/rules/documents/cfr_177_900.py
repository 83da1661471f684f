"""US 46 CFR 177.900, deck rails of small passenger vessels.

Limits with edition and source: data/rules/cfr-177.900.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Condition, Finding
from geom.rules.measures import heights

WORD = "cfr-177.900"


def height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Rails stand 1000 mm high on excursion, ferry and load-line vessels, 910 mm on others.

    Source: 46 CFR 177.900.
    """
    strict = clause.limit("min height, excursion, ferry or load line")
    service = Condition(None, (Remark("service.not_stated"),))
    for measure in heights.upper_lines(placed):
        yield clause.eased_at_least(measure, strict, clause.limit("min height"), service)


CLAUSES = (
    Clause("177.900 height", "rail height", height),
    Clause("177.900 load", "rail load", None, Remark("clause.rigid_rail")),
)
