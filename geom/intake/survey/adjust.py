"""Least squares: readings to unknowns with their covariance, residuals and how well each reading is checked.

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

# Below this share of the largest singular value a direction of the unknowns is not determined.
RANK_SHARE = 1e-9
# An unknown of which less than this share is told apart from the others is not determined.
LEAST_SHARE = 1e-7


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
        """How many readings there are beyond those needed."""
        return len(self.readings) - len(self.unknowns)

    @property
    def weighted_squares(self) -> float:
        """Sum of the squared weighted residuals."""
        return float(self.weighted @ self.weighted)

    @property
    def unit_deviation(self) -> float | None:
        """The standard deviation of unit weight after adjustment; None where nothing is over-determined."""
        return (self.weighted_squares / self.freedom) ** 0.5 if self.freedom > 0 else None

    @property
    def standardised(self) -> Array:
        """Residuals over their own standard deviation; 0 where a reading is not checked by any other."""
        import numpy as np

        checked = self.redundancy > 1e-6
        return np.where(checked, self.weighted / np.sqrt(np.where(checked, self.redundancy, 1.0)), 0.0)


def null_directions(slopes: Array) -> Array:
    """Return the directions of the unknowns that the readings say nothing of, as orthonormal rows.

    Each unknown is scaled by how strongly it is read, so that a mixed set of mm and rad is judged alike.
    """
    import numpy as np

    strength = np.sqrt((slopes**2).sum(axis=0))
    scale = np.where(strength > 0.0, strength, 1.0)
    _, singular, rows = np.linalg.svd(slopes / scale, full_matrices=True)
    rank = int((singular > max(float(singular.max(initial=0.0)), 1e-300) * RANK_SHARE).sum())
    return rows[rank:] / scale


def descend(network: Network, readings: tuple[Reading, ...], start: Array, *, robust: bool) -> Array:
    """Return the unknowns that fit the readings best, from rough ones.

    Args:
        network: the unknowns.
        readings: the readings to fit.
        start: rough unknowns.
        robust: pull of a far-out reading bounded, so that a wrong one does not spoil the others.
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
    found: Array = fit.x
    return found


def adjust(network: Network, readings: tuple[Reading, ...], start: Array) -> Adjustment:
    """Return the least-squares solution, taken to full machine accuracy by Newton's steps.

    Raises:
        CannotFinishError: the steps do not settle.
    """
    import numpy as np

    try:
        return _newton(network, readings, start)
    except (CannotFinishError, np.linalg.LinAlgError):
        # Full steps from afar may overshoot; a damped descent leads near enough for them.
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
        raise CannotFinishError("the survey's adjustment does not settle; give rough places (`near`) to its points")
    closure, slopes = network.system(readings, unknowns)
    covariance = covariance_of(slopes)
    redundancy = 1.0 - np.einsum("ij,jk,ik->i", slopes, covariance, slopes)
    return Adjustment(readings, unknowns, covariance, closure, np.clip(redundancy, 0.0, 1.0))


def covariance_of(slopes: Array) -> Array:
    """Return the covariance of the unknowns from the weighted derivatives, which must have full rank.

    Scaled to like strengths before it is inverted, since mm stand beside rad.

    Raises:
        CannotFinishError: some unknown is not determined at this place.
    """
    import numpy as np

    strength = np.sqrt((slopes**2).sum(axis=0))
    scaled = slopes / np.where(strength > 0.0, strength, 1.0)
    normal = scaled.T @ scaled
    try:
        share = np.linalg.cholesky(normal).diagonal().min(initial=1.0)
    except np.linalg.LinAlgError:
        share = 0.0
    if share < LEAST_SHARE:
        raise CannotFinishError("a point came to lie where its readings do not fix it; take it from another side too")
    inverse = np.linalg.inv(normal)
    covariance: Array = inverse / np.outer(strength, strength)
    return covariance
