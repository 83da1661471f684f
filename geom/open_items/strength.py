"""Items of strength and tension: posts, lines, ends, and the push test."""

from __future__ import annotations

import math

from geom.open_items.group import Draft, Group, Maker, limit, measured, some_of
from geom.open_items.item import Choice
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding


def _posts(refit: Refit, group: Group) -> Draft:
    worst = max(group.findings, key=measured)
    stress, proof = measured(worst), limit(worst)
    title = Remark("item.post_strength", at=some_of(group.posts, "posts"), stress_mpa=stress, proof_mpa=proof)
    choices = (
        _certificate(stress),
        Choice(Remark("choice.load_test"), Remark("choice.load_test_load", load_n=_load(worst))),
        _stronger(refit, group),
    )
    return Draft(title, group.posts, choices)


def _certificate(stress: float) -> Choice:
    """Return the proof stress that shows a tube not to yield under a stress [MPa], in whole MPa."""
    return Choice(Remark("choice.certificate"), Remark("choice.proof_needed", proof_mpa=float(math.ceil(stress))))


def _load(finding: Finding) -> float:
    load = finding.quantity["load_n"]
    assert isinstance(load, float)
    return load


def _as_set(refit: Refit, group: Group) -> Draft:
    title, certificate = _not_shown(group, "item.as_set")
    return Draft(title, group.posts, (Choice(Remark("choice.less_tension")), certificate))


def _gate_open(refit: Refit, group: Group) -> Draft:
    title, certificate = _not_shown(group, "item.gate_open")
    choices = (Choice(Remark("choice.brace")), Choice(Remark("choice.less_tension")), certificate)
    return Draft(title, group.posts, choices)


def _not_shown(group: Group, code: str) -> tuple[Remark, Choice]:
    """Return the title of stanchions whose strength is not shown, and the certificate that would show it."""
    worst = measured(max(group.findings, key=lambda finding: finding.measured or 0.0))
    return Remark(code, at=some_of(group.posts, "posts"), stress_mpa=worst), _certificate(worst)


def _weak_as_set(refit: Refit, group: Group) -> Draft:
    choices = (Choice(Remark("choice.less_tension")), _stronger(refit, group))
    return Draft(_weak(group, "item.weak_as_set"), group.posts, choices)


def _weak_gate_open(refit: Refit, group: Group) -> Draft:
    choices = (Choice(Remark("choice.brace")), Choice(Remark("choice.less_tension")), _stronger(refit, group))
    return Draft(_weak(group, "item.weak_gate_open"), group.posts, choices)


def _weak(group: Group, code: str) -> Remark:
    """Return the title of stanchions that yield by the proof stress stated of their tubes."""
    worst = max(group.findings, key=lambda finding: measured(finding) / limit(finding))
    at = some_of(group.posts, "posts")
    return Remark(code, at=at, stress_mpa=measured(worst), proof_mpa=limit(worst))


def _stronger(refit: Refit, group: Group) -> Choice:
    """Return the choice of a stronger tube, with the tube of the first post as it is."""
    tube = refit.boat.tubes[refit.placed.posts[group.posts[0]].spec.tube]
    return Choice(Remark("choice.stronger_tube"), Remark("choice.now_tube", od_mm=tube.od, wall_mm=tube.wall))


def _line(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda finding: finding.margin or 0.0)
    at = Remark("item.places", places=group.places)
    return Draft(Remark("item.line_weak", at=at, has_n=measured(worst), min_n=limit(worst)), group.places)


def _part(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda finding: finding.margin or 0.0)
    at = Remark("item.places", places=group.places)
    if worst.unit == "%":
        return Draft(Remark("item.end_weak", at=at, has=measured(worst), min=limit(worst)), group.places)
    return Draft(Remark("item.line_weak", at=at, has_n=measured(worst), min_n=limit(worst)), group.places)


def _chain(refit: Refit, group: Group) -> Draft:
    runs = group.runs
    return Draft(Remark("item.chain_weak", at=some_of(runs, "runs")), runs, (Choice(Remark("choice.flexible_posts")),))


def _slack(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda finding: finding.margin or 0.0)
    runs = group.runs
    title = Remark("item.slack", at=some_of(runs, "runs"), gives_mm=measured(worst), max_mm=limit(worst))
    return Draft(title, runs, tensions(refit, group))


def _to_be_tested(refit: Refit, group: Group) -> Draft:
    runs = group.runs
    tested = Choice(Remark("choice.push_test"))
    return Draft(Remark("item.push_test", at=some_of(runs, "runs")), runs, (tested, *tensions(refit, group)))


def tensions(refit: Refit, group: Group) -> tuple[Choice, ...]:
    """Return the set tension that the push test needs of each run."""
    return tuple(
        Choice(
            Remark("choice.tension", run=run),
            Remark("choice.tension_needed", tension_n=refit.work.tensions[run].recommended),
        )
        for run in group.runs
        if run in refit.work.tensions
    )


MAKERS: dict[str, Maker] = {
    "strength.posts": _posts,
    "strength.as_set": _as_set,
    "strength.gate_open": _gate_open,
    "strength.weak_as_set": _weak_as_set,
    "strength.weak_gate_open": _weak_gate_open,
    "strength.line": _line,
    "strength.part": _part,
    "strength.chain": _chain,
    "tension.low": _slack,
    "tension.to_be_tested": _to_be_tested,
}
