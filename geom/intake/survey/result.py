"""What a solved survey holds: points, posts, residuals and blunders, each with how far it can be trusted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geom.intake.survey.adjust import Adjustment
from geom.intake.survey.causes import Cause
from geom.intake.survey.network import Network
from geom.intake.survey.readings import LeanReading, Reading, Survey
from geom.units import Mm, Rad, decimal
from geom.vec import Vec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True)
class SurveyedPoint:
    """A point with the standard deviation of each coordinate [mm]; 0 for a coordinate that was held."""

    name: str
    at: Vec
    sd: Vec


@dataclass(frozen=True)
class SurveyedHole:
    """A hole of a surveyed post: distance along the tube from the foot and its standard deviation [mm]."""

    name: str
    along: Mm
    along_sd: Mm


@dataclass(frozen=True)
class SurveyedPost:
    """A post's attitude [rad] with standard deviations, and its holes."""

    id: str
    foot: str
    lean: Rad
    lean_sd: Rad
    rake: Rad
    rake_sd: Rad
    holes: tuple[SurveyedHole, ...]


@dataclass(frozen=True)
class ResidualRow:
    """One reading after adjustment [mm or rad]; `used` is False for one thrown out as wrong.

    `residual` is read less computed. `redundancy` 0 means that no other reading checks it, 1 that it is
    wholly checked. `least_found` is the smallest error that would have been found in 95 of 100 surveys.
    """

    reading: Reading
    computed: float
    residual: float
    standardised: float
    redundancy: float
    min_detectable: float
    used: bool


@dataclass(frozen=True)
class Blunder:
    """A reading that the others contradict: what it should read, likely causes, and its indistinguishable peers."""

    reading: Reading
    should_be: float
    causes: tuple[Cause, ...]
    alike: tuple[Reading, ...]

    @property
    def error(self) -> float:
        """Read less what it should be [mm or rad]."""
        return self.reading.value - self.should_be

    def words(self) -> str:
        """Return the blunder in one sentence."""
        is_angle = isinstance(self.reading, LeanReading)
        factor, unit, places = (180.0 / math.pi, "deg", 1) if is_angle else (1.0, "mm", 0)
        said = (
            f"{self.reading.label}: read {decimal(self.reading.value * factor, places)} {unit}, "
            f"the others say {decimal(self.should_be * factor, places)} {unit}"
        )
        said += f"; likely {self.causes[0]}" if self.causes else "; cause unknown"
        if self.alike:
            said += f"; or else wrong instead: {', '.join(other.label for other in self.alike)}"
        return said


@dataclass(frozen=True, eq=False)
class SurveyResult:
    """A solved survey. `unit_deviation` near 1 says that the stated uncertainties fit the residuals."""

    survey: Survey
    points: tuple[SurveyedPoint, ...]
    posts: tuple[SurveyedPost, ...]
    rows: tuple[ResidualRow, ...]
    blunders: tuple[Blunder, ...]
    unchecked: tuple[Reading, ...]
    bound: float
    freedom: int
    unit_deviation: float | None
    unit_bounds: tuple[float, float] | None
    network: Network
    adjustment: Adjustment

    def point(self, name: str) -> SurveyedPoint:
        """Return a point by its name."""
        return next(point for point in self.points if point.name == name)

    def places(self) -> dict[str, Vec]:
        """Return the coordinates by point name [mm]."""
        return {point.name: point.at for point in self.points}

    def covariance(self, names: list[str]) -> Array:
        """Return the covariance of points' coordinates, x y z in turn, 3n by 3n [mm^2]."""
        slopes = self.network.point_slopes(names, self.adjustment.unknowns)
        covariance: Array = slopes @ self.adjustment.covariance @ slopes.T
        return covariance

    def worst(self, count: int) -> tuple[ResidualRow, ...]:
        """Return the rows with the largest standardised residuals, the worst first."""
        return tuple(sorted(self.rows, key=lambda row: -abs(row.standardised))[:count])
