"""What a process does before it works out many boats, which is not worth while for a few."""

from __future__ import annotations

import gc

from geom.mechanics.kernels import compile_all

# Boats that a process works out before: loading compiled solvers takes as long as they save on about so many.
FEW = 12
# New objects between two collections: a boat has some 20,000 and leaves few cycles, and each collection goes through
# the whole boat.
_BETWEEN_COLLECTIONS = 100_000


class _Process:
    boats = 0


def count_boat() -> None:
    """Count a boat that this process begins with; prepare the process once there have been a few."""
    _Process.boats += 1
    if _Process.boats == FEW + 1:
        prepare()


def prepare() -> None:
    """Compile the solvers of the loads, and collect garbage rarely and among new objects alone."""
    compile_all()
    gc.collect()
    gc.freeze()
    gc.set_threshold(_BETWEEN_COLLECTIONS, 20, 100)
