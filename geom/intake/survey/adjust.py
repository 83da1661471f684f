"""Least-squares adjustment: unknowns with covariance, residuals and redundancy of each reading.

Source of the formulas: observation equations, weights 1/sigma^2, covariance (A'PA)^-1 and redundancy
numbers diag(I - A (A'PA)^-1 A'P) as in the textbooks on adjustment of observations; Baarda, A testing
procedure for use in geodetic networks (1968).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from geom.errors import CannotFinishError
from geom.intake.survey.network import Network
from geom.intake.survey.readings import Reading

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Singular values below this share of the largest count as zero: that direction is not determined.
RANK_TOLERANCE = 1e-9
# Smallest pivot of the scaled normal matrix; below it an unknown is not separated from the others.
MIN_PIVOT = 1e-7


class NoConvergenceError(CannotFinishError):
    """The iteration does not converge: `moving` are the columns of the unknowns that still move."""

    def __init__(self, moving: tuple[int, ...]) -> None:
        super().__init__(
            "the adjustment of the survey does not converge; give approximate positions (`near`) of its points"
        )
        self.moving = moving


@dataclass(frozen=True, eq=False)
class Adjustment:
    """A solved network; residuals are computed less read, over sigma (`weighted`)."""

    readings: tuple[Reading, ...]
    unknowns: Array
    covariance: Array
    weighted: Array
    redundancy: Array

    @property
    def freedom(self) -> int:
        """Degrees of freedom: readings beyond the number of unknowns."""
        return len(self.readings) - len(self.unknowns)

    @property
    def weighted_squares(self) -> float:
        """Sum of the squared weighted residuals, dimensionless."""
        return float(self.weighted @ self.weighted)

    @property
    def unit_deviation(self) -> float | None:
        """Standard deviation of unit weight after adjustment, dimensionless; None where nothing is over-determined."""
        return (self.weighted_squares / self.freedom) ** 0.5 if self.freedom > 0 else None

    @property
    def standardised(self) -> Array:
        """Residuals over their own standard deviation; 0 where a reading is not checked by any other."""
        import numpy as np

        checked = self.redundancy > 1e-6
        return np.where(checked, self.weighted / np.sqrt(np.where(checked, self.redundancy, 1.0)), 0.0)


def null_directions(slopes: Array) -> Array:
    """Return the directions of the unknowns that no reading determines, as rows.

    Each unknown is scaled by the norm of its column, so that mm and rad are treated alike.
    """
    import numpy as np

    strength = np.sqrt((slopes**2).sum(axis=0))
    scale = np.where(strength > 0.0, strength, 1.0)
    _, singular, rows = np.linalg.svd(slopes / scale, full_matrices=True)
    rank = int((singular > max(float(singular.max(initial=0.0)), 1e-300) * RANK_TOLERANCE).sum())
    return rows[rank:] / scale


def descend(network: Network, readings: tuple[Reading, ...], start: Array, *, robust: bool) -> Array:
    """Return the unknowns that best fit the readings, by damped least squares from approximate values.

    Args:
        network: the unknowns.
        readings: the readings to fit.
        start: approximate unknowns [mm, rad].
        robust: bound the influence of outliers, so that a wrong reading does not distort the others.
    """
    from scipy.optimize import least_squares

    def closure(unknowns: Array) -> Array:
        return network.system(readings, unknowns)[0]

    def slopes(unknowns: Array) -> Array:
        return network.system(readings, unknowns)[1]

    fit = least_squares(
        closure,
        start,
        jac=slopes,
        method="trf",
        x_scale="jac",
        loss="soft_l1" if robust else "linear",
        f_scale=1.5,
        ftol=1e-9 if robust else 1e-12,
        xtol=1e-9 if robust else 1e-12,
        gtol=1e-9,
        max_nfev=200,
    )
    unknowns: Array = fit.x
    return unknowns


def adjust(network: Network, readings: tuple[Reading, ...], start: Array) -> Adjustment:
    """Return the least-squares solution, iterated to machine accuracy by Gauss-Newton steps.

    Args:
        network: the unknowns.
        readings: the readings to fit.
        start: approximate unknowns [mm, rad].

    Raises:
        NoConvergenceError: the iteration does not converge.
        CannotFinishError: an unknown is not determined.
    """
    import numpy as np

    try:
        return _newton(network, readings, start)
    except (CannotFinishError, np.linalg.LinAlgError):
        # Full steps from poor starting values may overshoot; a damped descent brings them close enough.
        return _newton(network, readings, descend(network, readings, start, robust=False))


def _newton(network: Network, readings: tuple[Reading, ...], start: Array) -> Adjustment:
    import numpy as np

    unknowns = start.copy()
    for _ in range(30):
        closure, slopes = network.system(readings, unknowns)
        step = np.linalg.lstsq(slopes, -closure, rcond=None)[0]
        unknowns = unknowns + step
        if float(np.abs(step).max(initial=0.0)) < 1e-9:
            break
    else:
        most = float(np.abs(step).max())
        raise NoConvergenceError(tuple(int(column) for column in np.flatnonzero(np.abs(step) > 0.1 * most)))
    closure, slopes = network.system(readings, unknowns)
    covariance = covariance_of(slopes)
    redundancy = 1.0 - np.einsum("ij,jk,ik->i", slopes, covariance, slopes)
    return Adjustment(readings, unknowns, covariance, closure, np.clip(redundancy, 0.0, 1.0))


def covariance_of(slopes: Array) -> Array:
    """Return the covariance of the unknowns from the weighted derivatives, which must have full rank.

    Columns are scaled to unit norm before inversion, since mm and rad are mixed.

    Raises:
        CannotFinishError: an unknown is not determined at these values.
    """
    import numpy as np

    strength = np.sqrt((slopes**2).sum(axis=0))
    scaled = slopes / np.where(strength > 0.0, strength, 1.0)
    normal = scaled.T @ scaled
    try:
        pivot = np.linalg.cholesky(normal).diagonal().min(initial=1.0)
    except np.linalg.LinAlgError:
        pivot = 0.0
    if pivot < MIN_PIVOT:
        raise CannotFinishError(
            "a point is in a position that its readings do not determine; measure it from another direction as well"
        )
    inverse = np.linalg.inv(normal)
    covariance: Array = inverse / np.outer(strength, strength)
    return covariance
