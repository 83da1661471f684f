"""Sheets written as one PDF: true millimetres, each page its own size, searchable lettering, an outline."""

from __future__ import annotations

import io
import math
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from functools import cache
from itertools import groupby
from typing import Any
from weakref import WeakKeyDictionary

from geom import lettering
from geom.figure import LAYERS, Arc, Circle, Hatch, Layer, Line, Polyline, Sheet, Text
from geom.lettering import WEIGHTS, Weight
from geom.render.explode import Group, clean, explode
from geom.render.font import FAMILY, USUAL
from geom.render.plane import arc_sweep, baseline
from geom.render.style import dashes

_Stroke = Line | Circle | Arc | Polyline | Hatch
_MM = 72.0 / 25.4
_ROUND = 1
# The date of a file without a revision.
_UNDATED = "2000-01-01"
_DATE_VARIABLE = "SOURCE_DATE_EPOCH"


def _pen(canvas: Any, layer: Layer) -> None:
    red, green, blue = (part / 255.0 for part in layer.rgb)
    canvas.setStrokeColorRGB(red, green, blue)
    canvas.setFillColorRGB(red, green, blue)
    canvas.setLineWidth(layer.width)
    canvas.setLineJoin(_ROUND)
    # Round caps keep the dots of a chain on a coarse screen.
    canvas.setLineCap(_ROUND)
    canvas.setDash(list(dashes(layer)))


def _face(weight: Weight) -> str:
    return f"{FAMILY}-{weight}"


def _letter(canvas: Any, texts: Iterable[Text]) -> None:
    """Write texts, naming the font only where it changes."""
    written, set_in = canvas.beginText(), None
    for text in texts:
        x, y = baseline(text)
        back = {"left": 0.0, "centre": 0.5, "right": 1.0}[text.across] * lettering.width(
            text.text, text.height, text.weight
        )
        font = _face(text.weight), lettering.em_size(text.height)
        if font != set_in:
            written.setFont(*font)
            set_in = font
        if text.rotation:
            cosine, sine = math.cos(text.rotation), math.sin(text.rotation)
            written.setTextTransform(cosine, sine, -sine, cosine, x - back * cosine, y - back * sine)
        else:
            written.setTextOrigin(x - back, y)
        written.textOut(clean(text.text))
    canvas.drawText(written)


def _draw(canvas: Any, shape: _Stroke) -> None:
    path = canvas.beginPath()
    if isinstance(shape, Line):
        path.moveTo(*shape.start)
        path.lineTo(*shape.end)
    elif isinstance(shape, Circle):
        path.circle(*shape.centre, shape.radius)
    elif isinstance(shape, Arc):
        (x, y), r = shape.centre, shape.radius
        path.arc(x - r, y - r, x + r, y + r, math.degrees(shape.start), math.degrees(arc_sweep(shape)))
    else:
        first, *rest = shape.outline if isinstance(shape, Hatch) else shape.points
        path.moveTo(*first)
        for point in rest:
            path.lineTo(*point)
        if isinstance(shape, Hatch) or shape.closed:
            path.close()
    filled = isinstance(shape, Hatch)
    canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)


# What is drawn on a page, kept while its sheet lives: the set and its packs have the same pages.
_DRAWN: WeakKeyDictionary[Sheet, str] = WeakKeyDictionary()


@cache
def _register_fonts() -> None:
    """Make both weights of the lettering known to the PDF library."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for weight in WEIGHTS:
        pdfmetrics.registerFont(TTFont(_face(weight), io.BytesIO(lettering.font_bytes(weight))))


def _embed_usual_letters(canvas: Any) -> None:
    """Give the usual letters their codes in a file's fonts, the same in every file."""
    from reportlab.pdfbase import pdfmetrics

    for weight in WEIGHTS:
        font = pdfmetrics.getFont(_face(weight))
        font.splitString("".join(sorted(USUAL)), canvas._doc)
        font.getSubsetInternalName(0, canvas._doc)


def _draw_groups(canvas: Any, groups: Iterable[Group]) -> None:
    for group in groups:
        canvas.saveState()
        _pen(canvas, LAYERS[group.layer])
        for _, run in groupby(group.items, lambda shape: isinstance(shape, Text)):
            texts: list[Text] = []
            for shape in run:
                if isinstance(shape, Text):
                    texts.append(shape)
                else:
                    _draw(canvas, shape)
            if texts:
                _letter(canvas, texts)
        canvas.restoreState()


def _page(canvas: Any, sheet: Sheet, key: str, new_group: bool) -> None:
    canvas.setPageSize((sheet.width * _MM, sheet.height * _MM))
    canvas.bookmarkPage(key)
    if new_group:
        canvas.bookmarkPage(f"group-{key}")
        canvas.addOutlineEntry(clean(sheet.group), f"group-{key}", level=0)
    canvas.addOutlineEntry(clean(sheet.title), key, level=1 if sheet.group else 0)
    canvas.scale(_MM, _MM)
    if sheet in _DRAWN:
        canvas.addLiteral(_DRAWN[sheet])
    else:
        groups = explode(sheet)
        before = len(canvas._code)
        _draw_groups(canvas, groups)
        # Other letters have other codes in another file.
        if all(USUAL.issuperset(shape.text) for group in groups for shape in group.items if isinstance(shape, Text)):
            _DRAWN[sheet] = "\n".join(canvas._code[before:])
    canvas.showPage()


@contextmanager
def _binary_streams() -> Iterator[None]:
    """Let the PDF library write streams as bytes: in printable characters, its default, they are a quarter larger."""
    from reportlab import rl_config

    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        yield
    finally:
        rl_config.useA85 = before


@contextmanager
def _no_date_from_outside() -> Iterator[None]:
    """Hide the date that the PDF library takes from the environment in place of its fixed one."""
    before = os.environ.pop(_DATE_VARIABLE, None)
    try:
        yield
    finally:
        if before is not None:
            os.environ[_DATE_VARIABLE] = before


def pdf_bytes(
    sheets: Sequence[Sheet],
    title: str,
    keywords: Mapping[str, str] | None = None,
    subject: str = "",
    dated: str = _UNDATED,
) -> bytes:
    """Return sheets as one PDF file, a page and an outline entry for each.

    Args:
        sheets: the sheets in order; each page has its sheet's exact size.
        title: the title of the file.
        keywords: names and values for the file's keyword entry, such as revision and hash.
        subject: the subject of the file.
        dated: day of its revision, year-month-day, given as the file's date whatever the day is.

    Returns:
        The same bytes for the same sheets; the file requests printing without scaling.

    Raises:
        GeometryError: a sheet contains an item that cannot be written (see `explode.pieces`).
        ValueError: no sheets.
    """
    if not sheets:
        raise ValueError("a PDF needs at least one sheet")
    from reportlab.pdfgen.canvas import Canvas

    _register_fonts()
    stream = io.BytesIO()
    # Naming our font as the first one keeps an unembedded standard font out of the file.
    with _no_date_from_outside():
        canvas = Canvas(stream, invariant=1, pageCompression=1, initialFontName=_face("regular"), lang="en")
    canvas._doc._timeStamp.YMDhms = (*date.fromisoformat(dated).timetuple()[:3], 0, 0, 0)
    canvas.setTitle(clean(title))
    canvas.setSubject(clean(subject))
    canvas.setCreator("Toerail")
    canvas.setAuthor("Toerail")
    canvas.setKeywords(clean("; ".join(f"{name}: {value}" for name, value in (keywords or {}).items())))
    canvas.setViewerPreference("PrintScaling", "None")
    if len(sheets) > 1:
        canvas.showOutline()
    _embed_usual_letters(canvas)
    with _binary_streams():
        for index, sheet in enumerate(sheets, start=1):
            first = index == 1 or sheets[index - 2].group != sheet.group
            _page(canvas, sheet, f"sheet-{index}", bool(sheet.group) and first)
        canvas.save()
    return stream.getvalue()
