"""Statics of a line whose shape is known: tension from sag, whatever the line is made of.

Here loads are vertical and lie on the span, not along the line, and the line has no stiffness in it:
what a sag under a load tells of the tension while loaded.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


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
