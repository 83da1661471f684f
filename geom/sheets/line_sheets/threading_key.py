"""The key of a threading sheet: only what is drawn on it, the signs of finished ends drawn beside their words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from geom.drafting import text as words
from geom.drafting.paper import Paper
from geom.drafting.sheet import beside_block, key_items
from geom.drafting.symbols import eye_symbol
from geom.figure import Item, Text
from geom.lettering import width as text_width
from geom.placement.eyes import ORDER, Verdict
from geom.sheets.line_sheets import threading_text as threading_words

_LETTERING, _PITCH, _APART = 2.5, 4.2, 5.0


def key(paper: Paper, lines: Sequence[str], signs: str, verdicts: Iterable[Verdict]) -> tuple[Item, ...]:
    """Return the key of a sheet, its signs in rows at its foot.

    Args:
        paper: the sheet's.
        lines: in words.
        signs: what the signs tell.
        verdicts: those that are drawn on the sheet; without any, nothing is said of signs.

    Raises:
        ValueError: more than stands beside the title block.
    """
    shown = [verdict for verdict in ORDER if verdict in set(verdicts)]
    place = beside_block(paper)
    left, right = place.left + 5.0, place.right
    across = math.fsum(4.0 + text_width(threading_words.PASSES[verdict], _LETTERING) + _APART for verdict in shown)
    rows = math.ceil(across / (right - left - _APART))
    items = key_items(paper, words.KEY, [*lines, signs] if shown else lines, below=rows * _PITCH)
    y = min(item.at[1] for item in items if isinstance(item, Text)) - _PITCH
    x, found = left, list(items)
    for verdict in shown:
        text = threading_words.PASSES[verdict]
        wide = 4.0 + text_width(text, _LETTERING)
        if x > left and x + wide > right:
            x, y = left, y - _PITCH
        found += eye_symbol((x + 1.3, y + _LETTERING / 2.0), verdict)
        found.append(Text((x + 4.0, y), text, _LETTERING, "NOTE", tag=f"key:sign:{verdict}"))
        x += wide + _APART
    if shown and y < place.bottom + 1.0:
        raise ValueError(f"the signs do not stand left of the title block of {paper.name}")
    return tuple(found)
