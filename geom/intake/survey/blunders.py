"""Detection of wrong readings, one at a time, with those that cannot be told apart from each.

Source of the test: standardised residuals against a normal bound, Baarda, A testing procedure for use in
geodetic networks (1968). The bound gives the stated probability of a false alarm over a survey of
m readings without errors (Bonferroni: chance / m for each reading).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from geom.intake.survey.adjust import covariance_of, null_directions

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Rows = NDArray[np.bool_]

# Readings whose squared standardised residuals differ by less than this (three standard deviations, squared)
# cannot be told apart: either may be the wrong one.
_INDISTINGUISHABLE = 9.0
# Residual over sigma of the robust fit above which a reading is a suspect at the start.
_SUSPECT = 5.0
_MIN_REDUNDANCY = 1e-6


@dataclass(frozen=True)
class Wrong:
    """A reading that the others contradict.

    `row` is its index among the readings; `weighted_error` its likely error over sigma (read less predicted by
    the others); `alike` the rows of readings that would explain the contradiction as well.
    """

    row: int
    weighted_error: float
    alike: tuple[int, ...]


def residual_bound(readings: int, chance: float) -> float:
    """Return the bound of a standardised residual, dimensionless.

    Args:
        readings: number of readings in the survey.
        chance: probability of a false alarm over the whole survey, a share.
    """
    from scipy.special import ndtri

    return float(-ndtri(chance / (2.0 * max(readings, 1))))


def min_detectable(sigma: float, redundancy: float, bound: float, power: float = 0.95) -> float:
    """Return the smallest error of a reading that is detected with the stated power [mm or rad, as sigma].

    Source: minimal detectable bias, Baarda (1968): sigma (bound + z_power) / sqrt(redundancy).

    Args:
        sigma: standard deviation of the reading [mm or rad].
        redundancy: redundancy number of the reading, a share from 0 to 1.
        bound: bound of the standardised residual, dimensionless.
        power: probability of detection, a share.
    """
    from scipy.special import ndtri

    if redundancy <= _MIN_REDUNDANCY:
        return float("inf")
    return sigma * (bound + float(ndtri(power))) / float(redundancy**0.5)


def find_wrong(closure: Array, slopes: Array, bound: float) -> tuple[Wrong, ...]:
    """Return the wrong readings of a survey, linearised at the unknowns of a robust fit.

    Readings are rejected one at a time, the worst first, starting from all of them and from all but the
    suspects; then each reading that agrees with the rest is readmitted. The set is kept that explains the
    survey with the fewest rejections.

    Args:
        closure: computed less read, over sigma, at those unknowns; n values, dimensionless.
        slopes: weighted derivatives, n by number of unknowns, full column rank.
        bound: largest standardised residual of a correct reading, dimensionless.
    """
    import numpy as np

    all_rows: Rows = np.ones(len(closure), dtype=np.bool_)
    unsuspected: Rows = np.abs(closure) <= _SUSPECT
    candidates = []
    for start in (all_rows, unsuspected):
        if len(null_directions(slopes[start])) == 0:
            candidates.append(_readmit(closure, slopes, _reject(closure, slopes, start.copy(), bound), bound))
    if not candidates:
        return ()
    kept = min(candidates, key=lambda active: _cost(closure, slopes, active, bound))
    return tuple(_explain(closure, slopes, kept, int(row), bound) for row in np.flatnonzero(~kept))


def _fit(closure: Array, slopes: Array, active: Rows) -> tuple[Array, Array]:
    """Return the step from the linearisation point and the covariance, from active readings."""
    covariance = covariance_of(slopes[active])
    return covariance @ (slopes[active].T @ -closure[active]), covariance


def _standardised(closure: Array, slopes: Array, active: Rows) -> Array:
    """Return standardised residuals of active readings, and of the others against a fit without them."""
    import numpy as np

    step, covariance = _fit(closure, slopes, active)
    residual = closure + slopes @ step
    spread = np.einsum("ij,jk,ik->i", slopes, covariance, slopes)
    variance = np.where(active, 1.0 - spread, 1.0 + spread)
    checked = variance > _MIN_REDUNDANCY
    return np.where(checked, residual / np.sqrt(np.where(checked, variance, 1.0)), 0.0)


def _reject(closure: Array, slopes: Array, active: Rows, bound: float) -> Rows:
    import numpy as np

    maximum = len(closure) - slopes.shape[1]
    while int((~active).sum()) < maximum:
        tested = np.where(active, np.abs(_standardised(closure, slopes, active)), 0.0)
        worst = int(tested.argmax())
        if tested[worst] <= bound:
            break
        active[worst] = False
    return active


def _readmit(closure: Array, slopes: Array, active: Rows, bound: float) -> Rows:
    import numpy as np

    while not active.all():
        tested = np.where(active, np.inf, np.abs(_standardised(closure, slopes, active)))
        best = int(tested.argmin())
        if tested[best] > bound:
            break
        active[best] = True
    return active


def _cost(closure: Array, slopes: Array, active: Rows, bound: float) -> float:
    step, _ = _fit(closure, slopes, active)
    residual = (closure + slopes @ step)[active]
    return float(residual @ residual) + bound**2 * float((~active).sum())


def _explain(closure: Array, slopes: Array, kept: Rows, row: int, bound: float) -> Wrong:
    """Return a wrong reading with the others that would explain the contradiction as well."""
    import numpy as np

    step, _ = _fit(closure, slopes, kept)
    error = -float((closure + slopes @ step)[row])
    with_it = kept.copy()
    with_it[row] = True
    tested = np.abs(_standardised(closure, slopes, with_it))
    alike = [
        int(other)
        for other in np.flatnonzero(with_it)
        if other != row and tested[other] > bound and tested[other] ** 2 > tested[row] ** 2 - _INDISTINGUISHABLE
    ]
    return Wrong(row, error, tuple(alike))
