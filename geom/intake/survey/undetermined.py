"""Unknowns that a survey does not determine, and further readings that would determine them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geom.intake.survey.adjust import null_directions
from geom.intake.survey.further import effort, further_readings
from geom.intake.survey.network import Network
from geom.intake.survey.readings import Reading

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Smallest component of an undetermined direction that makes an unknown undetermined.
_MIN_COMPONENT = 1e-3
# A further reading with this share of the most information is as good, if it is easier to take.
_GOOD_ENOUGH = 0.2
# Derivative of a reading that sees an unknown nearly square on.
_SQUARE = 0.5


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


def barely_determined(network: Network, unknowns: Array, columns: tuple[int, ...]) -> Gap:
    """Return unknowns that a survey hardly determines, with the easiest further reading square to each.

    Args:
        network: the unknowns.
        unknowns: an approximate solution [mm, rad].
        columns: of the unknowns in question.
    """
    points, posts = _open(network, unknowns, set(columns))
    candidates = further_readings(network, unknowns, points, posts)
    slopes = [network.evaluate(one, unknowns)[1] for one in candidates]
    chosen = (
        next((one.label for one, by in zip(candidates, slopes, strict=True) if abs(by.get(column, 0.0)) >= _SQUARE), "")
        for column in columns
    )
    return Gap(tuple(network.names[column] for column in columns), tuple(dict.fromkeys(filter(None, chosen))))


def _open(network: Network, unknowns: Array, columns: set[int]) -> tuple[list[str], list[str]]:
    """Return the points and posts that depend on some of the unknowns."""
    survey = network.survey
    points = [
        point.name
        for point in survey.points
        if any(column in columns for column, _ in network.locate(point.name, unknowns).slopes)
    ]
    return points, [post.id for post in survey.posts if columns & set(network.attitude_of[post.id])]


def _remedies(network: Network, slopes: Array, unknowns: Array, open_columns: list[int]) -> tuple[str, ...]:
    """Choose further readings one by one: the easiest of those that tell enough of what is still undetermined."""
    import numpy as np

    points, posts = _open(network, unknowns, set(open_columns))
    candidates = further_readings(network, unknowns, points, posts)
    rows = network.system(tuple(candidates), unknowns)[1] if candidates else np.zeros((0, len(unknowns)))
    efforts = np.array([effort(network.survey, one) for one in candidates])
    chosen: list[str] = []
    while len(chosen) < 40:
        null = null_directions(slopes)
        if len(null) == 0:
            return tuple(chosen)
        information = np.sqrt(((rows @ null.T) ** 2).sum(axis=1))
        if not len(information) or float(information.max()) < 1e-9:
            break
        good = np.flatnonzero(information >= _GOOD_ENOUGH * float(information.max()))
        easiest = good[efforts[good] == efforts[good].min()]
        # The first of those with nearly the same information, so that the choice does not depend on rounding.
        best = int(easiest[information[easiest] >= 0.999 * float(information[easiest].max())][0])
        chosen.append(candidates[best].label)
        slopes = np.vstack([slopes, rows[best]])
    return tuple(chosen)
