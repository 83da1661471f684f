"""Approximate positions to start from: each point by intersecting circles about points already placed.

An approximate position only has to lead the adjustment to the right solution. Since a single wrong tape must
not mislead it, the candidate is chosen that most tapes agree with.
"""

from __future__ import annotations

import math
from itertools import combinations
from statistics import median
from typing import TYPE_CHECKING

from geom import vec
from geom.intake.survey.closure import tube_axis_slopes
from geom.intake.survey.network import Network
from geom.intake.survey.readings import (
    LeanReading,
    LevelReading,
    SquareReading,
    Survey,
    SurveyPoint,
    SurveyPost,
    TapeReading,
)
from geom.vec import Vec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Bound of one tape's misfit at a candidate [mm].
_MAX_MISFIT = 150.0
# Height of an upper hole over the foot where nothing was measured [mm].
_USUAL_HEIGHT = 600.0


class _Places:
    """Positions found so far, and the readings of each point."""

    def __init__(self, survey: Survey) -> None:
        self.survey = survey
        self.placed: dict[str, Vec] = {}
        self.unsure: list[str] = []
        self.tapes: dict[str, list[tuple[str, float]]] = {point.name: [] for point in survey.points}
        for reading in survey.readings:
            if isinstance(reading, TapeReading):
                self.tapes[reading.start].append((reading.end, reading.value))
                self.tapes[reading.end].append((reading.start, reading.value))
        self.squares = {
            (reading.point, reading.along): reading.value
            for reading in survey.readings
            if isinstance(reading, SquareReading)
        }
        self.leans = {
            (reading.post, reading.way): reading.value
            for reading in survey.readings
            if isinstance(reading, LeanReading)
        }
        self.post_of = {name: post for post in survey.posts for name in (post.foot, *post.holes)}
        self.levels = self._levels()

    def _levels(self) -> dict[str, float]:
        """Return heights that follow from level lines through points of known height [mm]."""
        readings = [reading for reading in self.survey.readings if isinstance(reading, LevelReading)]
        known = {point.name: point.held[2] for point in self.survey.points if point.held[2] is not None}
        lines: dict[str, float] = {}
        for _ in range(len(readings) + 1):
            for reading in readings:
                if reading.point in known and reading.setup not in lines:
                    lines[reading.setup] = known[reading.point] - reading.value
            for reading in readings:
                if reading.setup in lines and reading.point not in known:
                    known[reading.point] = lines[reading.setup] + reading.value
        self.lines = lines
        return known

    def known(self, point: SurveyPoint) -> tuple[float | None, float | None, float | None]:
        """Return the coordinates of a point that are held, read square to an axis or levelled."""
        x = point.held[0] if point.held[0] is not None else self.squares.get((point.name, "x"))
        y = point.held[1] if point.held[1] is not None else self.squares.get((point.name, "y"))
        z = point.held[2] if point.held[2] is not None else self.levels.get(point.name)
        return x, y, z

    def approximate_height(self, point: SurveyPoint) -> float:
        """Return a height where none was levelled [mm]: from its post, else the median of points already placed."""
        post = self.post_of.get(point.name)
        if post is not None:
            for other in (post.foot, *post.holes):
                if other in self.levels:
                    step = self.along(post, point.name) - self.along(post, other)
                    return self.levels[other] + step
        heights = [z for z in self.levels.values()] or [at[2] for at in self.placed.values()]
        return median(heights) if heights else 0.0

    def along(self, post: SurveyPost, name: str) -> float:
        """Return a point's approximate distance along its tube from the foot [mm]."""
        if name == post.foot:
            return 0.0
        for other, length in self.tapes[name]:
            if other == post.foot:
                return length
        if name in self.levels and post.foot in self.levels:
            return max(self.levels[name] - self.levels[post.foot], 1.0)
        return _USUAL_HEIGHT * (post.holes.index(name) + 1) / len(post.holes)

    def axis(self, post: SurveyPost) -> Vec:
        """Return a post's approximate direction."""
        attitude = self.survey.attitude
        lean = self.leans.get((post.id, "lean"), post.sign * attitude.heel) - post.sign * attitude.heel
        rake = self.leans.get((post.id, "rake"), attitude.trim) - attitude.trim
        return tube_axis_slopes(post.sign, lean, rake)[0]

    def put(self, name: str, at: Vec) -> None:
        """Set a position; on a post this sets all its points."""
        post = self.post_of.get(name)
        if post is None:
            self.placed[name] = at
            return
        axis = self.axis(post)
        foot = vec.along(at, axis, -self.along(post, name))
        for other in (post.foot, *post.holes):
            self.placed.setdefault(other, vec.along(foot, axis, self.along(post, other)))

    def move(self, name: str, at: Vec) -> None:
        """Change the position of one point only."""
        self.placed[name] = at

    def misfit(self, name: str, at: Vec) -> float:
        """Return the sum of bounded misfits of a candidate's tapes to placed points [mm]."""
        return math.fsum(
            min(abs(vec.distance(at, self.placed[other]) - length), _MAX_MISFIT)
            for other, length in self.tapes[name]
            if other in self.placed
        )


def approximate_places(survey: Survey) -> tuple[dict[str, Vec], tuple[str, ...]]:
    """Return an approximate position of every point, and the names of those that could only be guessed.

    Args:
        survey: the survey as noted.

    Returns:
        Positions by name [mm], and the names of points whose position is a guess.
    """
    places = _Places(survey)
    points = {point.name: point for point in survey.points}
    for point in survey.points:
        x, y, z = places.known(point)
        if point.near is not None:
            places.put(
                point.name,
                (
                    x if x is not None else point.near[0],
                    y if y is not None else point.near[1],
                    z if z is not None else point.near[2],
                ),
            )
        elif x is not None and y is not None:
            places.put(point.name, (x, y, z if z is not None else places.approximate_height(point)))
    unplaced = [name for name in points if name not in places.placed]
    while unplaced:
        best: tuple[float, int, str, Vec] | None = None
        for order, name in enumerate(unplaced):
            candidate = _candidate(places, points[name])
            if candidate is not None:
                misfit, reached, at = candidate
                rank = (-float(reached) + misfit / (_MAX_MISFIT * max(reached, 1)), order, name, at)
                best = rank if best is None or rank < best else best
        if best is None:
            name = unplaced[0]
            places.put(name, _guess(places, points[name]))
            places.unsure.append(name)
        else:
            places.put(best[2], best[3])
        unplaced = [name for name in points if name not in places.placed]
    _refine(places, points)
    return places.placed, tuple(places.unsure)


def _refine(places: _Places, points: dict[str, SurveyPoint]) -> None:
    """Place each point again by all its tapes, now that both ends of each are placed.

    A point that was placed early, from few neighbours, may have followed a wrong tape.
    """
    for _ in range(2):
        for name, point in points.items():
            if point.near is not None or (point.held[0] is not None and point.held[1] is not None):
                continue
            candidate = _candidate(places, point)
            if candidate is not None and candidate[0] < places.misfit(name, places.placed[name]) - 1.0:
                places.move(name, candidate[2])


def _candidate(places: _Places, point: SurveyPoint) -> tuple[float, int, Vec] | None:
    """Return a point's best position by its tapes: misfit [mm], number of tapes used, position [mm]."""
    x, y, z = places.known(point)
    height = z if z is not None else places.approximate_height(point)
    circles = []
    for other, length in places.tapes[point.name]:
        if other in places.placed:
            centre = places.placed[other]
            flat = length * length - (height - centre[2]) ** 2
            circles.append((centre[0], centre[1], math.sqrt(max(flat, 1.0))))
    crossings: list[tuple[float, float]] = []
    if x is not None or y is not None:
        for cx, cy, radius in circles:
            offset = (y - cy) if y is not None else (x or 0.0) - cx
            half_chord = math.sqrt(max(radius * radius - offset * offset, 0.0))
            if y is not None:
                crossings += [(cx + half_chord, y), (cx - half_chord, y)]
            else:
                crossings += [(x or 0.0, cy + half_chord), (x or 0.0, cy - half_chord)]
    else:
        for first, second in combinations(circles, 2):
            crossings += _crossings(first, second)
    sided = [(px, py, height) for px, py in crossings if _on_side(point, py)]
    if not sided:
        return None
    ranked = sorted((round(places.misfit(point.name, at), 3), -at[0], at) for at in sided)
    return ranked[0][0], len(circles), ranked[0][2]


def _on_side(point: SurveyPoint, y: float) -> bool:
    if point.where in ("unknown", "centreline"):
        return True
    return y >= 0.0 if point.where == "S" else y <= 0.0


def _crossings(first: tuple[float, float, float], second: tuple[float, float, float]) -> list[tuple[float, float]]:
    """Return the intersections of two circles, or the point between them where they do not meet."""
    across = math.hypot(second[0] - first[0], second[1] - first[1])
    if across < 1.0:
        return []
    ux, uy = (second[0] - first[0]) / across, (second[1] - first[1]) / across
    reach = (first[2] ** 2 - second[2] ** 2 + across**2) / (2.0 * across)
    rise = math.sqrt(max(first[2] ** 2 - reach**2, 0.0))
    px, py = first[0] + reach * ux, first[1] + reach * uy
    return [(px - rise * uy, py + rise * ux), (px + rise * uy, py - rise * ux)]


def _guess(places: _Places, point: SurveyPoint) -> Vec:
    x, y, z = places.known(point)
    beside = {"P": -1000.0, "S": 1000.0}.get(point.where, 0.0)
    stations = [at[0] for at in places.placed.values()] or [0.0]
    return (
        x if x is not None else median(stations) + 137.0,
        y if y is not None else beside,
        z if z is not None else places.approximate_height(point),
    )


def start_values(survey: Survey, network: Network) -> tuple[Array, tuple[str, ...]]:
    """Return the starting values of the adjustment [mm, rad], and the points whose position is a guess."""
    import numpy as np

    placed, unsure = approximate_places(survey)
    places = _Places(survey)
    unknowns = np.zeros(len(network.names))
    for point in survey.points:
        if network.is_hole(point.name):
            continue
        for column, value in zip(network.columns_of(point.name), placed[point.name], strict=True):
            if column is not None:
                unknowns[column] = value
    for post in survey.posts:
        lean_column, rake_column = network.attitude_of[post.id]
        axis = places.axis(post)
        unknowns[lean_column] = math.atan(post.sign * axis[1] / axis[2])
        unknowns[rake_column] = math.atan(axis[0] / axis[2])
        for hole in post.holes:
            unknowns[network.along_of(hole)] = max(places.along(post, hole), 1.0)
    for setup, column in network.level_of.items():
        heights = [
            vec.dot(placed[reading.point], network.up) - reading.value
            for reading in survey.readings
            if isinstance(reading, LevelReading) and reading.setup == setup
        ]
        unknowns[column] = median(heights) if heights else 0.0
    return unknowns, unsure
