"""The sentences that go with results: the one place where tables, check.json and terminal ask for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from geom.mechanics.boat_loads import BoatLoads
    from geom.mechanics.post_loads import PostLoad
    from geom.placement.eyes import RunEyes
    from geom.purchasing.line_options import LineOption
    from geom.rigging.alternatives import Alternative
    from geom.rigging.budget import Budget
    from geom.rigging.gate_open import GateOpen
    from geom.rigging.lengths import Term
    from geom.rigging.threading_plan import ThreadingPlan
    from geom.rigging.work import RunWork
    from geom.rules.finding import Finding


def where_made(eyes: RunEyes) -> str:
    """Return why the ends of a run are made where they are."""
    return eyes.reason


def refused(work: RunWork) -> str | None:
    """Return why a line must not be cut, None where nothing speaks against it."""
    return work.refused


def missing(work: RunWork) -> tuple[str, ...]:
    """Return the measures that the cut length of a run lacks."""
    return work.lengths.missing


def formula(term: Term) -> str:
    """Return how a term of a cut length comes about."""
    return term.formula


def alternative(other: Alternative) -> tuple[str, str, str]:
    """Return what else may be made of a run, by which figures, and what is still to be checked."""
    return other.what, other.figures, other.to_check


def threading_reason(plan: ThreadingPlan) -> str:
    """Return why a run is threaded as it is."""
    return plan.reason


def threading_steps(plan: ThreadingPlan) -> tuple[str, ...]:
    """Return the work of a threading plan, step by step."""
    return plan.steps


def captive(plan: ThreadingPlan) -> tuple[str, ...]:
    """Return what stays on the line or on the boat once both ends are made."""
    return plan.captive


def budget_note(budget: Budget) -> str:
    """Return whether the adjusters cover the error of a run."""
    return budget.text


def gate_note(gate: GateOpen) -> str:
    """Return what happens to a line when its gate is opened."""
    return gate.text


def notices(option: LineOption) -> tuple[str, ...]:
    """Return what has to be said of a line that is compared."""
    return option.notices


def missing_loads(loads: BoatLoads) -> tuple[str, ...]:
    """Return what the loads could not be calculated without."""
    return loads.missing


def post_note(post: PostLoad) -> str:
    """Return the moment and stress of a post against its proof stress."""
    return post.words


def finding_note(finding: Finding) -> str:
    """Return what is said beside a finding."""
    return finding.note
