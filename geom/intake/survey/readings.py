"""The input of a survey: points, posts and readings with their uncertainty, in mm and rad."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from geom.boat.model import Level
from geom.vec import Vec

Where = Literal["P", "S", "centreline", "unknown"]
Coordinate = float | None


@dataclass(frozen=True)
class SurveyPoint:
    """A named point: its side, the coordinates held fixed [mm], an approximate position [mm] where given."""

    name: str
    where: Where = "unknown"
    held: tuple[Coordinate, Coordinate, Coordinate] = (None, None, None)
    near: Vec | None = None
    line: int | None = None


@dataclass(frozen=True)
class SurveyPost:
    """A straight tube: the point at its foot and the holes on it, named from the foot upwards."""

    id: str
    foot: str
    holes: tuple[str, ...]

    @property
    def sign(self) -> float:
        """Sign of outboard along Y, a factor: +1 for starboard, -1 for port."""
        return 1.0 if self.id.startswith("S") else -1.0


@dataclass(frozen=True)
class TapeReading:
    """A straight distance between two points [mm]; `text` is the reading as written, for finding transposed digits."""

    start: str
    end: str
    value: float
    sigma: float
    text: str = ""
    line: int | None = None

    @property
    def label(self) -> str:
        """The reading's description for messages."""
        return f"tape {self.start} to {self.end}"


@dataclass(frozen=True)
class SquareReading:
    """A distance square to an axis [mm]: X aft of the stem (station) or Y, starboard + (offset).

    `sign` is -1 where the distance was typed without the sign of its axis: an offset to port.
    """

    point: str
    along: Literal["x", "y"]
    value: float
    sigma: float
    text: str = ""
    line: int | None = None
    sign: float = 1.0

    @property
    def label(self) -> str:
        """The reading's description for messages."""
        return f"{'station' if self.along == 'x' else 'offset'} of {self.point}"


@dataclass(frozen=True)
class LevelReading:
    """Height of a point over a level line [mm]; each set-up of the instrument has its own line.

    `sign` is -1 where the staff was read down from the line.
    """

    setup: str
    point: str
    value: float
    sigma: float
    text: str = ""
    line: int | None = None
    sign: float = 1.0

    @property
    def label(self) -> str:
        """The reading's description for messages."""
        return f"level {self.setup} at {self.point}"


@dataclass(frozen=True)
class LeanReading:
    """A tube's angle off plumb by digital level [rad]: outboard + (lean) or aft + (rake)."""

    post: str
    way: Literal["lean", "rake"]
    value: float
    sigma: float
    text: str = ""
    line: int | None = None

    @property
    def label(self) -> str:
        """The reading's description for messages."""
        return f"{self.way} of {self.post}"


Reading = TapeReading | SquareReading | LevelReading | LeanReading


@dataclass(frozen=True)
class Attitude:
    """Attitude of the boat while levels and leans were read [rad]: heel to starboard +, trim by the stern +."""

    heel: float = 0.0
    trim: float = 0.0


@dataclass(frozen=True)
class PostFacts:
    """What was measured of a post that is no reading of the survey: its tube, its holes, the fall of the deck.

    Lengths in mm, angles in rad.
    """

    top: float | None = None
    diameters: Mapping[Level, float] = field(default_factory=dict)
    falls_aft: float | None = None
    falls_outboard: float | None = None


@dataclass(frozen=True)
class Survey:
    """A whole survey as recorded, before adjustment: its file, the readings, which boat it is of, when and by whom.

    `facts` is what was measured of the posts beside: tubes, diameters of holes, falls of the deck.
    """

    source: str
    points: tuple[SurveyPoint, ...]
    posts: tuple[SurveyPost, ...]
    readings: tuple[Reading, ...]
    attitude: Attitude = Attitude()
    boat: str = ""
    date: str = ""
    by: str = ""
    facts: Mapping[str, PostFacts] = field(default_factory=dict)

    def point(self, name: str) -> SurveyPoint:
        """Return a point by its name."""
        return next(point for point in self.points if point.name == name)
