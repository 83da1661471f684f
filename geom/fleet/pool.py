"""Workers: batches of boats in, their outcomes out, in this process or on a cluster."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, Self, TypeVar

from geom.fleet.row import Outcome


class Batch(Protocol):
    """Some boats that are worked out in one piece, as they are passed to a worker."""

    def singles(self) -> tuple[Self, ...]:
        """Return a batch of each boat alone."""

    def lost_outcomes(self, error: Exception) -> tuple[Outcome, ...]:
        """Return the outcomes of the boats where no worker could work them out.

        Args:
            error: why.
        """


AnyBatch = TypeVar("AnyBatch", bound=Batch)


class Pool(Protocol):
    """Does the work of every batch, and yields the outcomes of each as they come, in any order."""

    def __call__(
        self, work: Callable[[AnyBatch], tuple[Outcome, ...]], batches: Iterable[AnyBatch]
    ) -> Iterator[tuple[Outcome, ...]]:
        """Yield the outcomes of each batch.

        Args:
            work: a function of a module, which returns the outcomes of a batch.
            batches: of the work.
        """


def here(work: Callable[[AnyBatch], tuple[Outcome, ...]], batches: Iterable[AnyBatch]) -> Iterator[tuple[Outcome, ...]]:
    """Yield the outcomes of each batch, worked out in this process.

    Args:
        work: returns the outcomes of a batch.
        batches: of the work.
    """
    return map(work, batches)
