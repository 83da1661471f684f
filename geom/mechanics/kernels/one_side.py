"""A weightless line on one side of a point load: plain functions of floats and sequences.

The side pulls with one tension: in closed form where it slides freely or is locked at the nearest hole, else by Newton
iteration, since in every hole it slips against friction and the length gained enters the loaded span. Units: mm and N.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence, Sequence
from typing import NamedTuple

Floats = MutableSequence[float]

_TENSION_STEPS = 80
# A Newton step this small leaves an error of its square.
_SETTLED = 1e-8

# Columns of `RestingLine.rows`: place of the point; for the span that begins there, zero at the last point, its unit
# direction, its length, its unstressed length and its tension; coefficient of friction and holding ratio at the point.
PLACE, DIRECTION, SPAN, REST, TENSION, FRICTION, RATIO, COLUMNS = 0, 3, 6, 7, 8, 9, 10, 11


class RestingLine(NamedTuple):
    """A line at rest: a row of floats for each of its points, axial stiffness, length, and slack [mm].

    Friction is 0 and the holding ratio 1 at the ends; the ratio is for the straight spans.
    """

    rows: Sequence[float]
    spans: int
    ea: float
    path: float
    spare: float


class Side(NamedTuple):
    """The line on one side of the load: the outer spans from `first` to before `end`, nearest first, in steps.

    `own_rest` is the unstressed length of its part of the loaded span, `shared_*` those of it with the spans that share
    its tension [mm]; of the others, from `beyond` on, the tension is held. `slips` says that friction governs;
    `untensioned` is then the length by which the side without tension is short of the straight lines [mm]. `ahead` are
    the parts of span and load along the nearest outer span, `aside` their vector products with it.
    """

    first: int
    end: int
    step: int
    beyond: int
    own_rest: float
    shared_chords: float
    shared_rest: float
    slips: bool
    untensioned: float
    friction: float
    ahead: tuple[float, float]
    aside: tuple[float, float, float, float, float, float]


class Pull(NamedTuple):
    """What one side does at a position of the load: tension [N], its derivative by the distance, and that [mm]."""

    tension: float
    stiffness: float
    distance: float


def side_of(
    line: RestingLine,
    span: int,
    share: float,
    step: int,
    chord: tuple[float, float, float],
    across: tuple[float, float, float],
) -> Side:
    """Return one side of a load.

    Args:
        line: the line at rest.
        span: index of the loaded span.
        share: of the span on this side.
        step: -1 for the side before the load, 1 for that after it.
        chord: unit direction of the span.
        across: unit direction of the load.
    """
    first, end = span + step, (-1 if step < 0 else line.spans)
    own_rest = line.rows[COLUMNS * span + REST] * share
    hole = span if step < 0 else span + 1
    friction = line.rows[COLUMNS * hole + FRICTION] if first != end else 0.0
    locked = math.isinf(friction)
    # One tension on a side as far as the line slides freely from the load, and as far as it is locked.
    beyond, chords, rest = first, 0.0, own_rest
    if not locked:
        while beyond != end and line.rows[COLUMNS * (beyond + 1 if step < 0 else beyond) + FRICTION] == 0.0:
            chords += line.rows[COLUMNS * beyond + SPAN]
            rest += line.rows[COLUMNS * beyond + REST]
            beyond += step
    slips = not locked and beyond != end
    untensioned, ahead, aside = -own_rest, (0.0, 0.0), (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    if slips:
        for at in range(first, end, step):
            if line.rows[COLUMNS * at + TENSION] > 0.0:
                untensioned += line.rows[COLUMNS * at + SPAN] - line.rows[COLUMNS * at + REST]
        row = COLUMNS * first + DIRECTION
        x, y, z = step * line.rows[row], step * line.rows[row + 1], step * line.rows[row + 2]
        ahead = (chord[0] * x + chord[1] * y + chord[2] * z, across[0] * x + across[1] * y + across[2] * z)
        aside = (
            chord[1] * z - chord[2] * y,
            chord[2] * x - chord[0] * z,
            chord[0] * y - chord[1] * x,
            across[1] * z - across[2] * y,
            across[2] * x - across[0] * z,
            across[0] * y - across[1] * x,
        )
    return Side(first, end, step, beyond, own_rest, chords, rest, slips, untensioned, friction, ahead, aside)


def at_rest(line: RestingLine, side: Side, distance: float) -> Pull:
    """Return the pull of a side from which its first solution begins.

    Args:
        line: the line at rest.
        side: of the load.
        distance: of the unloaded point from its support [mm].
    """
    return Pull(
        line.rows[COLUMNS * side.first + TENSION] if side.slips else 0.0, 0.0, side.own_rest if side.slips else distance
    )


def pull(line: RestingLine, side: Side, along: float, across: float, last: Pull) -> Pull:
    """Return the tension at which a side reaches its loaded point.

    Args:
        line: the line at rest.
        side: of the load.
        along: distance of the loaded point from its support along the span [mm].
        across: and across it [mm].
        last: the pull at the last position.
    """
    distance = math.sqrt(along * along + across * across)
    if not side.slips:
        tension = line.ea * ((distance + side.shared_chords) / side.shared_rest - 1.0)
        return Pull(tension, line.ea / side.shared_rest, distance) if tension > 0.0 else Pull(0.0, 0.0, distance)
    if distance + side.untensioned <= 0.0:
        return Pull(0.0, 0.0, distance)
    return _slipping(line, side, along, across, distance, last)


def _slipping(line: RestingLine, side: Side, along: float, across: float, distance: float, last: Pull) -> Pull:
    """Return the tension of a side that slips in its holes.

    Newton iteration on the variable 1 / (1 + T / EA), in which a line that slides freely is linear, inside a bracket,
    from the tension expected by the last stiffness.
    """
    ea = line.ea
    ratio = _near_ratio(side, along, across)
    tension = last.tension + last.stiffness * (distance - last.distance)
    tension = max(tension if tension > 0.0 else last.tension, 1e-6)
    low, high, slope = 0.0, math.inf, -1.0
    for _ in range(_TENSION_STEPS):
        excess, slope = _excess(line, side, ratio, tension, distance)
        relaxed = ea / (ea + tension)
        relaxed += excess * relaxed * relaxed / (ea * slope)
        step = ea / max(relaxed, 1e-300) - ea
        if abs(step - tension) <= _SETTLED * tension:
            tension = step
            break
        if excess > 0.0:
            low = tension
        else:
            high = tension
        if not low < step < high:
            step = 0.5 * (low + high) if high < math.inf else 2.0 * tension + 1.0
        tension = step
        if high - low <= 1e-14 * high and high < math.inf:
            break
    return Pull(tension, 1.0 / ((1.0 + tension / ea) * max(-slope, 1e-300)), distance)


def _near_ratio(side: Side, along: float, across: float) -> float:
    """Return the holding ratio at the nearest hole, where the direction of the line changes with the load."""
    x = along * side.aside[0] + across * side.aside[3]
    y = along * side.aside[1] + across * side.aside[4]
    z = along * side.aside[2] + across * side.aside[5]
    ahead = along * side.ahead[0] + across * side.ahead[1]
    return math.exp(-side.friction * math.atan2(math.sqrt(x * x + y * y + z * z), -ahead))


def _excess(line: RestingLine, side: Side, ratio: float, tension: float, distance: float) -> tuple[float, float]:
    """Return the unstressed length required less that available on a side [mm], and its slope [mm/N]."""
    stretch = 1.0 / (1.0 + tension / line.ea)
    relaxed = distance * stretch
    excess, slope, now = relaxed - side.own_rest, relaxed * stretch, tension
    for at in range(side.first, side.end, side.step):
        if at != side.first:
            ratio = line.rows[COLUMNS * (at + 1 if side.step < 0 else at) + RATIO]
        before = line.rows[COLUMNS * at + TENSION]
        now = min(max(before, now * ratio), now / max(ratio, 1e-200))
        if now == before and ratio < 1.0:
            break
        stretch = 1.0 / (1.0 + now / line.ea)
        relaxed = line.rows[COLUMNS * at + SPAN] * stretch
        excess += relaxed - line.rows[COLUMNS * at + REST]
        slope += now / tension * relaxed * stretch
    return excess, -slope / line.ea


def tensions(line: RestingLine, side: Side, pull: Pull, along: float, across: float, found: Floats) -> None:
    """Fill in the tension of the spans of a side [N].

    Args:
        line: the line at rest.
        side: of the load.
        pull: its solution.
        along: distance of the loaded point from its support along the span [mm].
        across: and across it [mm].
        found: one place for each span of the line.
    """
    if not side.slips:
        for at in range(side.first, side.beyond, side.step):
            found[at] = pull.tension
        return
    now, ratio = pull.tension, _near_ratio(side, along, across)
    for at in range(side.first, side.end, side.step):
        if at != side.first:
            ratio = line.rows[COLUMNS * (at + 1 if side.step < 0 else at) + RATIO]
        now = min(max(line.rows[COLUMNS * at + TENSION], now * ratio), now / max(ratio, 1e-200))
        found[at] = now
