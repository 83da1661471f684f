"""Items turned to strokes and lettering: where dimensions stand, how they read, what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from geom.errors import GeometryError
from geom.figure import (
    LAYERS,
    Arc,
    Block,
    Circle,
    Dimension,
    Hatch,
    Leader,
    LengthFormat,
    Line,
    Ordinate,
    Polyline,
    Rect,
    Sheet,
    Text,
    View,
)
from geom.render.annotate import fits_between_arrows
from geom.render.explode import dimension_text, explode, pieces
from geom.render.plane import arc_sweep, hatch_strokes, readable, text_box
from tests.render_sample import sample_sheet

coordinates = st.floats(-5000.0, 5000.0)
points = st.tuples(coordinates, coordinates)


def sheet_of(*items, scale: float | None = None, numbers: LengthFormat | None = None) -> Sheet:
    if scale is None:
        return Sheet("s", "S", 420.0, 297.0, items)
    view = View("v", "V", scale, (100.0, 100.0), Rect(0, 0, 420, 297), items, numbers=numbers or LengthFormat())
    return Sheet("s", "S", 420.0, 297.0, (), (view,))


def role(sheet: Sheet, name: str):
    return [piece.shape for piece in pieces(sheet) if piece.role == name]


def test_groups_hold_every_shape_once_by_view_and_layer():
    sheet = sample_sheet()
    groups = explode(sheet)
    assert len({(group.view, group.layer) for group in groups}) == len(groups)
    assert sum(len(group.items) for group in groups) == len(pieces(sheet))
    assert all(shape.layer == group.layer for group in groups for shape in group.items)
    assert [group.view for group in groups] == sorted(
        (group.view for group in groups), key=["plan", "detail", "sheet"].index
    )


def test_only_plain_shapes_are_left_and_tags_are_kept():
    shapes = [shape for group in explode(sample_sheet()) for shape in group.items]
    assert {type(shape) for shape in shapes} == {Line, Circle, Arc, Polyline, Hatch, Text}
    assert all(shape.pitch is None for shape in shapes if isinstance(shape, Hatch))
    tags = {shape.tag for shape in shapes}
    assert {"span:S-F-U:1", "post:S-S2", "run:S-F-U", "post:S-S4:y", "hatch:1", "bar:100"} <= tags


@given(points, points, st.floats(-40.0, 40.0))
def test_dimension_line_is_as_long_as_the_span_and_off_by_its_offset(start, end, offset):
    assume(math.dist(start, end) > 1000.0)
    sheet = sheet_of(Dimension(start, end, offset), scale=0.02)
    (line,) = role(sheet, "dimension line")
    assert math.dist(line.start, line.end) == pytest.approx(0.02 * math.dist(start, end), abs=1e-6)
    a = (100 + 0.02 * start[0], 100 + 0.02 * start[1])
    run = ((end[0] - start[0]) / math.dist(start, end), (end[1] - start[1]) / math.dist(start, end))
    left = (line.start[0] - a[0]) * -run[1] + (line.start[1] - a[1]) * run[0]
    assert left == pytest.approx(offset, abs=1e-6)


@given(points, points)
def test_number_stands_above_its_line_and_reads_from_bottom_or_right(start, end):
    assume(math.dist(start, end) > 1500.0)
    sheet = sheet_of(Dimension(start, end, 12.0), scale=0.02)
    (line,), (text,) = role(sheet, "dimension line"), role(sheet, "number")
    assert -math.pi / 2.0 < text.rotation <= math.pi / 2.0 + 1e-8
    up = (-math.sin(text.rotation), math.cos(text.rotation))
    for corner in text_box(text):
        above = (corner[0] - line.start[0]) * up[0] + (corner[1] - line.start[1]) * up[1]
        assert above > 0.2


@pytest.mark.parametrize(
    ("direction", "degrees"),
    [((1, 0), 0), ((-1, 0), 0), ((0, 1), 90), ((0, -1), 90), ((1, -1), -45), ((-1, 1), -45), ((-1, -1), 45)],
)
def test_lettering_is_turned_to_the_bottom_or_the_right(direction, degrees):
    assert math.degrees(readable(direction)) == pytest.approx(degrees, abs=1e-9)


def test_arrows_point_outward_inside_a_long_span_and_inward_from_outside_a_short_one():
    for span, count in ((30.0, 0), (5.0, 2)):
        sheet = sheet_of(Dimension((0, 0), (span, 0), 10.0))
        tips = [hatch.outline for hatch in role(sheet, "arrow")]
        outside = [tip for tip in tips if not all(-1e-9 <= x <= span + 1e-9 for x, _ in tip)]
        assert len(outside) == count
        assert sorted(tip[0][0] for tip in tips) == [0.0, span]
        assert all(math.dist(tip[1], tip[2]) == pytest.approx(2.5 / 3.0) for tip in tips)


def test_extension_lines_leave_a_gap_and_pass_the_dimension_line():
    first, second = role(sheet_of(Dimension((0, 0), (30, 4), 10.0, along=0.0)), "extension line")
    assert (first.start, first.end) == ((0.0, 1.0), (0.0, 11.44))
    assert second.start == pytest.approx((30.0, 5.0)) and second.end == pytest.approx((30.0, 11.44))


def test_shift_moves_the_number_and_the_line_follows_it():
    sheet = sheet_of(Dimension((0, 0), (10, 0), 10.0, shift=12.0))
    (text,), (line,) = role(sheet, "number"), role(sheet, "dimension line")
    assert text.at == pytest.approx((17.0, 11.0))
    assert line.end[0] == pytest.approx(max(x for x, _ in text_box(text)))


def test_a_fixed_direction_measures_along_it_either_way_round():
    for start, end in (((0, 0), (30, 40)), ((30, 40), (0, 0))):
        assert dimension_text(Dimension(start, end, 5.0, along=0.0)) == "30.0"
        assert dimension_text(Dimension(start, end, 5.0, along=math.pi / 2.0)) == "40.0"
        assert dimension_text(Dimension(start, end, 5.0)) == "50.0"


def test_numbers_are_written_in_the_view_unit_with_its_decimals():
    inches = sheet_of(scale=1.0, numbers=LengthFormat("in", 25.4, 3)).views[0]
    item = Dimension((0, 0), (0, 57.68 * 25.4), 5.0, text="<> [{}]")
    assert dimension_text(item, inches) == "57.680 [{}]"
    assert dimension_text(Ordinate((100.0, 0), (-25.4, 7), (0, 20), "x"), inches) == "4.937"
    assert dimension_text(Ordinate((100.0, 0), (-25.4, 7), (0, 20), "y")) == "7.0"


def test_fits_between_arrows_knows_paper_room():
    view = sheet_of(scale=0.02).views[0]
    assert fits_between_arrows(Dimension((0, 0), (1000, 0), 5.0), view)
    assert not fits_between_arrows(Dimension((0, 0), (300, 0), 5.0), view)


def test_ordinate_runs_straight_from_its_feature_and_jogs_aside():
    straight = role(sheet_of(Ordinate((0, 0), (10, 20), (10, 60), "x")), "extension line")[0]
    assert straight.points == ((10.0, 21.0), (10.0, 60.0))
    jogged = role(sheet_of(Ordinate((0, 0), (10, 20), (15, 60), "x")), "extension line")[0]
    assert [x for x, _ in jogged.points] == [10.0, 10.0, 15.0, 15.0]
    left = role(sheet_of(Ordinate((0, 0), (10, 20), (-30, 20), "y")), "number")[0]
    assert (left.across, left.at) == ("right", (-31.0, 20.0))


@given(st.floats(0.5, 6.0), st.floats(0.0, 3.2), st.floats(5.0, 60.0), st.floats(5.0, 60.0))
def test_hatch_strokes_times_pitch_give_the_area(pitch, angle, width, height):
    outline = ((0, 0), (width, 0), (width, height), (width / 2.0, height / 3.0), (0, height))
    strokes = hatch_strokes(outline, pitch, angle)
    area = width * height - width * (height - height / 3.0) / 2.0
    total = sum(math.dist(a, b) for a, b in strokes) * pitch
    assert total == pytest.approx(area, abs=pitch * 1.5 * math.hypot(width, height))


def test_a_hatch_needs_a_pitch():
    with pytest.raises(ValueError, match="pitch above zero"):
        hatch_strokes(((0, 0), (1, 0), (1, 1)), 0.0, 0.0)


def test_block_stands_at_its_point_at_view_scale_and_lends_its_tag():
    block = Block("B", (200.0, 100.0), (Circle((10.0, 0.0), 20.0, "POST"), Text((0, 0), "x", 2.5, tag="own")), tag="b")
    circle, text = (piece.shape for piece in pieces(sheet_of(block, scale=0.1)))
    assert (circle.centre, circle.radius, circle.tag) == ((121.0, 110.0), 2.0, "b")
    assert (text.at, text.height, text.tag) == ((120.0, 110.0), 2.5, "own")


def test_leader_note_stands_beside_its_end_line_by_line():
    notes = role(sheet_of(Leader(((0, 0), (10, 10), (20, 10)), "one\ntwo")), "note")
    assert [(note.text, note.at, note.across) for note in notes] == [
        ("one", (21.0, 10.0), "left"),
        ("two", (21.0, 6.0), "left"),
    ]
    with pytest.raises(ValueError, match="two points"):
        pieces(sheet_of(Leader(((0, 0),), "x")))


def test_a_full_turn_becomes_a_circle():
    assert isinstance(pieces(sheet_of(Arc((0, 0), 5.0, 1.0, 1.0 + math.tau, "THIN")))[0].shape, Circle)
    assert arc_sweep(Arc((0, 0), 5.0, 3.0, 1.0, "THIN")) == pytest.approx(math.tau - 2.0)


@pytest.mark.parametrize(
    ("item", "message"),
    [
        (Line((0, 0), (1, 1), "WALLS"), "no layer 'WALLS'"),
        (Line((0, 0), (math.nan, 1), "THIN"), "not a number"),
        (Circle((0, 0), math.inf, "THIN"), "not a number"),
        (Circle((0, 0), 0.0, "THIN"), "no radius"),
        (Text((0, 0), "a\x07b", 2.5), r"U\+0007"),
        (Text((0, 0), "a\nb", 2.5), r"U\+000A"),
        (Text((0, 0), "⌀", 2.5), "no glyph"),
        (Line((0, 0), (1, 1), "THIN", "tag\x00"), r"U\+0000"),
    ],
)
def test_what_no_file_can_hold_is_refused(item, message):
    with pytest.raises(GeometryError, match=message):
        explode(sheet_of(item))


def test_views_need_names_of_their_own():
    sheet = sample_sheet()
    for name in ("detail", "sheet"):
        twice = replace(sheet, views=(replace(sheet.views[0], name=name), sheet.views[1]))
        with pytest.raises(GeometryError, match="names of their own"):
            explode(twice)


def test_every_layer_can_be_drawn():
    sheet = sheet_of(*(Line((0, 0), (1, 1), name) for name in LAYERS))
    assert [group.layer for group in explode(sheet)] == list(LAYERS)
