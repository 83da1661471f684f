"""Closed outlines of straight strokes and arcs, with exact area, moments and extent."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.errors import GeometryError
from geom.figure import Point


@dataclass(frozen=True)
class Step:
    """The next stroke of an outline: straight to `end`, or an arc about `centre`, counter-clockwise or not."""

    end: Point
    centre: Point | None = None
    ccw: bool = True


@dataclass(frozen=True)
class Stroke:
    """A stroke with both its ends [mm]."""

    start: Point
    end: Point
    centre: Point | None
    ccw: bool

    @property
    def radius(self) -> float:
        """Radius of an arc [mm]."""
        assert self.centre is not None
        return math.dist(self.start, self.centre)

    @property
    def angles(self) -> tuple[float, float]:
        """Angles at the start and at the end of an arc [rad], the end beyond the start in the sense of the arc."""
        assert self.centre is not None
        cx, cy = self.centre
        first = math.atan2(self.start[1] - cy, self.start[0] - cx)
        last = math.atan2(self.end[1] - cy, self.end[0] - cx)
        turn = (last - first) % math.tau
        if self.ccw:
            return first, first + (turn or math.tau)
        return first, first - (math.tau - turn)

    def at(self, share: float) -> Point:
        """Return the point at a share of the stroke, 0 to 1."""
        if self.centre is None:
            return (
                self.start[0] + share * (self.end[0] - self.start[0]),
                self.start[1] + share * (self.end[1] - self.start[1]),
            )
        first, last = self.angles
        return self._on(first + share * (last - first))

    def _on(self, angle: float) -> Point:
        assert self.centre is not None
        return (self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle))

    def heading(self, share: float) -> Point:
        """Return the unit direction of the stroke at a share of it, 0 to 1."""
        if self.centre is None:
            length = math.dist(self.start, self.end)
            return ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)
        first, last = self.angles
        angle, sense = first + share * (last - first), 1.0 if self.ccw else -1.0
        return (-sense * math.sin(angle), sense * math.cos(angle))

    def extremes(self, way: Point) -> list[Point]:
        """Return the points that may be farthest along a direction."""
        points = [self.start, self.end]
        if self.centre is not None:
            first, last = self.angles
            low, high = min(first, last), max(first, last)
            angle = math.atan2(way[1], way[0])
            angle += math.tau * math.ceil((low - angle) / math.tau - 1e-12)
            if angle <= high:
                points.append(self._on(angle))
        return points

    def integrals(self) -> tuple[float, float, float]:
        """Return the integrals of x [mm2], x2 / 2 and x y [mm3] over dy along the stroke."""
        if self.centre is None:
            (x0, y0), (x1, y1) = self.start, self.end
            dx, dy = x1 - x0, y1 - y0
            return (
                0.5 * (x0 + x1) * dy,
                dy * (x0 * x0 + x0 * x1 + x1 * x1) / 6.0,
                dy * (x0 * y0 + 0.5 * (x0 * dy + y0 * dx) + dx * dy / 3.0),
            )
        (cx, cy), r = self.centre, self.radius
        a, b = self.angles
        s1 = math.sin(b) - math.sin(a)
        c2 = 0.5 * (b - a) + 0.25 * (math.sin(2.0 * b) - math.sin(2.0 * a))
        c3 = s1 - (math.sin(b) ** 3 - math.sin(a) ** 3) / 3.0
        x_dy = cx * r * s1 + r * r * c2
        xx_dy = 0.5 * (cx * cx * r * s1 + 2.0 * cx * r * r * c2 + r**3 * c3)
        swing = 0.5 * cx * (math.sin(b) ** 2 - math.sin(a) ** 2) - r * (math.cos(b) ** 3 - math.cos(a) ** 3) / 3.0
        return x_dy, xx_dy, cy * x_dy + r * r * swing


@dataclass(frozen=True)
class Profile:
    """A closed outline, counter-clockwise, that starts and ends at `start` [mm]."""

    start: Point
    steps: tuple[Step, ...]

    def strokes(self) -> list[Stroke]:
        """Return the strokes, with the closing one and without strokes of no length."""
        strokes: list[Stroke] = []
        here = self.start
        for step in (*self.steps, Step(self.start)):
            if math.dist(here, step.end) > 1e-9 or step.centre is not None:
                strokes.append(Stroke(here, step.end, step.centre, step.ccw))
            here = step.end
        return strokes

    def _sum(self, which: int) -> float:
        return math.fsum(stroke.integrals()[which] for stroke in self.strokes())

    def area(self) -> float:
        """Return the area [mm2] (Green's theorem, exact for lines and arcs)."""
        return self._sum(0)

    def moments(self) -> tuple[float, float]:
        """Return the first moments: the integrals of x and of y over the area [mm3]."""
        return self._sum(1), self._sum(2)

    def turned_volume(self) -> float:
        """Return the volume when turned about the y axis [mm3] (Pappus)."""
        return math.tau * self._sum(1)

    def reach(self, way: Point) -> float:
        """Return the outline's largest scalar product with a direction [mm, for a unit direction]."""
        return max(x * way[0] + y * way[1] for stroke in self.strokes() for x, y in stroke.extremes(way))

    def flat(self, pieces: int = 16) -> list[Point]:
        """Return the outline as a chain of points, arcs cut into pieces, with their extremes in x and y."""
        points: list[Point] = []
        for stroke in self.strokes():
            points.append(stroke.start)
            if stroke.centre is not None:
                first, last = stroke.angles
                cuts = [first + (last - first) * k / pieces for k in range(1, pieces)]
                quarter, low, high = math.pi / 2.0, min(first, last), max(first, last)
                k = math.ceil(low / quarter + 1e-9)
                while k * quarter < high - 1e-9:
                    cuts.append(k * quarter)
                    k += 1
                points += [stroke._on(angle) for angle in sorted(cuts, reverse=last < first)]
        return points

    def moved(self, dx: float, dy: float) -> Profile:
        """Return the outline moved by dx and dy [mm]."""
        steps = tuple(
            Step(
                (s.end[0] + dx, s.end[1] + dy),
                None if s.centre is None else (s.centre[0] + dx, s.centre[1] + dy),
                s.ccw,
            )
            for s in self.steps
        )
        return Profile((self.start[0] + dx, self.start[1] + dy), steps)


def rounded(corners: tuple[tuple[float, float, float], ...]) -> Profile:
    """Return a polygon whose corners are rounded.

    Args:
        corners: x, y and radius of each corner, counter-clockwise; radius 0 keeps the corner sharp [mm].

    Raises:
        GeometryError: a radius is too large for the adjoining sides.
    """
    count = len(corners)
    points: list[tuple[Point, Point, Point | None, bool]] = []
    for k, (x, y, radius) in enumerate(corners):
        before, after = corners[k - 1], corners[(k + 1) % count]
        points.append(_corner((before[0], before[1]), (x, y), (after[0], after[1]), radius))
    for k, (x, y, _) in enumerate(corners):
        nx, ny, _ = corners[(k + 1) % count]
        run = math.dist((x, y), points[k][1]) + math.dist((nx, ny), points[(k + 1) % count][0])
        if run > math.dist((x, y), (nx, ny)) + 1e-9:
            raise GeometryError(f"corner radius {corners[k][2]:g} mm is too large for the outline")
    start = points[0][1]
    steps: list[Step] = []
    for entry, leave, centre, ccw in (*points[1:], points[0]):
        if math.dist(entry, steps[-1].end if steps else start) > 1e-9:
            steps.append(Step(entry))
        if centre is not None:
            steps.append(Step(leave, centre, ccw))
    return Profile(start, tuple(steps))


def _corner(before: Point, at: Point, after: Point, radius: float) -> tuple[Point, Point, Point | None, bool]:
    """Return start and end of a rounding, its centre, and whether it is counter-clockwise."""
    if radius == 0.0:
        return at, at, None, True
    a, b = Stroke(before, at, None, True).heading(0.0), Stroke(at, after, None, True).heading(0.0)
    turn = math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
    back = radius * math.tan(abs(turn) / 2.0)
    entry = (at[0] - back * a[0], at[1] - back * a[1])
    leave = (at[0] + back * b[0], at[1] + back * b[1])
    sense = 1.0 if turn > 0.0 else -1.0
    return entry, leave, (entry[0] - sense * radius * a[1], entry[1] + sense * radius * a[0]), turn > 0.0


def circle(radius: float, centre: Point = (0.0, 0.0)) -> Profile:
    """Return a circle as two half arcs.

    Args:
        radius: of the circle [mm].
        centre: of the circle [mm].
    """
    (x, y) = centre
    return Profile((x + radius, y), (Step((x - radius, y), centre), Step((x + radius, y), centre)))


def stadium(length: float, width: float) -> Profile:
    """Return a slot's outline about the origin: length over all along x, width over all along y [mm]."""
    r, half = 0.5 * width, 0.5 * (length - width)
    return Profile(
        (half, -r),
        (Step((half, r), (half, 0.0)), Step((-half, r)), Step((-half, -r), (-half, 0.0)), Step((half, -r))),
    )
