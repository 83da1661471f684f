"""Written sheets read back: their lettering by the ids it carries."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction

from geom.figure import Sheet, Text
from geom.render.svg import svg_bytes


def texts_of(sheets):
    """Return id -> the lettering that carries it on any of the sheets, its lines joined."""
    found: dict[str, list[str]] = {}
    for sheet in sheets:
        for tag, text in _lettered(sheet):
            found.setdefault(tag, []).append(text)
    return {tag: " ".join(lines) for tag, lines in found.items()}


# Each sheet is written and read once; it is kept beside what was read, so that its id stays its own.
_READ: dict[int, tuple[Sheet, list[tuple[str, str]]]] = {}


def _lettered(sheet):
    """Return id and lettering of every text of a sheet's SVG that carries an id."""
    if id(sheet) not in _READ:
        elements = ET.fromstring(svg_bytes(sheet)).iter()
        found = [(element.get("data-tag"), element) for element in elements if element.tag.endswith("text")]
        _READ[id(sheet)] = sheet, [(tag, "".join(element.itertext())) for tag, element in found if tag]
    return _READ[id(sheet)][1]


def forged(sheets, tag, text):
    """Return the sheets with other lettering under an id; none where text is None."""
    changed = []
    for sheet in sheets:
        items = []
        for item in sheet.items:
            if isinstance(item, Text) and item.tag == tag:
                if text is None:
                    continue
                item = replace(item, text=text)
            items.append(item)
        changed.append(replace(sheet, items=tuple(items)))
    return tuple(changed)


def plain(text):
    """Return a text without blanks, as lines may be broken anywhere."""
    return "".join(text.split())


def shows(text, value, decimals):
    """Return whether a text is a value at a number of decimals; a dash is None."""
    if value is None or text == "-":
        return value is None and text == "-"
    return len(text.partition(".")[2]) == decimals and abs(float(text) - value) <= 0.5000001 * 10.0**-decimals


def rounded(value, fmt):
    """Return a length as plan and profiles give it: to 1 mm, or to the nearest sixteenth of an inch."""
    if fmt.unit == "mm":
        return str(math.floor(abs(value) + 0.5) * (-1 if value < 0 else 1))
    parts = round(value / 25.4 * 16)
    whole, rest = divmod(abs(parts), 16)
    sign = "-" if parts < 0 else ""
    fraction = str(Fraction(rest, 16)) if rest else ""
    return sign + (f"{whole} {fraction}".strip() if whole or not fraction else fraction)
