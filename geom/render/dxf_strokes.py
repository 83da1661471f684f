"""Strokes and lettering of a DXF document: the library writes the first of each look, the rest fill its tags.

A sheet has thousands of lines and texts that differ in place and wording alone. The library works out anew for each
which of its attributes are written; here it does so once for all that look the same.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from typing import Any

from ezdxf.entities import DXFGraphic, factory
from ezdxf.lldxf.attributes import XType
from ezdxf.lldxf.tagwriter import TagWriter

from geom.render.dxf_tables import TAG_CODE, mark

# The value of a chain of strokes that has the x and y of each corner in turn, and their group codes.
CORNERS = "corners"
_CORNER_CODES = (10, 20)
# What every stroke has for itself, beside its values.
_OWN = ("handle", "owner", "layer")
# The tags of a stroke as text, with `%s` for each value, and which of its values is written there.
_Pattern = tuple[str, tuple[int, ...]]
_PATTERNS: dict[tuple[Any, ...], _Pattern] = {}


class Stroke(DXFGraphic):  # type: ignore[misc]
    """A line, chain of strokes, circle, arc, triangle or text, which refers to no other entity.

    Args:
        kind: DXF type.
        look: layer, line type scale and all else that many strokes have in common, by the library's names.
        values: what differs from stroke to stroke, by the library's names: points in the plane, lengths, words.
        tag: extended data, none where empty.
    """

    def __init__(self, kind: str, look: Mapping[str, Any], values: Mapping[str, Any], tag: str) -> None:
        super().__init__()
        self.DXFTYPE = kind
        self.values = values
        self.tag = tag
        self.look = look
        self.dxf.layer = look["layer"]

    def export_dxf(self, tagwriter: Any) -> None:
        """Write the stroke as the library writes its own entity of the same values."""
        look = {**self.look, **self.dxf.all_existing_dxf_attribs()}
        flat = [look.pop(name) for name in _OWN]
        if self.tag:
            flat.append(self.tag)
        for value in self.values.values():
            flat += value if isinstance(value, tuple) else (value,)
        key = (
            self.DXFTYPE,
            tagwriter.dxfversion,
            len(flat),
            bool(self.tag),
            *self.values,
            *look.items(),
        )
        if key not in _PATTERNS:
            _PATTERNS[key] = self._pattern(tagwriter.dxfversion, look)
        text, order = _PATTERNS[key]
        tagwriter.write_str(text % tuple([flat[index] for index in order]))

    def _pattern(self, version: str, look: Mapping[str, Any]) -> _Pattern:
        own = {name: self.dxf.get(name) for name in _OWN}
        values = {name: value for name, value in self.values.items() if name != CORNERS}
        entity = factory.new(self.DXFTYPE, {**own, **look, **values})
        corners = self.values.get(CORNERS, ())
        if corners:
            entity.append_points(zip(corners[::2], corners[1::2], strict=True))
        stream = io.StringIO()
        mark(entity, self.tag).export_dxf(TagWriter(stream, version))
        waiting: dict[int, list[int]] = {}
        for index, code in enumerate(self._codes(entity)):
            waiting.setdefault(code, []).append(index)
        lines = stream.getvalue().split("\n")
        parts: list[str] = []
        order: list[int] = []
        for code_line, value in zip(lines[:-1:2], lines[1::2], strict=True):
            here = waiting.get(int(code_line))
            if here:
                order.append(here.pop(0))
                value = "%s"
            else:
                value = value.replace("%", "%%")
            parts.append(f"{code_line}\n{value}\n")
        assert not any(waiting.values()), f"a value that the library leaves out of {entity} belongs to its look"
        return "".join(parts), tuple(order)

    def _codes(self, entity: Any) -> Iterator[int]:
        """Yield the group code of each value, in the order of the values."""
        for name in _OWN:
            yield entity.DXFATTRIBS.get(name).code
        if self.tag:
            yield TAG_CODE
        for name, value in self.values.items():
            if name == CORNERS:
                yield from _CORNER_CODES * (len(value) // 2)
                continue
            definition = entity.DXFATTRIBS.get(name)
            yield definition.code
            if definition.xtype == XType.point3d:
                yield definition.code + 10
