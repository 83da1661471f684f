"""Text on holes: the basis of the axis (measured, planned or computed), edges and bushes."""

from __future__ import annotations

from collections.abc import Iterable

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


_NOT_CHOSEN = "not chosen"
_NONE = "none"
# What lines a hole, by the word of its edge.
_BUSHES = {"welded through-tube": "THROUGH-TUBE", "plastic bush": "PLASTIC BUSH", "own liner": "BUSH"}
_POLISHED = "FULL-ROUND EDGE"


def edge_notes(refit: Refit, post: PlacedPost, hole: PlacedHole) -> tuple[str, ...]:
    """Return the finished size of a hole and the finish of its edges, a sentence each.

    Args:
        refit: the boat as calculated.
        post: the hole's post.
        hole: the hole.
    """
    fmt, edge = numbers(refit.boat), hole.edge
    size = f"Ø{length(hole.diameter, fmt, 1)}"
    planned = hole.spec.planned is not None
    first = (f"{size} H13", hole_limits(hole.diameter, fmt)) if planned else (f"{size} AS FOUND",)
    if edge.bush is None and hole.id not in refit.placed.lines_in_holes:
        return (*first, "NO LINE PASSES.", *_eye(refit, post, hole))
    polish = f"POLISH {shop_limits().polish:g} GRIT"
    radius = None if edge.radius is None else f"R {length(edge.radius, fmt, 1)}"
    if edge.bush is not None:
        sizes = f"{length(hole.diameter, fmt, 1)} x {length(edge.bush.bore, fmt, 1)} x {length(edge.bush.length, fmt)}"
        return (*first, f"{_BUSHES[edge.edge]} {sizes}", f"MOUTHS {radius}", polish)
    if edge.edge == "not required":
        return (*first, "WIRE: DEBURR BOTH EDGES")
    if edge.edge == "own radius":
        return (*first, f"EDGE {radius}", *((polish,) if edge.min_radius is not None else ("WIRE: DEBURR BOTH EDGES",)))
    if edge.edge == "not chosen":
        return (
            *first,
            f"EDGE NOT CHOSEN, R {length(edge.min_radius or 0.0, fmt, 1)} MIN.",
            "Figures: bare hole.",
        )
    sleeve = edge.sleeve
    slid = () if sleeve is None else (f"SLEEVE Ø{length(sleeve.width or 0.0, fmt, 1)} ON LINE",)
    return (*first, f"{_POLISHED} {radius}", polish, *slid)


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
