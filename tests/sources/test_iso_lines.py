"""Line widths, dash patterns, lettering heights and arrows against the drawing standards.

ISO 128-2 and ISO 3098-1 values are from memory (verify) unless a published extract is named.
"""

from __future__ import annotations

import pytest

from geom.figure import LAYERS
from geom.render.style import DRAFTING, dashes

# ISO 128-2: line widths in mm, ratio 1 : sqrt 2.
WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
# ISO 3098-1: nominal heights of lettering in mm.
HEIGHTS = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)


@pytest.mark.parametrize("layer", LAYERS.values(), ids=lambda layer: layer.name)
def test_pens_are_of_the_standard_series(layer):
    assert layer.width in WIDTHS


def test_wide_lines_are_twice_the_narrow_ones():
    assert LAYERS["OUTLINE"].width == 2.0 * LAYERS["HIDDEN"].width == 2.0 * LAYERS["EDGE"].width
    assert LAYERS["DIM"].width <= LAYERS["OUTLINE"].width / 2.0


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("OUTLINE", ()),
        ("HIDDEN", (12.0, 3.0)),
        ("CENTRE", (24.0, 3.0, 0.5, 3.0)),
        ("ADJACENT", (24.0, 3.0, 0.5, 3.0, 0.5, 3.0)),
    ],
)
def test_dashes_are_counted_in_line_widths(name, parts):
    """ISO 128-2: dash 12d, long dash 24d, gap 3d, dot at most 0.5d."""
    assert [part / LAYERS[name].width for part in dashes(LAYERS[name])] == pytest.approx(parts)


def test_dimension_lettering_is_of_the_series_and_not_below_the_least_for_a4_to_a1():
    """ISO 3098-1: 2.5 mm is the least height of notes and dimensions on A4 to A1."""
    assert DRAFTING.text_height in HEIGHTS and DRAFTING.text_height >= 2.5


def test_arrow_and_extension_line():
    """ISO 129-1: filled arrow of 15 to 30 degrees (3:1 is 18.9); extension line about 8 line widths further."""
    assert DRAFTING.arrow_length / (2.0 * DRAFTING.arrow_half_width) == pytest.approx(3.0)
    assert DRAFTING.extension_beyond == pytest.approx(8.0 * LAYERS["DIM"].width)


def test_lines_of_lettering_keep_their_pitch():
    """ISO 3098-1: base lines at least 1.4 capital heights apart (1.4 to 1.6)."""
    assert 1.4 <= DRAFTING.line_pitch <= 1.6
