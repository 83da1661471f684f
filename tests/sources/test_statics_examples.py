"""Published worked examples of loaded and hanging lines; the kind of page stands beside each."""

from __future__ import annotations

import math

import pytest

from geom.mechanics.cable import load_line
from geom.mechanics.catenary import (
    Funicular,
    catenary,
    funicular_through,
    horizontal_from_length,
    tension_at_angle,
    tension_while_loaded,
)
from geom.mechanics.chandrupatla import bracketed_root
from geom.mechanics.elastic_line import Line, PointLoad, friction_coefficient, holding_ratio, set_line, turn_to_hold

# Half a unit of the last printed digit is what a published answer leaves open.


def test_high_wire_walker() -> None:
    """University physics exercise: 36 m, sag 2.1 m, 60.0 kg: 2500 N to two figures (2537 N at g 9.80)."""
    tension = tension_while_loaded(60.0 * 9.80, 36e3, 2.1e3)
    assert tension == pytest.approx(2500.0, abs=50.0)
    assert tension == pytest.approx(2537.0, abs=0.5)


def test_walker_at_ten_degrees() -> None:
    """Open textbook: 90.0 kg, 10.0 deg on each side: 2.54e3 N."""
    assert tension_at_angle(90.0 * 9.80, math.radians(10.0)) == pytest.approx(2.54e3, abs=5.0)


def test_walker_at_three_degrees() -> None:
    """Solved problem: 70 kg, 3 deg: 6553.8 N at g 9.8."""
    assert tension_at_angle(70.0 * 9.8, math.radians(3.0)) == pytest.approx(6553.8, abs=0.05)


def test_long_wire_walk() -> None:
    """Solved problem: 70 kg, span 460 m, sag 1.5 m: 5.25e4 N, within 0.2 %."""
    assert tension_while_loaded(70.0 * 9.8, 460e3, 1.5e3) == pytest.approx(5.25e4, rel=0.002)


def test_steel_wire_without_pretension() -> None:
    """Entrance-exam problem: 1 m, 4.00 mm2, E 2.0e11 Pa, 2.16 kg at g 10: sag 1.5 cm. The solver's own T is 360 N."""
    wire = Line(((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0)), 2.0e5 * 4.00, 0.0, ())
    loaded = load_line(set_line(wire, 0.0), PointLoad(0, 0.5, (0.0, 0.0, -21.6)))
    assert loaded.deflection == pytest.approx(15.0, abs=0.5)
    assert loaded.deflection == pytest.approx(15.003, abs=0.001)
    assert loaded.max_tension == pytest.approx(360.0, abs=0.5)


def test_thin_steel_wire_without_pretension() -> None:
    """Entrance-exam problem: 2 m, diameter 1 mm, E 2e11 Pa, 0.25 kg at g 9.8: sag 0.025 m."""
    wire = Line(((0.0, 0.0, 0.0), (2000.0, 0.0, 0.0)), 2.0e5 * math.pi / 4.0, 0.0, ())
    loaded = load_line(set_line(wire, 0.0), PointLoad(0, 0.5, (0.0, 0.0, -0.25 * 9.8)))
    assert loaded.deflection == pytest.approx(25.0, abs=0.5)


@pytest.mark.parametrize(("angle", "ratio", "rounding"), [(15.0, 2.0, 0.1), (5.0, 6.0, 0.5)])
def test_sag_angle_of_a_fall_line(angle: float, ratio: float, rounding: float) -> None:
    """29 CFR 1926 subpart M appendix C: sag angle 15 deg about 2:1, 5 deg about 6:1."""
    assert tension_at_angle(1.0, math.radians(angle)) == pytest.approx(ratio, abs=rounding)


def parabola_with_low_point(span: float, rise: float, uniform: float, low: float) -> Funicular:
    """Return the line whose slope is zero at a place, by search over the horizontal tension."""

    def slope(horizontal: float) -> float:
        return Funicular(span, rise, uniform, (), horizontal).slopes(low)[0]

    return Funicular(span, rise, uniform, (), bracketed_root(slope, 1.0, 1e5, 1e-9))


def test_cable_under_uniform_load() -> None:
    """Structures problem: 4 kN/m over 100 m, B 5 m above A, low point 40 m from A: 835.2 and 800.0 kN."""
    minimum, greatest = parabola_with_low_point(100.0, 5.0, 4.0, 40.0).extremes()
    assert greatest == pytest.approx(835.2, abs=0.05)
    assert minimum == pytest.approx(800.0, abs=0.05)


def test_cable_under_uniform_and_point_load() -> None:
    """The same with 50 kN at C, 40 m from A and 5 m below it: 896.5 and 857.4 kN, slope 1.52 deg at C."""
    cable = funicular_through(100.0, 5.0, 4.0, ((40.0, 50.0),), 40.0, -5.0)
    minimum, greatest = cable.extremes()
    assert greatest == pytest.approx(896.5, abs=0.05)
    assert minimum == pytest.approx(857.4, abs=0.05)
    gentlest = min(abs(slope) for slope in cable.slopes(40.0))
    assert math.degrees(math.atan(gentlest)) == pytest.approx(1.52, abs=0.01)


def by_length_and_sag(weight: float, length: float, sag: float) -> tuple[float, float]:
    """Return span and greatest tension of a level hanging line, by search over the span."""

    def low(span: float) -> float:
        h = horizontal_from_length(span, 0.0, length, weight)
        return h / weight * (math.cosh(weight * span / (2.0 * h)) - 1.0) - sag

    span = bracketed_root(low, 0.01 * length, 0.999999 * length, 1e-9 * length)
    shape = catenary(span, 0.0, weight, horizontal_from_length(span, 0.0, length, weight))
    return span, shape.end_tension


def test_hanging_cable_of_known_length_and_sag() -> None:
    """Solved problem: 0.4 kg/m, length 800 m, sag 80 m: greatest tension 416 kg."""
    assert by_length_and_sag(0.4, 800.0, 80.0)[1] == pytest.approx(416.0, abs=0.5)


@pytest.mark.parametrize(
    ("weight", "length", "sag", "span", "tension"),
    [(30.0 / 25.0, 25.0, 10.0, 12.36, 15.4), (2.8, 500.0, 125.0, 412.0, 875.0)],
)
def test_deep_chains(weight: float, length: float, sag: float, span: float, tension: float) -> None:
    """Textbook problems 7.127 and 7.128 (ft, lb); answers by c = (S^2 - h^2) / 2h, worked by hand."""
    found = by_length_and_sag(weight, length, sag)
    assert found == pytest.approx((span, tension), rel=2e-3)


@pytest.mark.parametrize(("feet", "sag", "rounding"), [(100.0, 0.03, 0.005), (10.0, 0.0003, 0.00005)])
def test_sag_of_an_alignment_wire(feet: float, sag: float, rounding: float) -> None:
    """Millwright's page: wire of 0.0007 lb/ft pulled with 30 lb sags 0.03 ft in 100 ft, 0.0003 ft in 10 ft."""
    foot, pound = 304.8, 4.4482216152605
    wire = Line(((0.0, 0.0, 0.0), (feet * foot, 0.0, 0.0)), 1e9, 0.0007 * pound / foot, ())
    hanging = load_line(set_line(wire, 30.0 * pound), PointLoad(0, 0.5, (0.0, 0.0, 0.0)))
    assert hanging.deflection / foot == pytest.approx(sag, abs=rounding)


def test_capstan_coefficient_of_two_turns() -> None:
    """Solved problem: 80 lb holds 5000 lb with two turns: mu 0.329; 20 000 lb then need 2.67 turns."""
    friction = friction_coefficient(5000.0, 80.0, 2.0 * math.tau)
    assert friction == pytest.approx(0.329, abs=0.0005)
    assert turn_to_hold(20000.0, 80.0, friction) / math.tau == pytest.approx(2.67, abs=0.005)


@pytest.mark.parametrize(
    ("friction", "turns", "held", "holding", "rounding"),
    [
        (0.3, 1.0, 6.6, 1.0, 0.005),  # encyclopedia: one turn at 0.3 holds about 6.6 times
        (0.5, 1.0, 1.0, 0.043, 0.0005),  # solved problem: S = 0.043 F
        (0.4, 0.5, 500.0, 142.0, 0.5),  # solved problem: 500 N, half a turn, 0.4: 142 N
    ],
)
def test_capstan(friction: float, turns: float, held: float, holding: float, rounding: float) -> None:
    assert held * holding_ratio(friction, turns * math.tau) == pytest.approx(holding, abs=rounding)
