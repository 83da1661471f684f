"""A text as a QR code, drawn as filled strips."""

from __future__ import annotations

from collections.abc import Iterator

import segno

from geom.figure import Hatch, Point

# Light modules that a reader needs round a code.
# Source: ISO/IEC 18004 (quiet zone of four modules), from memory, verify.
QUIET = 4
# Corrects about 15 per cent of the code. Source: ISO/IEC 18004, from memory, verify.
_CORRECTION = "m"
_LAYER = "OUTLINE"


def modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """Return the modules of the code of a text, row by row from the top, True where dark."""
    code = segno.make_qr(text, error=_CORRECTION, boost_error=False, encoding="utf-8")
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def code_items(text: str, at: Point, side: float, tag: str) -> Iterator[Hatch]:
    """Yield the dark strips of the code of a text.

    Args:
        text: what a reader shows.
        at: lower left corner of the code with its quiet zone [mm].
        side: of the code with its quiet zone [mm].
        tag: id of the strips.
    """
    rows = modules(text)
    size = side / (len(rows) + 2 * QUIET)
    top = at[1] + side - QUIET * size
    for number, row in enumerate(rows):
        for begin, end in _strips(row):
            left, right = at[0] + (QUIET + begin) * size, at[0] + (QUIET + end) * size
            upper, lower = top - number * size, top - (number + 1) * size
            yield Hatch(((left, lower), (right, lower), (right, upper), (left, upper)), _LAYER, tag=tag)


def _strips(row: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    """Yield where each strip of dark modules begins and ends."""
    begin = None
    for place, dark in enumerate((*row, False)):
        if dark and begin is None:
            begin = place
        elif not dark and begin is not None:
            yield begin, place
            begin = None
