"""Notes on the survey: letters of the lines, rounding, survey accuracy, tapes that disagree."""

from __future__ import annotations

from collections.abc import Iterable

from geom.boat.model import LEVELS
from geom.drafting import plan_text as plan_words
from geom.drafting.post_text import length
from geom.intake.survey.closure import ClosureRow
from geom.refit import Refit
from geom.rigging.dimension_chain import plus_minus
from geom.tables import numbers
from geom.units import decimal, degrees


def lines_note(refit: Refit) -> str:
    """Return the letter and line style of each line of the boat."""
    used = [level for level in LEVELS if any(run.level == level for run in refit.placed.runs.values())]
    return plan_words.LINES.format(levels="; ".join(plan_words.LINE_WORDS[level] for level in used))


def known_words(refit: Refit) -> str:
    """Return the rounding of figures and the survey accuracy."""
    fmt = numbers(refit.boat)
    step = fmt.figure(10.0**-fmt.decimals * fmt.mm)
    if refit.boat.survey == "as designed":
        return plan_words.DESIGNED.format(step=step, unit=fmt.unit)
    return plan_words.KNOWN.format(step=step, unit=fmt.unit, **_bounds(refit), source=_source(refit))


def survey_tolerance(refit: Refit) -> str:
    """Return the survey accuracy for the title block, empty where nothing was measured."""
    if refit.boat.survey == "as designed":
        return ""
    stated = _bounds(refit)
    alike = stated["xy"] == stated["z"]
    return (plan_words.TOLERANCE if alike else plan_words.TOLERANCE_APART).format(**stated)


def _bounds(refit: Refit) -> dict[str, str]:
    fmt, off = numbers(refit.boat), plus_minus(refit.boat)
    stated = {name: length(value, fmt) for name, value in (("xy", off.xy), ("z", off.z), ("along", off.along))}
    return {**stated, "lean": decimal(degrees(off.lean), 1)}


def _source(refit: Refit) -> str:
    stated = refit.boat.uncertainty
    if stated is None:
        return plan_words.COMMON_PRACTICE
    own = (stated.xy, stated.z, stated.lean, stated.along)
    return stated.source if None not in own else f"{stated.source}; what it leaves out: {plan_words.COMMON_PRACTICE}"


def doubted_by(refit: Refit, spans: Iterable[tuple[str, str]]) -> tuple[ClosureRow, ...]:
    """Return the discrepant tapes between the ends of given spans, at any hole.

    Args:
        refit: the boat as calculated.
        spans: the posts or rail eyes at both ends of each span.
    """
    stands = {hole.id: post.id for post, hole in refit.placed.holes()}
    wanted = {frozenset(span) for span in spans}
    tapes = refit.closure
    apart = (row for row in tapes if row.flagged)
    return tuple(row for row in apart if frozenset(stands.get(name, name) for name in (row.start, row.end)) in wanted)
