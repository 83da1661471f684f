"""Pictorial sheets: nothing overlaps, every fitting is there, the picture is the projection of the boat."""

from __future__ import annotations

import math

import pytest

from geom.drafting.sheet import finish
from geom.figure import Line, Polyline
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.sheets.fittings import text as words
from geom.sheets.fittings.pictorial import fitting_pictures, pictorial_sheets
from geom.sheets.fittings.sheet import fitting_sheets, shown_fittings
from geom.solids.assembly import assemble
from geom.solids.cache import PartCache
from geom.solids.files import fittings
from tests.boats import NAMES, refit_of
from tests.made import parts
from tests.some import some


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


@pytest.fixture(scope="module")
def sheets(boat):
    return pictorial_sheets(refit_of(boat), parts().shape)


def test_no_layout_fault(sheets):
    for sheet in some(sheets):
        assert layout(sheet).faults == ()


def test_every_fitting_has_its_picture(boat, sheets):
    names = {item.tag for sheet in sheets for item in sheet.items if getattr(item, "tag", "").startswith("name:")}
    assert names == {f"name:{name}" for name in fittings(assemble(refit_of(boat)))}


def test_the_boat_is_seen_isometrically(boat, sheets):
    """The deck edge's points stand where an isometric projection puts them (ISO 5456-3: 1/sqrt 2 and 1/sqrt 6)."""
    view = sheets[0].views[0]
    drawn = [p for item in view.items for p in ((item.start, item.end) if isinstance(item, Line) else item.points)]
    assert all(isinstance(item, (Line, Polyline)) for item in view.items)
    for x, y, z in refit_of(boat).boat.edge("S"):
        wanted = ((y - x) / math.sqrt(2.0), (2.0 * z - x - y) / math.sqrt(6.0))
        assert min(math.dist(wanted, point) for point in drawn) < 0.01


def test_same_bytes_twice(boat, sheets):
    """From parts made anew as from stored ones."""
    again = pictorial_sheets(refit_of(boat), PartCache(None).shape)
    assert pdf_bytes(again, title="t") == pdf_bytes(sheets, title="t")


def test_fitting_sheets_show_each_part_isometrically(boat):
    """Each view lies within the isometric projection of its part's box, and fills most of it (ISO 5456-3)."""
    worked_out = refit_of(boat)
    pictures = fitting_pictures(worked_out, parts().shape)
    shown = [one for one in shown_fittings(worked_out) if one.part in pictures]
    drafts = fitting_sheets(worked_out, pictures)
    views = [view for draft in drafts for view in draft.views if view.name.endswith(words.ISOMETRIC)]
    assert len(views) == len(shown) > 0
    plain = fitting_sheets(worked_out)
    assert not [view for draft in plain for view in draft.views if view.name.endswith(words.ISOMETRIC)]
    for draft in drafts:
        assert layout(finish(worked_out, draft, len(drafts))).faults == ()
    for one, view in zip(shown, views, strict=True):
        box = one.part.box()
        corners = [
            ((x + y) / math.sqrt(2.0), (2.0 * z - x + y) / math.sqrt(6.0))
            for x in (box.low[0], box.high[0])
            for y in (box.low[1], box.high[1])
            for z in (box.low[2], box.high[2])
        ]
        drawn = [p for item in view.items for p in ((item.start, item.end) if isinstance(item, Line) else item.points)]
        for axis in (0, 1):
            low, high = min(c[axis] for c in corners), max(c[axis] for c in corners)
            seen = [p[axis] for p in drawn]
            assert low - 0.05 <= min(seen) and max(seen) <= high + 0.05, view.name
            assert max(seen) - min(seen) > 0.6 * (high - low), view.name
