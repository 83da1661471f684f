"""The lettering font reduced to the letters that a drawing uses, for embedding, and letters as outlines."""

from __future__ import annotations

import io
from functools import cache, lru_cache
from typing import Any

from geom import lettering
from geom.lettering import Weight
from geom.resources import template_bytes

FAMILY = "toerail-lettering"
# Units of the em in the outlines of letters.
EM = 1000
_STYLE_NAMES: dict[Weight, str] = {"regular": "Regular", "semibold": "SemiBold"}
_LAYOUT = ("GSUB", "GPOS", "GDEF")
USUAL_FONTS: dict[Weight, str] = {"regular": "fonts/usual-regular.ttf", "semibold": "fonts/usual-semibold.ttf"}

# Most pages use no others, so that one font serves them all. It is kept ready; `python -m tests.make_usual_fonts`
# writes it anew.
USUAL = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("\u00a0°±·×Ø‹›−◂")


def subset(characters: str, weight: Weight = "regular") -> bytes:
    """Return a TrueType font with the given characters and the usual ones, the same bytes for the same characters.

    Args:
        characters: the letters used, in any order, with or without repeats.
        weight: of the font.
    """
    # A font holds no line breaks.
    if USUAL.issuperset(set(characters).intersection(lettering.letters())):
        return template_bytes(USUAL_FONTS[weight])
    return font_of_letters(USUAL.union(characters), weight)


@lru_cache(maxsize=64)
def font_of_letters(characters: frozenset[str], weight: Weight) -> bytes:
    """Return a TrueType font with the given characters alone, cut from the lettering font.

    Args:
        characters: the letters.
        weight: of the font.
    """
    from fontTools import subset as cutter
    from fontTools.ttLib import TTFont

    options = cutter.Options()
    options.hinting = False
    options.layout_features = []
    options.notdef_outline = True
    options.name_IDs = [0]
    options.name_languages = [0x409]
    options.drop_tables += ["kern", "PCLT", "VDMX", "hdmx", "gasp", "LTSH"]
    font = TTFont(io.BytesIO(lettering.font_bytes(weight)), recalcTimestamp=False)
    # The subsetter would take these apart before it drops them, for nine tenths of its time.
    for table in _LAYOUT:
        if table in font:
            del font[table]
    worker = cutter.Subsetter(options)
    worker.populate(unicodes=sorted(map(ord, characters)))
    worker.subset(font)
    # The licence requires another name for a modified font, and the copyright notice.
    names = font["name"]
    for name_id in (1, 4, 6):
        names.setName(FAMILY, name_id, 3, 1, 0x409)
    names.setName(_STYLE_NAMES[weight], 2, 3, 1, 0x409)
    stream = io.BytesIO()
    font.save(stream, reorderTables=True)
    font.close()
    return stream.getvalue()


def outlines(text: str, height: float, weight: Weight = "regular") -> tuple[tuple[tuple[float, float], ...], ...]:
    """Return a text as the closed outlines of its letters [mm], for machines without lettering.

    Args:
        text: one line; its base line starts at (0, 0) and runs along x.
        height: capital height [mm].
        weight: of the lettering.

    Raises:
        ValueError: the font has no glyph for a character.
    """
    size = lettering.em_size(height)
    closed = []
    x = 0.0
    for character in text:
        for contour in _contours(character, weight):
            closed.append(tuple((x + u * size, v * size) for u, v in contour))
        x += lettering.width(character, height, weight)
    return tuple(closed)


@cache
def glyph_path(character: str, weight: Weight) -> str:
    """Return the outline of a letter as the data of an SVG path, y up, the em `EM` units, empty for a space.

    Args:
        character: of the font.
        weight: of the lettering.
    """
    from fontTools.pens.basePen import decomposeQuadraticSegment
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    names, glyphs, em = _glyphs(weight)
    pen = DecomposingRecordingPen(glyphs)
    glyphs[names[ord(character)]].draw(pen)
    parts: list[str] = []
    at = (0, 0)

    def step(letter: str, *points: tuple[float, float]) -> None:
        nonlocal at
        moved = [(round(x * EM / em) - at[0], round(y * EM / em) - at[1]) for x, y in points]
        parts.append(letter + " ".join(f"{x} {y}" for x, y in moved))
        at = (at[0] + moved[-1][0], at[1] + moved[-1][1])

    begin = at
    for operation, points in pen.value:
        if operation == "moveTo":
            step("m", points[0])
            begin = at
        elif operation == "lineTo":
            step("l", points[0])
        elif operation == "qCurveTo":
            for control, end in decomposeQuadraticSegment(points):
                step("q", control, end)
        else:
            parts.append("z")
            at = begin
    return "".join(parts)


_CURVE_STEPS = 3


@cache
def _glyphs(weight: Weight) -> tuple[dict[int, str], Any, int]:
    """Return the glyph names by character code, the glyphs, and the size of the em."""
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(lettering.font_bytes(weight)))
    return font.getBestCmap(), font.getGlyphSet(), font["head"].unitsPerEm


@cache
def _contours(character: str, weight: Weight) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Return the closed outlines of a letter [em], its curves as chains of straight strokes."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    names, glyphs, em = _glyphs(weight)
    if ord(character) not in names:
        raise ValueError(f"the lettering font has no glyph for {character!r}")
    pen = DecomposingRecordingPen(glyphs)
    glyphs[names[ord(character)]].draw(pen)
    contours: list[list[tuple[float, float]]] = []
    for operation, points in pen.value:
        if operation == "moveTo":
            contours.append([points[0]])
        elif operation == "lineTo":
            contours[-1].append(points[0])
        elif operation == "qCurveTo":
            contours[-1] += _curve(contours[-1][-1], points)
    return tuple(tuple((u / em, v / em) for u, v in _without_repeats(contour)) for contour in contours)


def _curve(start: tuple[float, float], points: Any) -> list[tuple[float, float]]:
    """Return points along a TrueType chain of quadratic curves."""
    from fontTools.pens.basePen import decomposeQuadraticSegment

    curve: list[tuple[float, float]] = []
    for control, end in decomposeQuadraticSegment(points):
        for step in range(1, _CURVE_STEPS + 1):
            t = step / _CURVE_STEPS
            a, b, c = (1.0 - t) ** 2, 2.0 * t * (1.0 - t), t * t
            curve.append((a * start[0] + b * control[0] + c * end[0], a * start[1] + b * control[1] + c * end[1]))
        start = end
    return curve


def _without_repeats(contour: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return a closed contour without repeated points."""
    return [point for k, point in enumerate(contour) if point != contour[k - 1]]
