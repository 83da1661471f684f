"""When the solvers of the loads are compiled: in a process that works out many boats, not in one for a few."""

from __future__ import annotations

from geom.mechanics.kernels import compile_all

# Boats that a process works out before: loading compiled solvers takes as long as they save on about so many.
_BOATS = 12


class _Process:
    boats = 0


def count_boat() -> None:
    """Count a boat that this process begins with; compile the solvers once there have been many."""
    _Process.boats += 1
    if _Process.boats == _BOATS + 1:
        compile_all()
