"""A bracketed root of one function of one variable, without an outside library."""

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
    """Return where a function that changes sign between two places is zero.

    Chandrupatla, Advances in Engineering Software 28 (1997), p. 145: inverse quadratic steps where they
    stay inside the bracket, halving elsewhere, so that it always ends. The first step is a straight one
    from end to end, since what is sought here bends little.

    Args:
        function: continuous, of opposite signs at low and high.
        low: one end of the bracket.
        high: the other end.
        tolerance: width of the last bracket, in the unit of low and high.
        at_low: the function's value at low, where it is known already.
        at_high: its value at high, where it is known already.

    Raises:
        CannotFinishError: the function has the same sign at both ends, or does not settle.
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
    """Return where to look next, as a share of the way from a to b."""
    if fc in (fa, fb):
        return 0.5
    place = (a - b) / (c - b)
    height = (fa - fb) / (fc - fb)
    if height * height < place and (1.0 - height) ** 2 < 1.0 - place:
        return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5
