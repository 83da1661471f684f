"""Tapes that disagree with the coordinates, and the spans in doubt."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from geom.boat.model import RunEnd
from geom.intake.survey.closure import ClosureRow, boat_closure, closure_limit
from geom.refit import Refit


def tapes_apart(refit: Refit) -> tuple[ClosureRow, ...]:
    """Return the tapes that disagree with the coordinates."""
    return tuple(row for row in boat_closure(refit.boat, closure_limit(), refit.loaded.tapes_as_written) if row.flagged)


def doubted_by(refit: Refit, spans: Iterable[tuple[str, str]]) -> tuple[ClosureRow, ...]:
    """Return the discrepant tapes between the ends of given spans, at any hole.

    Args:
        refit: the boat as calculated.
        spans: the posts or rail eyes at both ends of each span.
    """
    stands = {hole.id: post.id for post, hole in refit.placed.holes()}
    wanted = {frozenset(span) for span in spans}
    apart = tapes_apart(refit)
    return tuple(row for row in apart if frozenset(stands.get(name, name) for name in (row.start, row.end)) in wanted)


def doubts_on_run(refit: Refit, run_id: str) -> tuple[ClosureRow, ...]:
    """Return the discrepant tapes on the spans of a run."""
    run = refit.placed.runs[run_id].spec
    return doubted_by(refit, pairwise((_stand(run.start), *run.through, _stand(run.finish))))


def _stand(end: RunEnd) -> str:
    """Return the rail eye or the post at an end."""
    name = end.eye or end.post
    assert name is not None
    return name
