"""The volume that two round bars share where their axes cross."""

from __future__ import annotations

import math


def common_volume(bar: float, drill: float, tilt: float = 0.0) -> float:
    """Return the volume that a thinner cylinder shares with a thicker one whose axis it crosses [mm3].

    Slices at y, the distance from the plane of both axes, are parallelograms of widths
    2 sqrt(R2 - y2) and 2 sqrt(a2 - y2). With y = a sin f the integrand is smooth and periodic, so equal
    steps converge faster than any power.

    Args:
        bar: radius R of the thicker cylinder [mm].
        drill: radius a of the thinner one [mm].
        tilt: of the thinner one's axis out of square [rad].
    """

    def total(steps: int) -> float:
        value = 0.0
        for k in range(steps):
            f = math.pi * k / steps
            value += math.cos(f) ** 2 * math.sqrt(bar * bar - (drill * math.sin(f)) ** 2)
        return value * math.pi / steps

    steps, last = 32, total(16)
    now = total(steps)
    while steps < 65536 and abs(now - last) > 1e-14 * now:
        steps, last = 2 * steps, now
        now = total(steps)
    return 4.0 * drill * drill * now / math.cos(tilt)
