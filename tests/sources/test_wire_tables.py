"""Wire rope against published tables and exact geometry."""

from __future__ import annotations

import csv
import math
from importlib import resources

import pytest

from geom.boat.model import GuardLine
from geom.data.table import datum, rows
from geom.errors import OutsideTableError
from geom.mechanics.stretch import Strain, bedding_in, elastic_strain, stiffness, stiffness_range

INCH, LBF = 25.4, 4.4482216152605


def wire(construction: str, diameter: float) -> GuardLine:
    return GuardLine.model_validate({"construction": construction, "material": "stainless steel", "diameter": diameter})


# US FAA Advisory Circular 43.13-1B (1998), table 7-3: flexible corrosion-resistant wire 7x19, lbf.
AC_43_13_1B = {"1/8": 1760, "5/32": 2400, "3/16": 3700, "7/32": 5000, "1/4": 6400, "9/32": 7800, "5/16": 9000}


@pytest.mark.parametrize(("size", "lbf"), AC_43_13_1B.items())
def test_breaking_load_of_7x19(size: str, lbf: int) -> None:
    row = datum("wire_strength", construction="7x19 wire", diameter_in=size)
    assert (row.value, row.unit, row.sure) == (lbf, "lbf", "found")


def test_sixteenths_in_newton() -> None:
    """3/16 in 7x19: 3 700 lbf is 16.46 kN."""
    row = datum("wire_strength", construction="7x19 wire", diameter_in="3/16")
    assert row.value * LBF == pytest.approx(16460.0, abs=5.0)


@pytest.mark.parametrize(("construction", "share"), [("1x19 wire", 0.760), ("7x7 wire", 0.605), ("7x19 wire", 0.591)])
def test_metallic_area(construction: str, share: float) -> None:
    """Equal round wires: wires over the square of the wires across; 5, 9 and 15 wires lie across the rope."""
    row = next(row for row in rows("wire_geometry") if row["construction"] == construction)
    assert float(row["value"]) == pytest.approx(float(row["wires"]) / float(row["wires_across"]) ** 2, abs=1e-12)
    assert float(row["value"]) == pytest.approx(share, abs=5e-4)


def test_published_stretch_example() -> None:
    """Wire suppliers' page: 1/8 in 7x19 of 302/304 under 500 lbf stretches 0.518 %."""
    share = elastic_strain(wire("7x19 wire", INCH / 8.0), 500.0 * LBF)
    assert share is not None
    assert 100.0 * share == pytest.approx(0.518, abs=0.0005)


def test_bedding_in_of_new_wire() -> None:
    """1x19: 0.10 to 0.25 % (from memory, verify); midway between them is expected."""
    strain = bedding_in(wire("1x19 wire", 5.0))
    assert strain is not None
    assert (strain.minimum, strain.maximum) == (pytest.approx(0.0010), pytest.approx(0.0025))
    assert strain.expected == pytest.approx(0.00175)


def test_bedding_in_that_is_stated_goes_before_the_table() -> None:
    stated = {"bedding_in": {"min_percent": 0.1, "max_percent": 0.5, "source": "maker"}}
    line = GuardLine.model_validate({**wire("1x19 wire", 5.0).model_dump(exclude_none=True), **stated})
    assert bedding_in(line) == Strain(0.001, 0.005, "maker")


@pytest.mark.parametrize(("construction", "gpa"), [("1x19 wire", 112.7), ("7x7 wire", 73.2), ("7x19 wire", 54.2)])
def test_modulus_on_the_gross_area(construction: str, gpa: float) -> None:
    """The same table as a modulus on pi d2 / 4: E = 400 / (pi G)."""
    known = stiffness(wire(construction, 5.0))
    assert known is not None
    assert known[0] / (0.25 * math.pi * 25.0) / 1e3 == pytest.approx(gpa, abs=0.06)


def test_stiffness_range_of_wire_spans_both_tables() -> None:
    """5 mm 1x19: 2.21 MN by the stretch tables, 107.5 GPa by European trade values (from memory, verify)."""
    found = stiffness_range(wire("1x19 wire", 5.0))
    assert found is not None
    assert found.maximum == pytest.approx(2.213e6, rel=1e-3)
    assert found.minimum == pytest.approx(107.5e3 * 0.25 * math.pi * 25.0, rel=1e-9)


def test_stiffness_of_rope_needs_its_breaking_load() -> None:
    rope = {"construction": "12-strand HMPE", "material": "HMPE", "diameter": 6}
    assert stiffness_range(GuardLine.model_validate(rope)) is None
    stated = GuardLine.model_validate({**rope, "breaking_load": {"value": 36000, "source": "invented"}})
    found = stiffness_range(stated)
    assert found is not None
    assert (found.minimum, found.maximum, found.sure) == (28 * 36000, 35 * 36000, "memory mid")


@pytest.mark.parametrize(("construction", "k"), [("1x19 wire", 0.525), ("7x7 wire", 0.359), ("7x19 wire", 0.356)])
def test_metric_breaking_loads(construction: str, k: float) -> None:
    """EN 12385-4 form F = K d2 R with R 1570 N/mm2, from memory, verify."""
    table = [row for row in rows("wire_breaking_metric") if row["construction"] == construction]
    assert len(table) == 6
    for row in table:
        assert float(row["value"]) == pytest.approx(k * float(row["diameter_mm"]) ** 2 * 1.57, abs=0.06)


def test_a_size_between_the_rows_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        datum("wire_strength", construction="7x19 wire", diameter_in="11/64")


TABLES = ["elasticity", "expansion", "friction", "person_loads", "pin_bend", "tube_grades", "tube_sizes"]
TABLES += ["tube_stress_concentration", "wire_breaking_metric", "wire_geometry"]


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_its_source(name: str) -> None:
    text = resources.files("geom.data").joinpath(f"{name}.csv").read_text("utf-8")
    table = list(csv.DictReader(text.splitlines()))
    assert table
    for row in table:
        assert None not in row and None not in row.values()
        float(row["value"])
        assert row["unit"] and row["source"]
        assert row["sure"] in {"found", "found-2", "calc", "memory hi", "memory mid", "memory lo", "common practice"}
        if row["sure"].startswith("memory"):
            assert "from memory, verify" in row["source"] + row["clause_or_page"]
