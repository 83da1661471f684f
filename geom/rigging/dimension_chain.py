"""The dimension chain of a path: rail eyes by their coordinates, holes by foot, lean, rake and height.

Source: JCGM 100:2008, 5.1.2 (law of propagation, and its second-order terms in the note), 4.3.7 (a plus-or-minus
figure of which nothing else is known is a rectangular distribution: variance a^2 / 3).
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from geom import vec
from geom.boat.model import Boat, RunEnd, Side, Uncertainty
from geom.data import table
from geom.data.table import Datum
from geom.frozen import frozen
from geom.intake.survey.closure import tube_axis_slopes
from geom.placement.place import PlacedPost, PlacedRun, side_sign, tube_axis
from geom.remark import Remark, Stated
from geom.vec import Vec

# Of a plan: what is exact, and the tolerances that the fabricator works to, in data/shop_limits.csv.
_PLANNED = ("xy", "z")
_TOLERANCES = {"lean": "tube to plate", "along": "hole position"}
_AXES: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True)
class PlusMinus:
    """Plus or minus of each kind of measurement: lengths [mm], lean [rad], and the source of the figures."""

    xy: float
    z: float
    lean: float
    along: float
    tape: float
    source: Stated
    tape_source: Stated


@frozen
class Node:
    """A point of the path with the measurements that place it; `half_widths` [mm or rad] in the order of `place`.

    `slopes` are the derivatives of its coordinates by each measurement [mm/mm or mm/rad].
    """

    name: str
    half_widths: tuple[float, ...]
    slopes: tuple[Vec, ...]
    place: Callable[[tuple[float, ...]], Vec]

    @property
    def at(self) -> Vec:
        """The point as measured."""
        return self.place((0.0,) * len(self.half_widths))

    def covariance(self) -> tuple[Vec, Vec, Vec]:
        """Return the covariance of the point's coordinates [mm2]."""
        xx = xy = xz = yy = yz = zz = 0.0
        for half, (x, y, z) in zip(self.half_widths, self.slopes, strict=True):
            variance = half * half / 3.0
            xx, xy, xz = xx + x * x * variance, xy + x * y * variance, xz + x * z * variance
            yy, yz, zz = yy + y * y * variance, yz + y * z * variance, zz + z * z * variance
        return (xx, xy, xz), (xy, yy, yz), (xz, yz, zz)


@dataclass(frozen=True)
class Chain:
    """The nodes of a path in order; a constant stand-off at its ends adds no error."""

    nodes: tuple[Node, ...]

    def path(self) -> float:
        """Return the measured length from node to node [mm]."""
        return _length([node.at for node in self.nodes])

    def draw(self, source: random.Random) -> float:
        """Return the length for one random draw of all measurements [mm]."""
        points = [node.place(tuple(source.uniform(-half, half) for half in node.half_widths)) for node in self.nodes]
        return _length(points)


@dataclass(frozen=True)
class PathError:
    """Error of a path from its survey [mm]: linear standard uncertainty, and what the linear estimate leaves out.

    `bias` is the mean excess of the true path over the measured one, `second_order` the standard uncertainty added
    by curvature.
    """

    linear: float
    bias: float
    second_order: float


@cache
def _common_practice() -> Mapping[str, Datum]:
    return {key: table.datum("measure_uncertainty", key=key) for key in ("xy", "z", "lean", "along", "tape")}


@cache
def _drawing_tolerances() -> Mapping[str, Datum]:
    return {key: table.datum("shop_limits", key=word) for key, word in _TOLERANCES.items()}


def plus_minus(boat: Boat) -> PlusMinus:
    """Return the plus-or-minus figures in force: those of the boat file, else common practice from the data.

    The figures of a plan were not measured: where the boat file states none, they have the tolerances of the drawing
    alone, of the tube to its plate and of the holes along it, and its points have none.
    """
    return _plus_minus(boat.uncertainty, boat.survey == "as designed")


@lru_cache(maxsize=64)
def _plus_minus(stated: Uncertainty | None, designed: bool) -> PlusMinus:
    data = {**_common_practice(), **(_drawing_tolerances() if designed else {})}

    def of(key: str, own: float | None) -> float:
        if own is not None:
            return own
        if designed and key in _PLANNED:
            return 0.0
        value = data[key].value
        return math.radians(value) if data[key].unit == "deg" else value

    return PlusMinus(
        xy=of("xy", stated.xy if stated else None),
        z=of("z", stated.z if stated else None),
        lean=of("lean", stated.lean if stated else None),
        along=of("along", stated.along if stated else None),
        tape=of("tape", stated.tape if stated else None),
        source=stated.source if stated else Remark("source.drawing" if designed else "source.survey_practice"),
        tape_source=stated.source if stated and stated.tape is not None else data["tape"].source,
    )


def chain_of(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun, off: PlusMinus) -> Chain:
    """Return the dimension chain of a run's path.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        run: the placed run.
        off: plus or minus of each kind of measurement.
    """
    nodes = [_end_node(boat, posts, run, run.spec.start, off)]
    nodes += [_hole_node(posts[passage.hole.post], passage.hole.along, off) for passage in run.passages]
    nodes.append(_end_node(boat, posts, run, run.spec.finish, off))
    return Chain(tuple(nodes))


def path_error(chain: Chain) -> PathError:
    """Return the error of a path from the survey.

    To first order only the part of each point's error along its two legs counts; the part square to a leg of
    length L lengthens the leg by (square error)^2 / 2L.
    """
    points = [node.at for node in chain.nodes]
    spreads = [node.covariance() for node in chain.nodes]
    legs = [vec.unit(vec.sub(b, a)) for a, b in pairwise(points)]
    variance = 0.0
    for index, spread in enumerate(spreads):
        gradient: Vec = (0.0, 0.0, 0.0)
        if index > 0:
            gradient = vec.add(gradient, legs[index - 1])
        if index < len(legs):
            gradient = vec.sub(gradient, legs[index])
        variance += vec.dot(gradient, _times(spread, gradient))
    bias = curvature = 0.0
    for index, leg in enumerate(legs):
        both = tuple(vec.add(a, b) for a, b in zip(spreads[index], spreads[index + 1], strict=True))
        trace, squares = _square_part((both[0], both[1], both[2]), leg)
        length = vec.distance(points[index], points[index + 1])
        bias += trace / (2.0 * length)
        curvature += squares / (2.0 * length * length)
    return PathError(math.sqrt(variance), bias, math.sqrt(curvature))


def _end_node(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun, end: RunEnd, off: PlusMinus) -> Node:
    if end.eye is not None:
        at = boat.eye(end.eye).at
        return Node(end.eye, (off.xy, off.xy, off.z), _AXES, lambda d: vec.add(at, (d[0], d[1], d[2])))
    assert end.post is not None
    post = posts[end.post]
    hole = post.hole(run.level)
    assert hole is not None
    return _hole_node(post, hole.along, off)


def _hole_node(post: PlacedPost, along: float, off: PlusMinus) -> Node:
    side: Side = post.side
    foot, lean, rake = post.foot, post.lean, post.rake

    def place(d: tuple[float, ...]) -> Vec:
        axis = tube_axis(side, lean + d[3], rake + d[4])
        return vec.along(vec.add(foot, (d[0], d[1], d[2])), axis, along + d[5])

    axis, by_lean, by_rake = tube_axis_slopes(side_sign(side), lean, rake)
    slopes = (*_AXES, vec.scale(by_lean, along), vec.scale(by_rake, along), axis)
    return Node(post.id, (off.xy, off.xy, off.z, off.lean, off.lean, off.along), slopes, place)


def _length(points: list[Vec]) -> float:
    return math.fsum(vec.distance(a, b) for a, b in pairwise(points))


def _times(matrix: tuple[Vec, Vec, Vec], vector: Vec) -> Vec:
    return (vec.dot(matrix[0], vector), vec.dot(matrix[1], vector), vec.dot(matrix[2], vector))


def _square_part(spread: tuple[Vec, Vec, Vec], leg: Vec) -> tuple[float, float]:
    """Return trace [mm2] and sum of squares [mm4] of the part of a covariance square to a leg.

    Of C that is P C P with P = 1 - leg leg^T: tr C - leg^T C leg, and |C|^2 - 2 |C leg|^2 + (leg^T C leg)^2.
    """
    by_leg = _times(spread, leg)
    along = vec.dot(leg, by_leg)
    (xx, _, _), (_, yy, _), (_, _, zz) = spread
    whole = vec.dot(spread[0], spread[0]) + vec.dot(spread[1], spread[1]) + vec.dot(spread[2], spread[2])
    # Rounding leaves less than nothing of a covariance that has no part square to the leg.
    return max(xx + yy + zz - along, 0.0), max(whole - 2.0 * vec.dot(by_leg, by_leg) + along * along, 0.0)
