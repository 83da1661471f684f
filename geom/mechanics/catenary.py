"""One piece of line hanging between two points under its own weight: the elastic catenary, taut side.

Weight is per stretched length, so that the shape is the plain catenary of parameter H / w; elastic
stretch then counts with the mean tension of the piece. What that leaves out is of the order of
(strain x weight) and of (change of tension along the piece / EA) squared: under 1e-8 on a boat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.vec import Vec

# Below this the weight bends a piece by less than floats can show.
_STRAIGHT = 1e-9
_NEWTON_STEPS = 50
# H / (w span) at which a level piece pulls least on its ends: 1 / 2u with u tanh u = 1.
_SLACKEST = 1.0 / (2.0 * 1.199678640257734)


@dataclass(frozen=True)
class Catenary:
    """A weightful inextensible line between two points: its length, and what it pulls with at each end.

    `rise` forces are upward components of what holds the line; `low` is the horizontal tension.
    """

    horizontal: float
    length: float
    start_tension: float
    end_tension: float
    start_lift: float
    end_lift: float
    mean_tension: float


def catenary(span: float, rise: float, weight: float, horizontal: float) -> Catenary:
    """Return the catenary of a horizontal tension between two points.

    Source: the common catenary y = a cosh(x / a), a = H / w; for two points at different heights
    S^2 = rise^2 + (2 a sinh(span / 2a))^2 and y1 + y2 = S coth(span / 2a) (any statics text).

    Args:
        span: horizontal distance [mm], more than zero.
        rise: height of the second point above the first [mm].
        weight: per length [N/mm], more than zero.
        horizontal: horizontal tension H [N], more than zero.
    """
    half_angle = weight * span / (2.0 * horizontal)
    ratio = math.sinh(half_angle) / half_angle
    length = math.hypot(rise, span * ratio)
    coth = 1.0 / math.tanh(half_angle)
    sum_heights = length * coth
    start, end = 0.5 * weight * (sum_heights - rise), 0.5 * weight * (sum_heights + rise)
    start_lift, end_lift = 0.5 * weight * (length - rise * coth), 0.5 * weight * (length + rise * coth)
    # The integral of the tension along the line; from the catenary's y ds = d(y s + a x) / 2.
    mean = 0.5 * (end * end_lift + start * start_lift + horizontal * weight * span) / (weight * length)
    return Catenary(horizontal, length, start, end, start_lift, end_lift, mean)


def horizontal_from_length(span: float, rise: float, length: float, weight: float) -> float:
    """Return the horizontal tension of an inextensible line of a known length [N].

    Args:
        span: horizontal distance [mm].
        rise: height of the second point above the first [mm].
        length: of the line [mm], more than the straight distance.
        weight: per length [N/mm].
    """
    ratio = math.sqrt(length * length - rise * rise) / span
    # sinh(u)/u = ratio: the start is right for small u and too large for great u, so Newton comes down on it.
    u = min(math.sqrt(6.0 * (ratio - 1.0)), 1.5 * math.log(4.0 * ratio) + 1.0)
    for _ in range(_NEWTON_STEPS):
        f = math.sinh(u) / u - ratio
        slope = (math.cosh(u) - math.sinh(u) / u) / u
        step = f / slope
        u -= step
        if abs(step) <= 1e-14 * u:
            break
    return weight * span / (2.0 * u)


@dataclass(frozen=True)
class Piece:
    """A piece of line under a tension at its first end.

    `rest` is its unstressed length [mm], `rest_slope` how that changes with the tension [mm/N];
    `start_pull` and `end_pull` are what it pulls its two ends with [N], `end_tension` the tension there.
    """

    rest: float
    rest_slope: float
    start_pull: Vec
    end_pull: Vec
    end_tension: float
    chord: float


def piece(start: Vec, end: Vec, tension: float, ea: float, weight: float) -> Piece:
    """Return a piece of line between two points, given the tension at the first.

    With weight, a tension under what the piece's own weight makes is taken as that least tension.

    Args:
        start: first point [mm].
        end: second point [mm].
        tension: at the first point [N], at least zero.
        ea: axial stiffness [N].
        weight: per length [N/mm], pulling along -Z.
    """
    dx, dy, dz = end[0] - start[0], end[1] - start[1], end[2] - start[2]
    chord = math.sqrt(dx * dx + dy * dy + dz * dz)
    stretch = 1.0 + tension / ea
    span = math.hypot(dx, dy) if weight > 0.0 else 0.0
    if weight * span <= _STRAIGHT * max(tension, 1e-3):
        return _straight(dx, dy, dz, chord, tension, ea, weight)
    shape = _catenary_from_tension(span, dz, weight, tension)
    stretch = 1.0 + shape.mean_tension / ea
    rest = shape.length / stretch
    slope = -rest / (ea * stretch) - weight * weight * span**4 / (12.0 * chord * max(shape.start_tension, 1e-9) ** 3)
    ux, uy = dx / span, dy / span
    h = shape.horizontal
    return Piece(
        rest,
        slope,
        (h * ux, h * uy, -shape.start_lift),
        (-h * ux, -h * uy, -shape.end_lift),
        shape.end_tension,
        chord,
    )


@dataclass(frozen=True)
class Hung:
    """A piece of line at a horizontal tension; slopes are by that tension.

    `rest` unstressed length [mm], `start_tension` at the first end [N], pulls on both ends [N].
    """

    rest: float
    rest_slope: float
    start_tension: float
    tension_slope: float
    start_pull: Vec
    end_pull: Vec
    end_tension: float


def hung(start: Vec, end: Vec, horizontal: float, ea: float, weight: float) -> Hung:
    """Return a piece with weight between two points at a horizontal tension, however deep it then hangs.

    Args:
        start: first point [mm].
        end: second point [mm].
        horizontal: horizontal tension [N], more than zero.
        ea: axial stiffness [N].
        weight: per length [N/mm], more than zero.
    """
    dx, dy, dz = end[0] - start[0], end[1] - start[1], end[2] - start[2]
    span, ux, uy = plan_span(dx, dy, dz)
    shape = catenary(span, dz, weight, horizontal)
    u = weight * span / (2.0 * horizontal)
    ratio = math.sinh(u) / u
    longer = -span * span * ratio * (math.cosh(u) - ratio) / (shape.length * horizontal)
    stretch = 1.0 + shape.mean_tension / ea
    rest = shape.length / stretch
    tauter = 0.5 * weight * (longer / math.tanh(u) + shape.length * u / (horizontal * math.sinh(u) ** 2))
    return Hung(
        rest=rest,
        rest_slope=longer / stretch - rest / (ea * stretch) * max(tauter, 0.0),
        start_tension=shape.start_tension,
        tension_slope=tauter,
        start_pull=(horizontal * ux, horizontal * uy, -shape.start_lift),
        end_pull=(-horizontal * ux, -horizontal * uy, -shape.end_lift),
        end_tension=shape.end_tension,
    )


def plan_span(dx: float, dy: float, dz: float) -> tuple[float, float, float]:
    """Return the horizontal distance and its direction; a plumb piece is taken a hair out of plumb."""
    span = math.hypot(dx, dy)
    minimum = 1e-6 * abs(dz)
    return (span, dx / span, dy / span) if span > minimum else (minimum, 1.0, 0.0)


def min_tension(start: Vec, end: Vec, weight: float) -> float:
    """Return the least tension that a hanging piece can have at its first end: less and it runs away [N]."""
    span = math.hypot(end[0] - start[0], end[1] - start[1])
    if weight * span == 0.0:
        return 0.0
    return catenary(span, end[2] - start[2], weight, weight * span * _SLACKEST).start_tension


def _straight(dx: float, dy: float, dz: float, chord: float, tension: float, ea: float, weight: float) -> Piece:
    stretch = 1.0 + tension / ea
    rest = chord / stretch
    end_tension = tension + weight * dz
    near, far = tension / chord, end_tension / chord
    return Piece(
        rest,
        -rest / (ea * stretch),
        (near * dx, near * dy, near * dz),
        (-far * dx, -far * dy, -far * dz),
        end_tension,
        chord,
    )


def _catenary_from_tension(span: float, rise: float, weight: float, tension: float) -> Catenary:
    """Return the taut catenary that has a tension at its first end; the least tense one where there is none."""
    chord = math.hypot(span, rise)
    target = tension
    slackest = weight * span * _SLACKEST
    h = max((tension + 0.5 * weight * rise) * span / chord, slackest)
    for _ in range(_NEWTON_STEPS):
        shape = catenary(span, rise, weight, h)
        if h <= slackest and shape.start_tension >= target:
            return shape
        step = (target - shape.start_tension) * span / chord
        h = max(h + step, slackest)
        if abs(step) <= 1e-12 * h:
            break
    return shape


def tension_at_angle(force: float, angle: float) -> float:
    """Return the tension in a line that carries a force half-way, T = W / (2 sin theta) [N].

    Args:
        force: across the line [N].
        angle: each half's angle to the straight line between the supports [rad].
    """
    return force / (2.0 * math.sin(angle))


def tension_while_loaded(force: float, span: float, sag: float) -> float:
    """Return the tension in a line that a force half-way holds at a sag [N].

    Args:
        force: square to the line between the supports [N].
        span: distance of the supports [mm].
        sag: of the middle from the straight line [mm].
    """
    return tension_at_angle(force, math.atan2(sag, 0.5 * span))


def sag_at_tension(force: float, span: float, tension: float) -> float | None:
    """Return the sag of the middle at a tension that does not rise with the sag [mm]; None where it cannot hold.

    Args:
        force: square to the line between the supports [N].
        span: distance of the supports [mm].
        tension: in the line while it is loaded [N].
    """
    sine = force / (2.0 * tension) if tension > 0.0 else 1.0
    return 0.5 * span * math.tan(math.asin(sine)) if sine < 1.0 else None


def extra_length(span: float, sag: float) -> float:
    """Return how much longer a line is when its middle is pulled out by a sag [mm]."""
    half = 0.5 * span
    return 2.0 * sag * sag / (math.hypot(half, sag) + half)


@dataclass(frozen=True)
class Funicular:
    """The shape that loads give a line: a beam's bending moment divided by the horizontal tension.

    Lengths and forces in any one pair of units. `uniform` is per horizontal length, `loads` are places
    from the first support and vertical forces, `rise` the height of the second support.
    """

    span: float
    rise: float
    uniform: float
    loads: tuple[tuple[float, float], ...]
    horizontal: float

    def slopes(self, at: float) -> tuple[float, float]:
        """Return the slope just before and just after a place, rising positive."""
        before = math.fsum(force for place, force in self.loads if place < at)
        after = math.fsum(force for place, force in self.loads if place <= at)
        lift = self._lift() - self.uniform * at
        return (lift - before) / -self.horizontal, (lift - after) / -self.horizontal

    def tension(self, slope: float) -> float:
        """Return the tension where the line has a slope."""
        return self.horizontal * math.hypot(1.0, slope)

    def extremes(self) -> tuple[float, float]:
        """Return the least and the greatest tension along the line."""
        edges = [0.0, *(place for place, _ in self.loads), self.span]
        slopes = [slope for edge in edges for slope in self.slopes(edge)]
        tensions = [self.tension(slope) for slope in slopes]
        pairs = zip(sorted(edges), sorted(edges)[1:], strict=False)
        level = any(self.slopes(a)[1] <= 0.0 <= self.slopes(b)[0] for a, b in pairs)
        return (self.horizontal if level else min(tensions)), max(tensions)

    def _lift(self) -> float:
        """Upward part of the first support's hold."""
        return (
            self.uniform * self.span / 2.0
            + math.fsum(force * (self.span - place) for place, force in self.loads) / self.span
            - self.horizontal * self.rise / self.span
        )


def funicular_through(
    span: float, rise: float, uniform: float, loads: tuple[tuple[float, float], ...], place: float, height: float
) -> Funicular:
    """Return the line under known loads that goes through a known point.

    Source: general cable theorem, H times the sag below the chord equals the bending moment of a beam of
    the same span (any statics text).

    Args:
        span: horizontal distance of the supports.
        rise: height of the second support above the first.
        uniform: load per horizontal length.
        loads: places from the first support and vertical forces, downward positive.
        place: of the known point from the first support.
        height: of the known point above the first support.
    """
    moment = 0.5 * uniform * place * (span - place)
    for at, force in loads:
        moment += force * min(place, at) * (span - max(place, at)) / span
    return Funicular(span, rise, uniform, loads, moment / (rise * place / span - height))
