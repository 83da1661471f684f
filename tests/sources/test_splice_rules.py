"""Published rules of splices, eyes and wire, each beside its source."""

from __future__ import annotations

import pytest

from geom.boat.model import GuardLine
from geom.data import table
from geom.data.editions import number
from geom.errors import OutsideTableError
from geom.mechanics.stretch import elastic_strain, stiffness
from geom.placement.eyes import eye_shape
from geom.rigging.fit import largest_diameter
from geom.rigging.splice import bury_length, practice, splice_recipe, taper_length, taper_marks
from geom.rigging.strength import published_wire
from geom.words import worded
from tests.some import some


def test_72_d_of_5_mm():
    """Rigging handbook page: tail of 72 d for a locked splice in high-modulus fibre."""
    assert bury_length(5.0, "72 d") == 360.0


def test_three_and_a_half_fids_of_5_mm():
    """Maker's instruction for a class II eye splice: 3 1/2 fids, a fid being 21 d."""
    assert bury_length(5.0, "3 1/2 fids") == 367.5
    assert table.datum("splice_rules", rule="3 1/2 fids").value == 3.5 * practice("fid")


def test_three_and_a_half_fids_of_6_mm_as_printed():
    """Splice-test article: 441 mm at 6 mm printed."""
    assert bury_length(6.0, "3 1/2 fids") == 441.0


@pytest.mark.parametrize(("rule", "in_d"), [("3 fids", 63.0), ("2 1/2 fids", 52.5), ("80 d", 80.0), ("100 d", 100.0)])
def test_other_published_buries(rule, in_d):
    """Two instruction pages for stitched single braid; European catalogue page for coated HMPE."""
    assert bury_length(1.0, rule) == in_d


def test_a_rule_that_nobody_published_is_refused():
    with pytest.raises(OutsideTableError):
        bury_length(5.0, "60 d")


@pytest.mark.parametrize(("rope", "fid"), [(5.0, 105.0), (6.35, 133.35), (9.525, 200.025)])
def test_a_fid_is_21_d(rope, fid):
    """Encyclopedia, rope-maker tips, maker chart: 21 d."""
    assert splice_recipe(rope, 12, 80.0).fid == pytest.approx(fid)


def test_exit_mark_is_seven_sixths_of_the_tail():
    """Maker's instruction of a short bury: tail 1.5 fid, exit mark 1.75 fid from the throat."""
    assert practice("exit_over_tail") == pytest.approx(1.75 / 1.5)


@pytest.mark.parametrize(("taper", "share"), [("fifth of the bury", 0.20), ("quarter of the bury", 0.25)])
def test_published_taper_is_20_to_25_percent_of_the_bury(taper, share):
    """European rope catalogue page."""
    length = taper_length(6.0, 12, 432.0, taper)
    marks = taper_marks(12, length)
    assert length == pytest.approx(share * 432.0)
    assert marks[-1].from_end == pytest.approx(length)


def test_eye_ratios():
    """Eye length to pin 3:1 at least (from memory, verify), over 5 in a catalogue page; pin over 2 d there too."""
    assert eye_shape(5.0, 29.0, 10.0).kept is False
    assert eye_shape(5.0, 30.0, 10.0).kept is True
    assert eye_shape(5.0, 50.0, 10.0).warnings == ()
    assert any("5 preferred" in worded(one) for one in eye_shape(5.0, 40.0, 10.0).warnings)
    assert eye_shape(5.0, 50.0, 4.9).kept is False
    assert any("2 preferred" in worded(one) for one in eye_shape(5.0, 50.0, 9.9).warnings)
    assert eye_shape(5.0, 50.0, None).kept is None


@pytest.mark.parametrize(
    ("size", "pounds"),
    [("1/8", 1760), ("5/32", 2400), ("3/16", 3700), ("7/32", 5000), ("1/4", 6400), ("9/32", 7800), ("5/16", 9000),
     ("3/8", 12000)],
)  # fmt: skip
def test_7x19_corrosion_resistant_wire(size, pounds):
    """FAA Advisory Circular 43.13-1B (1998), table 7-3, flexible 7x19 302/304."""
    found = published_wire("7x19 wire", "stainless steel 302/304", size)
    assert (found.value, found.unit, found.sure) == (pounds, "lbf", "found")


@pytest.mark.parametrize(("size", "pounds"), [("3/16", 4700), ("1/4", 8200), ("3/8", 17600)])
def test_1x19_wire(size, pounds):
    """Yacht-design handbook quoted by a newsgroup in 1988: 1x19, 302/304."""
    assert published_wire("1x19 wire", "stainless steel 302/304", size).value == pounds


@pytest.mark.parametrize("size", ["1/2", "1/16", "11/64"])
def test_a_wire_size_outside_the_table_raises(size):
    with pytest.raises(OutsideTableError):
        published_wire("7x19 wire", "stainless steel 302/304", size)


@pytest.mark.parametrize(
    ("size", "over"), [(1 / 8, 0.014), (5 / 32, 0.016), (3 / 16, 0.018), (1 / 4, 0.018), (5 / 16, 0.022)]
)
def test_wire_may_be_over_its_nominal_diameter(size, over):
    """FAA Advisory Circular 43.13-1B (1998), table 7-3: diameter tolerance, plus only."""
    assert largest_diameter(size * 25.4) / 25.4 == pytest.approx(size + over)
    assert largest_diameter(4.0) is None


def test_stretch_of_wire_as_the_supplier_works_it_out():
    """Two wire suppliers: 1/8 in 7x19 under 500 lb stretches 0.518 %; the formula with the printed G gives 0.5184."""
    wire = GuardLine(construction="7x19 wire", material="stainless steel 302/304", diameter=25.4 / 8)
    share = elastic_strain(wire, 500 * 4.4482216152605)
    assert 100.0 * share == pytest.approx(0.5184, abs=5e-5)


def test_modulus_behind_the_stretch_factor():
    """The same G on the gross section: 112.7 GPa for 1x19, 73.2 for 7x7, 54.2 for 7x19 (worked out from G)."""
    for construction, gpa in (("1x19 wire", 112.7), ("7x7 wire", 73.2), ("7x19 wire", 54.2)):
        wire = GuardLine(construction=construction, material="stainless steel 302/304", diameter=10.0)
        ea, _ = stiffness(wire)
        assert ea / (3.141592653589793 * 25.0) / 1000.0 == pytest.approx(gpa, abs=0.1)


def test_lashing_gap_limit():
    """World Sailing Offshore Special Regulations 3.14.6 c (2008, second hand): gap not over 100 mm."""
    limit = number("osr", {"osr": "2008"}, "3.14.6 c) lanyard", "max gap")
    assert (limit.value, limit.unit, limit.edition, limit.sure) == (100.0, "mm", "2008", "found-2")


def test_terminals_keep_nine_tenths():
    """ABYC H-41 (1998), H-41.6.3.4, second hand: end fittings at least 90 % of the wire."""
    found = table.datum("line_strength", key="terminal")
    assert (found.value, found.clause_or_page) == (0.90, "H-41.6.3.4")


@pytest.mark.parametrize(
    "name",
    ["splice_rules", "splice_tapers", "splice_practice", "line_strength", "wire_strength", "wire_stretch",
     "measure_uncertainty", "service_life", "wire_oversize"],
)  # fmt: skip
def test_every_number_has_unit_source_and_how_sure(name):
    for row in some(table.rows(name)):
        float(row["value"])
        assert None not in row and None not in row.values(), f"{name}: a row of another width"
        assert row["source"] and row["sure"], f"{name}: {row}"
        assert row["sure"] in {
            "found", "found-2", "calc", "memory hi", "memory mid", "memory lo", "common practice"
        }  # fmt: skip
        assert ("verify" in row["source"]) == row["sure"].startswith("memory"), row
