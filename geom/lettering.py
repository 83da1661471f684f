"""The lettering font of all sheets in its two weights, exact widths of text, and text broken into lines.

The font is IBM Plex Sans Condensed, complete, under the SIL Open Font Licence (templates/fonts).
"""

from __future__ import annotations

import io
import re
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
# Capital height of lists and notes [mm].
LISTED = 2.5
# A non-breaking space: no line is broken there.
KEPT = "\u00a0"
_WORDS = re.compile(rf"(?:[^\s]|{KEPT})+")
# A space between a figure and its unit, whole inches and their fraction, or a letter of a formula and its figure.
_IN_FIGURE = re.compile(
    r"(?<=[0-9]) (?=(?:mm|m|in|ft|kN|N|MPa|lbf|lb|kg|g|deg|d|%)(?![A-Za-z0-9])|[0-9]+/[0-9])|(?<=\b[A-Z]) (?=[0-9])"
)
# A hyphen within a word; one before a figure is its sign.
_HYPHEN = re.compile(r"(?<=\w)-(?=\w)")


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


@lru_cache(maxsize=1 << 14)
def broken(text: str, room: float, height: float = LISTED, weight: Weight = "regular") -> tuple[str, ...]:
    """Return a text wrapped to a width; a longer word is broken, at a hyphen if it has one.

    KEPT joins words; it is written as a space. A unit stays with its figure, a fraction with its whole number.

    Args:
        text: the text.
        room: largest width of a line [mm].
        height: of the lettering [mm].
        weight: of the lettering.
    """
    lines = [""]
    kept = _WORDS.findall(_IN_FIGURE.sub(KEPT, text))
    # What is kept together stands in one line where a line holds it.
    for word in (
        part for one in kept for part in ([one] if width_as_drawn(one, height, weight) <= room else one.split(KEPT))
    ):
        tried = f"{lines[-1]} {word}".strip(" ")
        if width_as_drawn(tried, height, weight) <= room:
            lines[-1] = tried
            continue
        if lines[-1]:
            lines.append("")
        for part in _HYPHEN.sub("-\n", word).split("\n"):
            if lines[-1] and width_as_drawn(lines[-1] + part, height, weight) > room:
                lines.append("")
            for letter in part:
                if width_as_drawn(lines[-1] + letter, height, weight) > room:
                    lines.append("")
                lines[-1] += letter
    return tuple(line.replace(KEPT, " ") for line in lines)


def width_as_drawn(text: str, height: float, weight: Weight) -> float:
    """Return the width of a text as drawn, with spaces for KEPT [mm].

    Args:
        text: one line.
        height: of the lettering [mm].
        weight: of the lettering.
    """
    return width(text.replace(KEPT, " "), height, weight)


@lru_cache(maxsize=1 << 14)
def longest_word(text: str, weight: Weight) -> float:
    """Return the width of the longest word of a text in a list, a part up to a hyphen being one [mm].

    Args:
        text: the text.
        weight: of the lettering.
    """
    return max((width_as_drawn(word, LISTED, weight) for word in _HYPHEN.sub("- ", text).split()), default=0.0)


@lru_cache(maxsize=1 << 14)
def longest_kept(text: str, weight: Weight) -> float:
    """Return the width of the longest part of a text in a list that is kept together [mm].

    Args:
        text: the text.
        weight: of the lettering.
    """
    kept = _WORDS.findall(_IN_FIGURE.sub(KEPT, text))
    return max((width_as_drawn(word, LISTED, weight) for word in kept), default=0.0)
