"""The clear opening of each gate on a large profile, dimensioned between the faces of its tubes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import zip_longest

from geom import vec
from geom.boat.model import Side
from geom.drafting import plan_text as plan_words
from geom.drafting.placing import Drawn, Label
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
# Gap between the dimension line and the line under it [paper mm].
_OVER_LINE = 1.0
# From a line down to a dimension whose number is clear of the triangles under that line [paper mm].
_UNDER_TRIANGLE = 6.8


def gate_items(refit: Refit, side: Side, drawn: Drawn, turn: float, mm: float) -> list[Item]:
    """Return a dimension in each gate of a side, none where there is no room under a line.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        drawn: what is in the view already; the dimensions are added.
        turn: sign from boat X to paper x.
        mm: boat millimetres to a paper millimetre.
    """
    items: list[Item] = []
    for gate in refit.placed.gates.values():
        if gate.side == side:
            found = next((label for label in _dimensions(refit, gate, drawn, turn, mm) if drawn.free(label)), None)
            if found is not None:
                items += drawn.put((found,)).items
                drawn.add(found.items)
    return items


def _dimensions(refit: Refit, gate: PlacedGate, drawn: Drawn, turn: float, mm: float) -> Iterator[Label]:
    """Yield the dimension under the highest line with room for it: in full words first, its number moved along."""
    for level, under in zip_longest(gate.levels, gate.levels[1:]):
        height = min(_down(support, level.level, None if under is None else under.level) for support in gate.supports)
        if height < _ROOM * mm:
            continue
        (x0, y0, z0), (x1, y1, z1) = sorted(_faces(gate, level.level), key=lambda face: turn * face[0])
        start, end = (turn * x0, z0), (turn * x1, z1)
        across, high = math.dist(start, end) / mm, height / mm
        for words in plan_words.GATE_DIMENSIONS:
            text = words.replace("<>", rounded(level.clear, numbers(refit.boat)))
            spare = 0.5 * (across - text_width(text, LETTERING)) - 0.8
            for share in (0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0):
                if spare < 0.0:
                    break
                # The number over the line clears the triangles under the guard line.
                down = max(0.5 * high + _OVER_NUMBER, min(high - _OVER_LINE, _UNDER_TRIANGLE))
                yield drawn.numbered(Dimension(start, end, -down, text=text, shift=share * spare, levels=(y0, y1),
                                               tag=f"gate:{gate.id}:{level.level}"))  # fmt: skip


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
