"""Text on holes: the basis of the axis (measured, planned or computed), edges and bushes."""

from __future__ import annotations

from geom.drafting.post_text import length
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedHole, PlacedPost
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


_TO_BE_CHOSEN = "to be chosen"
_NONE = "none"


def needs_bush(post: PlacedPost, hole: PlacedHole) -> bool:
    """Return whether a hole needs a bush: none and no edge radius given, in a wall too thin to be rounded."""
    given = hole.spec.planned or hole.spec.as_found
    stated = hole.spec.liner is not None or (given is not None and given.lip_radius is not None)
    return not stated and post.tube_wall < shop_limits().edge_radius


def bush_words(refit: Refit, post: PlacedPost, hole: PlacedHole) -> str:
    """Return bore and length of a hole's bush, `to be chosen` where one is needed and none is given, else `none`.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
    """
    fmt, liner = numbers(refit.boat), hole.spec.liner
    if liner is not None:
        return f"Ø{length(liner.bore, fmt, 1)} x {length(liner.length, fmt)}"
    return _TO_BE_CHOSEN if hole.id in refit.placed.lines_in_holes and needs_bush(post, hole) else _NONE
