"""Sizes of hardware against the published rows that the tables quote."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from geom.data.table import rows
from geom.parts.catalogue import part, sizes
from geom.parts.part import Part


def named(spec: Part) -> dict[str, float]:
    return {dim.name: dim.value for dim in spec.dims()}


# Data sheet of stainless 316 thimbles: rope, B, C, L [mm]; letters undefined in the excerpt that was read.
@pytest.mark.parametrize(
    ("rope", "b", "c", "length"),
    [(3, 16, 10, 25), (4, 19, 11, 28), (5, 23, 13, 32), (6, 25, 15, 39), (8, 32, 18, 49), (10, 37, 23, 55)],
)
def test_thimbles(rope: int, b: float, c: float, length: float) -> None:
    spec = part("thimble", str(rope))
    assert (named(spec)["width"], named(spec)["inside"], named(spec)["length"]) == (b, c, length)
    box = spec.box()
    assert box.high[0] - box.low[0] == pytest.approx(b, abs=1e-9)
    assert box.high[2] - box.low[2] == pytest.approx(length, abs=1e-9)


# Data sheet of stainless open-body turnbuckles, eye to eye: least and most, and the take-up it states [mm].
@pytest.mark.parametrize(
    ("size", "minimum", "maximum", "take_up"),
    [
        (4, 98, 135, 37),
        (5, 120, 170, 50),
        (6, 150, 220, 70),
        (8, 200, 280, 80),
        (9, 245, 350, 105),
        (12, 315, 460, 145),
    ],
)
def test_turnbuckles(size: int, minimum: float, maximum: float, take_up: float) -> None:
    for opening in (minimum, maximum):
        spec = part("turnbuckle", str(size), opening=opening)
        eyes = sorted(hole.point[2] for hole in spec.holes())
        assert eyes[1] - eyes[0] == pytest.approx(opening, abs=1e-9)
    assert named(spec)["maximum"] - named(spec)["minimum"] == take_up


# Federal specification RR-C-271, screw pin shackles (from memory, verify): size, pin, jaw [in].
@pytest.mark.parametrize(
    ("size", "pin", "jaw"),
    [("3/16", "1/4", "3/8"), ("1/4", "5/16", "15/32"), ("5/16", "3/8", "17/32"), ("3/8", "7/16", "21/32")],
)
def test_shackles(size: str, pin: str, jaw: str) -> None:
    spec = part("shackle", f"{size} in")
    sizes_mm = named(spec)
    assert sizes_mm["bar"] == pytest.approx(25.4 * Fraction(size), abs=1e-6)
    assert sizes_mm["jaw"] == pytest.approx(25.4 * Fraction(jaw), abs=1e-3)
    assert 0.0 < sizes_mm["pin hole"] - float(25.4 * Fraction(pin)) < 0.5


# Straight-shank swage terminals, stud MS21259, fork MS20667, eye MS20668 alike: bore, depth, shank [in].
# Source: AC 43.13-1B table 7-5, from memory, verify.
@pytest.mark.parametrize(
    ("wire", "bore", "depth", "shank"),
    [
        ("1/8", 0.141, 1.511, 0.219),
        ("5/32", 0.172, 1.761, 0.250),
        ("3/16", 0.203, 2.011, 0.313),
        ("7/32", 0.234, 2.261, 0.375),
        ("1/4", 0.265, 2.511, 0.438),
    ],
)
@pytest.mark.parametrize("table", ["swaged_stud", "terminal_fork", "terminal_eye"])
def test_swage_terminals(table: str, wire: str, bore: float, depth: float, shank: float) -> None:
    sizes_mm = named(part(table, f"{wire} in wire"))
    assert sizes_mm["bore"] == pytest.approx(25.4 * bore)
    assert sizes_mm["bore depth"] == pytest.approx(25.4 * depth)
    assert sizes_mm["shank"] == pytest.approx(25.4 * shank)
    assert sizes_mm["bore"] > float(25.4 * Fraction(wire)), "the wire enters its bore"


# Clevis pins AN392 to AN406: diameter by number, AN393 3/16 in, AN394 1/4 in (a home-built-aircraft page).
@pytest.mark.parametrize(("number", "diameter"), [("AN393", "3/16"), ("AN394", "1/4")])
def test_clevis_pins(number: str, diameter: str) -> None:
    assert named(part("pin", number))["diameter"] == pytest.approx(25.4 * Fraction(diameter))


# Stanchion tubes at 8.0 g/cm3 (worked out from the ring's area): kg/m.
@pytest.mark.parametrize(
    ("size", "kilograms"),
    [("25 x 1.5", 0.886), ("1 x 0.065 in", 0.985), ("25 x 2", 1.156), ("28 x 2", 1.307), ("30 x 2", 1.407)],
)
def test_mass_of_tubes(size: str, kilograms: float) -> None:
    spec = part("post", size, top=1000.0)
    assert spec.volume() * 8.0e-6 == pytest.approx(kilograms, abs=0.0006)


def test_bush_by_formula() -> None:
    """A bush of 10 x 6.5 x 27 with mouths of 0.8: ring less two mouths, each a square less a quarter disc turned round.

    By Pappus: the square's centroid lies r/2 from the bore, the quarter disc's 4 r / 3 pi from its own centre.
    """
    r, b, length = 0.8, 3.25, 27.0
    ring = math.pi * (25.0 - b * b) * length
    square = 2.0 * math.pi * (b + r / 2.0) * r * r
    quarter = 2.0 * math.pi * (b + r - 4.0 * r / (3.0 * math.pi)) * math.pi * r * r / 4.0
    assert part("bush", "10 x 6.5 x 27").volume() == pytest.approx(ring - 2.0 * (square - quarter), rel=1e-12)


def test_published_rows_say_so() -> None:
    """What was read in a data sheet is marked found, and only that."""
    marked = {
        (table, row["dimension"])
        for table in ("thimble", "turnbuckle", "pin")
        for row in rows(f"parts/{table}")
        if row["sure"] == "found"
    }
    assert marked == {
        ("thimble", "rope"),
        ("thimble", "width"),
        ("thimble", "inside"),
        ("thimble", "length"),
        ("turnbuckle", "minimum"),
        ("turnbuckle", "maximum"),
        ("pin", "diameter"),
    }
    assert sizes("thimble") == ("3", "4", "5", "6", "8", "10")
