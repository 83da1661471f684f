"""The result of a survey: points, posts, residuals and blunders, with their uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geom.intake.survey.adjust import Adjustment
from geom.intake.survey.causes import Cause
from geom.intake.survey.network import Network
from geom.intake.survey.readings import LeanReading, LevelReading, Reading, SquareReading, Survey
from geom.intake.survey.reliability import Doubt
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
    """One reading after adjustment [mm or rad]; `used` is False for one rejected as wrong.

    `residual` is read less computed. A `redundancy` of 0 means that no other reading checks it, 1 that it is
    fully checked. `min_detectable` is the smallest error detected in 95 of 100 surveys.
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
    """A reading contradicted by the others: its computed value [mm or rad], likely causes, other suspects."""

    reading: Reading
    should_be: float
    causes: tuple[Cause, ...]
    alike: tuple[Reading, ...]

    @property
    def error(self) -> float:
        """Read less computed [mm or rad]."""
        return self.reading.value - self.should_be

    def words(self) -> str:
        """Return the blunder in one sentence."""
        is_angle = isinstance(self.reading, LeanReading)
        factor, unit, places = (180.0 / math.pi, "deg", 1) if is_angle else (1.0, "mm", 0)
        # As typed: a staff read down from the line, and an offset to port, have no minus sign on the form.
        if isinstance(self.reading, LevelReading | SquareReading):
            factor *= self.reading.sign
        read, text = decimal(self.reading.value * factor, places), self.reading.text
        typed = f" (typed {text})" if text and not text.lstrip("+").startswith(read) else ""
        sentence = (
            f"{self.reading.label}: read {read} {unit}{typed}, "
            f"computed {decimal(self.should_be * factor, places)} {unit}"
        )
        if self.causes:
            names = " or ".join(dict.fromkeys(cause.name for cause in self.causes))
            sentence += f"; likely {names} (would be {decimal(self.causes[0].would_be * factor, places)} {unit})"
        else:
            sentence += "; cause unknown"
        if self.alike:
            sentence += f"; or one of these is wrong instead: {', '.join(other.label for other in self.alike)}"
        return sentence


@dataclass(frozen=True, eq=False)
class SurveyResult:
    """A solved survey; a `unit_deviation` near 1 means that residuals agree with the stated uncertainties.

    `bound` is the largest standardised residual of a correct reading, dimensionless.
    """

    survey: Survey
    points: tuple[SurveyedPoint, ...]
    posts: tuple[SurveyedPost, ...]
    rows: tuple[ResidualRow, ...]
    blunders: tuple[Blunder, ...]
    unchecked: tuple[Reading, ...]
    doubts: tuple[Doubt, ...]
    bound: float
    freedom: int
    unit_deviation: float | None
    unit_bounds: tuple[float, float] | None
    network: Network
    adjustment: Adjustment

    @property
    def withheld(self) -> frozenset[str]:
        """The names of the parts that are not handed on: feet, holes, eyes, `lean and rake of S-S1`."""
        return frozenset(part.name for doubt in self.doubts for part in doubt.parts)

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
        """Return the given number of rows with the largest standardised residuals, the worst first."""
        return tuple(sorted(self.rows, key=lambda row: -abs(row.standardised))[:count])
