"""The table of all holes on the post schedule."""

from __future__ import annotations

from geom.drafting.columns import ColumnTable, table_of
from geom.drafting.hole_text import axis_cell, bush_words
from geom.drafting.post_text import length
from geom.figure import Cell
from geom.placement.eyes import Verdict
from geom.placement.heights import openings
from geom.placement.place import PlacedHole, PlacedPost
from geom.placement.tube_cut import clocking_from_mark
from geom.refit import Refit
from geom.tables import numbers
from geom.units import decimal, degrees

# The verdict on the finished end as the notes of the sheet have it.
_FINISHED_END: dict[Verdict, str] = {
    "passes": "passes",
    "squeeze": "squeeze",
    "trial": "trial",
    "in place": "on board",
    "line does not pass": "line does not pass",
    "cannot tell": "not determined",
}
_LEFT = ("hole", "run", "bush", "axis", "eye")


def holes_table(refit: Refit) -> ColumnTable:
    """Return a row for each hole, by posts from the upper hole down."""
    fmt = numbers(refit.boat)
    planned = any(hole.spec.planned is not None for _, hole in refit.placed.holes())
    head = (
        "HOLE", "RUN", "ALONG", "Ø\nFOUND", *(("Ø\nPLANNED",) if planned else ()), "BUSH", "ABOVE\nFOOT", "ABOVE\nEDGE",
        "OPENING", "TURN", "CLOCKING,\nTUBE", "CLOCKING,\nMARK", "HOLE\nTILT", "AXIS", "FREE\nTO", "CLEAR",
        "IF\nSQUARE", "FINISHED\nEND",
    )  # fmt: skip
    rows = tuple(_cells(refit, post, hole, planned) for post, hole in refit.placed.holes())
    return table_of(f"HOLES ({fmt.unit}, deg)", head, rows, "table:holes")


def _cells(refit: Refit, post: PlacedPost, hole: PlacedHole, with_planned: bool) -> tuple[Cell, ...]:
    fmt = numbers(refit.boat)
    placed = refit.placed
    drilling, height, line_in_hole = (
        placed.drillings[hole.id],
        placed.hole_heights[hole.id],
        placed.lines_in_holes.get(hole.id),
    )
    found, planned = hole.spec.as_found, hole.spec.planned
    fit = None if line_in_hole is None else line_in_hole.on_axis
    square = None if line_in_hole is None else line_in_hole.if_square
    touches = "" if square is None or not square.touches_both_lips else ", touches"
    values = {
        "hole": hole.id,
        "run": "" if line_in_hole is None else line_in_hole.run,
        "along": length(hole.along, fmt, 1),
        "found": "" if found is None else length(found.diameter, fmt, 1),
    }
    if with_planned:
        values["planned"] = "" if planned is None else length(planned.diameter, fmt, 1)
    values |= {
        "bush": bush_words(refit, hole),
        "above_foot": length(height.above_foot, fmt),
        "above_edge": "" if height.above_edge is None else length(height.above_edge, fmt),
        "opening": length(_opening_below(post, hole), fmt),
        "turn": "" if line_in_hole is None else decimal(degrees(line_in_hole.passage.turn), 1),
        "clocking": decimal(degrees(drilling.clocking), 1),
        "from_mark": decimal(degrees(clocking_from_mark(post, drilling)), 1),
        "tilt": decimal(degrees(drilling.tilt), 1),
        "axis": axis_cell(refit, hole),
        "free": "" if fit is None else decimal(degrees(fit.free_angle), 1),
        "clear": "" if fit is None else length(fit.clear, fmt),
        "square": "" if square is None else f"{length(square.clear, fmt)}{touches}",
        "eye": "" if line_in_hole is None else _FINISHED_END[refit.placed.eye(hole.id).verdict],
    }
    return tuple(
        Cell(
            text,
            f"holes:{hole.id}:{key}",
            "left" if key in _LEFT else "right",
            "semibold" if key == "hole" else "regular",
        )
        for key, text in values.items()
    )


def _opening_below(post: PlacedPost, hole: PlacedHole) -> float:
    """Return the vertical opening under a hole, to the next hole down or to the deck at the foot [mm]."""
    below = sum(1 for other in post.holes if other.centre[2] < hole.centre[2])
    return openings(post)[below]
