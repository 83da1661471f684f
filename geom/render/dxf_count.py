"""How much a DXF layout or block holds once every block in it is expanded: by counting alone, nothing is expanded."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


def expanded_count(doc: Any, entities: Iterable[Any], levels: int) -> int | None:
    """Return the number of entities with the blocks in them expanded, None where blocks go deeper or hold themselves.

    Args:
        doc: the document of the DXF library.
        entities: of a layout or block.
        levels: blocks within blocks that are expanded.
    """
    counted: dict[str, tuple[int, int]] = {}

    def of_block(name: str, inside: tuple[str, ...]) -> tuple[int, int] | None:
        key = name.casefold()
        if key in inside:
            return None
        if key not in counted:
            found = of_entities(doc.blocks.get(name) or (), (*inside, key))
            if found is None:
                return None
            counted[key] = found
        return counted[key]

    def of_entities(within: Iterable[Any], inside: tuple[str, ...]) -> tuple[int, int] | None:
        """Return the number of entities and the depth of blocks below."""
        total = depth = 0
        if len(inside) > levels:
            return None
        for entity in within:
            total += 1
            if entity.dxftype() == "INSERT":
                below = of_block(entity.dxf.name, inside)
                if below is None:
                    return None
                copies = max(1, entity.dxf.get("row_count", 1)) * max(1, entity.dxf.get("column_count", 1))
                total += copies * below[0]
                depth = max(depth, below[1] + 1)
        return (total, depth) if len(inside) + depth <= levels else None

    found = of_entities(entities, ())
    return None if found is None else found[0]
