"""The volume that two round bars share where their axes cross."""

from __future__ import annotations

import math


def common_volume(bar: float, drill: float, tilt: float = 0.0) -> float:
    """Return the volume common to a thinner and a thicker cylinder whose axes cross [mm3].

    Slices at y, the distance from the plane of both axes, are parallelograms of widths
    2 sqrt(R2 - y2) and 2 sqrt(a2 - y2). With y = a sin f the integrand is smooth and periodic, so equal
    steps converge faster than any power.

    Args:
        bar: radius R of the thicker cylinder [mm].
        drill: radius a of the thinner one [mm].
        tilt: of the thinner one's axis, from square [rad].
    """

    def total(steps: int) -> float:
        value = 0.0
        for k in range(steps):
            f = math.pi * k / steps
            value += math.cos(f) ** 2 * math.sqrt(bar * bar - (drill * math.sin(f)) ** 2)
        return value * math.pi / steps

    steps, previous = 32, total(16)
    current = total(steps)
    while steps < 65536 and abs(current - previous) > 1e-14 * current:
        steps, previous = 2 * steps, current
        current = total(steps)
    return 4.0 * drill * drill * current / math.cos(tilt)
