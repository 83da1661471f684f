"""Unknowns that a survey does not determine, and further readings that would determine them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geom.intake.survey.adjust import null_directions
from geom.intake.survey.network import Network
from geom.intake.survey.readings import LeanReading, LevelReading, Reading, SquareReading, TapeReading

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Smallest component of an undetermined direction that makes an unknown undetermined.
_MIN_COMPONENT = 1e-3
_NEAR_TAPES = 14


@dataclass(frozen=True)
class Gap:
    """Undetermined unknowns by name, and further readings that together would determine them."""

    unknowns: tuple[str, ...]
    remedies: tuple[str, ...]


def find_gap(network: Network, readings: tuple[Reading, ...], unknowns: Array) -> Gap | None:
    """Return the unknowns that a survey does not determine, None where it determines all.

    Args:
        network: the unknowns.
        readings: the readings taken.
        unknowns: an approximate solution [mm, rad].
    """
    import numpy as np

    # A symmetrical start can hide a gap or show a false one; a slightly perturbed one is tested instead.
    moved = unknowns + 1e-3 * np.array([math.sin(3.0 * column + 1.0) for column in range(len(unknowns))])
    slopes = network.system(readings, moved)[1]
    null = null_directions(slopes)
    if len(null) == 0:
        return None
    strength = np.sqrt((slopes**2).sum(axis=0))
    reach = np.abs(null * np.where(strength > 0.0, strength, 1.0)).max(axis=0)
    open_columns = [column for column in range(len(unknowns)) if reach[column] > _MIN_COMPONENT]
    remedies = _remedies(network, slopes, moved, open_columns)
    return Gap(tuple(network.names[column] for column in open_columns), remedies)


def _remedies(network: Network, slopes: Array, unknowns: Array, open_columns: list[int]) -> tuple[str, ...]:
    """Choose further readings one by one, each the most informative on what is still undetermined."""
    import numpy as np

    candidates = _candidates(network, unknowns, set(open_columns))
    rows = network.system(tuple(candidates), unknowns)[1] if candidates else np.zeros((0, len(unknowns)))
    chosen: list[str] = []
    while len(chosen) < 40:
        null = null_directions(slopes)
        if len(null) == 0:
            return tuple(chosen)
        information = np.sqrt(((rows @ null.T) ** 2).sum(axis=1))
        if not len(information) or float(information.max()) < 1e-9:
            break
        # The first of those with nearly the same information, so that the choice does not depend on rounding.
        best = int(np.flatnonzero(information >= 0.999 * float(information.max()))[0])
        chosen.append(candidates[best].label)
        slopes = np.vstack([slopes, rows[best]])
    return tuple(chosen)


def _candidates(network: Network, unknowns: Array, open_columns: set[int]) -> list[Reading]:
    """Return readings that could be taken of undetermined points: leans, tapes, offsets and stations, levels."""
    survey = network.survey
    places = {point.name: network.locate(point.name, unknowns) for point in survey.points}
    loose = [name for name, place in places.items() if any(column in open_columns for column, _ in place.slopes)]
    tapes: list[Reading] = []
    for name in loose:
        others = sorted(
            (other for other in places if other != name),
            key=lambda other: (other in loose, math.dist(places[other].at, places[name].at)),
        )
        for other in others[:_NEAR_TAPES]:
            start, end = sorted((name, other))
            tapes.append(TapeReading(start, end, 0.0, 2.0))
    squares: list[Reading] = [SquareReading(name, way, 0.0, 5.0) for name in loose for way in ("x", "y")]
    setups = list(network.level_of)
    levels: list[Reading] = [LevelReading(setup, name, 0.0, 3.0) for setup in setups for name in loose]
    leans: list[Reading] = [
        LeanReading(post.id, way, 0.0, math.radians(0.3))
        for post in survey.posts
        if open_columns & set(network.attitude_of[post.id])
        for way in ("lean", "rake")
    ]
    return [*leans, *tapes, *squares, *levels]
