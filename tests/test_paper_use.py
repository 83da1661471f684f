"""How much of its paper a sheet uses: the box round what is drawn, in the field that the title block leaves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from geom.drafting.sheet import field
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.figure import Rect, Sheet, Text
from geom.lettering import width
from geom.render.explode import pieces
from geom.sheets import SHEETS
from tests.boats import refit_of
from tests.some import some

BOATS = ("saltwhin-31", "pipwing-25")
# Our own measure, no source: three quarters.
LEAST = 0.75


def corners(shape):
    """Return points that a drawn shape reaches [paper mm]."""
    if isinstance(shape, Text):
        wide = width(shape.text, shape.height, shape.weight)
        left = shape.at[0] - {"left": 0.0, "centre": 0.5, "right": 1.0}[shape.across] * wide
        return [shape.at] if shape.rotation else [(left, shape.at[1]), (left + wide, shape.at[1] + shape.height)]
    for name in ("points", "outline"):
        if hasattr(shape, name):
            return list(getattr(shape, name))
    if hasattr(shape, "centre"):
        (x, y), r = shape.centre, shape.radius
        return [(x - r, y - r), (x + r, y + r)]
    return [shape.start, shape.end]


def used(draft):
    """Return the share of the field that the box round a draft's items takes, both without the title block."""
    place, frame = field(draft.paper), draft.paper.frame
    sheet = Sheet("", "", draft.paper.width, draft.paper.height, draft.items, draft.views)
    points = [point for piece in pieces(sheet) for point in corners(piece.shape)]
    xs = [min(max(x, place.left), place.right) for x, _ in points]
    ys = [min(max(y, place.bottom), place.top) for _, y in points]
    box = Rect(min(xs), min(ys), max(xs), max(ys))
    left, top = frame.right - BLOCK_WIDTH, frame.bottom + BLOCK_HEIGHT
    block = (place.right - left) * (top - place.bottom)
    over = max(0.0, box.right - max(box.left, left)) * max(0.0, min(box.top, top) - box.bottom)
    return (box.width * box.height - over) / (place.width * place.height - block)


@pytest.mark.parametrize("name", BOATS)
def test_drawings_fill_their_paper(name):
    drafts = [draft for make in SHEETS for draft in make(refit_of(name)) if draft.number[0] in "GFR"]
    shares = [(draft.number, draft.name, round(used(draft), 2)) for draft in some(drafts)]
    print(*shares, sep="\n")
    assert [one for one in shares if one[2] < LEAST] == []


@pytest.mark.parametrize("name", BOATS)
def test_the_hull_of_the_plan_is_three_quarters_of_its_frame(name):
    refit = refit_of(name)
    (plan,) = [draft for make in SHEETS for draft in make(refit) if draft.number == "G2"]
    hull = refit.boat.boat.hull_length * plan.views[0].scale
    assert hull / plan.paper.frame.width >= LEAST, hull / plan.paper.frame.width


def test_a_sheet_half_empty_is_found():
    (draft,) = [one for make in SHEETS for one in make(refit_of("saltwhin-31")) if one.number == "R7"]
    items = tuple(item for item in draft.items if isinstance(item, Text) and item.at[1] > draft.paper.height / 2.0)
    assert used(replace(draft, items=items, views=())) < LEAST
