"""Written sheets read back: what stands on them by the id it carries."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

from geom.figure import Text
from geom.render.svg import svg_bytes


def texts_of(sheets):
    """Return id -> the lettering that carries it on any of the sheets, its lines joined."""
    found: dict[str, list[str]] = {}
    for sheet in sheets:
        for element in ET.fromstring(svg_bytes(sheet)).iter():
            tag = element.get("data-tag")
            if tag and element.tag.endswith("text"):
                found.setdefault(tag, []).append("".join(element.itertext()))
    return {tag: " ".join(lines) for tag, lines in found.items()}


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
