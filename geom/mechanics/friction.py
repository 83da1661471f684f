"""Friction of a line round a bend: the capstan equation T2 = T1 exp(mu beta)."""

from __future__ import annotations

import math


def holding_ratio(friction: float, turn: float) -> float:
    """Return the least tension over the greatest that a bend holds, exp(-mu beta); zero where it is locked.

    Source: Euler's belt friction, as in any statics text.

    Args:
        friction: coefficient mu; infinite for a line that is locked in its hole.
        turn: angle beta between the line's directions before and after the bend [rad].
    """
    return 0.0 if math.isinf(friction) else math.exp(-friction * turn)


def friction_coefficient(held: float, holding: float, turn: float) -> float:
    """Return the coefficient at which a small force holds a large one round a bend.

    Args:
        held: the large force [N].
        holding: the small force [N].
        turn: angle round which the line is laid [rad].
    """
    return math.log(held / holding) / turn


def turn_to_hold(held: float, holding: float, friction: float) -> float:
    """Return the angle round which a line must be laid to hold a large force with a small one [rad]."""
    return math.log(held / holding) / friction
