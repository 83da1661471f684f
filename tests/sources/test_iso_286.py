"""ISO 286-1:2010 table 1, standard tolerance IT13, read second hand in two published copies of the table."""

from __future__ import annotations

import pytest

from geom.errors import OutsideTableError
from geom.placement.fabrication import h13
from tests.some import some

# Upper end of each range of nominal sizes [mm] -> IT13 [mm].
IT13 = {3.0: 0.14, 6.0: 0.18, 10.0: 0.22, 18.0: 0.27, 30.0: 0.33, 50.0: 0.39}


def test_each_range_up_to_and_including_its_end():
    assert {end: h13(end) for end in IT13} == IT13
    assert h13(10.001) == 0.27


def test_it13_follows_the_standard_s_own_formula():
    """IT13 = 250 i with i = 0.45 D^(1/3) + 0.001 D [um], D the geometric mean of the range (ISO 286-1 annex)."""
    starts = [1.0, *list(IT13)[:-1]]
    for start, (end, limit) in some(zip(starts, IT13.items(), strict=True)):
        mean = (start * end) ** 0.5
        assert limit == pytest.approx(0.25 * (0.45 * mean ** (1 / 3) + 0.001 * mean), abs=0.006)


@pytest.mark.parametrize("size", [0.5, 1.0, 50.1])
def test_outside_the_table(size):
    with pytest.raises(OutsideTableError):
        h13(size)
