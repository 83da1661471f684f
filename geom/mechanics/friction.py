"""Friction of a line round a bend: the capstan equation T2 = T1 exp(mu beta)."""

from __future__ import annotations

import math


def holding_ratio(friction: float, turn: float) -> float:
    """Return the ratio of lower to higher tension at which a line slips round a bend, exp(-mu beta); zero where locked.

    Source: Euler's belt friction, as in any statics text.

    Args:
        friction: coefficient mu, infinite for a line locked in its hole.
        turn: angle beta between the directions of the line before and after the bend [rad].
    """
    return 0.0 if math.isinf(friction) else math.exp(-friction * turn)


def friction_coefficient(load: float, hold: float, turn: float) -> float:
    """Return the coefficient at which a small force holds a load round a bend.

    Args:
        load: the larger force [N].
        hold: the smaller force [N].
        turn: wrap angle [rad].
    """
    return math.log(load / hold) / turn


def turn_to_hold(load: float, hold: float, friction: float) -> float:
    """Return the wrap angle at which a small force holds a load [rad].

    Args:
        load: the larger force [N].
        hold: the smaller force [N].
        friction: coefficient mu.
    """
    return math.log(load / hold) / friction
