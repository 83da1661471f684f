"""The error budget of a run: survey, making and bedding-in, against the adjustment left each way.

Source: JCGM 100:2008, 5.1.2 (root of the sum of squares), 6.3.3 (expanded by a coverage factor of 2);
JCGM 101:2008 (Monte Carlo propagation, where the linear estimate does not hold).
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace

from geom.boat.model import Boat
from geom.data import table
from geom.frozen import frozen
from geom.mechanics.stretch import bedding_in
from geom.placement.place import PlacedPost, PlacedRun
from geom.placement.stack import Stack
from geom.remark import Remark, Stated
from geom.rigging.dimension_chain import Chain, PathError, chain_of, path_error, plus_minus
from geom.rigging.lengths import RunLengths
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.units import Mm

COVERAGE = 2.0
DRAWS = 10_000
_SEED = 31
# The linear estimate is dropped where curvature changes the result by more than this ratio.
_LINEAR_HOLDS = 0.05


@frozen
class Share:
    """One component of the error: its standard uncertainty [mm] and source."""

    name: str
    standard: Mm
    source: Stated


@frozen
class Budget:
    """The error of a run's length [mm]. `combined` is expanded; it is the simulated value where `linear` is False.

    `shorten` and `lengthen` are the adjustment of the fittings (None where not given), `needed_shorten` and
    `needed_lengthen` the adjustment that the error calls for; `verdict` covers both directions. `after_first` is the
    expanded error once the take-up of the eye made first has been measured, None where only one end is spliced or none;
    the second eye is set by it.
    """

    run: str
    shares: tuple[Share, ...]
    linear_combined: Mm
    combined: Mm
    after_first: Mm | None
    bias: Mm
    linear: bool
    bedding_to_come: Mm | None
    shorten: Mm | None
    lengthen: Mm | None
    needed_shorten: Mm
    needed_lengthen: Mm
    verdict: RemarkKind
    says: Remark
    remarks: tuple[LineRemark, ...]


@dataclass(frozen=True)
class SimulatedError:
    """Result of a Monte Carlo simulation: mean error and standard deviation [mm], skewness (dimensionless)."""

    mean: float
    standard: float
    skewness: float


def budget(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun, stack: Stack, lengths: RunLengths) -> Budget:
    """Return the error budget of a run.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        run: the placed run.
        stack: its fittings, for the adjusting range.
        lengths: its lengths, for the take-up and the bedding-in deducted.
    """
    off = plus_minus(boat)
    chain = chain_of(boat, posts, run, off)
    survey = path_error(chain)
    bedding = bedding_in(boat.lines[run.spec.line])
    still: tuple[Share, ...] = ()
    if bedding is not None:
        half = (bedding.maximum - bedding.minimum) / 2.0 * lengths.finished
        still = (Share("bedding-in", half / math.sqrt(3.0), bedding.source),)
    made = (*making_shares(lengths, off.tape, off.tape_source), *still)
    error = _combined(chain, survey, made)
    linear_combined, combined, bias, linear = error.linear_combined, error.combined, error.bias, error.linear
    after = None
    if len(lengths.take_ups) > 1:
        known = (*shares_after_first(lengths, off.tape, off.tape_source), *still)
        after = _combined(chain, survey, known)
    to_come = None
    if bedding is not None:
        to_come = 0.0 if lengths.deduction.bedding else bedding.expected * lengths.finished
    # The sign of the bias is not known: the true path may be longer or shorter than measured.
    needed_lengthen = combined + abs(bias)
    needed_shorten = combined + abs(bias) + (to_come or 0.0)
    verdict, says = _verdict(stack, needed_shorten, needed_lengthen, to_come is None)
    if after is not None:
        spare = after.combined + abs(after.bias)
        later, _ = _verdict(stack, spare + (to_come or 0.0), spare, to_come is None)
        code = "budget.then"
        if verdict == "refused" and later == "agreed":
            verdict, code = "notice", "budget.once_measured"
        says = Remark(code, after_mm=after.combined, says=says)
    remarks = _remarks(
        run, stack, verdict, says, linear, linear_combined, combined, bias, needed_shorten, needed_lengthen
    )
    return Budget(
        run=run.id,
        shares=(Share("survey", survey.linear, off.source), *made),
        linear_combined=linear_combined,
        combined=combined,
        after_first=None if after is None else after.combined,
        bias=bias,
        linear=linear,
        bedding_to_come=to_come,
        shorten=stack.shorten,
        lengthen=stack.lengthen,
        needed_shorten=needed_shorten,
        needed_lengthen=needed_lengthen,
        verdict=verdict,
        says=says,
        remarks=tuple(remarks),
    )


def making_shares(lengths: RunLengths, tape: float, source: Stated) -> tuple[Share, ...]:
    """Return the error components of the making: one tape measurement of the line, and the take-up of its buries.

    Both ends are of one rope, so that their take-ups are off by the same and add up as one error. A take-up measured in
    one trial is known to two tape readings, an unmeasured one to half its range.
    Source: JCGM 100:2008, 5.2.2, note 1 (fully correlated components add linearly).

    Args:
        lengths: the lengths of the run.
        tape: plus or minus of one tape reading [mm].
        source: of the tape figure.
    """
    measuring = Share("measuring the line", tape / math.sqrt(3.0), source)
    if not lengths.take_ups:
        return (measuring,)
    halves = [(one.maximum - one.minimum) / 2.0 or tape * math.sqrt(2.0) for one in lengths.take_ups]
    return (measuring, Share("take-up", math.fsum(halves) / math.sqrt(3.0), lengths.take_ups[0].source))


def shares_after_first(lengths: RunLengths, tape: float, source: Stated) -> tuple[Share, ...]:
    """Return the error components of the making once the eye made first is finished and measured.

    Its take-up is used up; that of the other end is taken as measured on the first, known to two tape readings.

    Args:
        lengths: the lengths of the run.
        tape: plus or minus of one tape reading [mm].
        source: of the tape figure.
    """
    measuring = Share("measuring the line", tape / math.sqrt(3.0), source)
    splices = len(lengths.take_ups)
    if not splices:
        return (measuring,)
    half = (splices - 1) * tape * math.sqrt(2.0)
    return (measuring, Share("take-up", half / math.sqrt(3.0), source))


@frozen
class _Combined:
    """An error combined [mm]: linear estimate, the value in force, its bias, whether the linear estimate holds."""

    linear_combined: float
    combined: float
    bias: float
    linear: bool


def _combined(chain: Chain, survey: PathError, made: tuple[Share, ...]) -> _Combined:
    others = math.sqrt(math.fsum(share.standard**2 for share in made))
    first = COVERAGE * math.hypot(survey.linear, others)
    if linear_holds(survey, others):
        return _Combined(first, first, 0.0, True)
    drawn = simulate(chain, made)
    return _Combined(first, COVERAGE * drawn.standard, drawn.mean, False)


def linear_holds(survey: PathError, others: float) -> bool:
    """Return whether the linear estimate holds within five per cent despite the curvature of the path.

    Args:
        survey: the survey's error of the path.
        others: standard uncertainty of all other components together [mm].
    """
    linear = math.hypot(survey.linear, others)
    whole = math.hypot(linear, survey.second_order)
    if linear == 0.0:
        return whole == 0.0 and survey.bias == 0.0
    return whole / linear - 1.0 <= _LINEAR_HOLDS and survey.bias <= _LINEAR_HOLDS * COVERAGE * linear


def simulate(chain: Chain, made: tuple[Share, ...], draws: int = DRAWS, seed: int = _SEED) -> SimulatedError:
    """Return the error of the length from random draws of every measurement, each from a rectangular distribution.

    Source: JCGM 101:2008, 6.4.2 (rectangular distribution), 7 (propagation).

    Args:
        chain: the measurements of the path.
        made: the error components of the making.
        draws: number of draws.
        seed: of the random numbers; the same seed gives the same result.
    """
    source = random.Random(seed)
    half_widths = [share.standard * math.sqrt(3.0) for share in made]
    path = chain.path()
    found = [chain.draw(source) - path + math.fsum(source.uniform(-h, h) for h in half_widths) for _ in range(draws)]
    mean = math.fsum(found) / draws
    variance = math.fsum((value - mean) ** 2 for value in found) / (draws - 1)
    third = math.fsum((value - mean) ** 3 for value in found) / draws
    return SimulatedError(mean, math.sqrt(variance), third / variance**1.5 if variance else 0.0)


def _verdict(
    stack: Stack, needed_shorten: float, needed_lengthen: float, bedding_unknown: bool
) -> tuple[RemarkKind, Remark]:
    parts = []
    worst: RemarkKind = "agreed"
    for way, available, needed in (
        ("shorten", stack.shorten, needed_shorten),
        ("lengthen", stack.lengthen, needed_lengthen),
    ):
        if available is None:
            parts.append(Remark("budget.range_not_given", way=way, needs_mm=needed))
            worst = "cannot tell" if worst == "agreed" else worst
        elif available < needed:
            parts.append(Remark("budget.range_too_small", way=way, needs_mm=needed, has_mm=available))
            worst = "refused"
        else:
            parts.append(Remark("budget.range_covers", way=way, needs_mm=needed, has_mm=available))
    says = Remark("budget.verdict", verdict=worst, ways=tuple(parts))
    return worst, Remark("budget.without_bedding", says=says) if bedding_unknown else says


def _tight_side(stack: Stack, needed_shorten: float, needed_lengthen: float) -> tuple[float, float | None]:
    """Return needed and available adjustment in the direction with the smaller margin, or the unknown one [mm]."""
    sides = ((needed_shorten, stack.shorten), (needed_lengthen, stack.lengthen))
    unknown = [side for side in sides if side[1] is None]
    return unknown[0] if unknown else min(sides, key=lambda side: (side[1] or 0.0) - side[0])


def _remarks(
    run: PlacedRun,
    stack: Stack,
    verdict: RemarkKind,
    says: Remark,
    linear: bool,
    first: float,
    combined: float,
    bias: float,
    needed_shorten: float,
    needed_lengthen: float,
) -> list[LineRemark]:
    source = Remark("source.gum", coverage=COVERAGE)
    needed, available = _tight_side(stack, needed_shorten, needed_lengthen)
    known = "" if available is None else "stated in the boat file"
    found = [LineRemark("budget", verdict, run.id, says, needed, available, "mm", source, known)]
    if not linear:
        skewed = Remark("budget.skewed", linear_mm=first, drawn_mm=combined, mean_mm=bias)
        found.append(LineRemark("budget-skewed", "notice", run.id, skewed, combined, first, "mm", source))
    key = "accept_with_adjuster" if (stack.shorten or stack.lengthen) else "accept_with_hook"
    accepted = table.datum("measure_uncertainty", key=key)
    # Compared as printed: a figure that prints as the limit does not exceed it.
    if round(combined, 1) > accepted.value:
        over = Remark("budget.over_shop_practice", error_mm=combined, accepted_mm=accepted.value)
        limit = accepted.value
        shop = LineRemark("budget-shop", "notice", run.id, over, combined, limit, "mm", accepted.source)
        found.append(replace(shop, sure=accepted.sure))
    return found
