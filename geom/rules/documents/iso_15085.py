"""ISO 15085, guard-rails and guard-lines of small craft, as far as its limits could be read second hand.

Limits with edition and source: data/rules/iso-15085.csv. The clause map is that of a draft of 2014.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import ROUNDING, Clause, ClauseCheck, Exemption, Finding
from geom.rules.measures import heights, supports
from geom.rules.measures.boat_facts import design_category

WORD = "iso-15085"


def upper_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper guard-line stands 600 mm above the deck, or 450 mm in category C with a hull of 8.50 m or less.

    Source: ISO 15085:2003, 10.2 and table 4.
    """
    admitted = low_line_admitted(placed, clause)
    for measure in heights.upper_lines(placed):
        yield clause.eased_at_least(
            measure, clause.limit("min upper height"), clause.limit("min low line height"), admitted
        )


def stanchion_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A stanchion is 600 mm high, or 450 mm where the low guard-line is admitted.

    Source: a test page naming ISO 15085:2023, clause not given; table 4 for the low line.
    """
    admitted = low_line_admitted(placed, clause)
    for measure in supports.heads(placed):
        yield clause.eased_at_least(measure, clause.limit("min height"), clause.limit("min low line height"), admitted)


def stanchion_load_without_set(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A stanchion takes 280 N square to it at its top without permanent set: stress at its foot within proof stress.

    The gross section at the foot is judged; holes above it are not, and a brace is not counted.
    Source: ISO 15085, clause not given, from memory; stress = load x height / section modulus.
    """
    load = clause.limit("load")
    for measure, proof in supports.foot_stresses(placed, load.value):
        finding = clause.at_most(measure, load.at(0.0 if proof is None else proof))
        finding = replace(finding, printed=load.as_printed)
        braced = placed.posts[measure.place].spec.brace is not None
        if braced and finding.margin is not None and finding.margin < 0.0:
            notes = (*measure.notes, Remark("brace.left_out"))
            yield replace(finding, verdict="cannot tell", would=None, notes=notes)
        else:
            yield finding


def low_line_admitted(placed: Placed, clause: ClauseCheck) -> Exemption:
    """Return whether the low guard-line is admitted: hull length 8.50 m or less, category C.

    Source: ISO 15085:2003, table 4.
    """
    length, maximum = placed.boat.boat.hull_length, clause.limit("max hull length, low line").value
    category = design_category(placed)
    if length > maximum + ROUNDING:
        return Exemption(False, (Remark("low_line.hull_too_long", hull_mm=length, max_mm=maximum),))
    if category is None:
        return Exemption(None, (Remark("low_line.no_category", hull_mm=length),))
    if category == "D":
        return Exemption(None, (Remark("low_line.category_d_not_read", hull_mm=length),))
    code = "low_line.admitted" if category == "C" else "low_line.not_admitted"
    return Exemption(category == "C", (Remark(code, hull_mm=length, category=category),))


CLAUSES = (
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
