"""The sheets on the page: each as SVG without its letters' outlines, packed together, and what each of them shows."""

from __future__ import annotations

import base64
import gzip
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from geom.figure import Sheet

# The page has the font once, so that its drawings go without the outlines of their letters.
_OUTLINES = re.compile(r'<defs\s*/>|<defs>.*?</defs>|<g id="letters".*</g>(?=</svg>)', re.DOTALL)
_DECLARATION = re.compile(r"^\s*<\?xml[^>]*\?>\s*")
_TAG = re.compile(r'data-tag="([^"]*)"')
_ITEM = re.compile(r"^(?:flag:(?:[^:]+:)?(\d+)|flag:(\d+):[^:]+|item:(\d+))$")


@dataclass(frozen=True)
class Drawing:
    """One sheet: its file name, title and group, and its SVG with plain texts."""

    name: str
    title: str
    group: str
    svg: str

    @property
    def number(self) -> str:
        """The number of the sheet."""
        return self.name.partition("-")[0]

    @property
    def says(self) -> str:
        """The title without the number."""
        return self.title.removeprefix(f"{self.number} ")

    @property
    def items(self) -> tuple[int, ...]:
        """The numbers of the open items flagged on the sheet."""
        found = (_ITEM.match(tag) for tag in _TAG.findall(self.svg))
        numbers = {int(next(one for one in match.groups() if one)) for match in found if match}
        return tuple(sorted(numbers))

    def shows(self, place: str) -> bool:
        """Return whether a run, a post or a hole is named in the tags of the sheet."""
        return any(place in tag.split(":") for tag in set(_TAG.findall(self.svg)))


def drawings_of(sheets: Iterable[Sheet], written: Mapping[str, bytes] | None = None) -> tuple[Drawing, ...]:
    """Return sheets for the page.

    Args:
        sheets: of the set, in order.
        written: SVG files by name without ending, where they are written already.
    """
    from geom.render.svg import svg_bytes

    made = []
    for sheet in sheets:
        svg = (written or {}).get(sheet.name) or svg_bytes(sheet, with_letters=False)
        text = _DECLARATION.sub("", _OUTLINES.sub("", svg.decode("utf-8")))
        made.append(Drawing(sheet.name, sheet.title, sheet.group, text))
    return tuple(made)


def packed(drawings: Sequence[Drawing]) -> str:
    """Return all drawings by name as base64 of compressed JSON."""
    data = json.dumps({one.name: one.svg for one in drawings}, ensure_ascii=False, separators=(",", ":"))
    return base64.b64encode(gzip.compress(data.encode("utf-8"), 9, mtime=0)).decode("ascii")
