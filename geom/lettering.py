"""The lettering font of all sheets in its two weights, with exact widths of text.

The font is IBM Plex Sans Condensed, complete, under the SIL Open Font Licence (templates/fonts).
"""

from __future__ import annotations

import io
from functools import cache, lru_cache
from typing import Any, Literal

from geom.resources import template_bytes

Weight = Literal["regular", "semibold"]
WEIGHTS: tuple[Weight, ...] = ("regular", "semibold")
_FILES: dict[Weight, str] = {
    "regular": "fonts/IBMPlexSansCondensed-Regular.ttf",
    "semibold": "fonts/IBMPlexSansCondensed-SemiBold.ttf",
}
# Capital height over em of the lettering font, read from its outlines ("H" is 698 of 1000 units high).
_CAPITAL, _EM = 698, 1000
CAP_HEIGHT = _CAPITAL / _EM
_OVERSHOOT = 0.03


@cache
def font_bytes(weight: Weight = "regular") -> bytes:
    """Return the font file of a weight, TrueType.

    Raises:
        CannotFinishError: the templates are not installed completely.
    """
    return template_bytes(_FILES[weight])


@cache
def _advances(weight: Weight) -> tuple[dict[int, int], int]:
    from fontTools.ttLib import TTFont

    with TTFont(io.BytesIO(font_bytes(weight)), lazy=True) as font:
        glyph_of = font.getBestCmap()
        widths = font["hmtx"].metrics
        return {code: widths[name][0] for code, name in glyph_of.items()}, font["head"].unitsPerEm


def letters() -> str:
    """Return every letter of the font; both weights have the same."""
    return "".join(chr(code) for code in sorted(_advances("regular")[0]))


def width(text: str, height: float, weight: Weight = "regular") -> float:
    """Return the width of a text [mm].

    Args:
        text: one line.
        height: capital height [mm].
        weight: of the lettering.

    Raises:
        ValueError: the font has no glyph for a character, so it could not be drawn the same everywhere.
    """
    total, em = _total(text, weight)
    return total / em * height / CAP_HEIGHT


# The same words are measured again and again while lists are laid out.
@lru_cache(maxsize=1 << 16)
def _total(text: str, weight: Weight) -> tuple[int, int]:
    """Return the sum of the advances of a text, and the size of the em, in the font's own units."""
    advances, em = _advances(weight)
    try:
        return sum(advances[ord(character)] for character in text), em
    except KeyError as error:
        raise ValueError(f"the lettering font has no glyph for {chr(error.args[0])!r} in {text!r}") from None


@cache
def _outlines(weight: Weight) -> tuple[dict[int, str], Any]:
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(font_bytes(weight)), lazy=True)
    return font.getBestCmap(), font["glyf"]


@cache
def _bounds(character: str, weight: Weight) -> tuple[float, float]:
    """Return the lowest and the highest point of a letter over the base line [capital heights]."""
    names, outlines = _outlines(weight)
    outline = outlines[names[ord(character)]]
    # A space has no outline; the overshoot of round letters below the base line is not visible.
    low, high = getattr(outline, "yMin", 0) / _CAPITAL, getattr(outline, "yMax", 0) / _CAPITAL
    return (low if low < -_OVERSHOOT else 0.0, high)


def reach(text: str, weight: Weight = "regular") -> tuple[float, float]:
    """Return how far a text goes below its base line (negative) and above it, at least a capital [capital heights].

    Args:
        text: one line, of letters that the font has.
        weight: of the lettering.
    """
    bounds = [_bounds(character, weight) for character in text]
    return min([0.0, *(low for low, _ in bounds)]), max([1.0, *(high for _, high in bounds)])


def em_size(height: float) -> float:
    """Return the font size (em) that gives a capital height [same unit]."""
    return height / CAP_HEIGHT
