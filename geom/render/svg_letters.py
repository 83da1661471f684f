"""The letters of an SVG drawing as outlines, so that every reader shows the same ones, each letter once in the file."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache, lru_cache

from geom import lettering
from geom.figure import LAYERS, Across, Text
from geom.lettering import Weight
from geom.render.font import EM, glyph_path
from geom.render.plane import baseline

_MARKS: dict[Weight, str] = {"regular": "r", "semibold": "s"}


@cache
def _reference(character: str, weight: Weight) -> tuple[str, float]:
    """Return the start of a reference to a letter, empty for a space, and the letter's advance [units of the em]."""
    advance = lettering.width(character, lettering.CAP_HEIGHT * EM, weight)
    if not glyph_path(character, weight):
        return "", advance
    return f'<use xlink:href="#{_MARKS[weight]}{ord(character):x}" x="', advance


@lru_cache(maxsize=1 << 14)
def _letters(text: str, height: float, weight: Weight, across: Across) -> str:
    """Return the references to the letters of a text, about the point that it is set at."""
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[across]
    at = -share * lettering.width(text, height, weight) / (lettering.em_size(height) / EM)
    parts = []
    for character in text:
        start, advance = _reference(character, weight)
        if start:
            parts.append(f'{start}{round(at)}"/>')
        at += advance
    return "".join(parts)


def outlined(texts: Sequence[Text], height: float, number: Callable[[float], str]) -> str:
    """Return the outlines of all letters that texts use, and a group in which each line of lettering is a group.

    Args:
        texts: in paper millimetres, y up.
        height: of the sheet [mm].
        number: writes a number.
    """
    used = sorted({(text.weight, character) for text in texts for character in text.text})
    parts = ["<defs>"]
    for weight, character in used:
        if path := glyph_path(character, weight):
            parts.append(f'<path id="{_MARKS[weight]}{ord(character):x}" d="{path}"/>')
    parts.append('</defs><g id="letters" aria-hidden="true" stroke="none">')
    for text in texts:
        x, y = baseline(text)
        scale = lettering.em_size(text.height) / EM
        turn = f" rotate({number(-math.degrees(text.rotation))})" if abs(text.rotation) > 1e-9 else ""
        placed = f"translate({number(x)} {number(height - y)}){turn} scale({scale:.7f} {-scale:.7f})"
        parts.append('<g transform="{}" fill="rgb({},{},{})">'.format(placed, *LAYERS[text.layer].rgb))
        parts += (_letters(text.text, text.height, text.weight, text.across), "</g>")
    parts.append("</g>")
    return "".join(parts)
