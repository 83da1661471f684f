"""Items of what stands between a line and the boat: range, pins, jaws, threads, lashings, stops."""

from __future__ import annotations

from geom.open_items.group import Draft, Group, Maker, limit, measured, once, some_of
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.budget import Budget


def _range(refit: Refit, group: Group) -> Draft:
    """Return the item of adjusters that do not cover the error, with the run that lacks most."""
    budgets = [refit.work.runs[run].budget for run in group.runs]
    worst = max(budgets, key=lacking)
    title = Remark("item.range", at=some_of(group.runs, "runs"), short_mm=lacking(worst), needed_mm=worst.combined)
    return Draft(title, group.runs)


def lacking(budget: Budget) -> float:
    """Return the range that the adjusters of a run lack, by the worse of the ways that are stated [mm]."""
    ways = ((budget.needed_shorten, budget.shorten), (budget.needed_lengthen, budget.lengthen))
    return max((needed - has for needed, has in ways if has is not None), default=0.0)


def _opening(refit: Refit, group: Group) -> Draft:
    worst = max(group.findings, key=measured)
    title = Remark(
        "item.opening", at=some_of(group.runs, "runs"), needs_mm=measured(worst), has_mm=limit(worst)
    )  # fmt: skip
    return Draft(title, group.runs)


def _nothing_left(refit: Refit, group: Group) -> Draft:
    lengths = refit.work.runs[group.runs[0]].lengths
    title = Remark(
        "item.nothing_left", at=some_of(group.runs, "runs"), stack_mm=lengths.stack, path_mm=lengths.path
    )  # fmt: skip
    return Draft(title, group.runs)


def _gap(refit: Refit, group: Group) -> Draft:
    worst = max(group.findings, key=measured)
    title = Remark("item.gap", at=some_of(group.runs, "runs"), gap_mm=measured(worst), max_mm=limit(worst))
    return Draft(title, group.runs)


def _pin(refit: Refit, group: Group) -> Draft:
    worst = max(group.findings, key=lambda one: measured(one) - limit(one))
    title = Remark("item.pin", at=_ends(group), pin_mm=measured(worst), hole_mm=limit(worst))
    return Draft(title, group.runs)


def _jaw(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda one: measured(one) - limit(one))
    title = Remark("item.jaw", at=_ends(group), jaw_mm=measured(worst), plate_mm=limit(worst))
    return Draft(title, group.runs)


def _eye(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.eye", at=_ends(group)), group.runs)


def _stitching(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.stitching", at=_ends(group)), group.runs)


def _swage(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.swage", at=_ends(group)), group.runs)


def _hand_splice(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.hand_splice", at=_ends(group)), group.runs)


def _hand(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.hand", at=_ends(group)), group.runs)


def _stop(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda one: measured(one) - limit(one))
    title = Remark("item.stop", at=some_of(group.runs, "runs"), stop_mm=measured(worst), bore_mm=limit(worst))
    return Draft(title, group.runs)


def _thimble(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.thimble", at=some_of(group.runs, "runs")), group.runs)


def _ends(group: Group) -> Remark:
    """Return the ends of runs that findings name, up to three by name."""
    ends = once(f"{finding.run}" for finding in group.findings)
    return some_of(ends, "runs")


MAKERS: dict[str, Maker] = {
    "fitting.range": _range,
    "fitting.opening": _opening,
    "fitting.nothing_left": _nothing_left,
    "fitting.gap": _gap,
    "fitting.pin": _pin,
    "fitting.jaw": _jaw,
    "fitting.eye": _eye,
    "fitting.stitching": _stitching,
    "fitting.swage": _swage,
    "fitting.hand_splice": _hand_splice,
    "fitting.hand": _hand,
    "fitting.stop": _stop,
    "fitting.thimble": _thimble,
}
