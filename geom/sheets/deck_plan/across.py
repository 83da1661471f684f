"""The spans of the lines across the boat, dimensioned on the deck plan."""

from __future__ import annotations

import itertools

from geom.boat.model import LEVELS
from geom.figure import Dimension, Item, LengthFormat, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.sheets.deck_plan import text as own


def across_items(refit: Refit, mm: float, fmt: LengthFormat) -> tuple[Item, ...]:
    """Return the spans of the lines across the boat, dimensioned inside of them, the highest innermost.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        fmt: format of lengths.
    """
    items: list[Item] = []
    runs = [run for run in refit.runs if run.run.side == "C"]
    for place in dict.fromkeys(run.run.spec.across for run in runs):
        own_runs = [run for run in runs if run.run.spec.across == place]
        levels = [level for level in LEVELS if any(run.run.level == level for run in own_runs)]
        for run in own_runs:
            # A run goes from port to starboard, up on paper, so that forward lies to its left.
            row = 9.0 + 8.0 * levels.index(run.run.level)
            offset = -row if place == "bow" else row
            if len(levels) > 1:
                # Beyond the port end of its row.
                x, y = run.run.points[0][0] - offset * mm, run.run.points[0][1] - 4.4 * mm
                tag = f"level:{place}:{run.run.level}"
                items.append(Text((x, y), run.run.level, 2.5, "TEXT", "centre", tag=tag))
            for k, (a, b) in enumerate(itertools.pairwise(run.run.points)):
                text = own.rounded(run.run.spans[k], fmt)
                # Beside the centreline, which the number would stand on.
                middle, half = 0.5 * (a[1] + b[1]) / mm, 0.5 * text_width(text, 2.5) + 1.5
                shift = half - middle if abs(middle) < half else 0.0
                layer = "HOLD" if run.work.refused else "DIM"
                items.append(
                    Dimension((a[0], a[1]), (b[0], b[1]), offset, text=text, shift=shift, layer=layer,
                              tag=f"span:{run.run.id}:{k + 1}")
                )  # fmt: skip
    return tuple(items)
