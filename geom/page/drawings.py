"""The sheets on the page: each as SVG without its letters' outlines, packed together, and what each of them shows."""

from __future__ import annotations

import base64
import json
import re
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from geom.drafting.symbols import flagged_item
from geom.figure import Block, Item, Sheet
from geom.frozen import cached_property

# The page has the font once, so that its drawings go without the outlines of their letters.
_OUTLINES = re.compile(r'<defs\s*/>|<defs>.*?</defs>|<g id="letters".*</g>(?=</svg>)', re.DOTALL)
_DECLARATION = re.compile(r"^\s*<\?xml[^>]*\?>\s*")


@dataclass(frozen=True)
class Drawing:
    """One sheet: its file name, title and group, the ids on it, its SVG with plain texts, and its subtitle.

    `svg` is empty where the sheet is drawn when it is opened.
    """

    name: str
    title: str
    group: str
    tags: frozenset[str]
    svg: str = ""
    subtitle: str = ""

    @property
    def number(self) -> str:
        """The number of the sheet."""
        return self.name.partition("-")[0]

    @property
    def says(self) -> str:
        """The title without the number, with a capital letter."""
        return _capital(self.title.removeprefix(f"{self.number} "))

    @cached_property
    def items(self) -> tuple[int, ...]:
        """The numbers of the open items flagged on the sheet."""
        return tuple(sorted({number for tag in self.tags if (number := flagged_item(tag)) is not None}))

    @cached_property
    def _places(self) -> frozenset[str]:
        return frozenset(part for tag in self.tags for part in tag.split(":"))

    def shows(self, place: str) -> bool:
        """Return whether a run, a post or a hole is named in the ids of the sheet."""
        return place in self._places


def listed_of(sheets: Iterable[Sheet]) -> tuple[Drawing, ...]:
    """Return sheets for the page that are drawn when they are opened.

    Args:
        sheets: of the set, in order.
    """
    return tuple(
        Drawing(sheet.name, sheet.title, sheet.group, tags_of(sheet), subtitle=_subtitle(sheet)) for sheet in sheets
    )


def drawings_of(sheets: Iterable[Sheet], written: Mapping[str, bytes] | None = None) -> tuple[Drawing, ...]:
    """Return sheets for the page.

    Args:
        sheets: of the set, in order.
        written: SVG files by name without ending, where they are written already.
    """
    return tuple(
        Drawing(
            sheet.name, sheet.title, sheet.group, tags_of(sheet), drawn(sheet, (written or {}).get(sheet.name)),
            _subtitle(sheet),
        )
        for sheet in sheets
    )  # fmt: skip


def _subtitle(sheet: Sheet) -> str:
    """Return what a sheet shows, as its title block says it; empty where that is its title again."""
    stated = "" if sheet.border is None else dict(sheet.border.fields)["KIND"]
    return "" if sheet.title.lower().endswith(stated.lower()) else _capital(stated)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def drawn(sheet: Sheet, written: bytes | None = None) -> str:
    """Return a sheet as SVG with plain texts: the page has their font once.

    Args:
        sheet: the sheet.
        written: its SVG file, where it is written already.
    """
    from geom.render.svg import svg_bytes

    svg = written or svg_bytes(sheet, with_letters=False)
    return _DECLARATION.sub("", _OUTLINES.sub("", svg.decode("utf-8")))


def tags_of(sheet: Sheet) -> frozenset[str]:
    """Return the ids on a sheet."""
    items = (*sheet.items, *(item for view in sheet.views for item in view.items))
    return frozenset(tag for item in items for tag in _tags(item) if tag)


def _tags(item: Item) -> Iterator[str]:
    yield item.tag
    if isinstance(item, Block):
        for part in item.items:
            yield from _tags(part)


def packed(drawings: Sequence[Drawing]) -> str:
    """Return all drawings by name as base64 of compressed JSON."""
    data = json.dumps({one.name: one.svg for one in drawings}, ensure_ascii=False, separators=(",", ":"))
    # With the header of zlib, without a time: that of `gzip` is not the same in all versions of Python.
    return base64.b64encode(zlib.compress(data.encode("utf-8"), 9, wbits=31)).decode("ascii")
