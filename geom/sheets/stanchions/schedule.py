"""Sheet 3: every post and every hole in tables, over as many sheets as needed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import tan

from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.columns import ColumnTable, Piece, paged, table_of
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.plan_notes import survey_tolerance
from geom.drafting.post_text import height_words, length
from geom.drafting.ruling import without_empty_columns
from geom.drafting.sheet import GAP, Draft, field
from geom.drafting.shop_text import tube_size
from geom.drafting.sight import offset_height
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH, STAMP_HEIGHT, STAMP_IN
from geom.errors import GeometryError
from geom.figure import Cell, Item, Rect, Text
from geom.placement.fabrication import shop_limits
from geom.placement.identical_posts import alike_groups, mirror_images
from geom.refit import Refit
from geom.sheets.stanchions.hole_rows import holes_table
from geom.sheets.stanchions.post_remarks import post_remarks
from geom.tables import numbers
from geom.units import decimal, degrees

# Between tables, and the most that it is widened by where there is room [mm].
_APART, _WIDEST = 2.0, 4.0
# Height of the heading, width kept for the stamp [mm].
_HEADING, _STAMP_WIDE = 7.0, 62.0
# The bar and its words at the foot [mm].
_BAR = 10.5
# Heights of a row, the first of those that need the fewest sheets [mm].
_ROWS = (5.0, 4.6, 4.3)


def post_schedule(refit: Refit) -> tuple[Draft, ...]:
    """Return the schedule on the smallest sheets wide enough for its tables.

    Raises:
        GeometryError: no sheet is wide enough.
    """
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        whole, (left, right) = field(paper), _notes(refit, paper)
        low = paper.frame.bottom + max(_BAR + left.height, BLOCK_HEIGHT + 1.0 + right.height)
        tables = (posts_table(refit), attitude_table(refit), holes_table(refit))
        beside = whole.width - _STAMP_WIDE
        # The first table stands beside the stamp, or with its head under it.
        narrow = tables[0].width <= beside and tables[0].height - tables[0].head_height > STAMP_HEIGHT
        under = paper.frame.top - STAMP_IN - STAMP_HEIGHT + 3.0
        top = whole.top - _HEADING if narrow else under
        space = Rect(whole.left, low + 2.0, whole.right, top)
        after = replace(space, top=under)
        if max(table.width for table in tables) <= space.width:
            around = (
                *_heading(whole),
                *left.items((whole.left, low)),
                *right.items((whole.right - right.width, low)),
            )
            return _drafts(refit, paper, (space, after), tables, around)
    raise GeometryError("no sheet is wide enough for the stanchion schedule")


def _shared(groups: Mapping[str, str]) -> frozenset[str]:
    """Return the letters of stanchions that are made alike."""
    return frozenset(letter for letter, count in Counter(groups.values()).items() if count > 1)


def _heading(whole: Rect) -> tuple[Item, ...]:
    at = (whole.left, whole.top - 5.0)
    return (Text(at, post_words.SCHEDULE_TITLE.upper(), 5.0, "TEXT", tag="heading", weight="semibold"),)


def _notes(refit: Refit, paper: Paper) -> tuple[Notes, Notes]:
    """Return what the headings of the tables mean, beside the title block and over it."""
    fmt, limits = numbers(refit.boat), shop_limits()
    based = any(post.spec.base is not None for post in refit.placed.posts.values())
    open_edges = any(hole.edge.edge == "not chosen" for _, hole in refit.placed.holes())
    values = {
        "z_zero": refit.boat.axes.z_zero,
        "to_plate": post_words.TO_PLATE if based else "",
        "alike": post_words.ALIKE if _shared(alike_groups(refit.placed)) else "",
        "height": height_words(offset_height(refit), fmt),
        "length": length(limits.tube_length, fmt, 1),
        "holes": length(limits.hole_position, fmt, 1),
        "clocking": f"{degrees(limits.clocking):g}°",
        "plate": f"{degrees(limits.tube_to_plate):g}°",
        "bore": post_words.BARE_BORE if open_edges else post_words.BORE_LEFT,
    }
    left = tuple(line.format(**values) for line in post_words.SCHEDULE_NOTES)
    right = tuple(line.format(**values) for line in post_words.SCHEDULE_TERMS)
    beside = field(paper).width - BLOCK_WIDTH + 8.0 - GAP
    return Notes(words.NOTES, left, beside), Notes(post_words.SCHEDULE_TERMS_HEAD, right, BLOCK_WIDTH - 8.0)


def _drafts(
    refit: Refit, paper: Paper, spaces: tuple[Rect, Rect], tables: tuple[ColumnTable, ...], around: tuple[Item, ...]
) -> tuple[Draft, ...]:
    first, after = spaces
    tried = [list(paged([replace(one, row=row) for one in tables], after, _APART, first)) for row in _ROWS]
    pages = [_apart(page, after.bottom) for page in min(tried, key=len)]

    def drawn(piece: Piece) -> tuple[Item, ...]:
        # What is higher than the stamp stands beside it.
        return piece.items(first.left, first.width - _STAMP_WIDE if piece.top > after.top + 1e-6 else first.width)

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
            items=(*(item for piece in pieces for item in drawn(piece)), *around),
            stamped=True,
            description="Feet, attitude, lengths, heights, plate angles and offsets of every stanchion; every hole.",
        )
        for page, pieces in enumerate(pages)
    )


def _apart(pieces: Sequence[Piece], bottom: float) -> tuple[Piece, ...]:
    """Return the tables of a page further apart and from its heading, as far as there is room over a level [mm]."""
    spare = pieces[-1].top - pieces[-1].table.height - bottom
    each = min(_WIDEST, max(0.0, spare) / len(pieces))
    return tuple(replace(piece, top=piece.top - (k + 1) * each) for k, piece in enumerate(pieces))


def posts_table(refit: Refit) -> ColumnTable:
    """Return a row for each post: position and specification."""
    fmt, remarks = numbers(refit.boat), post_remarks(refit)
    groups = alike_groups(refit.placed)
    shared = _shared(groups)
    head = (
        "STANCHION", "FOOT X", "FOOT Y", "FOOT Z", "TOP", "TUBE", "GRADE", "BASE", "ALIKE", "MIRROR IMAGE", "REMARK",
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
            "tube": tube_size(post.tube_od, post.tube_wall, fmt),
            "grade": refit.boat.tubes[post.spec.tube].grade,
            "base": post.spec.base or "",
            "alike": group if group in shared else "",
            "mirror": mirror_words(refit, post.id),
            "remark": "; ".join(remarks[post.id]),
        }
        rows.append(_cells(f"posts:{post.id}", values, ("foot_x", "foot_y", "foot_z", "length")))
    return without_empty_columns(table_of(f"STANCHIONS ({fmt.unit})", head, rows, "table:posts"))


def attitude_table(refit: Refit) -> ColumnTable:
    """Return a row for each post: attitude of its tube to plumb, deck and plate, with offsets."""
    fmt, height = numbers(refit.boat), offset_height(refit)
    head = (
        "STANCHION", "LEAN", "RAKE", "OFF\nPLUMB", "DECK\nFALLS AFT", "DECK\nFALLS OUT", "TO DECK\nOUT", "TO DECK\nAFT",
        "TO DECK,\nTOTAL", "TO\nPLATE", "SQUARE\nOUT", "SQUARE\nAFT", "PLUMB\nOUT", "PLUMB\nAFT",
    )  # fmt: skip
    rows = []
    for post in refit.placed.posts.values():
        base = None if post.spec.base is None else refit.boat.bases[post.spec.base]
        total = decimal(degrees(post.plate.total), 1)
        square = base is not None and base.tube == "square to the plate"
        values = {
            "post": post.id,
            "lean": decimal(degrees(post.lean), 1),
            "rake": decimal(degrees(post.rake), 1),
            "tilt": decimal(degrees(post.tilt), 1),
            "falls_aft": decimal(degrees(post.spec.deck_falls.aft), 1),
            "falls_out": decimal(degrees(post.spec.deck_falls.outboard), 1),
            "plate_out": decimal(degrees(post.plate.out), 1),
            "plate_aft": decimal(degrees(post.plate.aft), 1),
            "plate_total": total,
            "to_plate": "" if base is None else "0.0" if square else total,
            "offset_out": length(height * tan(post.plate.out), fmt),
            "offset_aft": length(height * tan(post.plate.aft), fmt),
            "plumb_out": length(height * tan(post.lean), fmt),
            "plumb_aft": length(height * tan(post.rake), fmt),
        }
        rows.append(_cells(f"posts:{post.id}", values, tuple(values)[1:]))
    title = f"ATTITUDE OF THE TUBES (deg; SQUARE and PLUMB: {fmt.unit}, at {height_words(height, fmt)})"
    return without_empty_columns(table_of(title, head, rows, "table:attitudes"))


def _cells(tag: str, values: dict[str, str], right: tuple[str, ...]) -> tuple[Cell, ...]:
    return tuple(
        Cell(text, f"{tag}:{key}", "right" if key in right else "left", "semibold" if key == "post" else "regular")
        for key, text in values.items()
    )


def mirror_words(refit: Refit, name: str) -> str:
    """Return the posts of the other side that are a post's mirror image, exactly or within fabrication tolerances."""
    images = mirror_images(refit.placed, name)
    if not images:
        return "none"
    near = "" if all(images.values()) else ", within limits"
    return f"{', '.join(images)}{near}"
