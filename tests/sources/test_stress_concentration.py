"""A tube in bending with a cross hole: Peterson's chart formula, section properties, and where the chart ends."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from geom.errors import GeometryError
from geom.mechanics.tube import TubeSection, bending_concentration, net_section

# Ktg by the published formula, worked by hand; wider holes lie outside the chart.
CASES = [(25.0, 1.5, 8.0, 4.09), (25.0, 1.5, 10.0, 4.72), (25.4, 1.651, 8.0, 4.04), (25.4, 1.651, 10.0, 4.66)]
CASES += [(25.0, 2.0, 8.0, 4.05), (25.0, 2.0, 10.0, 4.66)]


@pytest.mark.parametrize(("od", "wall", "hole", "expected"), CASES)
def test_bending(od: float, wall: float, hole: float, expected: float) -> None:
    found = bending_concentration(TubeSection(od, wall), hole)
    assert found.factor == pytest.approx(expected, abs=0.005)
    assert not found.extrapolated


@pytest.mark.parametrize("hole", [10.5, 12.0, 12.7])
def test_outside_the_chart(hole: float) -> None:
    """The chart ends at 0.4 of the tube; the formula goes on, as every boat needs it, and says so."""
    assert bending_concentration(TubeSection(25.0, 1.5), hole).extrapolated


BEYOND = [(25.0, 1.5, 12.7, 5.45), (25.4, 1.651, 12.7, 5.38), (25.0, 2.0, 12.0, 5.20)]


@pytest.mark.parametrize(("od", "wall", "hole", "expected"), BEYOND)
def test_bending_extrapolated(od: float, wall: float, hole: float, expected: float) -> None:
    """The same formula by hand beyond the chart."""
    assert bending_concentration(TubeSection(od, wall), hole).factor == pytest.approx(expected, abs=0.005)


def test_very_small_hole_is_a_flat_plate() -> None:
    """A hole that is small against its plate raises the stress threefold (Kirsch 1898)."""
    assert bending_concentration(TubeSection(25.0, 1.5), 1e-6).factor == pytest.approx(3.0, abs=1e-5)


# Z and Zp [mm3] and the stress of 280 N at 600 mm [MPa], worked by hand.
TUBES = [(25.0, 1.5, 614, 830, 274), (25.4, 1.651, 687, 933, 244), (25.0, 2.0, 770, 1061, 218)]
TUBES += [(28.0, 2.0, 992, 1355, 169), (30.0, 2.0, 1155, 1571, 145)]


@pytest.mark.parametrize(("od", "wall", "z", "zp", "stress"), TUBES)
def test_gross_section(od: float, wall: float, z: int, zp: int, stress: int) -> None:
    tube = TubeSection(od, wall)
    assert tube.modulus == pytest.approx(z, abs=0.6)
    assert tube.plastic_modulus == pytest.approx(zp, abs=0.6)
    assert 280.0 * 600.0 / tube.modulus == pytest.approx(stress, abs=0.6)


@pytest.mark.parametrize(("hole", "neutral", "fibre"), [(8.0, 98, 58), (10.0, 97, 48), (12.0, 94, 38), (12.7, 93, 35)])
def test_what_a_hole_leaves(hole: float, neutral: int, fibre: int) -> None:
    """25 x 1.5: share of the gross I left, worked by hand for 8 to 12.7 mm."""
    tube = TubeSection(25.0, 1.5)
    net = net_section(tube, hole)
    assert 100.0 * net.inertia_neutral / tube.inertia == pytest.approx(neutral, abs=0.6)
    assert 100.0 * net.inertia_fibre / tube.inertia == pytest.approx(fibre, abs=0.6)


@pytest.mark.parametrize("hole", [3.0, 8.0, 12.7, 18.0])
def test_net_section_by_quadrature(hole: float) -> None:
    tube = TubeSection(25.0, 1.5)
    net = net_section(tube, hole)
    edge = math.asin(hole / tube.od)

    def ring(f, radius: float) -> float:
        """Integrate a moment of area over the circle without the strip |y| < hole / 2."""
        return 4.0 * quad(lambda y: f(y, math.sqrt(radius**2 - y**2)), hole / 2.0, radius, limit=200)[0]

    def of(f) -> float:
        return ring(f, tube.od / 2.0) - ring(f, tube.bore / 2.0)

    assert net.inertia_fibre == pytest.approx(of(lambda _, x: x**3 / 3.0), rel=1e-6)
    assert net.inertia_neutral == pytest.approx(of(lambda y, x: y**2 * x), rel=1e-6)
    assert net.plastic_fibre == pytest.approx(of(lambda _, x: x**2 / 2.0), rel=1e-6)
    assert net.plastic_neutral == pytest.approx(of(lambda y, x: y * x), rel=1e-6)
    assert net.stress(1e5, 0.0) == pytest.approx(1e5 * 12.5 * math.cos(edge) / net.inertia_fibre)
    assert net.stress(0.0, 1e5) == pytest.approx(1e5 * 12.5 / net.inertia_neutral)


def test_impossible_tubes_and_holes() -> None:
    with pytest.raises(GeometryError):
        TubeSection(25.0, 12.5)
    with pytest.raises(GeometryError):
        net_section(TubeSection(25.0, 1.5), 22.0)
