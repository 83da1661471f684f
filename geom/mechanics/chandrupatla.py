"""A bracketed root of a function of one variable."""

from __future__ import annotations

from collections.abc import Callable

from geom.errors import CannotFinishError

MAX_STEPS = 100


def bracketed_root(
    function: Callable[[float], float],
    low: float,
    high: float,
    tolerance: float,
    at_low: float | None = None,
    at_high: float | None = None,
) -> float:
    """Return the root of a function inside a bracket [unit of the bracket].

    Source: Chandrupatla, Advances in Engineering Software 28 (1997), p. 145: inverse quadratic interpolation where it
    stays inside the bracket, bisection elsewhere. The first step is a secant, since the functions here are nearly
    linear.

    Args:
        function: continuous, of opposite signs at low and high.
        low: one end of the bracket.
        high: the other end.
        tolerance: width of the final bracket, in the unit of low and high.
        at_low: value of the function at low, where already known.
        at_high: value of the function at high, where already known.

    Raises:
        CannotFinishError: the function has the same sign at both ends, or does not converge.
    """
    a, b = high, low
    fa = function(a) if at_high is None else at_high
    fb = function(b) if at_low is None else at_low
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if (fa > 0.0) == (fb > 0.0):
        raise CannotFinishError(f"no change of sign between {low:g} and {high:g} ({fb:g} and {fa:g})")
    c, fc = a, fa
    share = fa / (fa - fb)
    for _ in range(MAX_STEPS):
        new = a + share * (b - a)
        f_new = function(new)
        if (f_new > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, b, fc, fb = b, a, fb, fa
        a, fa = new, f_new
        best = a if abs(fa) < abs(fb) else b
        width = abs(b - a)
        if fa == 0.0 or width <= tolerance:
            return best
        minimum = 0.5 * tolerance / width
        share = _next_share(a, b, c, fa, fb, fc)
        share = min(max(share, minimum), 1.0 - minimum)
    raise CannotFinishError(f"no root within {tolerance:g} after {MAX_STEPS} steps between {low:g} and {high:g}")


def _next_share(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    """Return the next point as a fraction of the distance from a to b."""
    if fc in (fa, fb):
        return 0.5
    place = (a - b) / (c - b)
    height = (fa - fb) / (fc - fb)
    if height * height < place and (1.0 - height) ** 2 < 1.0 - place:
        return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5
