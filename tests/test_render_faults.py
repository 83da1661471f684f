"""The layout check: a clean sheet has no faults, and planted ones of many sorts are all found."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom.figure import (
    Arc,
    Circle,
    Dimension,
    Hatch,
    Leader,
    Line,
    Ordinate,
    Polyline,
    Rect,
    Sheet,
    Text,
)
from geom.render.faults import Allowance, faults, layout
from geom.render.grid import Grid, box_hits_box, box_hits_segment, inside
from geom.render.plane import text_box
from tests.render_sample import sample_sheet


def plant(*items) -> Sheet:
    """Return the sample sheet with more items of its own."""
    sheet = sample_sheet()
    return replace(sheet, items=(*sheet.items, *items))


def plant_in_plan(*items) -> Sheet:
    """Return the sample sheet with more items in its plan."""
    sheet = sample_sheet()
    view = replace(sheet.views[0], items=(*sheet.views[0].items, *items))
    return replace(sheet, views=(view, sheet.views[1]))


def second_view(**changes) -> Sheet:
    sheet = sample_sheet()
    return replace(sheet, views=(sheet.views[0], replace(sheet.views[1], **changes)))


DISC = tuple((250.0 + 9.0 * math.cos(a / 3.0), 90.0 + 9.0 * math.sin(a / 3.0)) for a in range(19))

PLANTED = {
    "text on text": (plant(Text((252.0, 44.5), "again", 2.5, tag="p")), "text on text", "p"),
    "turned text on text": (plant(Text((240.0, 40.5), "turned", 2.5, rotation=1.0, tag="p")), "text on text", "p"),
    "text of a view on a title": (plant_in_plan(Text((4700.0, 1950.0), "high", 2.5, tag="p")), "text on text", "p"),
    "text on a line": (plant(Text((202.0, 39.0), "bar", 2.5, tag="p")), "text on stroke", "bar:100"),
    "descender on a line": (plant(Text((202.0, 40.5), "gap", 2.5, tag="p")), "text on stroke", "bar:100"),
    "text on a circle": (
        plant(Text((250.0, 90.0), "tube", 2.5, tag="p"), Circle((250.0, 86.0), 6.0, "THIN", "ring")),
        "text on stroke",
        "ring",
    ),
    "text on an arc": (
        plant(Text((250.0, 95.0), "arc", 2.5, tag="p"), Arc((250.0, 90.0), 6.0, 0.5, 2.5, "THIN", "bow")),
        "text on stroke",
        "bow",
    ),
    "text on a polyline": (
        plant(Text((250.0, 90.0), "deck", 2.5), Polyline(((240.0, 80.0), (256.0, 96.0), (300.0, 96.0)), "THIN")),
        "text on stroke",
        "layer THIN",
    ),
    "text in a fill": (plant(Text((248.0, 89.0), "in", 2.5), Hatch(DISC, "HATCH")), "text on stroke", "layer HATCH"),
    "text in a hatch": (
        plant_in_plan(Text((6700.0, -1000.0), "in it", 2.5, tag="p")),
        "text on stroke",
        "hatch:1",
    ),
    "number wider than its span": (
        plant(Dimension((200.0, 80.0), (208.0, 80.0), 9.0, text="<> long", tag="p")),
        "text on stroke",
        "p",
    ),
    "number crossed by another extension line": (
        plant(
            Dimension((200.0, 80.0), (240.0, 80.0), 9.0, tag="p"),
            Dimension((220.0, 80.0), (260.0, 80.0), 18.0, tag="q"),
        ),
        "text on stroke",
        "q",
    ),
    "leader through its own note": (
        plant(Leader(((225.0, 80.0), (180.0, 80.0), (181.0, 80.0)), "a long note", tag="p")),
        "text on stroke",
        "p",
    ),
    "ordinate across a note": (
        plant(Text((240.0, 90.0), "note", 2.5), Ordinate((0.0, 0.0), (243.0, 80.0), (243.0, 110.0), "x", tag="p")),
        "text on stroke",
        "p",
    ),
    "label out of the frame": (plant(Text((395.0, 20.0), "to the right", 2.5, tag="p")), "out of the frame", "p"),
    "line off the paper": (plant(Line((100.0, -5.0), (120.0, 20.0), "THIN", "p")), "off the paper", "p"),
    "item out of its window": (
        plant_in_plan(Circle((-560.0, -1000.0), 100.0, "THIN", "p")),
        "out of the window",
        "p",
    ),
    "views in one place": (second_view(model_at=(0.0, 0.0)), "views overlap in model space", "view detail"),
    "window too small": (second_view(window=Rect(335.0, 180.0, 405.0, 275.0)), "out of the window", "tube"),
}


def test_the_sample_sheet_is_clean():
    assert faults(sample_sheet()) == []


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_found(name):
    sheet, kind, subject = PLANTED[name]
    found = faults(sheet)
    assert any(fault.kind == kind and subject in fault.first + fault.second for fault in found), found


def test_planted_faults_are_many():
    assert len(PLANTED) >= 19


@pytest.mark.parametrize(
    "item",
    [
        Dimension((200.0, 80.0), (240.0, 80.0), 9.0, text="(<>) [q]"),
        Dimension((200.0, 80.0), (204.0, 80.0), -9.0, shift=14.0),
        Text((248.0, 89.0), "in", 2.5),
        Leader(((200.0, 80.0), (210.0, 90.0), (215.0, 90.0)), "beside its line"),
        Text((22.0, 20.0), "by the frame", 2.5),
        Text((202.0, 40.6), "MAX", 2.5),
    ],
)
def test_what_is_well_drawn_is_not_reported(item):
    assert faults(plant(item)) == []


def test_border_layers_may_stand_outside_the_frame_but_not_off_the_paper():
    assert faults(plant(Line((5.0, 5.0), (415.0, 5.0), "GRID"))) == []
    assert [fault.kind for fault in faults(plant(Line((5.0, -1.0), (15.0, 5.0), "GRID")))] == ["off the paper"]


def test_an_allowance_covers_what_it_names_and_is_counted():
    sheet = plant(
        Text((202.0, 39.0), "bar", 2.5, tag="note:1"),
        Text((222.0, 39.0), "bar", 2.5, tag="note:2"),
        Text((240.0, 39.0), "bar", 2.5, tag="label:1"),
    )
    meant = Allowance("bar:", "note:", "the scale bar carries its name")
    unused = Allowance("post:", "note:", "never met")
    found = layout(sheet, (meant, unused))
    assert [fault.first for fault in found.faults] == ["label:1 'bar'"]
    assert found.allowed == ((meant, 2), (unused, 0))


@pytest.mark.parametrize("parts", [("", "a", "b"), ("a", "", "b"), ("a", "b", "")])
def test_an_allowance_for_everything_is_refused(parts):
    with pytest.raises(ValueError, match="two beginnings and a reason"):
        Allowance(*parts)


angles = st.floats(0.0, math.tau)
places = st.tuples(st.floats(0.0, 40.0), st.floats(0.0, 40.0))


@given(places, angles, places, angles)
def test_boxes_hit_each_other_as_their_points_say(at, turn, other_at, other_turn):
    a = text_box(Text(at, "12345", 3.5, rotation=turn))
    b = text_box(Text(other_at, "67", 5.0, rotation=other_turn))
    assert box_hits_box(a, b) == box_hits_box(b, a)
    grid_of_b = [
        tuple(b[0][k] + (b[1][k] - b[0][k]) * u / 12.0 + (b[3][k] - b[0][k]) * v / 12.0 for k in (0, 1))
        for u in range(1, 12)
        for v in range(1, 12)
    ]
    if any(inside(point, a) for point in grid_of_b):
        assert box_hits_box(a, b)


@given(places, angles, places, places)
def test_a_segment_hits_a_box_as_its_points_say(at, turn, start, end):
    text = Text(at, "12345", 3.5, rotation=turn)
    box, core = text_box(text), text_box(text, -0.01)
    along = [(start[0] + (end[0] - start[0]) * t / 60.0, start[1] + (end[1] - start[1]) * t / 60.0) for t in range(61)]
    if any(inside(point, core) for point in along):
        assert box_hits_segment(box, start, end)


@given(st.lists(st.tuples(places, angles), min_size=1, max_size=12), places, places)
def test_the_grid_loses_nothing(lettering, start, end):
    boxes = [text_box(Text(at, "123", 2.5, rotation=turn)) for at, turn in lettering]
    grid = Grid(7.0)
    for number, box in enumerate(boxes):
        xs, ys = [x for x, _ in box], [y for _, y in box]
        grid.put(number, Rect(min(xs), min(ys), max(xs), max(ys)))
    struck = {number for number, box in enumerate(boxes) if box_hits_segment(box, start, end)}
    assert struck <= set(grid.near_segment(start, end))
