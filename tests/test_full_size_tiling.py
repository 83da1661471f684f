"""Tiles: they cover the whole piece, overlap as stated, keep off what must stay whole, and their crosses coincide."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom.errors import GeometryError
from geom.figure import Circle, Dimension, Hatch, Line, Polyline, Rect, Text
from geom.render.faults import faults
from geom.render.plane import extent, text_box
from geom.rigging.splice import splice_recipe
from geom.sheets.aids.clip import clip, clip_stroke
from geom.sheets.aids.page import aid_papers
from geom.sheets.aids.plate_template import plate_piece, plate_templates, templates
from geom.sheets.aids.splice_strip import Strip, marks, splice_strip, strip_piece, strips
from geom.sheets.aids.tiling import OVERLAP, join_marks, letters, split, tiles
from geom.sheets.aids.tube_wrap import wrap_piece
from geom.sheets.aids.unrolled import unroll
from tests.boats import NAMES, refit_of
from tests.some import some


@given(
    st.floats(50.0, 2000.0),
    st.floats(60.0, 300.0),
    st.lists(st.tuples(st.floats(0.0, 2000.0), st.floats(1.0, 15.0)), max_size=6),
)
def test_spans_cover_overlap_and_keep_clear(length, room, parts):
    clear = [(low, low + size) for low, size in parts]
    try:
        spans = split(0.0, length, room, clear)
    except GeometryError:
        # Only where parts to keep clear crowd a whole tile.
        assert len(clear) >= 2
        return
    assert spans[0][0] == 0.0 and spans[-1][1] == length
    for low, high in spans:
        assert high - low <= room + 1e-6
    for (_, end), (start, _) in pairwise(spans):
        assert end - start == pytest.approx(10.0)
        assert not any(low < end - 1e-6 and high > start + 1e-6 for low, high in clear)


@given(st.floats(50.0, 2000.0), st.floats(60.0, 300.0))
def test_no_more_tiles_than_needed(length, room):
    minimum = max(1, math.ceil((length - OVERLAP) / (room - OVERLAP) - 1e-9))
    assert len(split(0.0, length, room)) == minimum


def test_a_room_too_small_and_a_piece_too_crowded_are_refused():
    with pytest.raises(GeometryError, match="do not advance"):
        split(0.0, 100.0, 15.0)
    with pytest.raises(GeometryError, match="no place for an overlap"):
        split(0.0, 300.0, 100.0, [(5.0, 250.0)])


def test_letters_go_on_after_z():
    assert [letters(k) for k in (0, 1, 25, 26, 27, 51, 52)] == ["A", "B", "Z", "AA", "AB", "AZ", "BA"]


def test_large_pieces_are_tiled_both_ways_and_marked_both_ways():
    whole = Rect(0.0, 0.0, 400.0, 500.0)
    found = tiles(whole, 180.0, 240.0)
    assert [tile.letter for tile in found] == list("ABCDEFGHI")
    crosses = [item for item in join_marks(whole, found) if item.tag == "cross"]
    for cross in crosses:
        middle = [(a + b) / 2.0 for a, b in zip(cross.start, cross.end, strict=True)]
        assert sum(holds(tile.window, middle) for tile in found) >= 2


def holds(window, point):
    return (
        window.left - 1e-9 <= point[0] <= window.right + 1e-9 and window.bottom - 1e-9 <= point[1] <= window.top + 1e-9
    )


def pieces_of(boat):
    refit = refit_of(boat)
    for post in refit.placed.posts.values():
        yield wrap_piece(refit, unroll(post, refit.placed.drillings), 200.0)
    for strip in strips(refit):
        yield strip_piece(refit, strip, 240.0)


def distance_to(point, a, b):
    span = (b[0] - a[0], b[1] - a[1])
    length = span[0] ** 2 + span[1] ** 2
    share = ((point[0] - a[0]) * span[0] + (point[1] - a[1]) * span[1]) / length if length else 0.0
    t = max(0.0, min(1.0, share))
    return math.dist(point, (a[0] + t * span[0], a[1] + t * span[1]))


def strokes_of(item):
    if isinstance(item, Line):
        return [(item.start, item.end)]
    points = [*item.points, item.points[0]] if item.closed else list(item.points)
    return list(pairwise(points))


@pytest.mark.parametrize("boat", NAMES)
def test_the_tiles_of_every_piece_show_everything_and_their_crosses_coincide(boat):
    for piece in some(pieces_of(boat)):
        assert len(piece.tiles) > 1
        shown = {tile.letter: clip(piece.items, tile.window) for tile in piece.tiles}
        for item in piece.items:
            if isinstance(item, Text):
                box = extent(text_box(item))
                holding = [t for t in piece.tiles if item in shown[t.letter]]
                assert holding, (piece.id, item.text)
                assert box.right - box.left < 262.0
                continue
            if isinstance(item, Hatch):
                assert any(item in parts for parts in shown.values())
                continue
            for a, b in strokes_of(item):
                for share in (0.0, 0.31, 0.77, 1.0):
                    point = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
                    tiles_there = [tile for tile in piece.tiles if holds(tile.window, point)]
                    assert tiles_there
                    for tile in tiles_there:
                        drawn = [part for part in shown[tile.letter] if isinstance(part, Line | Polyline)]
                        strokes = [stroke for part in drawn if part.tag == item.tag for stroke in strokes_of(part)]
                        reach = min((distance_to(point, p, q) for p, q in strokes), default=9.0)
                        # A stroke that only touches a tile's edge need not show there.
                        on_edge = min(
                            abs(point[0] - tile.window.left), abs(point[0] - tile.window.right),
                            abs(point[1] - tile.window.bottom), abs(point[1] - tile.window.top),
                        ) < 1e-6  # fmt: skip
                        assert reach < 1e-6 or on_edge
        for one, other in pairwise(piece.tiles):
            crosses = [
                {(item.start, item.end) for item in shown[tile.letter] if item.tag == "cross"} for tile in (one, other)
            ]
            assert len(crosses[0] & crosses[1]) == 4


@pytest.mark.parametrize("diameter", [3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0])
@pytest.mark.parametrize("lock", ["locked Brummel", "one-ended", "stitched bury"])
def test_strips_of_any_rope_can_be_tiled(diameter, lock):
    recipe = splice_recipe(diameter, 12, 15.0 * diameter, lock=lock)
    strip = Strip(1, "rope", recipe, ("S-F-U fwd end", "P-F-U fwd end"))
    for paper in some(aid_papers(upright=False)):
        sheets = splice_strip(refit_of("saltwhin-31"), strip, paper)
        assert [fault for sheet in sheets for fault in faults(sheet)] == []
        items = [item for sheet in sheets for view in sheet.views for item in view.items]
        stated = [item.text for item in items if isinstance(item, Text)]
        for word in ("TAIL", "EYE", "EXIT", "0  ROPE'S END", "1 L", "2 R"):
            assert any(text.startswith(word) for text in stated), word
        drawn = {item.tag for item in items if isinstance(item, Line) and item.tag.startswith("mark:1:")}
        assert {mark.id for mark in marks(recipe)} == {tag.removeprefix("mark:1:") for tag in drawn}


def test_clipping():
    window = Rect(0.0, 0.0, 10.0, 10.0)
    assert clip_stroke((-5.0, 5.0), (15.0, 5.0), window) == ((0.0, 5.0), (10.0, 5.0))
    assert clip_stroke((-5.0, 12.0), (15.0, 12.0), window) is None
    (half,) = clip((Circle((0.0, 5.0), 3.0, "THIN"),), window)
    assert all(-1e-9 <= x <= 10.0 for x, _ in half.points)
    assert clip((Text((8.0, 1.0), "too long", 2.5),), window) == ()
    with pytest.raises(GeometryError, match="cannot be cut off"):
        clip((Dimension((0.0, 0.0), (1.0, 0.0), 5.0),), window)


def test_a_plate_larger_than_a_page_is_tiled_both_ways_with_every_bolt_hole_whole():
    refit = refit_of("saltwhin-31")
    large = refit.boat.bases["welded plate"].model_copy(
        update={"length": 300.0, "width": 260.0, "bolts": ((130.0, 110.0), (130.0, -110.0), (-130.0, 0.0))}
    )
    boat = refit.boat.model_copy(update={"bases": {**refit.boat.bases, "welded plate": large}})
    refit = replace(refit, loaded=replace(refit.loaded, boat=boat))
    template = templates(refit)[0]
    assert template.base is large
    piece = plate_piece(template, Rect(25.0, 25.0, 200.0, 240.0))
    assert len({tile.window.left for tile in piece.tiles}) > 1 and len({tile.window.bottom for tile in piece.tiles}) > 1
    shown = [clip(piece.items, tile.window) for tile in piece.tiles]
    for item in piece.items:
        if isinstance(item, Circle | Text | Hatch):
            assert any(item in parts for parts in shown), item
    crosses = [{item for item in parts if item.tag == "cross"} for parts in shown]
    assert all(any(one & other for other in crosses if other is not one) for one in crosses)
    for paper in aid_papers(upright=True):
        assert [fault for sheet in plate_templates(refit, paper) for fault in faults(sheet)] == []
