"""Text on holes: the basis of the axis (measured, planned or computed), edges and bushes."""

from __future__ import annotations

from geom.drafting.post_text import hole_limits, length
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedHole, PlacedPost, end_name
from geom.refit import Refit
from geom.tables import numbers


def is_computed(hole: PlacedHole) -> bool:
    """Return whether the axis of an existing hole is computed, since its direction was not measured."""
    return hole.measured is None and hole.spec.planned is None


def axis_note(refit: Refit, hole: PlacedHole) -> str:
    """Return the note on a hole's axis for its card."""
    drilling = refit.placed.drillings[hole.id]
    runs = " and ".join(drilling.runs)
    if hole.measured is not None:
        return f"HOLE DIRECTION {'PLANNED' if hole.spec.planned is not None else 'MEASURED'}, as the boat file states."
    if not runs:
        drawn = "square to the tube, no run"
    elif len(drilling.runs) == 1:
        drawn = f"best for run {runs}"
    else:
        drawn = f"mean of runs {runs}"
    if hole.spec.planned is not None:
        return f"TO BE DRILLED on the axis drawn, which is computed: {drawn}."
    return f"HOLE DIRECTION NOT MEASURED: the axis drawn is computed, {drawn}."


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


def edge_notes(refit: Refit, post: PlacedPost, hole: PlacedHole) -> tuple[str, ...]:
    """Return the finished size of a hole and the finish of its edges, a sentence each.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
    """
    fmt, limits = numbers(refit.boat), shop_limits()
    planned = hole.spec.planned
    given = planned or hole.spec.as_found
    size = f"Ø{length(hole.diameter, fmt, 1)}"
    first = (f"{size} AS FOUND",) if planned is None else (f"{size} H13", hole_limits(hole.diameter, fmt))
    if hole.id not in refit.placed.lines_in_holes:
        return (*first, "NO LINE PASSES.", *_eye(refit, post, hole))
    polish = f"POLISH {limits.polish:g} GRIT"
    liner = hole.spec.liner
    if liner is not None:
        mouths = f"MOUTHS R {length(liner.mouth_radius, fmt, 1)}"
        return (*first, f"BUSH BORE Ø{length(liner.bore, fmt, 1)}", mouths, polish)
    if given is not None and given.lip_radius is not None:
        return (*first, f"EDGE R {length(given.lip_radius, fmt, 1)}", polish)
    minimum = length(limits.edge_radius, fmt, 1)
    if not needs_bush(post, hole):
        return (*first, f"EDGE R {minimum} MIN", polish)
    wall = length(post.tube_wall, fmt, 1)
    cannot = f"EDGE R {minimum} exceeds the {wall} wall: choose a bush."
    return (*first, cannot, "It narrows the hole: check again.")


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


def _eye(refit: Refit, post: PlacedPost, hole: PlacedHole) -> tuple[str, ...]:
    """Return a note where runs end at a post at the level of a hole, with the offset of their pins from the axis."""
    fmt = numbers(refit.boat)
    ends = [
        end.eye_offset
        for run in refit.placed.runs.values()
        if run.level == hole.level
        for end in (run.spec.start, run.spec.finish)
        if end_name(end) == post.id
    ]
    if not ends:
        return ()
    offs = " and ".join(dict.fromkeys(length(off, fmt, 1) for off in ends if off is not None))
    pins = f", pin {offs} off the tube's axis" if offs else ""
    return (f"Runs end here on an eye{pins}: see the fitting sheets.",)
