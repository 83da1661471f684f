"""Quantities as people write them, checked against exact definitions.

SI brochure (9th edition, 2019); international yard and pound agreement of 1959 (1 in = 25.4 mm,
1 lb = 0.453 592 37 kg).
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geom import units
from geom.units import (
    LengthFormat,
    QuantityError,
    decimal,
    degrees,
    feet_and_inches,
    in_unit,
    inch_fraction,
    read_number,
    read_quantity,
    words,
)
from tests.some import some


@pytest.mark.parametrize(
    ("text", "kind", "bare", "value"),
    [
        ("615 mm", "length", None, 615.0),
        ("615mm", "length", None, 615.0),
        ("615.5", "length", "mm", 615.5),
        ("-12 mm", "length", None, -12.0),
        ("+12 mm", "length", None, 12.0),
        (".5 in", "length", None, 12.7),
        ("1/2 in", "length", None, 12.7),
        ("2 1/2 in", "length", None, 63.5),
        ("6 ft 2 1/2 in", "length", None, 6 * 304.8 + 63.5),
        ("6' 2 1/2\"", "length", None, 6 * 304.8 + 63.5),
        ("-6 ft 2 in", "length", None, -(6 * 304.8 + 50.8)),
        ('24.5"', "length", None, 622.3),
        ("3/8", "length", "in", 9.525),
        ("0.5 m", "length", "in", 500.0),
        ("180 deg", "angle", None, math.pi),
        ("2.5°", "angle", None, math.radians(2.5)),
        ("25 kN", "force", None, 25000.0),
        ("1 kgf", "force", None, 9.80665),
        ("1 lbf", "force", None, 4.4482216152605),
        ("1 lb", "mass", None, 453.59237),
        ("1 lb/ft", "mass per length", None, 453.59237 / 0.3048),
        ("1000 psi", "stress", None, 6.894757293168361),
    ],
)
def test_quantity(text: str, kind: str, bare: str | None, value: float) -> None:
    assert read_quantity(text, kind, bare)[0] == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("615,5 mm", "length", "comma"),
        ("1,200 mm", "length", "comma"),
        ("1e400 mm", "length", "powers of ten"),
        ("1e3 mm", "length", "powers of ten"),
        ("3 M", "length", "unknown unit 'M'"),
        ("3 MM", "length", "unknown unit 'MM'"),
        ("3 millimetres", "length", "unknown unit"),
        ("3 um", "length", "unknown unit"),
        ("615", "length", "without a unit"),
        ("5 kg", "length", "not a unit of length"),
        ("5 kg", "force", "not a unit of force"),
        ("5 kN", "mass", "not a unit of mass"),
        ("5 deg", "length", "not a unit of length"),
        ("5 mm", "angle", "not a unit of angle"),
        ("", "length", "empty"),
        ("mm", "length", "not a number"),
        ("nan mm", "length", "not a number"),
        ("inf mm", "length", "not a number"),
        ("--3 mm", "length", "not a number"),
        ("3 -2 mm", "length", "not a number"),
        ("3 mm mm", "length", "not a number"),
        ("2 in 6 ft", "length", "feet and inches"),
        ("3 mm 2 in", "length", "feet and inches"),
        ("6 ft 12 in", "length", "feet and inches"),
        ("1 ft 2 ft", "length", "feet and inches"),
        ("1/0 in", "length", "not a finite number"),
        ("99999999999 mm", "length", "too large"),
        ("9" * 81, "length", "too long"),
        ("3 in*in", "length", "not a number"),
        ("3 in^2", "length", "not a number"),
        ("0x10 mm", "length", "not a unit|unknown unit|not a number"),
        ("1_000 mm", "length", "not a number"),
        ("3/8/2 in", "length", "not a number"),
    ],
)
def test_refusal(text: str, kind: str, message: str) -> None:
    with pytest.raises(QuantityError, match=message) as caught:
        read_quantity(text, kind, None)
    assert caught.value.valid


LENGTHS = st.floats(-20000, 20000, allow_nan=False)


@given(LENGTHS, st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_any_length_unit_and_back(value: float, unit: str) -> None:
    stated = in_unit(value, unit)
    read, word = read_quantity(f"{stated:.9f} {unit}", "length", None)
    assert word == unit
    assert read == pytest.approx(value, abs=1e-5)


@given(st.integers(0, 400), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_are_exact(whole: int, part: int, denominator: int) -> None:
    inches = whole + Fraction(part % denominator, denominator)
    text = f"{whole} {part % denominator}/{denominator} in"
    assert read_quantity(text, "length", None)[0] == pytest.approx(float(inches) * 25.4, rel=1e-14)


@given(st.integers(-20000, 20000))
def test_an_inch_fraction_reads_back(parts: int) -> None:
    length = parts * 25.4 / 32
    assert read_quantity(inch_fraction(length), "length", "in")[0] == pytest.approx(length, abs=1e-9)


@given(LENGTHS)
def test_an_inch_fraction_is_the_nearest(length: float) -> None:
    shown = read_quantity(inch_fraction(length), "length", "in")[0]
    assert abs(shown - length) <= 25.4 / 64 + 1e-9


@given(st.text(max_size=30), st.sampled_from(["length", "angle", "force", "stress", "mass", "mass per length"]))
def test_any_text_is_a_finite_quantity_or_refused(text: str, kind: str) -> None:
    try:
        assert math.isfinite(read_quantity(text, kind, None)[0])
    except QuantityError as error:
        assert error.valid


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(1.25, 1, "1.3"), (-1.25, 1, "-1.3"), (1.249, 1, "1.2"), (-0.04, 1, "0.0"), (0.0, 2, "0.00"), (-1.5, 1, "-1.5"),
     (0.75 * 25.4, 1, "19.1"), (2.25 * 25.4, 1, "57.2"), (1e12, 0, "1000000000000")],
)  # fmt: skip
def test_decimal(value: float, decimals: int, text: str) -> None:
    """3/4 in is 19.05 mm and 2 1/4 in 57.15 mm: a mark is not printed short of them."""
    assert decimal(value, decimals) == text


def test_small_readers() -> None:
    assert read_number("2 1/2") == 2.5
    assert read_number("2 mm") is None
    assert degrees(math.pi) == 180.0
    assert {"mm", "cm", "m", "in", "ft"} == set(words("length"))


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "ft"])
def test_a_bare_fraction_is_read_in_inches_only(unit: str) -> None:
    """Common practice, no source: fractions of a millimetre are not written, so a bare 9/16 was meant in inches."""
    with pytest.raises(QuantityError, match=f"where the unit of numbers is {unit}") as refused:
        read_quantity("9/16", "length", unit)
    assert refused.value.valid == "9/16 in"
    assert read_quantity("9/16", "length", "in")[0] == pytest.approx(14.2875)
    assert read_quantity("9/16 in", "length", unit)[0] == pytest.approx(14.2875)


def test_plain_units_are_those_of_pint() -> None:
    """Words that are read without pint have its factor, its kind and its shortest name."""
    registry = units._registry()
    words = set(some(units._plain_units()))
    assert words == {name for name in dir(registry) if name in registry._units}
    for word, (name, factor, held) in units._plain_units().items():
        assert registry.Quantity(1.0, word).to(held).magnitude == factor
        assert str(registry.Unit(word)) == name


@pytest.mark.parametrize(
    ("value", "inches", "metric"),
    [
        (0.2, ".20", "5.1"),
        (-0.63, "-.63", "-16.0"),
        (0.0, "0.00", "0.0"),
        (10.2, "10.20", "259.1"),
        (0.004, "0.00", "0.1"),
    ],
)
def test_an_inch_figure_below_one_has_no_leading_zero(value: float, inches: str, metric: str) -> None:
    """ASME Y14.5 decimal inches: no zero before the point; ISO 129-1 millimetres: one; from memory, verify."""
    assert LengthFormat("in", 25.4, 2).figure(value * 25.4) == inches
    assert LengthFormat().figure(value * 25.4) == metric


@pytest.mark.parametrize(
    ("inches", "said"), [(439.0, "36 ft 7 in"), (438.2, "36 ft 7 in"), (432.0, "36 ft"), (7.0, "7 in"), (0.0, "0 in")]
)
def test_feet_and_inches_are_rounded_up_to_whole_inches(inches, said):
    """What is bought is not too short; 36 ft 7 in are 439 in."""
    assert feet_and_inches(inches * 25.4) == said
