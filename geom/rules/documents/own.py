"""Limits stated in the boat file itself."""

from __future__ import annotations

from collections.abc import Iterator

from geom.boat.model import OwnLimits
from geom.placement.placed import Placed
from geom.rules.finding import Clause, ClauseCheck, Finding, Limit
from geom.rules.measures import heights, lines, supports
from geom.units import degrees

WORD = "own"
_UNITS = {"max_tilt": "deg", "min_breaking_load": "N"}


def limits(own: OwnLimits) -> dict[str, Limit]:
    """Return the stated limits by clause, angles in degrees."""
    found = {}
    for clause in CLAUSES:
        value = getattr(own, clause.clause.replace(" ", "_"))
        if value is not None:
            key = clause.clause.replace(" ", "_")
            shown = degrees(value) if key == "max_tilt" else value
            found[clause.clause] = Limit(shown, _UNITS.get(key, "mm"), "", "boat file", "stated in the boat file")
    return found


def upper_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper line is no lower than the limit in the boat file.

    Source: boat file, rules, own, min_upper_height.
    """
    for measure in heights.upper_lines(placed):
        yield clause.at_least(measure, clause.limit("limit"))


def lower_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The lines below the upper one are no lower than the limit in the boat file.

    Source: boat file, rules, own, min_lower_height.
    """
    for measure in heights.lower_lines(placed):
        yield clause.at_least(measure, clause.limit("limit"))


def opening(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """No vertical opening is higher than the limit in the boat file.

    Source: boat file, rules, own, max_opening.
    """
    for side in heights.sides(placed):
        for measure in heights.openings(placed, side):
            yield clause.at_most(measure, clause.limit("limit"))


def support_spacing(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Supports are no wider apart than the limit in the boat file.

    Source: boat file, rules, own, max_support_spacing.
    """
    for measure in supports.spacing(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def tilt(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Posts are tilted no more than the limit in the boat file.

    Source: boat file, rules, own, max_tilt.
    """
    for measure in supports.tilts(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def base_inboard(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Posts are no further inboard of the deck edge than the limit in the boat file.

    Source: boat file, rules, own, max_base_inboard.
    """
    for measure in supports.base_distances(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def lashing_gap(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lashings close no wider gap than the limit in the boat file.

    Source: boat file, rules, own, max_lashing_gap.
    """
    for measure in lines.lashing_gaps(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def line_diameter(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines are no thinner than the limit in the boat file.

    Source: boat file, rules, own, min_line_diameter.
    """
    for line in lines.used_lines(placed):
        yield clause.at_least(line.measure("line_diameter", line.spec.diameter), clause.limit("limit"))


def breaking_load(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines are no weaker than the limit in the boat file.

    Source: boat file, rules, own, min_breaking_load.
    """
    for line in lines.used_lines(placed):
        yield clause.at_least(lines.breaking_load(line), clause.limit("limit"))


CLAUSES = (
    Clause("min upper height", "upper line height", upper_height),
    Clause("min lower height", "lower line height", lower_height),
    Clause("max opening", "vertical opening", opening),
    Clause("max support spacing", "support spacing", support_spacing),
    Clause("max tilt", "tilt", tilt),
    Clause("max base inboard", "base near deck edge", base_inboard),
    Clause("max lashing gap", "lashing gap", lashing_gap),
    Clause("min line diameter", "line diameter", line_diameter),
    Clause("min breaking load", "line strength", breaking_load),
)
