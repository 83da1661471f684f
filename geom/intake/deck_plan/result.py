"""The result of reading a deck plan, in boat axes, and the boat's position and direction in the drawing."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Side
from geom.units import Mm, decimal
from geom.vec import Vec


@dataclass(frozen=True)
class PlanPoint:
    """A post's foot or an eye as drawn, in boat axes [mm]; `z` [mm], `lean` and `rake` [rad] None where not given."""

    kind: str
    id: str
    x: float
    y: float
    z: float | None
    lean: float | None
    rake: float | None
    place: str


@dataclass(frozen=True)
class PlanEdge:
    """A side's deck edge from forward to aft in boat axes [mm]; `z` of a point None where not given."""

    side: Side
    points: tuple[tuple[float, float, float | None], ...]
    place: str


@dataclass(frozen=True)
class PlanReading:
    """Points and edges of a plan, the units it was read in, and notes.

    `frame` is where the boat lies in the drawing; `drawn_aft` is the distance from the stem to the aft point as drawn,
    `aft_x` as measured on board [mm]. `numbered` where posts have no names in the plan and their numbers are those from
    the bow on each side.
    """

    source: str
    units: str
    units_from: str
    bow: str
    starboard: str
    points: tuple[PlanPoint, ...]
    edges: tuple[PlanEdge, ...]
    notes: tuple[str, ...]
    frame: Frame
    drawn_aft: Mm
    aft_x: Mm
    numbered: bool = False

    def echo(self) -> list[tuple[str, ...]]:
        """Return the reading as a table, headings first, to be checked before anything is written."""
        rows: list[tuple[str, ...]] = [("what", "id", "X [mm]", "Y [mm]", "Z [mm]", "drawn as")]
        for point in self.points:
            z = "" if point.z is None else decimal(point.z, 1)
            rows.append((point.kind, point.id, decimal(point.x, 1), decimal(point.y, 1), z, point.place))
        for edge in self.edges:
            for index, (x, y, height) in enumerate(edge.points, start=1):
                shown = "" if height is None else decimal(height, 1)
                rows.append(("deck edge", f"{edge.side}-{index}", decimal(x, 1), decimal(y, 1), shown, edge.place))
        return rows

    def head(self) -> list[str]:
        """Return the assumptions of the reading: source, units, direction of the bow, notes."""
        return [f"{self.source}: {self.taken_as()}", *self.notes]

    def taken_as(self) -> str:
        """Return how the drawing was taken: its unit, and where the bow and starboard are on it."""
        return (
            f"1 drawing unit is 1 {self.units} ({self.units_from}); bow to the {self.bow}, starboard to the "
            f"{self.starboard}"
        )


@dataclass(frozen=True)
class Frame:
    """Stem in the drawing [drawing units], unit vectors aft and to starboard, scale [mm per drawing unit]."""

    stem: tuple[float, float]
    aft: tuple[float, float]
    starboard: tuple[float, float]
    scale: float

    def place(self, at: Vec) -> tuple[float, float]:
        """Return a point's distances aft of the stem and to starboard [mm]."""
        dx, dy = (at[0] - self.stem[0]) * self.scale, (at[1] - self.stem[1]) * self.scale
        return dx * self.aft[0] + dy * self.aft[1], dx * self.starboard[0] + dy * self.starboard[1]
