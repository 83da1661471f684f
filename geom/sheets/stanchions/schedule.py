"""Sheet 3: every post and every hole in tables, over as many sheets as needed."""

from __future__ import annotations

import math
from dataclasses import replace
from math import tan

from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.plan_notes import survey_tolerance
from geom.drafting.post_text import height_words, length
from geom.drafting.ruling import Ruled, cell, flow_ruled
from geom.drafting.sheet import Draft, key_items, list_area
from geom.drafting.sight import offset_height
from geom.errors import GeometryError
from geom.figure import Cell, Rect
from geom.placement.fabrication import shop_limits
from geom.placement.identical_posts import alike_groups, mirror_images
from geom.refit import Refit
from geom.sheets.stanchions.hole_rows import holes_table
from geom.sheets.stanchions.post_remarks import post_remarks
from geom.tables import numbers
from geom.units import decimal, degrees

_APART = 4.0
_NONE = "none"


def post_schedule(refit: Refit) -> tuple[Draft, ...]:
    """Return the schedule on the smallest sheets wide enough for its tables.

    Raises:
        GeometryError: no sheet is wide enough.
    """
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        space = list_area(paper)
        tables = (posts_table(refit), attitude_table(refit), holes_table(refit), terms_table(refit))
        if max(math.fsum(table.widths) for table in tables) <= space.width:
            whole = tuple(replace(table, width=space.width) for table in tables)
            return _drafts(refit, paper, space, whole)
    raise GeometryError("no sheet is wide enough for the post schedule")


def _drafts(refit: Refit, paper: Paper, space: Rect, tables: tuple[Ruled, ...]) -> tuple[Draft, ...]:
    fmt, limits = numbers(refit.boat), shop_limits()
    values = {
        "z_zero": refit.boat.axes.z_zero,
        "height": height_words(offset_height(refit), fmt),
        "length": length(limits.tube_length, fmt, 1),
        "holes": length(limits.hole_position, fmt, 1),
        "clocking": f"{degrees(limits.clocking):g}°",
        "plate": f"{degrees(limits.tube_to_plate):g}°",
    }
    notes = key_items(paper, words.NOTES, [line.format(**values) for line in post_words.SCHEDULE_NOTES])
    pages = list(flow_ruled(tables, space, _APART))
    return tuple(
        Draft(
            number="G4",
            for_cad=True,
            name="post-schedule" if page == 0 else f"post-schedule-{page + 1}",
            title=post_words.SCHEDULE_TITLE + (f", {page + 1} of {len(pages)}" if len(pages) > 1 else ""),
            subtitle=post_words.SCHEDULE_KIND,
            paper=paper,
            scale="none",
            tolerance=survey_tolerance(refit),
            items=(*tables_on_page, *notes),
            description="Feet, attitude, lengths, heights, plate angles and offsets of every post; every hole.",
        )
        for page, tables_on_page in enumerate(pages)
    )


def posts_table(refit: Refit) -> Ruled:
    """Return a row for each post: position and specification."""
    fmt, remarks = numbers(refit.boat), post_remarks(refit)
    groups = alike_groups(refit.placed)
    shared = {group for group in groups.values() if list(groups.values()).count(group) > 1}
    head = (
        "POST", "FOOT X", "FOOT Y", "FOOT Z", "TOP", "TUBE", "GRADE", "BASE", "ALIKE", "MIRROR IMAGE", "REMARK",
    )  # fmt: skip
    rows = []
    for post in refit.placed.posts.values():
        group = groups[post.id]
        values = {
            "post": post.id,
            "foot_x": length(post.foot[0], fmt, 1),
            "foot_y": length(post.foot[1], fmt, 1),
            "foot_z": length(post.foot[2], fmt, 1),
            "length": length(post.top, fmt, 1),
            "tube": f"Ø{length(post.tube_od, fmt, 1)} x {length(post.tube_wall, fmt, 1)}",
            "grade": refit.boat.tubes[post.spec.tube].grade,
            "base": post.spec.base or words.NOT_STATED,
            "alike": group if group in shared else _NONE,
            "mirror": mirror_words(refit, post.id),
            "remark": "; ".join(remarks[post.id]),
        }
        rows.append(_cells(f"posts:{post.id}", values, ("foot_x", "foot_y", "foot_z", "length")))
    return Ruled(f"STANCHIONS ({fmt.unit})", head, tuple(rows), "table:posts")


def attitude_table(refit: Refit) -> Ruled:
    """Return a row for each post: attitude of its tube to plumb, deck and plate, with offsets."""
    fmt, height = numbers(refit.boat), offset_height(refit)
    head = (
        "POST", "LEAN", "RAKE", "OFF PLUMB", "DECK FALLS AFT", "DECK FALLS OUT", "TO DECK OUT", "TO DECK AFT",
        "TO DECK, TOTAL", "TO PLATE", "SQUARE OUT", "SQUARE AFT", "PLUMB OUT", "PLUMB AFT",
    )  # fmt: skip
    rows = []
    for post in refit.placed.posts.values():
        base = None if post.spec.base is None else refit.boat.bases[post.spec.base]
        total = decimal(degrees(post.plate.total), 2)
        square = base is not None and base.tube == "square to the plate"
        values = {
            "post": post.id,
            "lean": decimal(degrees(post.lean), 1),
            "rake": decimal(degrees(post.rake), 1),
            "tilt": decimal(degrees(post.tilt), 2),
            "falls_aft": decimal(degrees(post.spec.deck_falls.aft), 1),
            "falls_out": decimal(degrees(post.spec.deck_falls.outboard), 1),
            "plate_out": decimal(degrees(post.plate.out), 2),
            "plate_aft": decimal(degrees(post.plate.aft), 2),
            "plate_total": total,
            "to_plate": words.NOT_STATED if base is None else "0.00" if square else total,
            "offset_out": length(height * tan(post.plate.out), fmt),
            "offset_aft": length(height * tan(post.plate.aft), fmt),
            "plumb_out": length(height * tan(post.lean), fmt),
            "plumb_aft": length(height * tan(post.rake), fmt),
        }
        rows.append(_cells(f"posts:{post.id}", values, tuple(values)[1:]))
    title = f"ATTITUDE OF THE TUBES (deg; SQUARE and PLUMB: {fmt.unit}, at {height_words(height, fmt)})"
    return Ruled(title, head, tuple(rows), "table:attitudes")


def terms_table(refit: Refit) -> Ruled:
    """Return the meaning of the headings of the table of holes, a row for each line."""
    open_edges = any(hole.edge.edge == "not chosen" for _, hole in refit.placed.holes())
    bore = post_words.BARE_BORE if open_edges else post_words.BORE_LEFT
    rows = tuple((Cell(line.format(bore=bore), f"terms:{k}"),) for k, line in enumerate(post_words.SCHEDULE_TERMS))
    return Ruled("", (), rows, "table:terms")


def _cells(tag: str, values: dict[str, str], right: tuple[str, ...]) -> tuple[Cell, ...]:
    return tuple(cell(text, f"{tag}:{key}", "right" if key in right else "left") for key, text in values.items())


def mirror_words(refit: Refit, name: str) -> str:
    """Return the posts of the other side that are a post's mirror image, exactly or within fabrication tolerances."""
    images = mirror_images(refit.placed, name)
    if not images:
        return "none"
    near = "" if all(images.values()) else ", within limits"
    return f"{', '.join(images)}{near}"
