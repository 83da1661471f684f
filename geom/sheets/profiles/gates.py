"""The clear opening of each gate on a large profile, dimensioned between the faces of its tubes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom import vec
from geom.boat.model import Side
from geom.drafting import plan_text as plan_words
from geom.drafting.views import LETTERING
from geom.figure import Dimension, Item
from geom.lettering import width as text_width
from geom.placement.gates import PlacedGate, Support
from geom.refit import Refit
from geom.sheets.deck_plan.text import rounded
from geom.tables import numbers
from geom.vec import Vec

# Smallest distance between two lines, or a line and the deck, for a dimension with its number [paper mm].
_ROOM = 7.4
_OVER_NUMBER = 1.8
# Gap between the dimension line and the line under it, and between the number and the mast [paper mm].
_OVER_LINE = 1.0
_OFF_MAST = 1.2
# From a line down to a dimension whose number is clear of the triangles under that line [paper mm].
_UNDER_TRIANGLE = 6.8


def gate_items(refit: Refit, side: Side, turn: float, mm: float) -> list[Item]:
    """Return a dimension in each gate of a side, none where there is no room under a line.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        turn: sign from boat X to paper x.
        mm: boat millimetres to a paper millimetre.
    """
    gates = [gate for gate in refit.placed.gates.values() if gate.side == side]
    dimensions = (_dimension(refit, gate, turn, mm) for gate in gates)
    return [item for item in dimensions if item is not None]


def _dimension(refit: Refit, gate: PlacedGate, turn: float, mm: float) -> Dimension | None:
    for number, level in enumerate(gate.levels):
        faces = _faces(gate, level.level)
        under = gate.levels[number + 1].level if number + 1 < len(gate.levels) else None
        height = min(_down(support, level.level, under) for support in gate.supports) / mm
        if height < _ROOM:
            continue
        (x0, y0, z0), (x1, y1, z1) = sorted(faces, key=lambda face: turn * face[0])
        start, end = (turn * x0, z0), (turn * x1, z1)
        number_text = rounded(level.clear, numbers(refit.boat))
        across = math.dist(start, end) / mm
        mast = refit.boat.boat.mast_x
        middle = 0.5 * (start[0] + end[0])
        upright = [turn * x for x in (mast, *(post.foot[0] for post in gate.loose)) if x is not None]
        posts = [(x - middle) / mm for x in upright]
        for text in plan_words.GATE_DIMENSIONS:
            shift = _shift(_width(text, number_text), across, posts)
            if shift is None:
                continue
            return Dimension(
                start,
                end,
                -max(0.5 * height + _OVER_NUMBER, min(height - _OVER_LINE, _UNDER_TRIANGLE)),
                text=text.replace("<>", number_text),
                shift=shift,
                levels=(y0, y1),
                tag=f"gate:{gate.id}:{level.level}",
            )
    return None


def _shift(wide: float, across: float, posts: Sequence[float]) -> float | None:
    """Return the shift of a number from the middle to clear mast and posts [paper mm], None where there is no room.

    Args:
        wide: width of the number [paper mm].
        across: width of the gate [paper mm].
        posts: positions of the mast and of posts in the opening from the gate's middle [paper mm].
    """
    off = 0.5 * wide + _OFF_MAST
    tries = [0.0, *(post + side * off for post in posts for side in (1.0, -1.0))]
    reach = 0.5 * (across - wide) - 0.8
    return next((at for at in tries if abs(at) <= reach and all(abs(at - post) >= off - 1e-9 for post in posts)), None)


def _width(text: str, number: str) -> float:
    return text_width(text.replace("<>", number), LETTERING)


def _faces(gate: PlacedGate, level: str) -> tuple[Vec, Vec]:
    """Return the points where the straight line across a gate leaves one tube and meets the other, or the eye [mm]."""
    a, b = gate.ends(level)
    along = vec.unit(vec.sub(b, a))
    forward, aft = gate.supports
    return vec.along(a, along, forward.radius), vec.along(b, along, -aft.radius)


def _down(support: Support, level: str, under: str | None) -> float:
    """Return the height from a level of a support down to the next one, or to the deck under it [mm]."""
    heights = {str(name): at[2] for name, at in support.points.items()}
    return heights[level] - (support.deck[2] if under is None else heights[under])
