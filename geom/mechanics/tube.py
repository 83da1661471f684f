"""A round tube in bending: gross and net sections, plastic moment, stress concentration at a cross hole."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from geom.data.table import Datum, datum
from geom.errors import GeometryError
from geom.frozen import cached_property, frozen
from geom.units import Ratio

# Directions of a moment from the plane of a hole's axis, every half degree of a quarter turn.
_DIRECTIONS = tuple((math.cos(math.radians(0.5 * step)), math.sin(math.radians(0.5 * step))) for step in range(181))
# Table with the range of the published chart of a tube with a cross hole.
_CHART = "tube_stress_concentration"


@frozen
class TubeSection:
    """A round tube by outside diameter and wall [mm]."""

    od: float
    wall: float

    def __post_init__(self) -> None:
        if not 0.0 < 2.0 * self.wall < self.od:
            raise GeometryError(f"tube {self.od:g} x {self.wall:g} mm: the wall must leave a bore")

    @cached_property
    def bore(self) -> float:
        """Inside diameter [mm]."""
        return self.od - 2.0 * self.wall

    @cached_property
    def inertia(self) -> float:
        """Second moment of area [mm4]."""
        return math.pi / 64.0 * (self.od**4 - self.bore**4)

    @cached_property
    def modulus(self) -> float:
        """Elastic section modulus Z [mm3]."""
        return self.inertia / (0.5 * self.od)

    @cached_property
    def plastic_modulus(self) -> float:
        """Plastic section modulus Zp [mm3]."""
        return (self.od**3 - self.bore**3) / 6.0


@dataclass(frozen=True)
class NetSection:
    """A tube's section through the middle of a cross hole.

    `hole` is its diameter [mm]. `fibre` is for bending in the plane of the hole axis, with the hole at the extreme
    fibre, `neutral` for bending square to it, with the hole on the neutral axis. Inertia in
    mm4, plastic modulus in mm3.
    """

    tube: TubeSection
    hole: float
    inertia_fibre: float
    inertia_neutral: float
    plastic_fibre: float
    plastic_neutral: float

    def stress(self, moment_fibre: float, moment_neutral: float) -> float:
        """Return the maximum nominal stress on the net section under both moments [MPa].

        Args:
            moment_fibre: bending moment in the plane of the hole's axis [N mm].
            moment_neutral: bending moment square to that plane [N mm].
        """
        radius = 0.5 * self.tube.od
        edge = math.asin(0.5 * self.hole / radius)
        by_fibre, by_neutral = abs(moment_fibre) / self.inertia_fibre, abs(moment_neutral) / self.inertia_neutral
        angle = max(math.atan2(by_neutral, by_fibre), edge)
        return radius * (by_fibre * math.cos(angle) + by_neutral * math.sin(angle))

    def plastic_utilisation(self, moment_fibre: float, moment_neutral: float, proof_stress: float) -> float:
        """Return the plastic utilisation of the section under both moments: the ratio to its fully plastic state.

        Plastic theory of a thin ring without two opposite strips: the interaction curve is a circle with its centre
        shifted along the fibre axis. It passes through the exact plastic moments about both axes; thick walls are
        within 1 % of it.

        Args:
            moment_fibre: bending moment in the plane of the hole's axis [N mm].
            moment_neutral: bending moment square to that plane [N mm].
            proof_stress: of the tube [MPa].
        """
        fibre, neutral = self.plastic_fibre, self.plastic_neutral
        shift = (neutral * neutral - fibre * fibre) / (2.0 * fibre)
        along = abs(moment_fibre) * shift
        square = moment_fibre * moment_fibre + moment_neutral * moment_neutral
        radius_squared = neutral * neutral
        return (along + math.sqrt(along * along + square * radius_squared)) / (radius_squared * proof_stress)

    @cached_property
    def worst_stress(self) -> float:
        """Maximum nominal stress under a unit moment in the direction that is worst for the section [1/mm3]."""
        return max(self.stress(cos, sin) for cos, sin in _DIRECTIONS)

    @cached_property
    def worst_plastic(self) -> float:
        """Plastic utilisation under a unit moment in the worst direction, for a unit proof stress [1/mm3]."""
        return max(self.plastic_utilisation(cos, sin, 1.0) for cos, sin in _DIRECTIONS)


@cache
def net_section(tube: TubeSection, hole: float) -> NetSection:
    """Return the net section at the middle of a hole through both walls.

    The hole removes a strip of its own width from the ring; areas and moments of a strip of a circle in closed form.

    Args:
        tube: the tube.
        hole: diameter of the hole [mm].

    Raises:
        GeometryError: the hole is as wide as the bore.
    """
    if not 0.0 < hole < tube.bore:
        raise GeometryError(f"hole {hole:g} mm in a tube of {tube.bore:g} mm bore")
    outer, inner, half = 0.5 * tube.od, 0.5 * tube.bore, 0.5 * hole
    far = 4.0 / 3.0 * (_cubed(outer, half) - _cubed(inner, half))
    near = 4.0 * (_squared(outer, half) - _squared(inner, half))
    first_far = hole * (outer**2 - inner**2)
    first_near = 4.0 / 3.0 * (outer**3 - (outer**2 - half**2) ** 1.5 - inner**3 + (inner**2 - half**2) ** 1.5)
    return NetSection(
        tube,
        hole,
        inertia_fibre=tube.inertia - far,
        inertia_neutral=tube.inertia - near,
        plastic_fibre=tube.plastic_modulus - first_far,
        plastic_neutral=tube.plastic_modulus - first_near,
    )


# Slices of a hole along the tube.
_SLICES = 16


@cache
def hole_flexibility(tube: TubeSection, hole: float) -> tuple[float, float]:
    """Return the added flexibility of a tube at a hole, for moments in the plane of its axis and square to it [1/mm3].

    It is the integral along the hole of 1 / I of the net section less 1 / I of the gross section; plane sections remain
    plane.

    Args:
        tube: the tube.
        hole: diameter of the hole [mm].
    """
    fibre = neutral = 0.0
    for slice_ in range(_SLICES):
        # Equal steps of the angle from the hole centre: width d cos, length along the tube d / 2 times the cosine.
        angle = 0.5 * math.pi * ((slice_ + 0.5) / _SLICES)
        left, length = net_section(tube, hole * math.cos(angle)), hole * math.cos(angle) * 0.5 * math.pi / _SLICES
        fibre += length * (1.0 / left.inertia_fibre - 1.0 / tube.inertia)
        neutral += length * (1.0 / left.inertia_neutral - 1.0 / tube.inertia)
    return fibre, neutral


def _cubed(radius: float, half: float) -> float:
    """Return the integral of (r^2 - y^2)^(3/2) dy from 0 to half."""
    root = math.sqrt(radius**2 - half**2)
    return half / 8.0 * (5.0 * radius**2 - 2.0 * half**2) * root + 0.375 * radius**4 * math.asin(half / radius)


def _squared(radius: float, half: float) -> float:
    """Return the integral of y^2 (r^2 - y^2)^(1/2) dy from 0 to half."""
    angle = math.asin(half / radius)
    return radius**4 / 8.0 * (angle - 0.25 * math.sin(4.0 * angle))


@dataclass(frozen=True)
class Concentration:
    """Peak stress at a cross hole over that of the gross section; `extrapolated` is True outside the chart."""

    factor: Ratio
    extrapolated: bool


@cache
def bending_concentration(tube: TubeSection, hole: float) -> Concentration:
    """Return the factor Ktg of a cross hole in the plane of bending; outside the chart its formula is extrapolated.

    Source: Peterson's chart formula for a round tube with a cross hole in bending, on the gross section.

    Args:
        tube: the tube.
        hole: diameter of the hole [mm].
    """
    x, r = hole / tube.od, tube.bore / tube.od
    c2 = -6.25 - 0.585 * r + 3.115 * r**2
    c3 = 41.0 - 1.071 * r - 6.746 * r**2
    c4 = -45.0 + 1.389 * r + 13.889 * r**2
    return Concentration(3.0 + c2 * x + c3 * x**2 + c4 * x**3, extrapolated=not _is_in_chart(x, r))


def _is_in_chart(x: float, r: float) -> bool:
    ratios = {"hole over outside diameter": x, "bore over outside diameter": r}
    return all(0.0 < value <= datum(_CHART, key=key).value for key, value in ratios.items())


def proof_stress(grade: str) -> Datum:
    """Return the minimum proof stress of a grade by a standard [MPa].

    Raises:
        OutsideTableError: the grade is not in the table.
    """
    return datum("tube_grades", grade=grade, quantity="proof stress")


def elastic_modulus(grade: str) -> Datum:
    """Return Young's modulus of a grade [MPa].

    Raises:
        OutsideTableError: the grade is not in the table.
    """
    return datum("tube_grades", grade=grade, quantity="elastic modulus")
