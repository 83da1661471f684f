"""Propagation of uncertainty from coordinates to lengths and heights.

Source: law of propagation of uncertainty, JCGM 100:2008 clause 5.2.2, and propagation of distributions by
random draws, JCGM 101:2008; expanded uncertainty U = k u, JCGM 100:2008 clause 6.2 (from memory, verify).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from geom import vec
from geom.boat.model import Boat, Hole, Level, Post
from geom.data import table
from geom.units import decimal
from geom.vec import Vec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from geom.intake.survey.result import SurveyResult

    Array = NDArray[np.float64]

Quantity = Callable[[Sequence[float]], float]


@dataclass(frozen=True)
class UncertainValue:
    """A value with its standard deviation, in one unit."""

    value: float
    sd: float

    @property
    def expanded(self) -> float:
        """Expanded uncertainty, in the unit of the value: half the width of the 95 per cent band."""
        return coverage() * self.sd

    def words(self, unit: str, decimals: int = 0) -> str:
        """Return the value with its expanded uncertainty, such as `601 +- 5 mm`."""
        return f"{decimal(self.value, decimals)} +- {decimal(self.expanded, decimals)} {unit}"


def coverage() -> float:
    """Return the coverage factor from standard to expanded uncertainty."""
    return table.datum("survey_limits", key="coverage").value


def propagate(quantity: Quantity, values: Sequence[float], covariance: Array, steps: Sequence[float]) -> UncertainValue:
    """Return a quantity with its standard deviation, propagated from its inputs to first order.

    Args:
        quantity: the function of the inputs.
        values: the inputs, n values.
        covariance: their covariance, n by n.
        steps: step of each input for the central difference, in its unit.
    """
    import numpy as np

    slopes = np.zeros(len(values))
    for index, step in enumerate(steps):
        above, below = list(values), list(values)
        above[index] += step
        below[index] -= step
        slopes[index] = (quantity(above) - quantity(below)) / (2.0 * step)
    return UncertainValue(quantity(values), math.sqrt(max(float(slopes @ covariance @ slopes), 0.0)))


def by_random_draws(
    quantity: Quantity, values: Sequence[float], covariance: Array, draws: int, seed: int
) -> UncertainValue:
    """Return a quantity's mean and standard deviation over random draws of its inputs.

    Args:
        quantity: the function of the inputs.
        values: the mean inputs, n values.
        covariance: their covariance, n by n.
        draws: number of draws.
        seed: seed of the random numbers; the same seed gives the same result.
    """
    import numpy as np

    samples = np.random.default_rng(seed).multivariate_normal(np.asarray(values), covariance, size=draws)
    results = np.array([quantity([float(value) for value in sample]) for sample in samples])
    return UncertainValue(float(results.mean()), float(results.std(ddof=1)))


def path_of(points: Sequence[float]) -> float:
    """Return the length of the path through points [mm], given as x, y, z in turn."""
    places = [(points[row], points[row + 1], points[row + 2]) for row in range(0, len(points), 3)]
    return math.fsum(vec.distance(a, b) for a, b in pairwise(places))


def surveyed_path(result: SurveyResult, names: Sequence[str]) -> UncertainValue:
    """Return the length of the path through surveyed points with its uncertainty [mm].

    Args:
        result: a solved survey.
        names: the points in order.
    """
    values = [coordinate for name in names for coordinate in result.point(name).at]
    return propagate(path_of, values, result.covariance(list(names)), [0.1] * len(values))


def surveyed_height(result: SurveyResult, lower: str, upper: str) -> UncertainValue:
    """Return the vertical distance from one surveyed point up to another with its uncertainty [mm].

    Args:
        result: a solved survey.
        lower: name of the lower point.
        upper: name of the upper point.
    """
    values = [coordinate for name in (lower, upper) for coordinate in result.point(name).at]
    return propagate(lambda place: place[5] - place[2], values, result.covariance([lower, upper]), [0.1] * len(values))


@dataclass(frozen=True)
class BoatInputs:
    """The measured values of a boat as one vector [mm, rad], with names: feet, eyes, leans, rakes, hole distances."""

    names: tuple[str, ...]
    values: tuple[float, ...]

    @property
    def steps(self) -> tuple[float, ...]:
        """Step of each value for a central difference: 0.1 mm or 0.1 mrad."""
        return tuple(1e-4 if name.split(" ")[0] in ("lean", "rake") else 0.1 for name in self.names)


def boat_inputs(boat: Boat) -> BoatInputs:
    """Return a boat's measured values in the order of `boat_with`."""
    names: list[str] = []
    values: list[float] = []
    for post in boat.posts:
        names += [f"{axis} of {post.id}" for axis in "XYZ"] + [f"lean of {post.id}", f"rake of {post.id}"]
        values += [*post.foot, post.lean, post.rake]
        for level, hole in post.holes.items():
            names.append(f"along {post.id}-{level}")
            values.append(hole.along)
    for eye in boat.eyes:
        names += [f"{axis} of {eye.id}" for axis in "XYZ"]
        values += eye.at
    return BoatInputs(tuple(names), tuple(values))


def boat_with(boat: Boat, values: Sequence[float]) -> Boat:
    """Return the boat with its measured values replaced, without checks: for derivatives and random draws only."""
    rest = list(values)
    posts = []
    for post in boat.posts:
        (x, y, z, lean, rake), rest = rest[:5], rest[5:]
        along, rest = rest[: len(post.holes)], rest[len(post.holes) :]
        posts.append(_post_with(post, (x, y, z), lean, rake, along))
    eyes = []
    for eye in boat.eyes:
        (x, y, z), rest = rest[:3], rest[3:]
        eyes.append(eye.model_copy(update={"at": (x, y, z)}))
    return boat.model_copy(update={"posts": tuple(posts), "eyes": tuple(eyes)})


def _post_with(post: Post, foot: Vec, lean: float, rake: float, along: Sequence[float]) -> Post:
    holes: dict[Level, Hole] = {
        level: hole.model_copy(update={"along": distance})
        for (level, hole), distance in zip(post.holes.items(), along, strict=True)
    }
    return post.model_copy(update={"foot": foot, "lean": lean, "rake": rake, "holes": holes})


def customary_covariance(inputs: BoatInputs) -> Array:
    """Return a diagonal covariance for a boat without a survey, from customary bounds.

    A bound +-a is taken as a uniform distribution: u = a / sqrt 3, JCGM 100:2008
    clause 4.3.7 (from memory, verify). The bounds are common practice, no source.
    """
    import numpy as np

    square = table.datum("survey_limits", key="square to an axis").value
    height = table.datum("survey_limits", key="height").value
    tape = table.datum("survey_limits", key="tape hole to hole").value
    lean = math.radians(table.datum("survey_limits", key="lean").value)
    bound = {"X": square, "Y": square, "Z": height, "lean": lean, "rake": lean, "along": tape}
    return np.diag([bound[name.split(" ")[0]] ** 2 / 3.0 for name in inputs.names])
