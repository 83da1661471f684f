"""A boat file in other axes is the same boat: the same figures, byte for byte, but for the statement of the axes."""

from __future__ import annotations

import json

import pytest

from geom.boat.file import read_boat
from geom.export import check_report
from geom.refit import Refit, refit
from geom.tables.every import every_table
from geom.tables.table import csv_bytes
from geom.units import to_compare
from tests.boats import in_own_units, refit_of, turned
from tests.some import some

# What names the file itself.
STATES_THE_FILE = ("file", "file_sha256", "notes")


def report(worked_out: Refit) -> str:
    found = check_report(worked_out)
    found["boat"] = {key: value for key, value in found["boat"].items() if key not in STATES_THE_FILE}
    return json.dumps(found)


OTHER_AXES = [
    (("9000", "0", "0"), "forward", "starboard"), (("0", "0", "0"), "aft", "port"),
    (("12345.7", "33.3", "-250.1"), "forward", "port"), (("-77.77", "0.01", "1000"), "aft", "starboard"),
]  # fmt: skip


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
@pytest.mark.parametrize(("origin", "x", "y"), OTHER_AXES)
def test_other_axes_give_the_same_files(name, origin, x, y):
    """Stations counted forward from the transom, Y to port, and heights from another zero: one boat."""
    here, there = refit_of(name), refit(read_boat(turned(name, origin, x, y), name))
    assert there.loaded.data_sha256 == here.loaded.data_sha256
    assert any(note.startswith("axes converted") for note in there.loaded.notes)
    assert report(there) == report(here)
    tables = {table.name: csv_bytes(table) for table in some(every_table(here))}
    assert {table.name: csv_bytes(table) for table in every_table(there)} == tables


# Boats with gates at rails, lines across the stern and over a crossbeam, inboard edges and nets.
OTHER_KINDS = ("catamaran-39", "open-transom-36", "aft-gate-25")


@pytest.mark.parametrize("name", OTHER_KINDS)
@pytest.mark.parametrize(("origin", "x", "y"), OTHER_AXES[2:3])
def test_other_axes_give_the_same_boat_of_any_kind(name, origin, x, y):
    test_other_axes_give_the_same_files(name, origin, x, y)


@pytest.mark.parametrize("name", [*OTHER_KINDS, "saltwhin-31"])
def test_other_units_give_the_same_figures(name):
    """Declared in metres and radians, with each value in the unit that it had: the same figures in check.json."""
    here, there = refit_of(name), refit(read_boat(in_own_units(name), name))
    for key in some(("runs", "posts", "holes", "gates", "nets", "loads")):
        assert check_report(there)[key] == check_report(here)[key], key


def test_the_comparison_can_fail():
    """A foot that is 0.01 mm elsewhere is another boat."""
    data = turned("saltwhin-31", ("9000", "0", "0"), "forward", "starboard").decode("utf-8")
    forward = refit_of("saltwhin-31").boat.posts[0].foot[0]
    text = f"{9000 - forward:g}"
    assert text in data
    moved = refit(read_boat(data.replace(f"'{text}'", f"'{text}.01'", 1).encode("utf-8"), "saltwhin-31"))
    assert report(moved) != report(refit_of("saltwhin-31"))


def test_a_tie_is_a_tie_whatever_its_last_digits():
    assert to_compare(0.1 + 0.2) == to_compare(0.3) != to_compare(0.3000001)
    assert to_compare(1734.7 * (1.0 + 1e-14)) == to_compare(1734.7)
