"""Text on holes: the basis of the axis (measured, planned or computed), edges and bushes."""

from __future__ import annotations

from collections.abc import Iterable

from geom.drafting.post_text import length
from geom.placement.place import PlacedHole
from geom.refit import Refit
from geom.tables import numbers


def is_computed(hole: PlacedHole) -> bool:
    """Return whether the axis of an existing hole is computed, since its direction was not measured."""
    return hole.measured is None and hole.spec.planned is None


def axis_cell(refit: Refit, hole: PlacedHole) -> str:
    """Return the basis of a hole's axis for a table."""
    drilling = refit.placed.drillings[hole.id]
    if hole.measured is not None:
        return "planned" if hole.spec.planned is not None else "measured"
    runs = " and ".join(drilling.runs)
    status = "to drill" if hole.spec.planned is not None else "computed"
    return f"{status}, for {runs}" if runs else f"{status}, square"


_NOT_CHOSEN = "not chosen"
_NONE = "none"


def edges_not_chosen(refit: Refit, runs: Iterable[str]) -> bool:
    """Return whether any of these runs passes a hole whose edge is not chosen, so that its figures are for a bare hole.

    Args:
        refit: the boat as calculated.
        runs: ids of runs.
    """
    passages = (passage for run in runs for passage in refit.placed.runs[run].passages)
    return any(passage.hole.edge.edge == "not chosen" for passage in passages)


def bush_words(refit: Refit, hole: PlacedHole) -> str:
    """Return bore and length of a hole's bush, `not chosen` where the edge is an open question, else `none`.

    Args:
        refit: the boat as calculated.
        hole: the hole.
    """
    fmt, bush = numbers(refit.boat), hole.edge.bush
    if bush is not None:
        return f"Ø{length(bush.bore, fmt, 1)} x {length(bush.length, fmt)}"
    return _NOT_CHOSEN if hole.edge.edge == "not chosen" else _NONE
