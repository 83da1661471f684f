"""The boat's own limits, as the boat file states them; a limit that it does not state is not asked."""

from __future__ import annotations

from collections.abc import Iterator

from geom.boat.model import OwnLimits
from geom.placement.placed import Placed
from geom.rules.finding import Clause, ClauseCheck, Finding, Limit
from geom.rules.measures import heights, lines, supports
from geom.units import degrees

WORD = "own"
_UNITS = {"tilt_most": "deg", "breaking_load_least": "N"}


def limits(own: OwnLimits) -> dict[str, Limit]:
    """Return the stated limits by clause, angles in degrees."""
    found = {}
    for clause in CLAUSES:
        value = getattr(own, clause.clause.replace(" ", "_"))
        if value is not None:
            key = clause.clause.replace(" ", "_")
            shown = degrees(value) if key == "tilt_most" else value
            found[clause.clause] = Limit(shown, _UNITS.get(key, "mm"), "", "boat file", "stated in the boat file")
    return found


def upper_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper line stands no lower than the boat file asks.

    Source: boat file, rules, own, upper_height_least.
    """
    for side in heights.sides(placed):
        for measure in heights.line_heights(placed, side, heights.levels(placed, side)[0]):
            yield clause.at_least(measure, clause.limit("limit"))


def lower_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The lines below the upper one stand no lower than the boat file asks.

    Source: boat file, rules, own, lower_height_least.
    """
    for side in heights.sides(placed):
        for level in heights.levels(placed, side)[1:]:
            for measure in heights.line_heights(placed, side, level):
                yield clause.at_least(measure, clause.limit("limit"))


def opening(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """No vertical opening is higher than the boat file asks.

    Source: boat file, rules, own, opening_most.
    """
    for side in heights.sides(placed):
        for measure in (*heights.lowest_openings(placed, side), *heights.line_openings(placed, side)):
            yield clause.at_most(measure, clause.limit("limit"))


def support_spacing(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Supports stand no wider apart than the boat file asks.

    Source: boat file, rules, own, support_spacing_most.
    """
    for measure in supports.spacing(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def tilt(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Posts stand no further off the vertical than the boat file asks.

    Source: boat file, rules, own, tilt_most.
    """
    for measure in supports.tilts(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def base_inboard(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Posts stand no further inboard of the deck edge than the boat file asks.

    Source: boat file, rules, own, base_inboard_most.
    """
    for measure in supports.base_distances(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def lashing_gap(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lashings close no wider gap than the boat file asks.

    Source: boat file, rules, own, lashing_gap_most.
    """
    for measure in lines.lashing_gaps(placed):
        yield clause.at_most(measure, clause.limit("limit"))


def line_diameter(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines are no thinner than the boat file asks.

    Source: boat file, rules, own, line_diameter_least.
    """
    for line in lines.used_lines(placed):
        yield clause.at_least(line.measure("line diameter", line.spec.diameter), clause.limit("limit"))


def breaking_load(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines are no weaker than the boat file asks.

    Source: boat file, rules, own, breaking_load_least.
    """
    for line in lines.used_lines(placed):
        yield clause.at_least(lines.breaking_load(line), clause.limit("limit"))


CLAUSES = (
    Clause("upper height least", "upper line height", upper_height),
    Clause("lower height least", "lower line height", lower_height),
    Clause("opening most", "vertical opening", opening),
    Clause("support spacing most", "support spacing", support_spacing),
    Clause("tilt most", "tilt", tilt),
    Clause("base inboard most", "base near deck edge", base_inboard),
    Clause("lashing gap most", "lashing gap", lashing_gap),
    Clause("line diameter least", "line diameter", line_diameter),
    Clause("breaking load least", "line strength", breaking_load),
)
