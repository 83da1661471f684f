"""Pictorial sheets: nothing overlaps, every fitting is there, the picture is the projection of the boat."""

from __future__ import annotations

import math

import pytest

from geom.figure import Line, Polyline
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.sheets.fittings.pictorial import pictorial_sheets
from geom.solids.assembly import assemble
from geom.solids.cache import PartCache
from geom.solids.files import fittings
from tests.boats import NAMES, refit_of
from tests.made import parts
from tests.some import some


@pytest.fixture(scope="module", params=(*NAMES, "open-transom-36"))
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
