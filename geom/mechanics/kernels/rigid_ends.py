"""A weightless, freely sliding line between rigid ends, pushed at mid-span: plain functions of floats.

Units: mm and N.
"""

from __future__ import annotations

import math
from typing import NamedTuple

# Resolution of a place along a span, as a fraction of half of it.
_RESOLUTION = 1e-10
_STEPS = 100


class PushedSpan(NamedTuple):
    """A span pushed at its middle: half its length, the spans before and after it [mm], EA of the line [N]."""

    half: float
    before: float
    after: float
    ea: float


class _Stretch(NamedTuple):
    """The span at a place of the load: lengths and strains of both sides, and 1 + set tension / EA."""

    before: float
    after: float
    strain: float
    other: float
    set_to: float


def set_tension(span: PushedSpan, force: float, deflection: float) -> float:
    """Return the set tension at which a force deflects the line so far [N], see `push_test.tension_on_rigid_ends`.

    Args:
        span: the pushed span.
        force: at mid-span, square to it [N].
        deflection: of the loaded point from the straight span [mm].
    """
    sine = force / (span.ea * deflection)
    # Nearly linear in the place: secant steps from mid-span.
    last, shift = 0.0, 1e-3 * deflection
    at_last, now = _unbalanced(span, sine, deflection, last), _unbalanced(span, sine, deflection, shift)
    for _ in range(_STEPS):
        if now == at_last or abs(shift - last) <= _RESOLUTION * span.half:
            break
        last, at_last, shift = shift, now, shift - now * (shift - last) / (now - at_last)
        now = _unbalanced(span, sine, deflection, shift)
    return span.ea * (_stretch(span, sine, deflection, shift).set_to - 1.0)


def _stretch(span: PushedSpan, sine: float, deflection: float, along: float) -> _Stretch:
    first, last = span.half + along, span.half - along
    before, after = math.sqrt(first * first + deflection * deflection), math.sqrt(last * last + deflection * deflection)
    longer = (before + span.before) / (span.half + span.before)
    other = (after + span.after) / (span.half + span.after)
    set_to = (sine + 1.0 / before + 1.0 / after) / (longer / before + other / after)
    return _Stretch(before, after, longer * set_to - 1.0, other * set_to - 1.0, set_to)


def _unbalanced(span: PushedSpan, sine: float, deflection: float, along: float) -> float:
    """Return the strain out of balance along the span at a place of the load."""
    found = _stretch(span, sine, deflection, along)
    return found.strain * (span.half + along) / found.before - found.other * (span.half - along) / found.after


def deflection_under(span: PushedSpan, force: float, tension: float) -> float:
    """Return the deflection under a force at a set tension [mm]; below zero where the search did not converge.

    Args:
        span: the pushed span.
        force: at mid-span, square to it [N].
        tension: set tension [N].
    """
    # By the set tension alone, or by stretch alone, the line would yield farther: secant steps on 1 / deflection, in
    # which the tension that would not rise is linear.
    length, path = 2.0 * span.half, span.before + 2.0 * span.half + span.after
    farthest = math.pow(0.125 * force * length * length * path / span.ea, 1.0 / 3.0)
    if tension > 0.0:
        farthest = min(farthest, 0.25 * force * length / tension)
    last, at_last = 0.0, 0.0
    sharp, slope = 1.0 / farthest, 0.25 * force * length
    for _ in range(_STEPS):
        excess = set_tension(span, force, 1.0 / sharp) - tension
        if last > 0.0 and sharp != last:
            slope = (excess - at_last) / (sharp - last)
        last, at_last = sharp, excess
        sharp = max(sharp - excess / slope, 0.5 * sharp)
        if abs(sharp - last) <= _RESOLUTION * sharp:
            return 1.0 / sharp
    return -1.0
