"""The lettering font of all sheets, with exact widths of text."""

from __future__ import annotations

import importlib.util
from functools import cache
from pathlib import Path

from geom.errors import CannotFinishError

# Capital height over em of the lettering font, read from its outlines ("H" is 1493 of 2048 units high).
CAP_HEIGHT = 1493 / 2048


def font_path() -> Path:
    """Return the path of the lettering font, the sans-serif face supplied with the PDF library.

    Raises:
        CannotFinishError: the PDF library is not installed completely.
    """
    spec = importlib.util.find_spec("reportlab")
    if spec is None or spec.origin is None:
        raise CannotFinishError("the PDF library, which supplies the lettering font, is not installed")
    return Path(spec.origin).parent / "fonts" / "Vera.ttf"


@cache
def _advances() -> tuple[dict[int, int], int]:
    from fontTools.ttLib import TTFont

    with TTFont(font_path(), lazy=True) as font:
        glyph_of = font.getBestCmap()
        widths = font["hmtx"].metrics
        return {code: widths[name][0] for code, name in glyph_of.items()}, font["head"].unitsPerEm


def width(text: str, height: float) -> float:
    """Return the width of a text [mm] at a capital height [mm].

    Raises:
        ValueError: the font has no glyph for a character, so it could not be drawn the same everywhere.
    """
    advances, em = _advances()
    try:
        total = sum(advances[ord(character)] for character in text)
    except KeyError as error:
        raise ValueError(f"the lettering font has no glyph for {chr(error.args[0])!r} in {text!r}") from None
    return total / em * height / CAP_HEIGHT


def em_size(height: float) -> float:
    """Return the font size (em) that gives a capital height [same unit]."""
    return height / CAP_HEIGHT
