"""The tables of the deck plan: stanchions, rail eyes, holes, runs, and the choice that fits a sheet."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import zip_longest

from geom.boat.model import RailEye
from geom.drafting import plan_text as plan_words
from geom.drafting.line_text import cut_words, run_rope
from geom.drafting.plan_labels import SIDES
from geom.drafting.post_text import length
from geom.drafting.ruling import LETTERING, from_results
from geom.drafting.sheet import GAP
from geom.errors import GeometryError
from geom.figure import Cell, LengthFormat, Rect, Table, Text
from geom.refit import Refit
from geom.rigging.summary import RunSummary
from geom.tables import Column, numbers
from geom.tables import Table as Results
from geom.tables.placing import holes, posts, runs

PITCH = 4.4
_LEFT_OUT = 6.0
# Choices of tables, the fullest first; the eyes are on no other sheet.
_CHOICES = (
    ("posts", "eyes", "holes", "runs"), ("posts", "eyes", "runs"), ("posts", "eyes"), ("eyes", "runs"), ("eyes",),
)  # fmt: skip
_ORDER = _CHOICES[0]
# Which columns of each table this sheet shows.
_POSTS = (
    "post", "foot_x_mm", "foot_y_mm", "foot_z_mm", "lean_out_deg", "rake_aft_deg",
    "height_upper_mm", "height_middle_mm", "height_lower_mm", "plate_out_deg", "plate_aft_deg",
)  # fmt: skip
_HOLES = (
    "hole", "run", "diameter_mm", "bore_mm", "turn_deg", "clocking_deg", "tilt_deg", "free_angle_deg", "clear_mm",
    "eye",
)  # fmt: skip
_RUNS = ("run", "from", "to", "path_mm", "stack_mm", "finished_mm", "cut_mm", "made_on_board")


def tables_shown(refit: Refit, room: float, width: float) -> tuple[str, ...] | None:
    """Return the fullest choice of tables that fits a height and a width, None where not even the eyes fit.

    Args:
        refit: the boat as calculated.
        room: the height [mm].
        width: the width [mm].
    """
    rows = {
        "posts": len(refit.posts),
        "eyes": max(len(_eyes_of(refit, side)) for side in SIDES),
        "holes": len(refit.placed.lines_in_holes),
        "runs": len(refit.placed.runs),
    }
    too_wide = {name for name in _ORDER if not _goes_into(refit, name, width)}
    for shown in _CHOICES:
        if too_wide.intersection(shown):
            continue
        tall = math.fsum((rows[name] + 2) * PITCH + GAP for name in shown)
        if tall + _LEFT_OUT * (len(_ORDER) - len(shown)) <= room:
            return shown
    return None


def _goes_into(refit: Refit, name: str, width: float) -> bool:
    try:
        _BUILDERS[name](refit, (0.0, 0.0), width)
    except GeometryError:
        return False
    return True


def plan_tables(refit: Refit, place: Rect, shown: Sequence[str]) -> list[Table | Text]:
    """Return the tables from the top of an area down, with a reference to another sheet for each left out.

    Args:
        refit: the boat as calculated.
        place: the area [mm].
        shown: the tables to show.
    """
    items: list[Table | Text] = []
    top = place.top
    for name in _ORDER:
        if name not in shown:
            items.append(Text((place.left + 1.0, top - 3.5), plan_words.ELSEWHERE[name], LETTERING, "NOTE"))
            top -= _LEFT_OUT
            continue
        table = _BUILDERS[name](refit, (place.left, top), place.width)
        items.append(table)
        top -= (len(table.rows) + 2) * PITCH + GAP
    return items


def _table(refit: Refit, table: Results, keys: Sequence[str], at: tuple[float, float], width: float) -> Table:
    return from_results(table, numbers(refit.boat), keys, width, PITCH).at(at)


def _posts(refit: Refit, at: tuple[float, float], width: float) -> Table:
    return _table(refit, replace(posts(refit), title=plan_words.STANCHIONS), _POSTS, at, width)


def _holes(refit: Refit, at: tuple[float, float], width: float) -> Table:
    found = holes(refit)
    columns = tuple(
        replace(column, heading=plan_words.CLOCK) if column.key == "clocking_deg" else column
        for column in found.columns
    )
    bushed = any(hole.edge.bush is not None for _, hole in refit.placed.holes())
    keys = _HOLES if bushed else tuple(key for key in _HOLES if key != "bore_mm")
    return _table(refit, replace(found, title=plan_words.HOLES, columns=columns), keys, at, width)


def _runs(refit: Refit, at: tuple[float, float], width: float) -> Table:
    """Return the runs, each cut length written as on its run card."""
    fmt = numbers(refit.boat)

    def cut(run: RunSummary) -> str:
        return "-" if run.work.cut is None else cut_words(run.work.cut, run_rope(refit, run.run.id), fmt)

    found = runs(refit)
    columns = tuple(Column("cut_mm", one.heading, cut) if one.key == "cut_mm" else one for one in found.columns)
    table = _table(refit, replace(found, columns=columns), _RUNS, at, width)
    return replace(table, rows=tuple(tuple(_right(cell) for cell in row) for row in table.rows))


def _right(cell: Cell) -> Cell:
    """Return a cell of cut lengths aligned right, as numbers are; any other unchanged."""
    return replace(cell, across="right") if cell.tag.endswith(":cut_mm") else cell


def _eyes_of(refit: Refit, side: str) -> list[RailEye]:
    return sorted((eye for eye in refit.boat.eyes if eye.id[0] == side), key=lambda eye: (eye.on, -eye.at[2]))


def _eyes(refit: Refit, at: tuple[float, float], width: float) -> Table:
    """Return the rail eyes with their coordinates, starboard at the left and port at the right."""
    fmt = numbers(refit.boat)
    rows = zip_longest(*(_eyes_of(refit, side) for side in SIDES))
    shares = (26.0, 16.0, 16.0, 16.0) * 2
    return Table(
        at=at,
        widths=tuple(width * share / math.fsum(shares) for share in shares),
        head=plan_words.EYE_HEADS * 2,
        rows=tuple(tuple(eye_cell for eye in pair for eye_cell in _eye_cells(eye, fmt)) for pair in rows),
        pitch=PITCH,
        height=LETTERING,
        title=plan_words.EYES.format(unit=fmt.unit),
        tag="table:eyes",
    )


def _eye_cells(eye: RailEye | None, fmt: LengthFormat) -> tuple[Cell, ...]:
    if eye is None:
        return (Cell(""),) * 4
    axes = zip("xyz", eye.at, strict=True)
    return (
        Cell(eye.id, f"eyes:{eye.id}:eye"),
        *(Cell(length(value, fmt, 1), f"eyes:{eye.id}:{axis}", "right") for axis, value in axes),
    )


_BUILDERS: dict[str, Callable[[Refit, tuple[float, float], float], Table]] = {
    "posts": _posts, "eyes": _eyes, "holes": _holes, "runs": _runs,
}  # fmt: skip
