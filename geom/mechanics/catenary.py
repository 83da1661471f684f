"""One segment of line between two points under its own weight: the elastic catenary, taut branch.

Weight is per stretched length, so that the shape is the plain catenary of parameter H / w; elastic stretch is taken
at the mean tension of the segment. The error is of the order of (strain x weight) and of (change of tension along the
segment / EA) squared: under 1e-8 on a boat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.vec import Vec

# Ratio of weight to tension below which a segment is straight to floating-point accuracy.
_STRAIGHT = 1e-9
_NEWTON_STEPS = 50
# H / (w span) at which the end tension of a level segment is at its minimum: 1 / 2u with u tanh u = 1.
_SLACKEST = 1.0 / (2.0 * 1.199678640257734)


@dataclass(frozen=True)
class Catenary:
    """An inextensible line with weight between two points: horizontal tension [N], length [mm], end forces [N].

    The lifts are the upward components of the support reactions [N]; `mean_tension` is the mean along the line [N].
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
        length: of the line, more than the straight distance [mm].
        weight: per length [N/mm].
    """
    ratio = math.sqrt(length * length - rise * rise) / span
    # sinh(u)/u = ratio: the start is exact for small u and too large for large u, so Newton iteration converges.
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
class Segment:
    """A segment of line at a given tension at its first end.

    `rest` is its unstressed length [mm], `rest_slope` the derivative of that by the tension [mm/N], `start_pull` and
    `end_pull` are its forces on the two ends [N], `end_tension` is the tension at the second end [N], `chord` the
    distance of the ends [mm].
    """

    rest: float
    rest_slope: float
    start_pull: Vec
    end_pull: Vec
    end_tension: float
    chord: float


def segment(start: Vec, end: Vec, tension: float, ea: float, weight: float) -> Segment:
    """Return a segment of line between two points at a given tension at the first.

    For a line with weight a tension below `min_tension` is taken as that minimum.

    Args:
        start: first point [mm].
        end: second point [mm].
        tension: at the first point, zero or more [N].
        ea: axial stiffness [N].
        weight: per length, acting along -Z [N/mm].
    """
    dx, dy, dz = end[0] - start[0], end[1] - start[1], end[2] - start[2]
    chord = math.sqrt(dx * dx + dy * dy + dz * dz)
    span = math.hypot(dx, dy)
    if weight * span <= _STRAIGHT * max(tension, 1e-3):
        return _straight(dx, dy, dz, chord, tension, ea, weight)
    shape = _catenary_from_tension(span, dz, weight, tension)
    stretch = 1.0 + shape.mean_tension / ea
    rest = shape.length / stretch
    slope = -rest / (ea * stretch) - weight * weight * span**4 / (12.0 * chord * max(shape.start_tension, 1e-9) ** 3)
    ux, uy = dx / span, dy / span
    h = shape.horizontal
    return Segment(
        rest,
        slope,
        (h * ux, h * uy, -shape.start_lift),
        (-h * ux, -h * uy, -shape.end_lift),
        shape.end_tension,
        chord,
    )


@dataclass(frozen=True)
class HangingSegment:
    """A segment with weight at a given horizontal tension; slopes are derivatives by that tension.

    `rest` is its unstressed length [mm]; tensions at and forces on both ends are in N.
    """

    rest: float
    rest_slope: float
    start_tension: float
    tension_slope: float
    start_pull: Vec
    end_pull: Vec
    end_tension: float


def hanging_segment(start: Vec, end: Vec, horizontal: float, ea: float, weight: float) -> HangingSegment:
    """Return a segment with weight between two points at a horizontal tension, with any sag.

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
    return HangingSegment(
        rest=rest,
        rest_slope=longer / stretch - rest / (ea * stretch) * max(tauter, 0.0),
        start_tension=shape.start_tension,
        tension_slope=tauter,
        start_pull=(horizontal * ux, horizontal * uy, -shape.start_lift),
        end_pull=(-horizontal * ux, -horizontal * uy, -shape.end_lift),
        end_tension=shape.end_tension,
    )


def plan_span(dx: float, dy: float, dz: float) -> tuple[float, float, float]:
    """Return the horizontal distance [mm] and its unit direction; vertical segments are offset slightly.

    Args:
        dx: difference in X [mm].
        dy: difference in Y [mm].
        dz: difference in Z [mm].
    """
    span = math.hypot(dx, dy)
    minimum = 1e-6 * abs(dz)
    return (span, dx / span, dy / span) if span > minimum else (minimum, 1.0, 0.0)


def min_tension(start: Vec, end: Vec, weight: float) -> float:
    """Return the minimum tension at which a segment with weight has an equilibrium, at its first end [N].

    Args:
        start: first point [mm].
        end: second point [mm].
        weight: per length [N/mm].
    """
    span = math.hypot(end[0] - start[0], end[1] - start[1])
    if weight * span == 0.0:
        return 0.0
    return catenary(span, end[2] - start[2], weight, weight * span * _SLACKEST).start_tension


def _straight(dx: float, dy: float, dz: float, chord: float, tension: float, ea: float, weight: float) -> Segment:
    stretch = 1.0 + tension / ea
    rest = chord / stretch
    end_tension = tension + weight * dz
    near, far = tension / chord, end_tension / chord
    return Segment(
        rest,
        -rest / (ea * stretch),
        (near * dx, near * dy, near * dz),
        (-far * dx, -far * dy, -far * dz),
        end_tension,
        chord,
    )


def _catenary_from_tension(span: float, rise: float, weight: float, tension: float) -> Catenary:
    """Return the taut catenary of a tension at its first end; that of the minimum tension where there is none."""
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
    """Return the tension in a line that carries a force at mid-span, T = W / (2 sin theta) [N].

    Args:
        force: across the line [N].
        angle: of each half to the straight line between the supports [rad].
    """
    return force / (2.0 * math.sin(angle))


def tension_while_loaded(force: float, span: float, deflection: float) -> float:
    """Return the tension in a line that a force deflects at mid-span [N].

    Args:
        force: square to the line between the supports [N].
        span: distance between the supports [mm].
        deflection: at mid-span, from the straight line [mm].
    """
    return tension_at_angle(force, math.atan2(deflection, 0.5 * span))


def deflection_at_tension(force: float, span: float, tension: float) -> float | None:
    """Return the mid-span deflection at a tension that stays constant [mm]; None where it cannot carry the force.

    Args:
        force: square to the line between the supports [N].
        span: distance between the supports [mm].
        tension: in the line under load [N].
    """
    sine = force / (2.0 * tension) if tension > 0.0 else 1.0
    return 0.5 * span * math.tan(math.asin(sine)) if sine < 1.0 else None


def extra_length(span: float, deflection: float) -> float:
    """Return the increase in length of a line deflected at mid-span [mm].

    Args:
        span: distance between the supports [mm].
        deflection: at mid-span, from the straight line [mm].
    """
    half = 0.5 * span
    return 2.0 * deflection * deflection / (math.hypot(half, deflection) + half)


@dataclass(frozen=True)
class Funicular:
    """The shape of a line under loads: the bending moment of a beam divided by the horizontal tension.

    Lengths and forces in any consistent units. `uniform` is the load per horizontal length, `loads` are distances from
    the first support and vertical forces, `rise` is the height of the second support above the first.
    """

    span: float
    rise: float
    uniform: float
    loads: tuple[tuple[float, float], ...]
    horizontal: float

    def slopes(self, at: float) -> tuple[float, float]:
        """Return the slope (a ratio) just before and just after a distance from the first support, rising positive."""
        before = math.fsum(force for place, force in self.loads if place < at)
        after = math.fsum(force for place, force in self.loads if place <= at)
        lift = self._lift() - self.uniform * at
        return (lift - before) / -self.horizontal, (lift - after) / -self.horizontal

    def tension(self, slope: float) -> float:
        """Return the tension at a dimensionless slope, in the unit of the horizontal tension."""
        return self.horizontal * math.hypot(1.0, slope)

    def extremes(self) -> tuple[float, float]:
        """Return the minimum and maximum tension along the line."""
        edges = [0.0, *(place for place, _ in self.loads), self.span]
        slopes = [slope for edge in edges for slope in self.slopes(edge)]
        tensions = [self.tension(slope) for slope in slopes]
        pairs = zip(sorted(edges), sorted(edges)[1:], strict=False)
        level = any(self.slopes(a)[1] <= 0.0 <= self.slopes(b)[0] for a, b in pairs)
        return (self.horizontal if level else min(tensions)), max(tensions)

    def _lift(self) -> float:
        """Return the upward reaction of the first support."""
        return (
            self.uniform * self.span / 2.0
            + math.fsum(force * (self.span - place) for place, force in self.loads) / self.span
            - self.horizontal * self.rise / self.span
        )


def funicular_through(
    span: float, rise: float, uniform: float, loads: tuple[tuple[float, float], ...], place: float, height: float
) -> Funicular:
    """Return the shape of a line under known loads through a known point; lengths and forces in consistent units.

    Source: general cable theorem, H times the sag below the chord equals the bending moment of a beam of
    the same span (any statics text).

    Args:
        span: horizontal distance between the supports [length unit].
        rise: height of the second support above the first.
        uniform: load per horizontal length.
        loads: distances from the first support and vertical forces, downward positive.
        place: distance of the known point from the first support.
        height: of the known point above the first support.
    """
    moment = 0.5 * uniform * place * (span - place)
    for at, force in loads:
        moment += force * min(place, at) * (span - max(place, at)) / span
    return Funicular(span, rise, uniform, loads, moment / (rise * place / span - height))
