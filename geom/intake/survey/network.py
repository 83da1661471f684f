"""The unknowns of a survey, and each reading as a function of them: values and first derivatives."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from geom import vec
from geom.intake.survey.closure import tube_axis_slopes
from geom.intake.survey.readings import (
    LeanReading,
    LevelReading,
    Reading,
    SquareReading,
    Survey,
    SurveyPost,
    TapeReading,
)
from geom.vec import Vec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_ZERO: Vec = (0.0, 0.0, 0.0)
_UNIT: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True)
class LocatedPoint:
    """A point at given unknowns: its position [mm], and its derivatives by column of the unknowns."""

    at: Vec
    slopes: tuple[tuple[int, Vec], ...]


@dataclass(frozen=True)
class _Free:
    held: tuple[float | None, float | None, float | None]
    columns: tuple[int | None, int | None, int | None]


@dataclass(frozen=True)
class _OnTube:
    post: SurveyPost
    along: int


@dataclass
class Network:
    """Columns of the unknowns: free coordinates, lean, rake and hole distances of posts, heights of level lines."""

    survey: Survey
    names: list[str] = field(default_factory=list)
    _free: dict[str, _Free] = field(default_factory=dict)
    _on_tube: dict[str, _OnTube] = field(default_factory=dict)
    attitude_of: dict[str, tuple[int, int]] = field(default_factory=dict)
    level_of: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        holes = {hole: post for post in self.survey.posts for hole in post.holes}
        for point in self.survey.points:
            if point.name in holes:
                continue
            columns = [
                self._column(f"{axis} of {point.name}") if held is None else None
                for axis, held in zip("XYZ", point.held, strict=True)
            ]
            self._free[point.name] = _Free(point.held, (columns[0], columns[1], columns[2]))
        for post in self.survey.posts:
            self.attitude_of[post.id] = (self._column(f"lean of {post.id}"), self._column(f"rake of {post.id}"))
            for hole in post.holes:
                self._on_tube[hole] = _OnTube(post, self._column(f"distance {post.foot} to {hole}"))
        for reading in self.survey.readings:
            if isinstance(reading, LevelReading) and reading.setup not in self.level_of:
                self.level_of[reading.setup] = self._column(f"height of level line {reading.setup}")

    def _column(self, name: str) -> int:
        self.names.append(name)
        return len(self.names) - 1

    @property
    def up(self) -> Vec:
        """The upward vertical in boat axes, with the boat heeled and trimmed as surveyed."""
        attitude = self.survey.attitude
        return vec.unit((-math.tan(attitude.trim), -math.tan(attitude.heel), 1.0))

    def columns_of(self, point: str) -> tuple[int | None, int | None, int | None]:
        """Return the columns of a free point's coordinates, None where a coordinate is held."""
        return self._free[point].columns

    def along_of(self, hole: str) -> int:
        """Return the column of a hole's distance along its tube."""
        return self._on_tube[hole].along

    def is_hole(self, point: str) -> bool:
        """Return whether a point is a hole on a surveyed post."""
        return point in self._on_tube

    def locate(self, point: str, unknowns: Array) -> LocatedPoint:
        """Return a point's position [mm] and derivatives at given unknowns."""
        if point in self._free:
            free = self._free[point]
            at: list[float] = []
            slopes = []
            for held, column, direction in zip(free.held, free.columns, _UNIT, strict=True):
                at.append(float(unknowns[column]) if column is not None else float(held or 0.0))
                if column is not None:
                    slopes.append((column, direction))
            return LocatedPoint((at[0], at[1], at[2]), tuple(slopes))
        tube = self._on_tube[point]
        foot = self.locate(tube.post.foot, unknowns)
        lean_column, rake_column = self.attitude_of[tube.post.id]
        axis, by_lean, by_rake = tube_axis_slopes(
            tube.post.sign, float(unknowns[lean_column]), float(unknowns[rake_column])
        )
        along = float(unknowns[tube.along])
        return LocatedPoint(
            vec.along(foot.at, axis, along),
            (
                *foot.slopes,
                (lean_column, vec.scale(by_lean, along)),
                (rake_column, vec.scale(by_rake, along)),
                (tube.along, axis),
            ),
        )

    def evaluate(self, reading: Reading, unknowns: Array) -> tuple[float, dict[int, float]]:
        """Return a reading's computed value at given unknowns [mm or rad], and its derivatives by column."""
        slopes: dict[int, float] = {}
        if isinstance(reading, TapeReading):
            start, end = self.locate(reading.start, unknowns), self.locate(reading.end, unknowns)
            between = vec.sub(end.at, start.at)
            length = vec.norm(between)
            towards = vec.scale(between, 1.0 / length) if length > 0.0 else _ZERO
            _gather(slopes, end, towards)
            _gather(slopes, start, vec.scale(towards, -1.0))
            return length, slopes
        if isinstance(reading, SquareReading):
            point = self.locate(reading.point, unknowns)
            direction = _UNIT[0] if reading.along == "x" else _UNIT[1]
            _gather(slopes, point, direction)
            return vec.dot(point.at, direction), slopes
        if isinstance(reading, LevelReading):
            point = self.locate(reading.point, unknowns)
            _gather(slopes, point, self.up)
            slopes[self.level_of[reading.setup]] = -1.0
            return vec.dot(point.at, self.up) - float(unknowns[self.level_of[reading.setup]]), slopes
        return self._attitude(reading, unknowns)

    def _attitude(self, reading: LeanReading, unknowns: Array) -> tuple[float, dict[int, float]]:
        lean_column, rake_column = self.attitude_of[reading.post]
        sign = next(post.sign for post in self.survey.posts if post.id == reading.post)
        if reading.way == "lean":
            return float(unknowns[lean_column]) + sign * self.survey.attitude.heel, {lean_column: 1.0}
        return float(unknowns[rake_column]) + self.survey.attitude.trim, {rake_column: 1.0}

    def system(self, readings: tuple[Reading, ...], unknowns: Array) -> tuple[Array, Array]:
        """Return the weighted misclosures (computed less read, over sigma) and their derivatives by column."""
        import numpy as np

        closure = np.zeros(len(readings))
        slopes = np.zeros((len(readings), len(self.names)))
        for row, reading in enumerate(readings):
            computed, by_column = self.evaluate(reading, unknowns)
            closure[row] = (computed - reading.value) / reading.sigma
            for column, slope in by_column.items():
                slopes[row, column] = slope / reading.sigma
        return closure, slopes

    def point_slopes(self, points: list[str], unknowns: Array) -> Array:
        """Return the derivatives of points' coordinates (x, y, z in turn) by the unknowns, 3n rows."""
        import numpy as np

        slopes = np.zeros((3 * len(points), len(self.names)))
        for row, point in enumerate(points):
            for column, direction in self.locate(point, unknowns).slopes:
                slopes[3 * row : 3 * row + 3, column] += direction
        return slopes


def _gather(slopes: dict[int, float], point: LocatedPoint, direction: Vec) -> None:
    for column, moved in point.slopes:
        slopes[column] = slopes.get(column, 0.0) + vec.dot(moved, direction)
