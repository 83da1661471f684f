"""Labels take the first of their places that touches nothing, else the one that touches least."""

from __future__ import annotations

import math

import pytest

from geom.drafting.placing import CLEAR, Drawn, Label, flagged
from geom.drafting.symbols import FLAG_HIGH, FLAG_RADIUS, flag, flag_reach
from geom.figure import Dimension, Line, Polyline, Rect, Sheet, Text
from geom.render.faults import faults

WORD = Text((0.0, 0.0), "S-S1", 2.5)


def placed(drawn, *ats):
    found = drawn.put(drawn.label(Text(at, WORD.text, WORD.height)) for at in ats)
    return found.items[0].at


def test_the_first_free_place_is_taken_and_then_it_is_taken_no_more():
    drawn = Drawn([Line((0.0, 1.0), (20.0, 1.0), "EDGE")])
    assert placed(drawn, (5.0, 0.0), (5.0, 10.0), (5.0, 20.0)) == (5.0, 10.0)
    assert placed(drawn, (5.0, 0.0), (5.0, 10.0), (5.0, 20.0)) == (5.0, 20.0)


def test_without_a_free_place_a_stroke_is_better_than_lettering_and_both_than_outside():
    drawn = Drawn(
        [Line((0.0, 1.0), (20.0, 1.0), "EDGE"), Text((5.0, 10.0), "P-S1", 2.5)], room=Rect(0.0, -9.0, 99.0, 30.0)
    )
    assert placed(drawn, (5.0, 29.0), (5.0, 10.0), (5.0, 0.0)) == (5.0, 0.0)
    assert placed(drawn, (5.0, 29.0), (5.0, 10.0)) == (5.0, 10.0)


def test_a_name_stands_in_its_own_line_and_in_no_other():
    lines = [Line((0.0, y), (40.0, y), "GUARD-LINE-U", tag) for y, tag in ((0.0, "run:S-F-U"), (9.0, "run:S-F-L"))]
    drawn = Drawn(lines)
    ats = ((20.0, 9.0), (20.0, 0.0))
    texts = [Text(at, "S-F-U", 2.5, "TEXT", "centre", "middle") for at in ats]
    found = drawn.put(drawn.label(text, own="run:S-F-U") for text in texts)
    assert found.items == (texts[1],)


def test_lettering_keeps_its_clearance():
    drawn = Drawn([Line((-50.0, 2.5), (50.0, 2.5), "EDGE")])
    below = (0.0, -0.9 * CLEAR)
    assert placed(drawn, below, (0.0, -40.0)) == (0.0, -40.0)


def test_a_view_is_compared_on_paper():
    """20 view units to a paper millimetre: 100 units are 5 mm."""
    drawn = Drawn([Text((0.0, 0.0), "P-S1", 2.5)], mm=20.0, origin=(100.0, 100.0))
    assert placed(drawn, (20.0, 20.0), (0.0, 100.0)) == (0.0, 100.0)


def test_the_number_of_a_dimension_moves_along_its_line():
    drawn = Drawn([Line((50.0, 0.0), (50.0, 20.0), "POST")])
    one = Dimension((0.0, 0.0), (100.0, 0.0), 10.0)
    moved = Dimension((0.0, 0.0), (100.0, 0.0), 10.0, shift=20.0)
    assert drawn.put(map(drawn.numbered, (one, moved))).items == (moved,)


@pytest.mark.parametrize("number", [3, 12])
@pytest.mark.parametrize("degrees", range(0, 360, 17))
def test_the_line_to_a_flag_ends_on_its_edge(number, degrees):
    """A hexagon stretched to both sides: the end is on one of its six sides."""
    way = math.radians(degrees)
    outline = next(item for item in flag((0.0, 0.0), number) if isinstance(item, Polyline)).points
    reach = flag_reach(number, way)
    end = (reach * math.cos(way), reach * math.sin(way))
    off = []
    for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True):
        cross = (bx - ax) * (end[1] - ay) - (by - ay) * (end[0] - ax)
        off.append(cross / math.dist((ax, ay), (bx, by)))
    assert min(off) == pytest.approx(0.0, abs=1e-9)
    assert pytest.approx(FLAG_RADIUS * math.sin(math.pi / 3.0)) == FLAG_HIGH


def test_flags_of_one_place_stand_in_a_row_with_one_line_and_cover_nothing():
    post = Line((60.0, 40.0), (60.0, 60.0), "POST")
    name = Text((60.0, 66.0), "S-S1", 2.5, "TEXT", "centre")
    found = Drawn([post, name]).put(flagged((3, 12, 4), (60.0, 60.0), 0.5 * math.pi))
    assert [item.text for item in found.items if isinstance(item, Text)] == ["3", "12", "4"]
    (led,) = (item for item in found.items if isinstance(item, Line))
    assert led.start == (60.0, 60.0)
    assert faults(Sheet("s", "", 120.0, 120.0, (post, name, *found.items))) == []


def test_a_label_needs_a_place():
    with pytest.raises(ValueError, match="place"):
        Drawn().put(())


def test_a_label_without_a_free_place_goes_before_the_others() -> None:
    """The first would take the only place of the second; as it has another, it stands there."""
    drawn = Drawn([Line((-10.0, 40.0), (60.0, 40.0), "EDGE")])

    def at(*places: tuple[float, float]) -> list[Label]:
        return [drawn.label(Text(place, "P-S1", 2.5)) for place in places]

    rows = (at((0.0, 0.0), (30.0, 0.0)), at((2.0, 0.0), (0.0, 39.0)))
    found = drawn.put_all([lambda: rows[0], lambda: rows[1]])
    assert [label.items[0] for label in found] == [Text((30.0, 0.0), "P-S1", 2.5), Text((2.0, 0.0), "P-S1", 2.5)]
    # What was taken back is free again, what stands is not.
    assert [drawn.free(label) for row in rows for label in row] == [False, False, False, False]
    assert drawn.free(*at((0.0, 20.0)))


def test_labels_that_fit_nowhere_stand_where_they_touch_least() -> None:
    drawn = Drawn([Text((0.0, 0.0), "P-S1", 2.5)])
    only = drawn.label(Text((1.0, 0.0), "P-S2", 2.5))
    assert drawn.put_all([lambda: [only], lambda: [only]]) == [only, only]
