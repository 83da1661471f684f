"""Summary of one run: its path, fittings, eyes, spans and line work."""

from __future__ import annotations

from geom.frozen import frozen
from geom.placement.eyes import RunEyes, Where
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed
from geom.placement.stack import Stack
from geom.placement.summary import SpanSummary, span_summaries
from geom.rigging.work import RunWork


@frozen
class RunSummary:
    """One run with all results for it."""

    run: PlacedRun
    stack: Stack
    eyes: RunEyes
    spans: tuple[SpanSummary, ...]
    work: RunWork

    @property
    def from_(self) -> str:
        """Where its forward end is held."""
        return self.run.names[0]

    @property
    def to(self) -> str:
        """Where its after end is held."""
        return self.run.names[-1]

    @property
    def line(self) -> str:
        """The boat file's name of its rope or wire."""
        return self.run.spec.line

    @property
    def made_on_board(self) -> Where | None:
        """The end that has to be made on board, None where both are made on the bench."""
        return self.eyes.in_place


def run_summary(placed: Placed, work: RunWork) -> RunSummary:
    """Return the summary of a run."""
    run = placed.runs[work.run]
    return RunSummary(run, placed.stacks[run.id], placed.eyes[run.id], span_summaries(placed, run), work)
