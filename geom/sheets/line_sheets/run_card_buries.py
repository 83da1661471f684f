"""The buries that a line asks for which is too short for them: bars over each other, with their overlap."""

from __future__ import annotations

from collections.abc import Iterator

from geom.drafting.line_text import length
from geom.figure import Dimension, Hatch, Item, Polyline
from geom.lettering import width as text_width
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.sheets.line_sheets.run_card_marks import LETTERING, Straightened
from geom.units import inch_fraction

# A bar's edges off the line's axis, and its dimension off the bar; the overlap's off the lower bar [paper mm].
_NEAR, _FAR, _DIM, _OVERLAP = 3.0, 5.2, 4.2, 4.8


def needed_buries(shown: Straightened, mm: float) -> Iterator[Item]:
    """Return both buries as bars, the forward one over the line, and how far they overlap or lie apart.

    Args:
        shown: the run.
        mm: mm along the line to a paper mm.
    """
    run = shown.work.run
    ends = {}
    for bury, sign in zip(shown.work.fit.buries, (1.0, -1.0), strict=True):
        low, high = sorted((bury.throat, bury.bury_end))
        near, far = sign * _NEAR * mm, sign * _FAR * mm
        corners = ((low, near), (high, near), (high, far), (low, far))
        yield Hatch(corners, "HATCH", 1.2)
        yield Polyline(corners, "FITTING", True)
        offset = _DIM if sign > 0.0 else -_DIM - _OVERLAP - 2.0
        text = _text(shown, high - low, run_card_words.BURY, mm)
        yield Dimension((low, far), (high, far), offset, 0.0, text, tag=f"needs:{run}:{bury.end}")
        ends[bury.end] = bury.bury_end
    apart = ends["finish"] - ends["start"]
    if abs(apart) < 1.0 * mm:
        return
    first, last = (ends["finish"], -_FAR * mm), (ends["start"], _NEAR * mm)
    if apart > 0.0:
        first, last = last, first
    word = run_card_words.OVERLAP if apart < 0.0 else run_card_words.APART
    offset = -_OVERLAP if apart < 0.0 else -_OVERLAP - (_NEAR + _FAR)
    span, wide = abs(apart) / mm, text_width(f"{word} {_number(shown, abs(apart))}", LETTERING)
    # Where the words find no room between the arrows they stand aft of them.
    shift = 0.0 if wide + 6.0 <= span else (span + wide) / 2.0 + 2.0
    text = f"{word} {_sign(shown, abs(apart))}"
    yield Dimension(first, last, offset, 0.0, text, shift, tag=f"needs:{run}:overlap")


def _number(shown: Straightened, value: float) -> str:
    fmt = shown.numbers
    return inch_fraction(value, 32) if fmt.unit == "in" else length(value, fmt)


def _sign(shown: Straightened, value: float) -> str:
    """Return the sign for the measured value; an inch length as a tape is read."""
    return _number(shown, value) if shown.numbers.unit == "in" else "<>"


def _text(shown: Straightened, value: float, word: str, mm: float) -> str:
    """Return a dimension's lettering with its word, where that finds room."""
    fits = text_width(f"{word} {_number(shown, value)}", LETTERING) + 6.0 <= value / mm
    return f"{word} {_sign(shown, value)}" if fits else _sign(shown, value)
