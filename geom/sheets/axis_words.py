"""Where the axis of a hole comes from, in words: measured, planned, or only computed."""

from __future__ import annotations

from geom.refit import Refit
from geom.runs.place import PlacedHole


def is_computed(hole: PlacedHole) -> bool:
    """Return whether a hole that was found has no measured direction, so that its axis is only computed."""
    return hole.measured is None and hole.told.planned is None


def axis_note(refit: Refit, hole: PlacedHole) -> str:
    """Return the line over a hole's figures on its card."""
    drilling = refit.placed.drillings[hole.id]
    runs = " and ".join(drilling.runs)
    if hole.measured is not None:
        return f"HOLE DIRECTION {'PLANNED' if hole.told.planned is not None else 'MEASURED'}, as the boat file states."
    if not runs:
        drawn = "square to the tube, no run"
    elif len(drilling.runs) == 1:
        drawn = f"best for run {runs}"
    else:
        drawn = f"mean of runs {runs}"
    if hole.told.planned is not None:
        return f"TO BE DRILLED on the axis drawn, which is computed: {drawn}."
    return f"HOLE DIRECTION NOT MEASURED: the axis drawn is computed, {drawn}."


def axis_cell(refit: Refit, hole: PlacedHole) -> str:
    """Return the same for a table."""
    drilling = refit.placed.drillings[hole.id]
    if hole.measured is not None:
        return "planned" if hole.told.planned is not None else "measured"
    runs = " and ".join(drilling.runs)
    found = "to drill" if hole.told.planned is not None else "computed"
    return f"{found}, for {runs}" if runs else f"{found}, square"
