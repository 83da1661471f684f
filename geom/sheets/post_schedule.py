"""Sheet 3: every post and every hole in tables, over as many sheets as they want."""

from __future__ import annotations

from dataclasses import replace

from geom.errors import GeometryError
from geom.figure import Cell, Rect
from geom.refit import Refit
from geom.runs.alike import alike_groups
from geom.runs.heights import openings
from geom.runs.place import PlacedHole, PlacedPost
from geom.runs.shop import shop_limits
from geom.schedules import leading_verdict, numbers, offsets
from geom.sheets import post_words, words
from geom.sheets.draft import GAP, Draft, key_items, list_area
from geom.sheets.paper import Paper, papers
from geom.sheets.post_words import length, rule_words
from geom.sheets.ruled import Ruled, cell, flow
from geom.units import decimal, degrees


def post_schedule(refit: Refit) -> tuple[Draft, ...]:
    """Return the schedule on the smallest sheets that its tables go across.

    Raises:
        GeometryError: no sheet is wide enough.
    """
    for paper in papers(refit.boat.drawing.sheets, least=1):
        space = list_area(paper)
        tables = (posts_table(refit), holes_table(refit))
        if max(sum(table.widths) for table in tables) <= space.width:
            whole = tuple(replace(table, width=space.width) for table in tables)
            return _drafts(refit, paper, space, whole)
    raise GeometryError("no sheet is wide enough for the post schedule")


def _drafts(refit: Refit, paper: Paper, space: Rect, tables: tuple[Ruled, ...]) -> tuple[Draft, ...]:
    how, limits = numbers(refit.boat), shop_limits()
    told = {
        "z_zero": refit.boat.axes.z_zero,
        "rule": rule_words(how),
        "length": length(limits.tube_length, how, 1),
        "clocking": f"{degrees(limits.clocking):g}°",
        "plate": f"{degrees(limits.tube_to_plate):g}°",
    }
    notes = key_items(paper, words.NOTES, [line.format(**told) for line in post_words.SCHEDULE_NOTES])
    return tuple(
        Draft(
            name="post-schedule" if page == 0 else f"post-schedule-{page + 1}",
            title=post_words.SCHEDULE_TITLE,
            kind=post_words.SCHEDULE_KIND,
            paper=paper,
            scale="none",
            items=(*tables_on_page, *notes),
            description="Feet, attitude, lengths, heights, plate angles and offsets of every post; every hole.",
        )
        for page, tables_on_page in enumerate(flow(tables, space, 2.0 * GAP))
    )


def posts_table(refit: Refit) -> Ruled:
    """Return a row for each post."""
    how = numbers(refit.boat)
    at = f"AT {rule_words(how).split()[0]}"
    head = (
        "POST", "ALIKE", "X", "Y", "Z", "LEAN", "RAKE", "TILT", "LENGTH", "OUT", "AFT", "PLATE",
        f"OUT {at}", f"AFT {at}", "PLUMB OUT", "PLUMB AFT", "TUBE", "GRADE", "BASE",
    )  # fmt: skip
    groups = alike_groups(refit.placed)
    rows = tuple(_post_cells(refit, post, groups[post.id]) for post in refit.placed.posts.values())
    return Ruled(f"STANCHIONS ({how.unit}, deg)", head, rows, "table:posts")


def _post_cells(refit: Refit, post: PlacedPost, group: str) -> tuple[Cell, ...]:
    how = numbers(refit.boat)
    plate, plumb = offsets(post)
    values = {
        "post": post.id,
        "alike": group,
        "foot_x": length(post.foot[0], how, 1),
        "foot_y": length(post.foot[1], how, 1),
        "foot_z": length(post.foot[2], how, 1),
        "lean": decimal(degrees(post.lean), 1),
        "rake": decimal(degrees(post.rake), 1),
        "tilt": decimal(degrees(post.tilt), 2),
        "length": length(post.top, how, 1),
        "plate_out": decimal(degrees(post.plate.out), 2),
        "plate_aft": decimal(degrees(post.plate.aft), 2),
        "plate_total": decimal(degrees(post.plate.total), 2),
        "offset_out": length(plate[0], how),
        "offset_aft": length(plate[1], how),
        "plumb_out": length(plumb[0], how),
        "plumb_aft": length(plumb[1], how),
        "tube": f"{length(post.tube_od, how, 1)} x {length(post.tube_wall, how, 1)}",
        "grade": refit.boat.tubes[post.told.tube].grade,
        "base": post.told.base or "-",
    }
    left = ("post", "alike", "tube", "grade", "base")
    return tuple(
        cell(text, f"posts:{post.id}:{key}", "left" if key in left else "right") for key, text in values.items()
    )


def holes_table(refit: Refit) -> Ruled:
    """Return a row for each hole, post by post from the upper one down."""
    how = numbers(refit.boat)
    head = (
        "HOLE", "RUN", "ALONG", "Ø FOUND", "Ø PLAN", "BUSH", "H FOOT", "H EDGE", "OPENING BELOW", "TURN", "CLOCK",
        "TILT", "AXIS", "FREE", "CLEAR", "MADE-UP END",
    )  # fmt: skip
    rows = tuple(_hole_cells(refit, post, hole) for post, hole in refit.placed.holes())
    return Ruled(f"HOLES ({how.unit}, deg)", head, rows, "table:holes")


def _hole_cells(refit: Refit, post: PlacedPost, hole: PlacedHole) -> tuple[Cell, ...]:
    how = numbers(refit.boat)
    placed = refit.placed
    drilling, height, resting = placed.drillings[hole.id], placed.hole_heights[hole.id], placed.restings.get(hole.id)
    found, planned, liner = hole.told.as_found, hole.told.planned, hole.told.liner
    rest = None if resting is None else resting.on_axis
    values = {
        "hole": hole.id,
        "run": "-" if resting is None else resting.run,
        "along": length(hole.along, how, 1),
        "found": "-" if found is None else length(found.diameter, how, 1),
        "planned": "-" if planned is None else length(planned.diameter, how, 1),
        "bush": "-" if liner is None else length(liner.bore, how, 1),
        "above_foot": length(height.above_foot, how),
        "above_edge": "-" if height.above_edge is None else length(height.above_edge, how),
        "opening": length(_opening_below(post, hole), how),
        "turn": "-" if resting is None else decimal(degrees(resting.passage.turn), 1),
        "clocking": decimal(degrees(drilling.clocking), 1),
        "tilt": decimal(degrees(drilling.tilt), 1),
        "axis": drilling.basis,
        "free": "-" if rest is None else decimal(degrees(rest.free_angle), 1),
        "clear": "-" if rest is None else length(rest.clear, how),
        "eye": "-" if resting is None else leading_verdict(refit, resting.run, hole.id).verdict,
    }
    left = ("hole", "run", "axis", "eye")
    return tuple(
        cell(text, f"holes:{hole.id}:{key}", "left" if key in left else "right") for key, text in values.items()
    )


def _opening_below(post: PlacedPost, hole: PlacedHole) -> float:
    """Return the vertical opening under a hole: to the next hole down, or to the deck at the foot [mm]."""
    below = sum(1 for other in post.holes if other.centre[2] < hole.centre[2])
    return openings(post)[below]
