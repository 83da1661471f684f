"""Items of lines: buries that do not fit, a line too thin, of a material that is not accepted."""

from __future__ import annotations

from geom.open_items.group import Draft, Group, Maker, limit, measured, some_of
from geom.open_items.item import Choice
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.alternatives import Alternative, min_hmpe_diameter
from geom.rigging.lengths import bury_of
from geom.rigging.splice import practice


def _gate(refit: Refit, group: Group) -> Draft:
    return _too_short(refit, group, gate=True)


def _short(refit: Refit, group: Group) -> Draft:
    return _too_short(refit, group, gate=False)


def _too_short(refit: Refit, group: Group, gate: bool) -> Draft:
    runs = group.runs
    worst = min(group.findings, key=measured)
    lines = some_of(runs, "gate_lines" if gate else "runs")
    title = Remark("item.cannot_be_spliced", at=lines, has_mm=measured(worst), needs_mm=limit(worst))
    return Draft(title, runs, choices_for(refit, worst.run or runs[0]))


def choices_for(refit: Refit, run: str) -> tuple[Choice, ...]:
    """Return the choices for a line whose buries do not fit, in the order of their letters; none where they fit.

    Args:
        refit: the boat as calculated.
        run: the line.
    """
    work = refit.work.runs[run]
    if not work.alternatives:
        return ()
    choices = [_choice(refit, other) for other in work.alternatives if _may_be_chosen(refit, other)]
    choices += _endless_loop(refit, run)
    choices += _shorter_fittings(refit, run, work.fit.needs - work.fit.finished)
    return tuple(choices)


def _choice(refit: Refit, other: Alternative) -> Choice:
    """Return an alternative as a choice; a line in one piece through the gate with the drop that it leaves."""
    opened = next(
        (one for one in refit.work.gates if one.run == other.joins and not one.planned and one.with_stop is not None),
        None,
    )
    if opened is None or opened.with_stop is None or opened.without_stop is None or other.finished is None:
        return Choice(other.what, other.figures, other.to_check)
    figures = Remark(
        "choice.one_line_drop",
        finished_mm=other.finished,
        drop_mm=opened.with_stop.by_hand,
        without_mm=opened.without_stop.by_hand,
        span_mm=opened.widest_span or 0.0,
    )
    return Choice(Remark("choice.one_line", run=opened.run, post=other.what["post"]), figures, other.to_check)


def _may_be_chosen(refit: Refit, other: Alternative) -> bool:
    """Return whether an alternative is one: a thinner rope is not where it is under the rule's least."""
    return other.diameter is None or other.diameter >= min_hmpe_diameter(refit.boat).value


def _endless_loop(refit: Refit, run: str) -> list[Choice]:
    """Return an endless loop in place of a line with two eyes, where its circumference holds both buries end to end."""
    line = refit.boat.lines[refit.placed.runs[run].spec.line]
    round_ = 2.0 * refit.work.runs[run].lengths.finished
    bury = bury_of(line)
    needs = 2.0 * bury + practice("between_buries")
    if round_ < needs:
        return []
    figures = Remark("choice.loop_fits", round_mm=round_, bury_mm=bury, needs_mm=needs)
    return [Choice(Remark("choice.loop"), figures, Remark("choice.loop_to_check"))]


def _shorter_fittings(refit: Refit, run: str, short: float) -> list[Choice]:
    """Return each fitting of a run that is long enough to be shorter by what the line lacks [mm]."""
    spec = refit.placed.runs[run].spec
    planned = {name: refit.boat.fittings[name].length.planned for name in (*spec.start.fittings, *spec.finish.fittings)}
    return [
        Choice(
            Remark("choice.shorter_fitting", fitting=name),
            Remark("choice.shorter_by", from_mm=length, to_mm=length - short),
        )
        for name, length in planned.items()
        if length > short
    ]


def _thin(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda finding: finding.margin or 0.0)
    named = group.places
    title = Remark(
        "item.line_thin", at=Remark("item.places", places=named), has_mm=measured(worst), min_mm=limit(worst)
    )
    return Draft(title, named)


def _material(refit: Refit, group: Group) -> Draft:
    lines = tuple(
        Remark("line.made_of", line=refit.boat.lines[name].construction, material=refit.boat.lines[name].material)
        for name in group.places
        if name in refit.boat.lines
    )
    title = Remark("item.line_material", at=Remark("item.places", places=group.places), lines=lines)
    return Draft(title, group.places)


MAKERS: dict[str, Maker] = {
    "line.gate": _gate,
    "line.short": _short,
    "line.thin": _thin,
    "line.material": _material,
}
